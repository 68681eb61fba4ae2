#!/usr/bin/env python3
"""How long the program takes for all sheets of a knife, beside cairo drawing the same marks.

  - the program: `print --sheets all`, from start to end, less the time of `--version`: the median
    of several runs
  - cairo: every line, curve, fill and word of that very file (as pymupdf reads it) is recorded
    once, then replayed by cairo alone onto a PDF surface in memory: the median of several runs

Cairo is given the pages as they are laid out; the program reads the blank, works out its figures
and lays the sheets out besides. Prints times and ratio, and checks nothing but that cairo's file
has as many pages.

Needs pymupdf, and pycairo or cairocffi with libcairo2.

  cairo_ratio.py --program PROGRAM [--papers letter,roll:610mm] [--runs 9] [BLANK ...]
"""
import argparse
import io
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pymupdf

try:
    import cairo
except ImportError:
    import cairocffi as cairo

ROOT = Path(__file__).resolve().parents[2]
BLANKS = ["samples/first-knife.blank.json", "samples/woodland-camp-knife.blank.json",
          "assets/starters/drop-point.blank.json", "assets/starters/chefs-8in.blank.json"]


def median_ms(act, runs):
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        act()
        times.append((time.perf_counter() - start) * 1000.0)
    return statistics.median(times)


def points(item):
    return [(p.x, p.y) for p in item[1:] if isinstance(p, pymupdf.Point)]


def trace(context, items, closed):
    """A path of lines, curves and boxes."""
    at = None
    for item in items:
        if item[0] == "re":
            box = item[1]
            context.rectangle(box.x0, box.y0, box.width, box.height)
            at = None
            continue
        if item[0] == "qu":
            own = [(p.x, p.y) for p in (item[1].ul, item[1].ur, item[1].lr, item[1].ll)]
            context.move_to(*own[0])
            for place in own[1:]:
                context.line_to(*place)
            context.close_path()
            at = None
            continue
        own = points(item)
        if own[0] != at:
            context.move_to(*own[0])
        if item[0] == "c":
            context.curve_to(*own[1], *own[2], *own[3])
        else:
            context.line_to(*own[1])
        at = own[-1]
    if closed:
        context.close_path()


def dashes(text):
    inside = text[text.find("[") + 1:text.find("]")]
    return [float(number) for number in inside.split()]


def recorded(page):
    """A page's marks, recorded by cairo."""
    surface = cairo.RecordingSurface(cairo.CONTENT_COLOR_ALPHA, (0, 0, page.rect.width, page.rect.height))
    context = cairo.Context(surface)
    count = 0
    for path in page.get_drawings():
        trace(context, path["items"], path.get("closePath"))
        count += 1
        if path.get("fill"):
            context.set_source_rgb(*path["fill"])
            (context.fill_preserve if path.get("color") else context.fill)()
        if path.get("color"):
            context.set_source_rgb(*path["color"])
            context.set_line_width(path.get("width") or 0.1)
            context.set_dash(dashes(path.get("dashes") or "[]"))
            context.stroke()
        context.new_path()
    for span in page.get_texttrace():
        bold = "bold" in span["font"].lower()
        context.select_font_face("sans", cairo.FONT_SLANT_NORMAL,
                                 cairo.FONT_WEIGHT_BOLD if bold else cairo.FONT_WEIGHT_NORMAL)
        context.set_source_rgb(0, 0, 0)
        cos, sin = span["dir"]
        x, y = span["chars"][0][2]
        context.save()
        context.set_matrix(cairo.Matrix(cos, sin, -sin, cos, x, y))
        context.set_font_size(span["size"])
        context.move_to(0, 0)
        context.show_text("".join(chr(char[0]) for char in span["chars"]))
        context.restore()
        count += 1
    return surface, count


def replay(pages):
    """All pages onto a PDF in memory."""
    out = io.BytesIO()
    surface = cairo.PDFSurface(out, 612, 792)
    for (width, height), marks in pages:
        surface.set_size(width, height)
        context = cairo.Context(surface)
        context.set_source_surface(marks, 0, 0)
        context.paint()
        surface.show_page()
    surface.finish()
    return out.getvalue()


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    parser.add_argument("--papers", default="letter,roll:610mm")
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("blanks", nargs="*", default=BLANKS)
    given = parser.parse_args()
    program = str(Path(given.program).resolve())
    start_ms = median_ms(lambda: subprocess.run([program, "--version"], capture_output=True, check=True), given.runs)
    print(f"start of the program {start_ms:.1f} ms, left out below; cairo {cairo.cairo_version_string()}")
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        for blank in given.blanks:
            for paper in given.papers.split(","):
                out = Path(folder) / "sheets.pdf"
                command = [program, "print", blank, "--paper", paper, "--sheets", "all", "--out", str(out)]

                def act(command=command, out=out):
                    out.unlink(missing_ok=True)
                    subprocess.run(command, capture_output=True, check=False, cwd=ROOT)

                own_ms = median_ms(act, given.runs) - start_ms
                document = pymupdf.open(out)
                pages, marks = [], 0
                for page in document:
                    surface, count = recorded(page)
                    pages.append(((page.rect.width, page.rect.height), surface))
                    marks += count
                cairo_ms = median_ms(lambda pages=pages: replay(pages), given.runs)
                drawn = pymupdf.open(stream=replay(pages), filetype="pdf").page_count
                failed += drawn != document.page_count
                print(f"{Path(blank).name.split('.')[0]:26} {paper:10} {len(pages):2} pages {marks:6} marks:  "
                      f"program {own_ms:7.1f} ms, cairo {cairo_ms:7.1f} ms, ratio {own_ms / cairo_ms:5.2f}")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
