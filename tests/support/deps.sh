#!/bin/sh
# deps.sh LIST PACKAGE... - installs the Debian packages that are missing, and nothing else.
# Elsewhere than on Debian it looks for the libraries and says what to install by hand.
set -eu

list=$1
shift

if ! command -v dpkg-query >/dev/null 2>&1; then
    if [ "$list" != build ] || ${PKG_CONFIG:-pkg-config} --exists ${MODULES:-}; then
        exit 0
    fi
    echo "This is not a Debian system, so nothing can be installed from here." >&2
    echo "Please install what these Debian packages hold, then run make again:" >&2
    echo "  $*" >&2
    exit 1
fi

missing=
for package in "$@"; do
    state=$(dpkg-query -W -f='${db:Status-Abbrev}' "$package" 2>/dev/null || true)
    case $state in
    ii* | hi*) ;;
    *) missing="$missing $package" ;;
    esac
done
[ -n "$missing" ] || exit 0

echo "Debian packages missing for '$list':$missing"
if [ "$(id -u)" -eq 0 ]; then
    as_root=
elif command -v sudo >/dev/null 2>&1; then
    as_root=sudo
else
    echo "Neither root nor sudo: please have somebody with the right install them:" >&2
    echo "  apt-get install --no-install-recommends$missing" >&2
    exit 1
fi
$as_root apt-get update -q
$as_root env DEBIAN_FRONTEND=noninteractive \
    apt-get install -q -y --no-install-recommends $missing
