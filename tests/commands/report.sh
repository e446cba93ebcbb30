#!/usr/bin/env bash
# report.sh - the document of the example site: drawings that an XML reader takes, no address that a
# browser would fetch, no unset number printed as such; exit statuses; a failure leaves the old
# file.
set -u

: "${STILLGROUND:?the path of the program}"
cd "$(dirname "$0")/../.." || exit 1
site=receptors/canal-wall/site.yaml
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
bad=0

# expect STATUS NAME COMMAND...
expect() {
    local want=$1 name=$2
    shift 2
    "$@" >"$work/out" 2>"$work/err" </dev/null
    local got=$?
    if [ $got -eq "$want" ]; then
        echo "ok report: $name"
    else
        echo "not ok report: $name: status $got, expected $want"
        sed 's/^/    /' "$work/err"
        bad=1
    fi
}

expect 1 'a limit is over' "$STILLGROUND" report "$site" -o "$work/a.html" --plots "$work/plots"
cat >"$work/look.py" <<'END'
import re
import sys
import xml.dom.minidom

page = open(sys.argv[1], encoding="utf-8").read()
drawings = re.findall(r"<svg .*?</svg>", page, re.S)
assert len(drawings) == int(sys.argv[2]), "drawings: %d" % len(drawings)
for drawing in drawings:
    xml.dom.minidom.parseString(drawing)
names = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
assert set(re.findall(r"https?://[^\s\"'<>]*", page)) <= names, "an address"
assert not re.search(r"<(script|link|img|iframe)\b|\bsrc=|@import", page), "something fetched"
assert not re.search(r"\b-?(nan|inf)\b", page), "an unset number"
ids = re.findall(r"\sid=[\"']([^\"']*)", page)
assert len(ids) == len(set(ids)), "an id twice"
for target in re.findall(r"href=[\"']#([^\"']*)", page):
    assert target in ids, target
END
expect 0 'drawings are XML, nothing is fetched' python3 "$work/look.py" "$work/a.html" 7
for name in distance receptors plan limit-curves noise-measures; do
    expect 0 "$name.gp draws" sh -c "cd '$work/plots' && gnuplot -d $name.gp && test -s $name.svg"
done

# DIN 4150-3 table 1 line 3: 3 mm/s up to 10 Hz, 8 at 50 Hz, 10 at 100 Hz (recalled).
cat >"$work/curve.py" <<'END'
import sys

want = {10.0: 3.0, 50.0: 8.0, 100.0: 10.0}
curves = [block for block in open(sys.argv[1]).read().split("\n\n\n") if block.strip()]
def at(block):
    rows = [line.split() for line in block.strip().split("\n")]
    return {float(r[0]): float(r[1]) for r in rows if len(r) == 2 and r[0] != "NaN"}
assert any(all(abs(at(b).get(f, 0) - v) < 1e-5 for f, v in want.items()) for b in curves), "line 3"
END
expect 0 'a limit curve runs through its table' python3 "$work/curve.py" \
    "$work/plots/limit-curves.dat"

# Noise by octave bands: two spectra more; a name that is markup stays a name.
sed -e 's/name: Quay House/name: "<script>alert(1)<\/script> 50 % {x}"/' \
    -e 's/name: crane,/name: "cr<b>ane",/' \
    receptors/basin-yard.yaml >"$work/yard.yaml"
expect 1 'noise by octave bands' "$STILLGROUND" report "$work/yard.yaml" -o "$work/y.html" \
    --plots "$work/noise"
expect 0 'spectra and measures are drawn' python3 "$work/look.py" "$work/y.html" 8
expect 0 'the name is escaped' grep -q '&lt;script&gt;alert' "$work/y.html"
for name in noise-spectrum-1 noise-spectrum-2 noise-measures; do
    expect 0 "$name.gp draws" sh -c "cd '$work/noise' && gnuplot -d $name.gp && test -s $name.svg"
done
# the bars are the table's figures
cat >"$work/bars.py" <<'END'
import re
import sys

page = open(sys.argv[1], encoding="utf-8").read()
table = page[page.index("Effect of measures against noise"):]
cell = re.compile(r"<t[hd][^>]*>(.*?)</t[hd]>")
rows = [cell.findall(r) for r in table.split("</table>")[0].split("<tr>")]
rows = [r for r in rows if r and r[0] == "Impact hammer"]
bars = [line.split() for line in open(sys.argv[2]) if line.strip()][1:]
assert len(rows) >= 5 and len(rows) == len(bars), (len(rows), len(bars))
for row, bar in zip(rows, bars):
    assert abs(float(row[4]) - float(bar[1])) < 0.051, (row, bar)
    assert abs(float(row[5]) - float(bar[2])) < 0.051, (row, bar)
END
expect 0 'the bars are the figures of the table' python3 "$work/bars.py" "$work/y.html" \
    "$work/noise/noise-measures.dat"

expect 2 'no site file' "$STILLGROUND" report -o "$work/b.html"
expect 2 'no output' "$STILLGROUND" report "$site"
echo old >"$work/old.html"
echo 'title: [' >"$work/bad.yaml"
expect 3 'a broken site file' "$STILLGROUND" report "$work/bad.yaml" -o "$work/old.html"
expect 0 'the old file stays' grep -qx old "$work/old.html"
expect 4 'a folder that is not there' "$STILLGROUND" report "$site" -o "$work/none/c.html"
expect 4 'a folder that cannot be made' "$STILLGROUND" report "$site" -o "$work/old.html" \
    --plots "$work/old.html/plots"
expect 0 'the old file still stays' grep -qx old "$work/old.html"
exit $bad
