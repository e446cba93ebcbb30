#!/usr/bin/env bash
# fit_scipy.sh - the command `fit` beside scipy and numpy; the work is in fit_reference.py.
set -u
: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"${PYTHON:-python3}" tests/commands/fit_reference.py "$STILLGROUND" "$work"
