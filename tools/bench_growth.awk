# From lines "KIND SIZE SECONDS" to a picture of seconds over size, both logarithmic (tools/bench --picture).
function log10(v) { return log(v) / log(10) }
function x_of(size) { return 70 + (log10(size) - 2) * 170 }          # 100 … 100,000 rows
function y_of(seconds) { return 300 - (log10(seconds) + 2) * 85 }    # 0.01 … 10 s
BEGIN {
  print "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"640\" height=\"360\" font-family=\"sans-serif\" font-size=\"13\">"
  print "<rect width=\"640\" height=\"360\" fill=\"#ffffff\"/>"
  for (i = 2; i <= 5; ++i) {
    x = x_of(10 ^ i)
    printf "<path d=\"M%.0f 45V300\" stroke=\"#d8d8d8\"/><text x=\"%.0f\" y=\"320\" text-anchor=\"middle\">%d</text>\n", x, x, 10 ^ i
  }
  for (i = -2; i <= 1; ++i) {
    y = y_of(10 ^ i)
    printf "<path d=\"M70 %.0fH580\" stroke=\"#d8d8d8\"/><text x=\"62\" y=\"%.0f\" text-anchor=\"end\">%g s</text>\n", y, y + 4, 10 ^ i
  }
  print "<text x=\"325\" y=\"345\" text-anchor=\"middle\">catalog rows</text>"
  colour["intake"] = "#1f5a96"; word["intake"] = "catalog taken in"
  colour["labels"] = "#a5521b"; word["labels"] = "artifact labels to a PDF"
  printf "<text x=\"70\" y=\"28\" font-size=\"15\">Processor time over size, both logarithmic</text>\n"
}
{
  x = x_of($2); y = y_of($3)
  if (last[$1] != "") printf "<path d=\"M%sL%.1f %.1f\" stroke=\"%s\" stroke-width=\"2\"/>\n", last[$1], x, y, colour[$1]
  printf "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\" fill=\"%s\"/>\n", x, y, colour[$1]
  last[$1] = sprintf("%.1f %.1f", x, y); ex[$1] = x; ey[$1] = y
}
END {
  for (kind in last)
    printf "<text x=\"%.0f\" y=\"%.0f\" text-anchor=\"end\" fill=\"%s\">%s</text>\n", ex[kind] - 12, ey[kind] - 6, colour[kind], word[kind]
  print "</svg>"
}
