#!/usr/bin/env python3
"""Makes the pictures of README and manual again, small enough for a page.

  - desk.png from the picture that the desk's own tests compare
  - template.png from the sheet that `blankwright print` writes, by poppler
  - one of each sample, as `blankwright draw` writes it
  - solid.png as `blankwright draw --view` draws it

Not here: tracing-dialog.png and tracing-under.png are the desk in a real window (1280 x 800, under
Xvfb) tracing samples/cut-out-on-mat.jpg, cut and in 96 colours.

Needs Pillow, and pdftoppm (poppler-utils).

  pictures.py --program PROGRAM
"""
import argparse
import subprocess
import tempfile
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).resolve().parents[2]
MAX_BYTES = 200_000


def small(picture: Image.Image, name: str) -> None:
    """Stores it with a palette of 128 colours."""
    out = ROOT / "assets" / "manual" / name
    picture.convert("RGB").quantize(128, dither=Image.Dither.NONE).save(out, optimize=True)
    size = out.stat().st_size
    print(f"{out.relative_to(ROOT)}: {picture.width} x {picture.height}, {size} bytes")
    assert size < MAX_BYTES, f"{name} is too large for the README"


def main() -> None:
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--program", required=True)
    program = args.parse_args().program
    small(Image.open(ROOT / "crates/desk/tests/snapshots/bar_light.png"), "desk.png")
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "sheet.pdf"
        knife = ROOT / "samples/first-knife.blank.json"
        subprocess.run([program, "print", knife, "--sheets", "profile", "--out", pdf], check=True)
        page = Path(folder) / "page"
        subprocess.run(["pdftoppm", "-r", "90", "-f", "1", "-singlefile", "-png", pdf, page], check=True)
        small(Image.open(page.with_suffix(".png")), "template.png")
        for sample in sorted((ROOT / "samples").glob("*.blank.json")):
            drawn = Path(folder) / "drawn.png"
            subprocess.run([program, "draw", sample, "--dpi", "75", "--out", drawn], check=True)
            small(Image.open(drawn), sample.name.replace(".blank.json", ".png"))
        view = Path(folder) / "view.png"
        knife = ROOT / "samples/bolstered-woodland-knife.blank.json"
        subprocess.run([program, "draw", knife, "--view", "three-quarter", "--dpi", "84", "--out", view], check=True)
        small(Image.open(view), "solid.png")


if __name__ == "__main__":
    main()
