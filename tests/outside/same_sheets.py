#!/usr/bin/env python3
"""The sheets of two builds of the program, compared: for a change that must leave paper as it is.

Every sample and starter, on every paper, the profile alone or all sheets:

  - the same page sizes; on every page the same numbers in the same order (as 32-bit floats), and
    the same text, by poppler and by mupdf
  - the same pixels at 100 dots per inch by poppler, both in all layers (a pixel of another grey
    fails; --shade tells how far apart greys may be)
  - the second build gives the same bytes twice, in two processes
  - qpdf --check, poppler, mupdf and ghostscript have nothing to say about its files

Then tells the time and the peak of memory of both, one after the other, and the size of files.
Exits with 1 and says which measure failed. Needs what true_size.py needs, and
GNU time.

  same_sheets.py --before PROGRAM --after PROGRAM [--papers letter,a4] [--shade 0] [--files 9] [--keep FOLDER]
"""
import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pikepdf
import pymupdf
from PIL import Image

import true_size
from true_size import ROOT, check, complaints, run

SHEETS = {"profile": ["--sheets", "profile"], "all": ["--sheets", "all"]}


def printed(program, file, paper, sheets, out):
    done = run([program, "print", str(file), "--paper", paper, "--out", str(out)] + SHEETS[sheets], cwd=ROOT)
    check(done.returncode in (0, 1), f"{out.name}: {done.stderr[:300]}")
    return out.exists()


def numbers(page):
    """All numbers of a page's content, but for the line's own setting of a layer's start."""
    found = []
    for operands, operator in pikepdf.parse_content_stream(page):
        for operand in operands:
            for value in operand if isinstance(operand, pikepdf.Array) else [operand]:
                if not isinstance(value, (pikepdf.String, pikepdf.Name)):
                    found.append(float(value))
    return np.array(found, dtype=np.float32)


def compare_content(before, after, name):
    with pikepdf.open(before) as one, pikepdf.open(after) as two:
        check(len(one.pages) == len(two.pages), f"{name}: {len(one.pages)} pages, {len(two.pages)} pages")
        for k, (a, b) in enumerate(zip(one.pages, two.pages), 1):
            sides = [[np.float32(v) for v in page.MediaBox] for page in (a, b)]
            check(np.allclose(*sides, rtol=0, atol=1e-4), f"{name} page {k}: {sides}")
            a, b = numbers(a), numbers(b)
            same = len(a) == len(b) and bool((a == b).all())
            worst = float(np.abs(a - b).max()) if len(a) == len(b) and len(a) else "-"
            check(same, f"{name} page {k}: {len(a)} and {len(b)} numbers, apart by {worst}")


def compare_text(before, after, name):
    words = [run(["pdftotext", "-layout", str(pdf), "-"]).stdout for pdf in (before, after)]
    check(words[0] == words[1] and words[0].strip(), f"{name}: poppler's text")
    with pymupdf.open(before) as one, pymupdf.open(after) as two:
        for k, (a, b) in enumerate(zip(one, two), 1):
            check(a.get_text() == b.get_text(), f"{name} page {k}: mupdf's text")


def compare_pixels(before, after, name, shade, folder):
    pictures = []
    for side, pdf in (("a", before), ("b", after)):
        run(["pdftoppm", "-gray", "-r", "100", str(pdf), str(folder / side)])
        pictures.append(sorted(folder.glob(f"{side}-*.pgm")))
    check(len(pictures[0]) == len(pictures[1]) > 0, f"{name}: pictures")
    other = 0
    for k, (a, b) in enumerate(zip(*pictures), 1):
        one, two = (np.asarray(Image.open(p), dtype=np.int16) for p in (a, b))
        apart = np.abs(one - two) if one.shape == two.shape else np.array([255])
        other += int((apart > 0).sum())
        check(apart.max() <= shade, f"{name} page {k}: {int((apart > shade).sum())} pixels, by {apart.max()}")
    for picture in pictures[0] + pictures[1]:
        picture.unlink()
    return other


def measured(programs, file, sheets, folder, times=9):
    """Median seconds and most memory (MB) of each program, taken in turns."""
    seconds, memory = {p: [] for p in programs}, dict.fromkeys(programs, 0)
    for _ in range(times):
        for program in programs:
            words = [program, "print", str(file), "--paper", "letter", "--out", str(folder / "timed.pdf")]
            start = time.perf_counter()
            # Its own process tells: a child's peak would begin with this script's.
            done = run(["/usr/bin/time", "-q", "-f", "%M"] + words + SHEETS[sheets], cwd=ROOT)
            seconds[program].append(time.perf_counter() - start)
            memory[program] = max(memory[program], int(done.stderr.split()[-1]) / 1024)
    return [(statistics.median(seconds[p]), min(seconds[p]), memory[p]) for p in programs]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--before", required=True)
    parser.add_argument("--after", required=True)
    parser.add_argument("--papers", default="letter,a4,a3,legal,tabloid")
    parser.add_argument("--shade", type=int, default=0)
    parser.add_argument("--files", type=int, help="only so many")
    parser.add_argument("--keep")
    args = parser.parse_args()
    folder = Path(args.keep or tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    files = sorted((ROOT / "samples").glob("*.blank.json")) + sorted((ROOT / "assets/starters").glob("*.blank.json"))
    files = files[:args.files]
    sizes, kinds, pages, other = [0, 0], 0, 0, 0
    for i, file in enumerate(files):
        for paper in args.papers.split(","):
            for sheets in SHEETS if i < 2 else ["profile"]:
                name = f"{file.name.split('.')[0]}, {paper}, {sheets}"
                before, after, again = (folder / f"{side}.pdf" for side in ("before", "after", "again"))
                for old in (before, after, again):
                    old.unlink(missing_ok=True)
                if not printed(args.before, file, paper, sheets, before):
                    check(not printed(args.after, file, paper, sheets, after), f"{name}: only now there are sheets")
                    continue
                check(printed(args.after, file, paper, sheets, after), f"{name}: no sheets now")
                printed(args.after, file, paper, sheets, again)
                check(after.read_bytes() == again.read_bytes(), f"{name}: other bytes the second time")
                for said in complaints(str(after)):
                    check(False, f"{name}: {said}")
                compare_content(before, after, name)
                compare_text(before, after, name)
                other += compare_pixels(before, after, name, args.shade, folder)
                sizes = [sizes[0] + before.stat().st_size, sizes[1] + after.stat().st_size]
                kinds += 1
                with pikepdf.open(after) as document:
                    pages += len(document.pages)
    print(f"{kinds} files, {pages} pages; {sizes[0]} and {sizes[1]} bytes, {sizes[1] / max(sizes[0], 1):.3f} times; "
          f"{other} pixels of another grey")
    for sheets in SHEETS:
        one, two = measured([args.before, args.after], files[1], sheets, folder)
        print(f"{files[1].name}, {sheets}: {one[0] * 1e3:.0f} ms, {one[2]:.0f} MB; now {two[0] * 1e3:.0f} ms, {two[2]:.0f} MB; "
              f"{two[0] / one[0]:.2f} times (best {one[1] * 1e3:.0f}, {two[1] * 1e3:.0f} ms)")
    print(f"{true_size.passed} passed, {true_size.failed} failed")
    sys.exit(1 if true_size.failed or not true_size.passed else 0)


if __name__ == "__main__":
    main()
