/* fuzz_wave.c - libFuzzer target: the readers of recordings, from seeds of WAV, W64, RF64,
 * FLAC and AIFF. */
#include "fuzz_recording.h"
