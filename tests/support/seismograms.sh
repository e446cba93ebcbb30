#!/bin/sh
# seismograms.sh FOLDER - unpacks seismograms that nobody here made into FOLDER: the miniSEED files
# of a library's own tests (libmseed, LGPL-3+), out of its source package. The lists of packages do
# not name sources, hence lists of sources in a folder aside. What is missing fails.
set -eu
folder=$1
tar=libmseed_2.19.8.orig.tar.gz
sum=29080c80ef0bf9dd97056ca20079ad8db75e2d0f283e187ff45065337d3abe05
mkdir -p "$folder"
lists="$(cd "$folder" && pwd)/sources"
mkdir -p "$lists/parts" "$lists/state/lists/partial" "$lists/cache/archives/partial"
for list in /etc/apt/sources.list.d/debian.sources /etc/apt/sources.list; do
    [ -f "$list" ] || continue
    sed 's/^Types: .*/Types: deb-src/; s/^deb /deb-src /' "$list" \
        >"$lists/parts/source.${list##*.}"
done
set -- -q -o Dir::Etc::SourceList=/dev/null -o Dir::Etc::SourceParts="$lists/parts" \
    -o Dir::State::Lists="$lists/state/lists" -o Dir::Cache="$lists/cache"
apt-get "$@" update
(cd "$folder" && apt-get "$@" --download-only source libmseed) || true # the tar alone matters
case $(sha256sum "$folder/$tar") in
"$sum"*) ;;
*) echo "$folder/$tar is not the source that is known" >&2; exit 1 ;;
esac
tar -xzf "$folder/$tar" -C "$folder" --strip-components=3 --wildcards '*/test/data/*.mseed'
rm -rf "$lists" "$folder"/libmseed_*
