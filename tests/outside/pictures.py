#!/usr/bin/env python3
"""Makes the pictures of README and manual again, small enough for a page.

  - desk.png from the picture that the desk's own tests compare
  - template.png from the sheet that `blankwright print` writes, by poppler
  - sheath.png the same way, without the foot of its page
  - one of each sample, as `blankwright draw` writes it
  - solid.png as `blankwright draw --view` draws it, and in-the-round.png from a face and cut open

  - with --window tracing-dialog.png and tracing-under.png: the desk in a real window of 1280 x 800
    that traces samples/cut-out-on-mat.jpg

Needs Pillow, and pdftoppm (poppler-utils); with --window what window.py needs.

  pictures.py --program PROGRAM [--window]
"""
import argparse
import subprocess
import tempfile
import time
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


def beside(left: Image.Image, right: Image.Image, name: str) -> None:
    """Stores two pictures side by side on the ground of the first."""
    both = Image.new("RGB", (left.width + right.width, max(left.height, right.height)), left.getpixel((0, 0))[:3])
    for picture, x in ((left, 0), (right, left.width)):
        both.paste(picture.convert("RGB"), (x, (both.height - picture.height) // 2))
    small(both, name)


def tracing(program: str) -> None:
    """The dialog that traces a picture, and the picture under the outline that came of it."""
    from window import Room

    with tempfile.TemporaryDirectory() as folder:
        room = Room(program, Path(folder).resolve())
        try:
            room.start("open", ROOT / "samples/first-knife.blank.json")
            room.key("ctrl+shift+t")
            room.key("ctrl+a")
            room.tool("type", "--delay", 20, ROOT / "samples/cut-out-on-mat.jpg")
            room.key("Return")
            time.sleep(6.0)
            dialog = Image.fromarray(room.picture("dialog").astype("uint8"))
            small(dialog.crop((102, 34, 1178, 764)).resize((969, 657)), "tracing-dialog.png")
            room.click(181, 734)
            room.key("f")
            time.sleep(2.0)
            under = Image.fromarray(room.picture("under").astype("uint8"))
            small(under.crop((40, 90, 960, 590)), "tracing-under.png")
        finally:
            room.desk.kill()
            room.end()


def main() -> None:
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--program", required=True)
    args.add_argument("--window", action="store_true")
    args = args.parse_args()
    program = args.program
    if args.window:
        tracing(program)
    small(Image.open(ROOT / "crates/desk/tests/snapshots/bar_light.png"), "desk.png")
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "sheet.pdf"
        knife = ROOT / "samples/first-knife.blank.json"
        subprocess.run([program, "print", knife, "--sheets", "profile", "--out", pdf], check=True)
        page = Path(folder) / "page"
        subprocess.run(["pdftoppm", "-r", "90", "-f", "1", "-singlefile", "-png", pdf, page], check=True)
        small(Image.open(page.with_suffix(".png")), "template.png")
        knife = ROOT / "samples/woodland-camp-knife.blank.json"
        subprocess.run([program, "print", knife, "--sheets", "sheath", "--paper", "a4", "--out", pdf], check=True)
        subprocess.run(["pdftoppm", "-r", "80", "-f", "1", "-singlefile", "-png", pdf, page], check=True)
        sheath = Image.open(page.with_suffix(".png"))
        small(sheath.crop((0, 0, sheath.width, 560)), "sheath.png")
        for sample in sorted((ROOT / "samples").glob("*.blank.json")):
            drawn = Path(folder) / "drawn.png"
            subprocess.run([program, "draw", sample, "--dpi", "75", "--out", drawn], check=True)
            small(Image.open(drawn), sample.name.replace(".blank.json", ".png"))
        view = Path(folder) / "view.png"
        knife = ROOT / "samples/bolstered-woodland-knife.blank.json"
        subprocess.run([program, "draw", knife, "--view", "three-quarter", "--dpi", "84", "--out", view], check=True)
        small(Image.open(view), "solid.png")
        cut = Path(folder) / "cut.png"
        subprocess.run([program, "draw", knife, "--view", "right", "--dpi", "66", "--out", view], check=True)
        subprocess.run([program, "draw", knife, "--view", "tip", "--cut", "150mm", "--dpi", "150", "--out", cut], check=True)
        beside(Image.open(view), Image.open(cut), "in-the-round.png")


if __name__ == "__main__":
    main()
