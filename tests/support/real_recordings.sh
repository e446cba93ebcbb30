#!/bin/sh
# real_recordings.sh FOLDER - copies recordings that nobody here made into FOLDER, out of Debian
# packages: an earthquake as miniSEED 2 (libmseed, LGPL-3+), field sounds as WAV (simutrans-pak64,
# Artistic-1.0; openttd-opensfx, CC BY-SA 3.0; alsa-utils, see its copyright file) and as FLAC
# (sonic-pi-samples, CC0). A package that is installed without its documentation is unpacked aside.
# What is missing fails.
set -eu
folder=$1
mkdir -p "$folder"

# known FILE SHA256
known() {
    case $(sha256sum "$folder/$1") in
    "$2"*) ;;
    *) echo "$folder/$1 is not the recording that is known" >&2; exit 1 ;;
    esac
}

# take PACKAGE PATH SHA256
take() {
    name=${2##*/}
    if [ -f "$2" ]; then
        cp "$2" "$folder/$name"
    else
        [ -d "$folder/unpacked-$1" ] ||
            (cd "$folder" && apt-get -q download "$1" && dpkg-deb -x "$1"_*.deb "unpacked-$1")
        cp "$folder/unpacked-$1$2" "$folder/$name"
    fi
    known "$name" "$3"
}

take libmseed-doc /usr/share/doc/libmseed-dev/examples/test.mseed \
    5d079faffc3d2aa452754bdfd6d6afab347f00cb2ee8b2c47edacfa95dc02c27
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/tree-cutting.wav \
    74f7a46b45320eae7704fcb1f2ec2a2d8d5fe92adeb3e15c42e8f3ff9d5d4339
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/steam.wav \
    9b42b565da71da1a5984be97ee68c747bcf9029ad074fcc96ce598c2e1ad3468
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/jackhammer.wav \
    9272d310020ee274ad95c6316202df25ce0693831858a3aed5fdc6ab3e17f192
take simutrans-pak64 /usr/share/games/simutrans/pak/sound/gavel.wav \
    766554d1b5f109920dabccb8a228b934461c2a23cdd987bf75ddbdd1a539ce9c
take alsa-utils /usr/share/sounds/alsa/Noise.wav \
    0d897df3862192ea078efc1dd8fdc4f51fae9e93d3ed4c15e049829b0386729e
take openttd-opensfx /usr/share/games/openttd/baseset/opensfx/opensfx.cat \
    cd348625bd82cca10620977bdf11ca5ff4fd4477bf2a87bf4463b095d12310ec
samples=/usr/share/sonic-pi/samples
take sonic-pi-samples $samples/perc_impact1.flac \
    1230a921b19465aae8dbbe64f59baa6396da7322928bd2bedba69073428d2b9e
take sonic-pi-samples $samples/perc_door.flac \
    923c36d45cd67a053976602163020b32fc499f3c126c66bca790b9aa2d9e7003
take sonic-pi-samples $samples/ambi_sauna.flac \
    110e5f5fb0192a4bb8da3d9c5c4539edf35c9549cf84eee44386bc62b2914328
take sonic-pi-samples $samples/loop_industrial.flac \
    6925eb60647384e84c45c4aed84d1ddcabe4c2c34e992e5ed80915da8850aa05
rm -rf "$folder"/unpacked-* "$folder"/*.deb
