#!/usr/bin/env python3
"""What a PDF says to a reader that doesn't see it: prints every sheet of some samples with the real
program, then asks pikepdf and poppler

  - the structure tree: one section a page, its title a heading, every figure with its words, every
    marked content in one place of the tree and of the parent tree
  - reading order: the title's words come first in each section
  - XMP metadata: the title, and the date when one is given
  - the boxes of every page, and the sign of caution as the word "Warning"

veraPDF isn't asked here. Exits with 1 and says which check failed. Needs pikepdf and Debian's
poppler-utils.

  tagged.py --program "cargo run --quiet --locked --"
"""
import argparse
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import pikepdf

ROOT = Path(__file__).resolve().parents[2]
ROLES = {"/Document", "/Sect", "/H1", "/H2", "/P", "/Figure", "/Table", "/TR", "/TH", "/TD"}
passed, failed = 0, 0


def check(fine, what):
    global passed, failed
    if fine:
        passed += 1
    else:
        failed += 1
        print("FAILED:", what)


def contents(element):
    """The numbers of the marked contents in an element, in order."""
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, int):
            yield kid
        else:
            yield from contents(kid)


def elements(element):
    yield element
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if not isinstance(kid, int):
            yield from elements(kid)


def marked(page):
    """The numbers that a page's own operators give."""
    found = []
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) == "BDC" and isinstance(operands[1], pikepdf.Dictionary):
            found.append(int(operands[1]["/MCID"]))
    return found


def read(pdf, name, date):
    with pikepdf.open(pdf) as document:
        root = document.Root
        check(bool(root.MarkInfo.Marked), f"{name}: not marked")
        check(str(root.Lang) == "en", f"{name}: no language")
        whole = root.StructTreeRoot.K[0]
        sections = list(whole.K)
        check(len(sections) == len(document.pages), f"{name}: {len(sections)} sections")
        parents = list(root.StructTreeRoot.ParentTree.Nums)
        parents = dict(zip([int(n) for n in parents[::2]], parents[1::2]))
        for number, (page, section) in enumerate(zip(document.pages, sections), 1):
            what = f"{name}, page {number}"
            roles = [str(element.S) for element in elements(section)]
            check(set(roles) <= ROLES, f"{what}: {set(roles) - ROLES}")
            check(roles[1] == "/H1", f"{what}: begins with {roles[1]}")
            figures = [element for element in elements(section) if str(element.S) == "/Figure"]
            check(all("/Alt" in figure for figure in figures), f"{what}: a figure without words")
            told, there = sorted(contents(section)), sorted(marked(page))
            check(told == there, f"{what}: {len(told)} contents told, {len(there)} there")
            own = parents[int(page.StructParents)]
            check(len(own) == len(there), f"{what}: {len(own)} parents for {len(there)}")
            for box in ("/TrimBox", "/CropBox"):
                check(box in page, f"{what}: no {box}")
        with document.open_metadata() as meta:
            check(bool(meta.get("dc:title")), f"{name}: no title")
            check((meta.get("xmp:CreateDate") == date) if date else True, f"{name}: no date")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    program = shlex.split(parser.parse_args().program)
    folder = Path(tempfile.mkdtemp())
    for name in ("first-knife", "scalloped-camp-knife", "petty-for-a-friend"):
        for paper, more in (("letter", ["--date", "2026-11-30"]), ("a3", [])):
            pdf = folder / f"{name}-{paper}.pdf"
            done = subprocess.run(
                program + ["print", f"samples/{name}.blank.json", "--out", str(pdf), "--paper", paper,
                           "--sheets", "all"] + more, cwd=ROOT, capture_output=True, text=True, check=False)
            check(done.returncode in (0, 1) and pdf.exists(), f"{name}: {done.stderr}")
            read(pdf, f"{name} on {paper}", "2026-11-30" if more else None)
            text = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
            check(len(re.findall(r"Warning:", text)) > 3, f"{name} on {paper}: no warnings read")
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed or not passed else 0)


if __name__ == "__main__":
    main()
