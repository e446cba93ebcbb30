#!/usr/bin/env bash
# scipy.sh - the figures of `measure` beside the same by scipy, on shipped and on real recordings.
set -u
: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
script=tests/commands/recordings_scipy.py
if said=$("${PYTHON:-python3}" $script "$STILLGROUND" build/real 2>&1); then
    echo "ok scipy: the figures of recordings"
else
    echo "not ok scipy: the figures of recordings"
    printf '%s\n' "$said"
    exit 1
fi
