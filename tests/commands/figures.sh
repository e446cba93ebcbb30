#!/bin/sh
# figures.sh - every figure that `measure` is to give is there as table, CSV and JSON, the three say
# the same, and densities and response spectra are those of scipy.
set -eu
: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"${PYTHON:-/usr/bin/python3}" tests/commands/figures.py "$STILLGROUND" "$work"
