#!/bin/sh
# real_recordings.sh FOLDER - copies recordings that nobody here made into FOLDER, out of Debian
# packages: an earthquake as miniSEED 2 (libmseed-doc, LGPL-3+) and two field sounds as WAV
# (simutrans-pak64, Artistic-1.0). Where a package is installed without its documentation, the
# package itself is unpacked.
set -eu
folder=$1
mkdir -p "$folder"

# take PACKAGE PATH SHA256
take() {
    name=${2##*/}
    if [ -f "$2" ]; then
        cp "$2" "$folder/$name"
    else
        (cd "$folder" && apt-get download "$1" && dpkg-deb -x "$1"_*.deb unpacked &&
            cp "unpacked$2" "$name")
        rm -rf "$folder/unpacked" "$folder/$1"_*.deb
    fi
    case $(sha256sum "$folder/$name") in
    "$3"*) ;;
    *) echo "$folder/$name is not the recording that is known" >&2; exit 1 ;;
    esac
}

take libmseed-doc /usr/share/doc/libmseed-dev/examples/test.mseed \
    5d079faffc3d2aa452754bdfd6d6afab347f00cb2ee8b2c47edacfa95dc02c27
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/tree-cutting.wav \
    74f7a46b45320eae7704fcb1f2ec2a2d8d5fe92adeb3e15c42e8f3ff9d5d4339
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/steam.wav \
    9b42b565da71da1a5984be97ee68c747bcf9029ad074fcc96ce598c2e1ad3468
