/* fuzz_csv.c - libFuzzer target: the readers of recordings, from seeds of waveform CSV. */
#include "fuzz_recording.h"
