# strip.awk - C sources without comments and without what stands in strings, one "file:line:code" a
# line, so that the other checks see code only. -v keep=1 keeps the strings (for #include "...").
FNR == 1 { comment = 0 }
{
    line = $0
    out = ""
    quote = ""
    n = length(line)
    for (i = 1; i <= n; i++) {
        c = substr(line, i, 1)
        two = substr(line, i, 2)
        if (comment) {
            if (two == "*/") { comment = 0; i++; out = out " " }
        } else if (quote != "") {
            if (keep) out = out c
            if (c == "\\") { i++; if (keep) out = out substr(line, i, 1) }
            else if (c == quote) { if (!keep) out = out c; quote = "" }
        } else if (two == "/*") { comment = 1; i++ }
        else if (two == "//") break
        else { if (c == "\"" || c == "'") quote = c; out = out c }
    }
    print FILENAME ":" FNR ":" out
}
