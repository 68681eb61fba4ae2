#!/usr/bin/env python3
"""True size, seen by outside readers: prints samples and starters with the real program, then

  - qpdf --check, and silence of poppler, mupdf and ghostscript on every file
  - pikepdf: no page scaling is asked for, the page sizes are the papers', the layers have names
  - pymupdf: the cut line's box equals the profile's length and width, hole circles their drills
  - pdftocairo at 1200 dpi: both rulers' ticks and the proof square, measured in pixels

Exits with 1 and says which measure failed. Needs pymupdf, pikepdf, numpy, pillow and Debian's
poppler-utils, qpdf, mupdf-tools, ghostscript.

  true_size.py --program "cargo run --quiet --locked --" [--keep FOLDER]
"""
import argparse
import json
import math
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pikepdf
import pymupdf
from PIL import Image

Image.MAX_IMAGE_PIXELS = None
MM_PER_POINT = 25.4 / 72
PAPERS_MM = {  # ISO 216 and ASME Y14.1
    "letter": (215.9, 279.4), "legal": (215.9, 355.6), "tabloid": (279.4, 431.8),
    "a5": (148.0, 210.0), "a4": (210.0, 297.0), "a3": (297.0, 420.0),
}
ROOT = Path(__file__).resolve().parents[2]
TRUE_MM = 0.01  # geometry read from the file
RASTER_MM = 0.045  # two pixels at 1200 dpi
passed, failed = 0, 0


def check(fine, what):
    global passed, failed
    if fine:
        passed += 1
    else:
        failed += 1
        print("FAILED:", what)


def run(command, **more):
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)


def complaints(pdf):
    """What four readers say about a file."""
    said = []
    for command in (["qpdf", "--check", pdf], ["pdftocairo", "-png", "-r", "20", pdf, "/dev/null.x"],
                    ["mutool", "draw", "-o", "/dev/null", "-F", "png", pdf],
                    ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-sDEVICE=nullpage", pdf]):
        if command[0] == "pdftocairo":
            command = ["pdftoppm", "-r", "20", pdf]
            done = subprocess.run(command, capture_output=True, check=False)
            out = done.stderr.decode(errors="replace")
        else:
            done = run(command)
            out = done.stderr + (done.stdout if command[0] == "gs" or done.returncode else "")
        if command[0] == "mutool":
            # The second is about how Debian's mutool was built, not about the file.
            noise = ("page ", "warning: ICC support is not available")
            out = "\n".join(line for line in out.splitlines() if not line.startswith(noise))
        if done.returncode or out.strip():
            said.append(f"{command[0]}: exit {done.returncode} {out.strip()[:200]}")
    return said


def paths_by_layer(page):
    """The page's vector paths in mm, y up, by the name of their layer."""
    height = page.rect.height
    found = {}
    for path in page.get_drawings():
        points = []
        for item in path["items"]:
            points += [p for p in item[1:] if isinstance(p, pymupdf.Point)]
            for part in item[1:]:
                if isinstance(part, pymupdf.Rect):
                    points += [part.tl, part.br]
        box = path["rect"]
        found.setdefault(path.get("layer") or "", []).append({
            "box": [box.x0 * MM_PER_POINT, (height - box.y1) * MM_PER_POINT,
                    box.x1 * MM_PER_POINT, (height - box.y0) * MM_PER_POINT],
            "items": path["items"],
            "points": [(p.x * MM_PER_POINT, (height - p.y) * MM_PER_POINT) for p in points],
        })
    return found


def cubic_box(items):
    """The tight box of a path of lines and cubics, in mm (y down)."""
    xs, ys = [], []
    for item in items:
        points = [(p.x * MM_PER_POINT, p.y * MM_PER_POINT) for p in item[1:] if isinstance(p, pymupdf.Point)]
        if item[0] == "l":
            curve = np.array(points)
        elif item[0] == "c":
            t = np.linspace(0, 1, 2001)[:, None]
            a, b, c, d = (np.array(p) for p in points)
            curve = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t ** 2 * c + t ** 3 * d
        else:
            continue
        xs += [curve[:, 0].min(), curve[:, 0].max()]
        ys += [curve[:, 1].min(), curve[:, 1].max()]
    return max(xs) - min(xs), max(ys) - min(ys)


def measure_vector(pdf, numbers, name, one_page):
    """The cut line and the holes, as pymupdf reads them."""
    document = pymupdf.open(pdf)
    cut = [p for page in document for p in paths_by_layer(page).get("Cut line", [])]
    check(cut, f"{name}: no cut line in a layer of that name")
    if one_page and cut and numbers["bar"]["turn_deg"] == 0:
        width, height = cubic_box(cut[0]["items"])
        length, across = numbers["profile"]["length_mm"], numbers["profile"]["width_mm"]
        lying = {width, height}
        turned = abs(width * height - length * across) > 1.0
        if not turned:
            check(abs(max(lying) - max(length, across)) < TRUE_MM
                  and abs(min(lying) - min(length, across)) < TRUE_MM,
                  f"{name}: cut line {width:.4f} × {height:.4f}, profile {length:.4f} × {across:.4f}")
        measure_holes(document, numbers, name)


def measure_holes(document, numbers, name):
    """The holes' circles on all pages, as pymupdf reads them."""
    holes = sorted(h["diameter_mm"] for h in numbers["holes"])
    circles = []
    for page in document:
        for path in paths_by_layer(page).get("Holes", []):
            width, height = cubic_box(path["items"])
            circles.append((width + height) / 2)
    check(len(circles) == len(holes), f"{name}: {len(circles)} circles for {len(holes)} holes")
    for drawn, wanted in zip(sorted(circles), holes):
        check(abs(drawn - wanted) < TRUE_MM, f"{name}: hole {drawn:.4f} for {wanted:.4f}")


def measure_drilling(pdf, numbers, name):
    """The holes of the drilling sheet: their sizes, and their spacing along the row."""
    document = pymupdf.open(pdf)
    drawn = [page for page in document if paths_by_layer(page).get("Holes")]
    if len(drawn) != 1:
        # Cut by a joint; the profile sheet shows the same holes.
        return
    measure_holes(document, numbers, name)
    centres = []
    for path in paths_by_layer(drawn[0])["Holes"]:
        x0, y0, x1, y1 = path["box"]
        centres.append(((x0 + x1) / 2, (y0 + y1) / 2))
    for hole in numbers["scribe"]["holes"]:
        if hole["hole_before"] is not None:
            # Circles are drawn in the holes' order.
            a, b = centres[hole["number"] - 1], centres[hole["hole_before"] - 1]
            apart = ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
            check(abs(apart - hole["along_row_mm"]) < 2 * TRUE_MM,
                  f"{name}: holes {apart:.4f} apart, told {hole['along_row_mm']:.4f}")


def measure_raster(pdf, name, folder):
    """The proof square and the longest ruler lines in a 1200 dpi picture of page 1."""
    run(["pdftocairo", "-png", "-gray", "-r", "1200", "-f", "1", "-l", "1", "-singlefile", str(pdf), str(folder / "page")])
    ink = np.asarray(Image.open(folder / "page.png")) < 128
    document = pymupdf.open(pdf)
    page = document[0]
    ruler = paths_by_layer(page).get("Rulers and proof square", [])
    square = [p for p in ruler if is_square(p, 50.0)]
    check(len(square) == 1, f"{name}: {len(square)} proof squares of 50 mm")
    per_mm = 1200 / 25.4
    for path in square:
        x0, y0, x1, y1 = path["box"]
        height = page.rect.height * MM_PER_POINT
        row = int((height - (y0 + y1) / 2 - 3.3) * per_mm)
        column = int(((x0 + x1) / 2 + 3.3) * per_mm)
        for line, start, what in ((ink[row], x0, "across"), (ink[:, column], height - y1, "up")):
            edges = [centre_near(line, (start + off) * per_mm) for off in (0.0, 50.0)]
            if None in edges:
                check(False, f"{name}: the proof square's sides are not in the picture ({what})")
                continue
            side = (edges[1] - edges[0]) / per_mm
            check(abs(side - 50.0) < RASTER_MM, f"{name}: proof square {what} {side:.4f} mm")


    for axis, across in (("across", True), ("up", False)):
        measure_ruler(ruler, ink, per_mm, page.rect.height * MM_PER_POINT, f"{name}: ruler {axis}", across)


def measure_ruler(ruler, ink, per_mm, height, what, across):
    """The millimetre ruler's ticks at 0 and 100 (or the farthest full 10): file and picture."""
    along, square = (0, 1) if across else (1, 0)
    ticks = []
    for path in ruler:
        if len(path["points"]) != 2:
            continue
        (a, b) = path["points"]
        if abs(a[along] - b[along]) < 1e-4 and 1.0 < abs(a[square] - b[square]) < 8.0:
            ticks.append((a[along], (a[square] + b[square]) / 2))
    check(len(ticks) > 60, f"{what}: {len(ticks)} ticks")
    best = None
    for start, _ in ticks[:1] + sorted(ticks)[:4]:
        for far in (100.0, 90.0, 80.0, 50.0):
            hit = [t for t in ticks if abs(t[0] - start - far) < TRUE_MM]
            if hit and (best is None or far > best[1]):
                best = (start, far, hit[0])
    check(best is not None and best[1] >= 80.0, f"{what}: no tick a full 10 from the first: {best}")
    if best is None:
        return
    start, far, (end, level) = best
    first = min(ticks, key=lambda t: (abs(t[0] - start), abs(t[1] - level)))
    found = []
    for place, at in ((first[0], first[1]), (end, level)):
        if across:
            found.append(centre_near(ink[int((height - at) * per_mm)], place * per_mm))
        else:
            found.append(centre_near(ink[:, int(at * per_mm)], (height - place) * per_mm))
    check(None not in found, f"{what}: a tick is not in the picture")
    if None not in found:
        told = abs(found[1] - found[0]) / per_mm
        check(abs(told - far) < RASTER_MM, f"{what}: {far} mm measures {told:.4f}")


def is_square(path, side):
    x0, y0, x1, y1 = path["box"]
    return abs(x1 - x0 - side) < 0.6 and abs(y1 - y0 - side) < 0.6


def centre_near(line, place):
    """The middle of the run of ink nearest to a place, in pixels; None without ink near."""
    window = range(max(0, int(place) - 12), min(len(line), int(place) + 13))
    inked = [i for i in window if line[i]]
    return (min(inked) + max(inked) + 1) / 2 if inked else None


def corners_of_proof(pdf):
    """The crosses of a proof in mm, from its four long lines as pymupdf finds them."""
    level, upright = [], []
    for drawing in pymupdf.open(pdf)[0].get_drawings():
        for item in drawing["items"]:
            if item[0] == "l" and abs(item[2] - item[1]) * MM_PER_POINT > 150:
                across = abs(item[2].x - item[1].x) > abs(item[2].y - item[1].y)
                (level if across else upright).append((item[1], item[2]))
    level = sorted(level, key=lambda line: -line[0].y)
    upright = sorted(upright, key=lambda line: line[0].x)
    # The highest of all is the hairline under the title.
    low, high, left, right = level[0], level[-2], upright[0], upright[-1]

    def meet(one, other):
        (a, b), (c, d) = one, other
        u, v = b - a, d - c
        t = ((c.x - a.x) * v.y - (c.y - a.y) * v.x) / (u.x * v.y - u.y * v.x)
        return ((a.x + t * u.x) * MM_PER_POINT, -(a.y + t * u.y) * MM_PER_POINT)

    return [meet(a, b) for a in (low, high) for b in (left, right)]


def measure_proof(program, folder):
    """A proof is true; one sent through a trim is true once the printer's error is put on it."""
    kx, ky, skew = 0.979, 0.984, math.radians(0.17)
    shop = folder / "proof.shop.json"
    trim = {"scale_x": 1 / kx, "scale_y": 1 / ky, "skew_deg": math.degrees(skew), "paper": "a4"}
    shop.write_text(json.dumps({"format": "blankwright-shop", "version": 1,
                                "printers": [{"name": "bench", "trim": trim}]}))
    through = ["--trim", "bench", "--shop", str(shop)]
    for paper in ("letter", "a4", "a3", "300x500mm"):
        for more in ([], through):
            pdf = folder / f"proof-{paper}-{len(more)}.pdf"
            done = run(program + ["proof", "--paper", paper, "--out", str(pdf)] + more, cwd=ROOT)
            check(done.returncode == 0, f"proof on {paper}: {done.stderr}")
            for complaint in complaints(str(pdf)):
                check(False, f"{pdf.stem}: {complaint}")
            places = corners_of_proof(pdf)
            if more:
                places = [(kx * x - ky * y * math.sin(skew), ky * y * math.cos(skew)) for x, y in places]
            (a, b, c, d) = places
            across, up = math.dist(a, b), math.dist(a, c)
            sides = [round(across / 5) * 5, round(up / 5) * 5]
            diagonal = math.hypot(*sides)
            wanted = [(a, b, sides[0]), (c, d, sides[0]), (a, c, sides[1]), (b, d, sides[1]),
                      (a, d, diagonal), (b, c, diagonal)]
            for one, other, true in wanted:
                check(abs(math.dist(one, other) - true) < 0.01, f"{pdf.stem}: {math.dist(one, other)} for {true} mm")
    done = run(program + ["print", str(ROOT / "samples/first-knife.blank.json"), "--out", str(folder / "all.pdf"),
                          "--sheets", "all"] + through, cwd=ROOT)
    check(done.returncode == 0, f"all sheets through a trim: {done.stderr}")
    for complaint in complaints(str(folder / "all.pdf")):
        check(False, f"all sheets through a trim: {complaint}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--keep")
    args = parser.parse_args()
    program = shlex.split(args.program)
    folder = Path(args.keep or tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    files = sorted((ROOT / "samples").glob("*.blank.json")) + sorted((ROOT / "assets/starters").glob("*.blank.json"))
    check(len(files) >= 13, "samples and starters are there")
    for i, file in enumerate(files):
        numbers = json.loads(run(program + ["numbers", str(file), "--json"], cwd=ROOT).stdout)
        papers = list(PAPERS_MM) if i < 2 else ["letter", "a4"]
        for paper in papers:
            pdf = folder / f"{file.name.split('.')[0]}-{paper}.pdf"
            done = run(program + ["print", str(file), "--out", str(pdf), "--paper", paper,
                                  "--sheets", "profile"], cwd=ROOT)
            name = pdf.stem
            check(done.returncode == 0, f"{name}: {done.stderr}")
            for complaint in complaints(str(pdf)):
                check(False, f"{name}: {complaint}")
            with pikepdf.open(pdf) as document:
                check(document.Root.ViewerPreferences.PrintScaling == "/None", f"{name}: PrintScaling")
                wanted = sorted(PAPERS_MM[paper])
                for page in document.pages:
                    box = [float(v) for v in page.MediaBox]
                    size = sorted([(box[2] - box[0]) * MM_PER_POINT, (box[3] - box[1]) * MM_PER_POINT])
                    check(max(abs(a - b) for a, b in zip(size, wanted)) < 0.01, f"{name}: page of {size} mm")
            sheets = {}
            for sheet in ("profile", "drilling"):
                sheets[sheet] = folder / f"{pdf.stem}-{sheet}.pdf"
                done = run(program + ["print", str(file), "--out", str(sheets[sheet]), "--paper", paper,
                                      "--sheets", sheet], cwd=ROOT)
                check(done.returncode == 0, f"{name}: {done.stderr}")
            with pikepdf.open(sheets["profile"]) as document:
                pages = len(document.pages)
            measure_vector(sheets["profile"], numbers, name, pages == 1)
            measure_drilling(sheets["drilling"], numbers, f"{name}, drilling")
            if i < 4 or paper == "letter":
                measure_raster(pdf, name, folder)
    measure_proof(program, folder)
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed or not passed else 0)


if __name__ == "__main__":
    main()
