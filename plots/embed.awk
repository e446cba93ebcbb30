# Turns text files into C: one NULL-terminated list of lines a file, named after the file.
#   awk -f plots/embed.awk plots/style.gp plots/report.css > embedded.h
# Lists of lines, because ISO C promises no string literal beyond 4095 bytes.
function finish() { if (open) print "    NULL,\n};" }
BEGIN { print "/* Made by plots/embed.awk; do not edit. */" }
FNR == 1 {
    finish()
    name = FILENAME
    sub(/^.*\//, "", name)
    gsub(/[^A-Za-z0-9]/, "_", name)
    printf "static const char *const sg_embedded_%s[] = {\n", name
    open = 1
}
{
    line = $0
    gsub(/\\/, "\\\\", line)
    gsub(/"/, "\\\"", line)
    gsub(/\t/, "\\t", line)
    printf "    \"%s\",\n", line
}
END { finish() }
