#!/usr/bin/env bash
# outdoor.sh - levels by octave bands beside a second calculation of ISO 9613-2 with numpy.
set -u
: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
script=tests/commands/outdoor_numpy.py
if said=$("${PYTHON:-python3}" $script "$STILLGROUND" 2>&1); then
    echo "ok outdoor: levels by octave bands beside numpy"
else
    echo "not ok outdoor: levels by octave bands beside numpy"
    printf '%s\n' "$said"
    exit 1
fi
