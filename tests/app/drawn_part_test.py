"""Drawings of parts read back and measured: the cutting file by a library that reads it, the sheets by
their pixels at 300 to the inch, and once more as a browser prints them.

    drawn_part_test.py PROGRAM    (the program writes the parts of tests/make/parts.h into a folder)
"""
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf

DPI = 300
MM = 25.4 / DPI  # of a pixel
faults = []


def check(good, what):
    if not good:
        faults.append(what)
        print("drawn_part:", what, file=sys.stderr)


def run(*words):
    return subprocess.run(words, check=True, capture_output=True, timeout=120).stdout


# --- The cutting file ---

LAYERS = {"CUT", "HOLES", "CENTRE", "BEND", "TEXT", "DIM", "HIDDEN", "THIN", "WARNING"}


def polyline_length(entity):
    corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    length = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(corners, corners[1:] + corners[:1]):
        chord = math.hypot(x1 - x0, y1 - y0)
        turn = 4 * math.atan(abs(bulge))
        length += chord if bulge == 0 else chord / (2 * math.sin(turn / 2)) * turn
    return length


def read(path):
    document = ezdxf.readfile(path)
    check(document.dxfversion == "AC1009", f"{path.name} is of {document.dxfversion}")
    check(document.header.get("$INSUNITS") == 4, f"{path.name}: its units are not millimetres")
    audit = document.audit()
    check(not audit.errors and not audit.fixes, f"{path.name}: {audit.errors} {audit.fixes}")
    names = {layer.dxf.name for layer in document.layers}
    check(LAYERS <= names, f"{path.name} has the layers {names}")
    space = document.modelspace()
    for entity in space:
        check(entity.dxf.layer in LAYERS, f"{path.name}: {entity.dxftype()} on {entity.dxf.layer}")
        if entity.dxf.layer == "HOLES":
            check(entity.dxftype() == "CIRCLE", f"{path.name}: a hole is a {entity.dxftype()}")
    return space


def holes_of(space, layer="HOLES"):
    return sorted((round(c.dxf.center.x, 4), round(c.dxf.center.y, 4), round(2 * c.dxf.radius, 4))
                  for c in space.query(f'CIRCLE[layer=="{layer}"]'))


def words_of(space, layer):
    return [t.dxf.text for t in space.query(f'TEXT[layer=="{layer}"]')]


def one_outline(space, length, name):
    outlines = list(space.query('POLYLINE[layer=="CUT"]'))
    check(len(outlines) == 1 and outlines[0].is_closed, f"{name}: {len(outlines)} outlines")
    for outline in outlines:
        check(abs(polyline_length(outline) - length) < 1e-3,
              f"{name}: an outline of {polyline_length(outline)}, not {length}")


def check_dxf(folder):
    files = sorted(folder.glob("*.dxf"))
    check(len(files) == 12, f"{len(files)} cutting files")
    for path in files:
        read(path)
        check(max(path.read_bytes()) < 128, f"{path.name} is not ASCII")

    flat = read(folder / "flat-0.dxf")
    check(holes_of(flat) == [(16, 66, 10.2), (20, 24, 12)], f"flat: holes {holes_of(flat)}")
    one_outline(flat, 2 * (24 + 74) + 2 * math.pi * 8, "flat")
    check("%%c12 H7 (+0.018/0)" in words_of(flat, "DIM"), f"flat: {words_of(flat, 'DIM')}")
    check("RIGHT" in words_of(flat, "TEXT"), "flat does not say for which side it is")

    disc = read(folder / "disc-0.dxf")
    check(holes_of(disc, "CUT") == [(0, 0, 80)], f"disc: {holes_of(disc, 'CUT')}")
    bolts = sorted((round(28 * math.cos(math.radians(a)), 4), round(28 * math.sin(math.radians(a)), 4),
                    10.2) for a in (90, 210, 330))
    check(holes_of(disc) == sorted(bolts + [(0, 0, 20)]), f"disc: holes {holes_of(disc)}")
    other = read(folder / "disc-right-0.dxf")
    check(holes_of(other) == sorted((-x + 0.0, y, d) for x, y, d in holes_of(disc)), "disc: not mirrored")

    bent = read(folder / "bent-2.dxf")
    one_outline(bent, 2 * (24 + 77.8) + 2 * math.pi * 3, "bent")
    folds = [(l.dxf.start.y, l.dxf.end.y, abs(l.dxf.end.x - l.dxf.start.x))
             for l in bent.query('LINE[layer=="BEND"]')]
    check(len(folds) == 1 and max(abs(a - b) for a, b in zip(folds[0], (46.9, 46.9, 30))) < 1e-6,
          f"bent: folds {folds}")
    long = read(folder / "long-0.dxf")
    one_outline(long, 2 * (280 + 80) + 2 * math.pi * 20, "long")
    check(words_of(long, "WARNING") == ["DOES NOT SERVE - NOT FOR CUTTING"],
          f"long: stamped {words_of(long, 'WARNING')}")
    check(not words_of(flat, "WARNING"), "flat is stamped")


# --- The sheets ---


def pages(pdf):
    """Each page as (size in mm, wide, high, rows of grey)."""
    info = run("pdfinfo", "-f", "1", "-l", "99", str(pdf)).decode()
    sizes = [(float(w) / 72 * 25.4, float(h) / 72 * 25.4)
             for w, h in re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", info)]
    for number, size in enumerate(sizes, 1):
        grey = run("pdftoppm", "-gray", "-r", str(DPI), "-f", str(number), "-l", str(number), str(pdf))
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", grey)
        wide, high = int(head[1]), int(head[2])
        body = memoryview(grey)[head.end():]
        yield size, [bytes(body[y * wide:(y + 1) * wide]) for y in range(high)]


DARK = re.compile(rb"[\x00-\x7f]+")


def check_bars(rows):
    """Lengths in mm of what is about 100 long and thicker than any line, one a bar."""
    bars = []
    streak = 0
    for row in rows:
        long = [m for m in DARK.finditer(row) if 90 <= len(m[0]) * MM <= 110]
        if not long:
            streak = 0
            continue
        streak += 1
        if streak * MM > 1.0:  # lines are half a millimetre at most
            # By darkness, so that an edge inside a pixel counts for its part.
            m = long[0]
            stretch = row[m.start() - 3:m.end() + 3]
            bars.append(sum(255 - v for v in stretch) / 255 * MM)
            streak = -1000
    return bars


PAPER = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def check_pages(pdf, size, landscape, margins, expected_pages=None):
    """`margins`: left, top, right, bottom in mm that stay white."""
    size = size[::-1] if landscape else size
    number = 0
    for (wide, high), rows in pages(pdf):
        number += 1
        name = f"{pdf.name}, page {number}"
        check(abs(wide - size[0]) < 0.3 and abs(high - size[1]) < 0.3, f"{name} is {wide} x {high}")
        bars = check_bars(rows)
        check(len(bars) == 1, f"{name} has {len(bars)} bars")
        for bar in bars:
            check(abs(bar - 100.0) < 0.1, f"{name}: the bar is {bar:.3f} mm")
        left, top, right, bottom = (int(m / MM) for m in margins)
        blank = (min(min(r[:left]) for r in rows), min(min(r) for r in rows[:top]),
                 min(min(r[-right:]) for r in rows), min(min(r) for r in rows[-bottom:]))
        check(min(blank) > 200, f"{name} runs out of its frame: {blank}")
    check(number == (expected_pages or number) and number > 0, f"{pdf.name} has {number} pages")


def words_overlapping(pdf):
    """Words of a drawing that stand on each other."""
    boxes = [(*map(float, m.groups()[:4]), m[5]) for m in re.finditer(
        r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>',
        run("pdftotext", "-bbox", str(pdf), "-").decode())]
    check(len(boxes) > 30, f"{pdf.name} has {len(boxes)} words")
    # The boxes are those of the face, taller than its letters.
    slack = 1.6
    return [(a[4], b[4]) for i, a in enumerate(boxes) for b in boxes[:i]
            if a[0] + slack < b[2] - slack and b[0] + slack < a[2] - slack
            and a[1] + slack < b[3] - slack and b[1] + slack < a[3] - slack]


def check_sheets(folder):
    for paper, size in PAPER.items():
        left = 19.5 if paper == "a4" else 14.5
        for name in ("disc", "disc-right", "sleeve", "flat", "bent", "long"):
            drawing = folder / f"{name}-{paper}.pdf"
            check_pages(drawing, size, True, (left, 9.5, 9.5, 9.5), 1)
            check(not words_overlapping(drawing), f"{drawing.name}: {words_overlapping(drawing)}")
        check_pages(folder / f"flat-template-{paper}.pdf", size, False, (9.5,) * 4, 1)
        check_pages(folder / f"bent-template-{paper}.pdf", size, False, (9.5,) * 4, 1)
        check_pages(folder / f"long-template-{paper}.pdf", size, False, (9.5,) * 4, 2)

    # The plate itself is as wide on its template as in steel: the outer lines between those of the
    # window, half way up.
    ((_, high), rows), = pages(folder / "flat-template-a4.pdf")
    lines = [(m.start() + m.end()) / 2 * MM for m in DARK.finditer(rows[int(high / 2 / MM)])]
    check(abs(lines[-2] - lines[1] - 40.0) < 0.1, f"the plate is {lines[-2] - lines[1]:.3f} wide")


def check_browser(folder):
    """As a browser prints them, the size of the page by its style sheet."""
    for kind, svgs, size in (("drawing", ["disc-a4.svg"], (297, 210)),
                             ("template", ["long-template-a4-1.svg", "long-template-a4-2.svg"], (210, 297))):
        page = folder / f"{kind}.html"
        page.write_text(
            "<!doctype html><meta charset='utf-8'><style>@page { size: %dmm %dmm; margin: 0 } body { margin: 0 }"
            "body > svg { display: block; break-after: page; break-inside: avoid }"
            "body > svg:last-child { break-after: auto }</style>" % size
            + "".join((folder / s).read_text() for s in svgs))
        pdf = folder / f"{kind}.pdf"
        run("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            f"--user-data-dir={folder}/profile", "--no-pdf-header-footer", f"--print-to-pdf={pdf}",
            f"file://{page}")
        check_pages(pdf, size, False, (9.5,) * 4)


def main():
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        run(sys.argv[1], place)
        check_dxf(folder)
        check_sheets(folder)
        check_browser(folder)
    if faults:
        sys.exit(f"{len(faults)} faults")
    print("measured")


main()
