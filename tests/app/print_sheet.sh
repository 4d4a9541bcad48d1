#!/usr/bin/env bash
# The build sheet printed by a browser on A4 and Letter: nothing cut, nothing fetched, text complete.
#   print_sheet.sh PROGRAM CARS
set -euo pipefail
program=$1 cars=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"

fail() { echo "print_sheet: $*" >&2; exit 1; }
browser() {
  chromium --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking \
    --disable-component-update --disable-sync --user-data-dir="$folder/profile" "$@" >browser.log 2>&1 ||
    { cat browser.log >&2; fail "the browser failed"; }
}

for car in pip nibbet; do
  "$program" sheet "$cars/$car.toml" --out "$car.html" >/dev/null
  grep -qE '(src|href)=|@import|url\(|<script' "$car.html" && fail "$car.html fetches something"
  for paper in A4 Letter; do
    sed "s|</style>|@page { size: $paper; }</style>|" "$car.html" >"$car-$paper.html"
    browser --no-pdf-header-footer --print-to-pdf="$car-$paper.pdf" "file://$folder/$car-$paper.html"
    size=$(pdfinfo "$car-$paper.pdf" | sed -n 's/^Page size: *//p')
    case "$paper:$size" in
      A4:594.*|A4:595.*) wide=595 high=842 ;;
      Letter:612*) wide=612 high=792 ;;
      *) fail "$car on $paper has pages of $size" ;;
    esac
    # Every word lies inside its page with a printer's margin of 15 points; a part's drawing has a page of
    # its own, lying.
    pdftotext -bbox "$car-$paper.pdf" words.html
    awk -v wide="$wide" -v high="$high" -F'"' '/<page/ { w = $2; h = $4; if (w > h) drawn++
      else if (w < wide - 1 || w > wide + 1 || h < high - 1 || h > high + 1) { print "page of " w " x " h; bad = 1 }
    }
    /<word/ {
      n++
      if ($2 < 15 || $4 < 15 || $6 > w - 15 || $8 > h - 15) { print "cut: " $0; bad = 1 }
    } END { if (bad || n < 500) { print n " words, " drawn + 0 " drawings"; exit 1 } }' words.html ||
      fail "$car on $paper is cut"
    # Where the car has parts to make, each has its drawing on a page.
    parts=$(grep -c '<figure class="own-page' "$car.html" || true)
    lying=$(grep '<page' words.html | awk -F'"' '$2 > $4' | wc -l)
    [ "$parts" -eq "$lying" ] || fail "$car on $paper has $lying pages for $parts drawings"
    pdftotext -layout "$car-$paper.pdf" text.txt
    for sentence in "build sheet" "A demo: this car is invented" "In which order, and where do I stop" \
      "as corrected" "Stop here until" "torque, from"; do
      grep -q "$sentence" text.txt || fail "$car on $paper lacks '$sentence'"
    done
  done
done
# In black alone: the only inks of the sheet are blacks and greys.
grep -oE '#[0-9a-fA-F]{3,6}\b' pip.html | sort -u | while read -r ink; do
  case "$ink" in
    '#111'|'#fff'|'#555'|'#888'|'#e8eef6'|'#10233b'|'#b8c6d8') ;;  # the last three: dark screens only
    *) fail "an ink that was not agreed: $ink" ;;
  esac
done
echo "printed"
