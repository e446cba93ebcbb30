/* fuzz_mseed.c - libFuzzer target: the readers of recordings, from seeds of miniSEED 2. */
#include "fuzz_recording.h"
