#!/usr/bin/env bash
# recordings.sh - measure and check: one thread or two give the same bytes; the example recordings
# are those that their program writes; drawings are XML; a long recording takes no more memory than
# a short one.
set -u

: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0

# verdict NAME: by the status of the command before
verdict() {
    local got=$?
    if [ $got -eq 0 ]; then
        echo "ok recordings: $1"
    else
        echo "not ok recordings: $1"
        bad=1
    fi
}

for threads in 1 2; do
    OMP_NUM_THREADS=$threads "$STILLGROUND" measure measurements/*.flac measurements/*.mseed \
        --metrics all --events --interval 20s --format json >"$work/$threads.json"
done
[ -s "$work/1.json" ] && cmp -s "$work/1.json" "$work/2.json"
verdict 'one thread or two, the same bytes'

size=$(cat measurements/*.flac measurements/*.mseed | wc -c)
[ "$size" -gt 0 ] && [ "$size" -lt 10485760 ] &&
    [ "$(grep -L invented measurements/*.yaml | wc -l)" -eq 0 ]
verdict 'the examples are under 10 MiB and say that they are invented'

"$STILLGROUND" check receptors/canal-wall/site.yaml measurements/impact-10m.flac \
    measurements/impact-sound-20m.flac --plots "$work/plots" >/dev/null 2>&1
[ $? -eq 1 ] && [ "$(ls "$work"/plots/*.svg | wc -l)" -eq 9 ] &&
    python3 -c 'import sys, xml.dom.minidom
for path in sys.argv[1:]:
    drawing = xml.dom.minidom.parse(path)
    assert drawing.getElementsByTagName("path"), path' "$work"/plots/*.svg
verdict 'nine drawings of two recordings are XML'

# names that would break out of an attribute; curves that are named
hostile="$work/a'b \"q\" <script>alert(1)<script>"
cp measurements/press-in-10m.flac "$hostile.flac"
cp measurements/press-in-10m.yaml "$hostile.yaml"
"$STILLGROUND" measure "$hostile.flac" --plots "$work/hostile" --limits VC,DIN4150-3-short \
    >/dev/null 2>&1
[ $? -eq 0 ] && python3 -c 'import sys, xml.dom.minidom
text = {}
for path in sys.argv[1:]:
    drawing = xml.dom.minidom.parse(path)
    assert not drawing.getElementsByTagName("script"), path
    text[path.rsplit("-", 1)[1]] = open(path).read()
assert len(text) == 5, sorted(text)
assert "VC, floor: curve A" in text["bands.svg"]
assert "DIN4150-3-short, foundation: dwellings" in text["peaks.svg"]' "$work"/hostile/*.svg
verdict 'a hostile name stays text in drawings, and named curves are in them'

# 40 minutes of three channels as raw 16-bit WAV, against 64 MiB resident
python3 - "$work" <<'END'
import struct
import sys
frames = 2000 * 2400
with open(sys.argv[1] + "/long.wav", "wb") as file:
    file.write(struct.pack("<4sI4s4sIHHIIHH4sI", b"RIFF", 36 + frames * 6, b"WAVE", b"fmt ", 16, 1,
                           3, 2000, 12000, 6, 16, b"data", frames * 6))
    block = b"".join(struct.pack("<hhh", (i * 37) % 2000 - 1000, (i * 91) % 700, (i * 13) % 300)
                     for i in range(20000))
    for _ in range(frames // 20000):
        file.write(block)
with open(sys.argv[1] + "/long.yaml", "w") as file:
    file.write("channels:\n" + "".join(
        "  - {quantity: velocity, axis: %s, by: factor, factor: 10}\n" % axis for axis in "xyz"))
END
cat >"$work/peak.py" <<'END'
import resource
import subprocess
import sys
subprocess.run(sys.argv[2:], check=True, stdout=subprocess.DEVNULL)
peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
sys.exit(0 if peak < int(sys.argv[1]) * 1024 else "%d KiB resident" % peak)
END
if [ "${CHECK_LINT:-yes}" = yes ]; then # a sanitizer or valgrind has memory of its own
    python3 "$work/peak.py" 64 "$STILLGROUND" measure "$work/long.wav" --events \
        --interval 60s
    verdict 'a long recording stays under 64 MiB'
fi
exit $bad
