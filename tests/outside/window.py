#!/usr/bin/env python3
"""The desk in a real window under a virtual display: start, drag, save, undo, save, leave.

Needs Debian's xvfb, xdotool, imagemagick, libxkbcommon-x11-0, libegl1, libgl1-mesa-dri and pillow.

  window.py --program target/debug/blankwright [--keep FOLDER]
"""
import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).resolve().parents[2]
DISPLAY = ":87"
passed, failed = 0, 0


def check(fine, what):
    global passed, failed
    passed, failed = passed + bool(fine), failed + (not fine)
    if not fine:
        print("FAILED:", what)


def wait(what, seconds=20.0):
    """Asks again until the answer is not empty."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        answer = what()
        if answer:
            return answer
        time.sleep(0.2)
    return None


class Room:
    """A display, a home of its own and the program in it."""

    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.env = dict(os.environ, DISPLAY=DISPLAY, HOME=str(folder / "home"), LIBGL_ALWAYS_SOFTWARE="1")
        for name in ("WAYLAND_DISPLAY", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
            self.env.pop(name, None)
        (folder / "home").mkdir(parents=True, exist_ok=True)
        self.display = subprocess.Popen(["Xvfb", DISPLAY, "-screen", "0", "1280x800x24"],
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(1.0)

    def tool(self, *words):
        done = subprocess.run(["xdotool", *map(str, words)], env=self.env, capture_output=True, text=True, check=False)
        return done.stdout.strip()

    def start(self, *words):
        self.desk = subprocess.Popen([self.program, *map(str, words)], env=self.env)
        window = wait(lambda: self.tool("search", "--onlyvisible", "--pid", self.desk.pid) or self.tool("search", "--onlyvisible", "--name", "."))
        check(window, "a window opens")
        self.window = (window or "").split("\n")[-1]
        time.sleep(2.0)
        self.tool("windowfocus", self.window)
        time.sleep(0.5)

    def picture(self, name):
        path = self.folder / f"{name}.png"
        subprocess.run(["import", "-window", "root", str(path)], env=self.env, check=False)
        return np.asarray(Image.open(path).convert("RGB")).astype(int)

    def key(self, keys):
        self.tool("key", keys)
        time.sleep(0.7)

    def drag(self, start, by):
        self.tool("mousemove", *start)
        time.sleep(0.4)
        self.tool("mousedown", 1)
        for part in range(1, 9):
            self.tool("mousemove", start[0] + by[0] * part // 8, start[1] + by[1] * part // 8)
            time.sleep(0.08)
        self.tool("mouseup", 1)
        time.sleep(0.6)

    def end(self):
        self.display.terminate()


def tip(picture):
    """The tip's node: the leftmost bright spot on the layout blue."""
    red, green, blue = (picture[..., i] for i in range(3))
    steel = (blue > 90) & (blue > red + 50) & (blue > green + 30)
    rows, columns = np.nonzero(steel)
    check(len(rows) > 20_000, f"{len(rows)} points of layout blue")
    inside = np.zeros_like(steel)
    inside[rows.min() + 6:rows.max() - 6, columns.min() + 6:columns.max() - 6] = True
    bright = (picture.min(axis=2) > 225) & inside
    rows, columns = np.nonzero(bright)
    left = columns.min()
    near = columns < left + 8
    return int(columns[near].mean()) + 1, int(rows[near].mean())


def node(path):
    knife = json.loads(path.read_text())["profile"]
    return next(n["at_mm"] for n in knife["nodes"] if n["id"] == knife["tip"])


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--keep")
    args = parser.parse_args()
    program = str(Path(args.program).resolve())
    folder = Path(args.keep or tempfile.mkdtemp()).resolve()
    folder.mkdir(parents=True, exist_ok=True)

    bare = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET")}
    done = subprocess.run([program], env=bare, capture_output=True, text=True, check=False, timeout=30)
    check(done.returncode == 2 and "blankwright print" in done.stderr and len(done.stderr.strip().splitlines()) == 1,
          f"without a display one sentence names print: {done.returncode} {done.stderr}")

    room = Room(program, folder)
    try:
        blank = folder / "mine.blank.json"
        shutil.copy(ROOT / "assets/starters/drop-point.blank.json", blank)
        first = blank.read_bytes()
        room.start("open", blank)
        picture = room.picture("start")
        place = tip(picture)
        room.drag(place, (40, 0))
        room.picture("dragged")
        room.key("ctrl+s")
        moved = wait(lambda: blank.read_bytes() != first)
        check(moved, "the drag is in the saved file")
        was, now = json.loads(first), node(blank)
        before = next(n["at_mm"] for n in was["profile"]["nodes"] if n["id"] == was["profile"]["tip"])
        check(3.0 < now[0] - before[0] < 20.0 and abs(now[1] - before[1]) < 2.0, f"the tip went from {before} to {now}")
        told = subprocess.run([program, "check", str(blank)], capture_output=True, text=True, check=False)
        check(told.returncode in (0, 1), f"the saved file can be used: {told.stderr}")
        room.key("ctrl+z")
        room.key("ctrl+s")
        check(wait(lambda: blank.read_bytes() == first), "undone and saved, the file is as it was, byte for byte")
        room.key("ctrl+q")
        check(wait(lambda: room.desk.poll() is not None) and room.desk.returncode == 0, "it leaves cleanly")
        room.start()
        check(len(np.unique(room.picture("again").reshape(-1, 3), axis=0)) > 200, "it starts again")
        room.desk.terminate()
        room.desk.wait(10)
    finally:
        room.end()
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
