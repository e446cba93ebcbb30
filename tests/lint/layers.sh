#!/bin/sh
# layers.sh - who may include whom (DEVELOPERS.md), and where third-party headers may stand:
# each in exactly one .c of src/ (GDAL's in two: reading and writing), never in a header.
set -eu
here=$(dirname "$0")

files=$(find src include -name '*.[ch]' -o -name '*.def' -path 'src/*' | LC_ALL=C sort)
[ -n "$files" ] || { echo "src:1: no source was found"; exit 1; }

awk -v keep=1 -f "$here/strip.awk" $files | awk '
BEGIN {
    allowed["base"] = " base "
    allowed["catalogue"] = " base catalogue "
    allowed["site"] = " base catalogue site "
    allowed["vibration"] = " base catalogue vibration "
    allowed["sound"] = " base catalogue sound "
    allowed["signal"] = " base catalogue signal "
    allowed["limits"] = " base catalogue limits "
    below = " base catalogue site vibration sound signal limits "
    allowed["plan"] = below "plan "
    allowed["fit"] = below "fit "
    allowed["report"] = below "plan fit report "
    allowed["commands"] = below "plan fit report commands "
    # Headers that belong to a room of another name.
    room_of["calendar"] = "base"
    room_of["choice"] = room_of["programme"] = room_of["inverse"] = "plan"
    room_of["report_works"] = room_of["report_noise"] = "report"
    room_of["change"] = room_of["monitors"] = room_of["notices"] = "plan"
    room_of["site_law"] = "catalogue"
    room_of["value"] = room_of["scene"] = "catalogue"
    room_of["outdoor_numbers"] = room_of["bridge_numbers"] = "catalogue"
    room_of["outdoor_field"] = "sound"
    room_of["outdoor"] = "sound"
    room_of["quantities"] = room_of["weighting"] = "catalogue"
    room_of["calibration"] = "catalogue"
    room_of["recorded"] = room_of["logbook"] = room_of["noise"] = "plan"
    room_of["day_tally"] = "limits"
    room_of["noise_rules"] = "catalogue"
    room_of["rating"] = "sound"
    room_of["monitoring"] = "report"
    room_of["vocabulary"] = room_of["ground"] = room_of["model"] = "catalogue"
    room_of["sound_source"] = room_of["limit_set"] = "catalogue"
    room_of["filter"] = room_of["spectrum"] = room_of["quality"] = "signal"
    room_of["vibration_meter"] = room_of["sound_meter"] = "signal"
    room_of["trigger"] = room_of["event"] = room_of["response"] = "signal"
    n = split("assert complex ctype errno fenv float inttypes iso646 limits locale math setjmp " \
              "signal stdalign stdarg stdatomic stdbool stddef stdint stdio stdlib stdnoreturn " \
              "string tgmath threads time uchar wchar wctype argp dirent fcntl getopt glob " \
              "langinfo omp poll pthread spawn strings sysexits termios unistd sys/stat " \
              "sys/types sys/wait sys/time sys/resource sys/ioctl sys/mman sys/select", word, " ")
    for (i = 1; i <= n; i++) own[word[i] ".h"] = 1
}
{
    at = index($0, ":")
    file = substr($0, 1, at - 1)
    rest = substr($0, at + 1)
    at = index(rest, ":")
    line = substr(rest, 1, at - 1)
    code = substr(rest, at + 1)
    if (code !~ /^[ \t]*#[ \t]*include/) next
    includes++
    sub(/^[ \t]*#[ \t]*include[ \t]*/, "", code)
    if (code ~ /^</) {
        header = code
        sub(/^</, "", header)
        sub(/>.*/, "", header)
        if (!(header in own)) third_party()
        next
    }
    if (code !~ /^"/) { say("an include that this check cannot read: " code); next }
    header = code
    sub(/^"/, "", header)
    sub(/".*/, "", header)
    from = file
    if (file ~ /^include\//) { sub(/.*\//, "", from); sub(/\..*/, "", from) }
    else { sub(/^src\//, "", from); sub(/\/.*/, "", from) }
    if (from ~ /\.c$/) from = "commands" # src/main.c
    if (from in room_of) from = room_of[from]
    if (!(from in allowed)) { say("not in a known room"); next }
    to = header
    path = file
    sub(/[^\/]*$/, "", path)
    if (header !~ /^\.\.\// && there(path header)) to = path header # beside it comes first
    else if (header ~ /^\.\.\//) {
        while (sub(/^\.\.\//, "", header)) sub(/[^\/]*\/$/, "", path)
        to = path header
    }
    sub(/^src\//, "", to)
    header = to
    if (header ~ /^stillground\//) {
        sub(/^stillground\//, "", to)
        sub(/\..*/, "", to)
        if (to in room_of) to = room_of[to]
    } else if (header ~ /\//) {
        sub(/\/.*/, "", to)
        if (!(to in allowed)) to = from # a folder inside the room
    } else to = from
    if (index(allowed[from], " " to " ") == 0)
        say(from " may not know " to " (includes " header ")")
}
function say(text) { print file ":" line ": " text; bad = 1 }
function there(path,    line, found) {
    found = (getline line < path) >= 0
    close(path)
    return found
}
function third_party(    family) {
    if (file !~ /\.c$/) { say("third-party header in a header: " header); return }
    family = header ~ /^(gdal|ogr|cpl)/ ? "gdal" : header
    if ((family, file) in seen) return
    seen[family, file] = 1
    count[family]++
    if (count[family] > (family == "gdal" ? 2 : 1))
        say("third-party header also in " first[family] ": " header)
    else first[family] = (first[family] == "" ? "" : first[family] " and ") file
}
END {
    if (!includes) { print "src:1: no include line was found"; bad = 1 }
    exit bad
}'
