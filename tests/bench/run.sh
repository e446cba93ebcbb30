#!/bin/sh
# run.sh - what `make bench` prints. Told through the environment: BUILD, PYTHON, STILLGROUND, SITE.
set -eu
"$PYTHON" tests/bench/bench_vibration.py "$BUILD/bench/bench_vibration" "$BUILD/bench"
"$BUILD/bench/bench_plan"
echo
"$PYTHON" tests/bench/bench_field.py "$BUILD/bench/bench_field" "$BUILD/bench"
echo
"$PYTHON" tests/bench/bench_outdoor.py "$BUILD/bench/bench_outdoor" "$BUILD/bench"
echo
"$PYTHON" tests/bench/bench_predict.py "$STILLGROUND" predict "$SITE"
echo
"$PYTHON" tests/bench/bench_signal.py "$BUILD/bench/bench_signal" "$BUILD/bench"
