#!/usr/bin/env bash
# cases.sh - every case of tests/commands/cases; see tests/support/run.sh for their form.
set -u
cd "$(dirname "$0")/../.." || exit 1
exec bash tests/support/run.sh tests/commands/cases/*/
