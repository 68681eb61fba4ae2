#!/usr/bin/env python3
"""The desk in a real window under a virtual display: start, click, type, drag, save, undo, close,
start again, be killed and recover. Tells how long a start takes to the first picture, how much
memory the desk holds, and what it costs while nothing happens.

Needs Debian's xvfb, xdotool, imagemagick, libxkbcommon-x11-0, libegl1, libgl1-mesa-dri, numpy and
pillow.

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
        # The display keeps its picture in a file, so that it can be watched without a moment lost.
        memory = folder / "display"
        memory.mkdir(exist_ok=True)
        told, tell = os.pipe()
        self.display = subprocess.Popen(
            ["Xvfb", "-displayfd", str(tell), "-noreset", "-screen", "0", "1280x800x24", "-fbdir", str(memory)],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, pass_fds=[tell])
        os.close(tell)
        with os.fdopen(told) as number:
            display = ":" + number.readline().strip()
        self.memory = memory / "Xvfb_screen0"
        wait(self.memory.exists)
        self.env = dict(os.environ, DISPLAY=display, HOME=str(folder / "home"), LIBGL_ALWAYS_SOFTWARE="1")
        for name in ("WAYLAND_DISPLAY", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
            self.env.pop(name, None)
        (folder / "home").mkdir(parents=True, exist_ok=True)

    def tool(self, *words):
        done = subprocess.run(["xdotool", *map(str, words)], env=self.env, capture_output=True, text=True, check=False)
        return done.stdout.strip()

    def start(self, *words):
        began = time.monotonic()
        self.desk = subprocess.Popen([self.program, *map(str, words)], env=self.env)
        shown = self.first_picture(began + 30.0)
        check(shown, "the first picture comes within 30 s")
        self.first_s = (shown or began + 30.0) - began
        window = wait(lambda: self.tool("search", "--onlyvisible", "--pid", self.desk.pid) or self.tool("search", "--onlyvisible", "--name", "."))
        check(window, "a window opens")
        self.window = (window or "").split("\n")[-1]
        time.sleep(2.0)
        self.tool("windowfocus", self.window)
        time.sleep(0.5)

    def first_picture(self, until):
        """When the display first shows layout blue."""
        head = int.from_bytes(self.memory.read_bytes()[:4], "big")
        while time.monotonic() < until:
            data = np.frombuffer(self.memory.read_bytes()[-1280 * 800 * 4:], dtype=np.uint8)
            row = data.reshape(800, 1280, 4)[300:500:20, ::40].astype(int)
            blue, green, red = row[..., 0], row[..., 1], row[..., 2]
            if head and ((blue > 90) & (blue > red + 50) & (blue > green + 30)).sum() > 20:
                return time.monotonic()
            time.sleep(0.002)
        return None

    def held_mb(self):
        """Memory in use, and the part that no other program shares, MB."""
        lines = Path(f"/proc/{self.desk.pid}/smaps_rollup").read_text().splitlines()
        kb = {words[0]: int(words[1]) for words in map(str.split, lines[1:])}
        return kb["Rss:"] / 1000, (kb["Private_Clean:"] + kb["Private_Dirty:"]) / 1000

    def used_s(self):
        """Processor time used so far by all of its threads, seconds."""
        fields = Path(f"/proc/{self.desk.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def click(self, *at):
        self.tool("mousemove", *at)
        time.sleep(0.3)
        self.tool("click", 1)
        time.sleep(0.7)

    def leave(self):
        self.key("ctrl+q")
        check(wait(lambda: self.desk.poll() is not None) and self.desk.returncode == 0, "it leaves cleanly")
        self.desk.kill()
        self.desk.wait(10)

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


def by_hand(room, folder):
    """A first start, with nothing but what a person at the window has."""
    shutil.rmtree(folder / "home")
    (folder / "home").mkdir()
    room.start()
    first = room.picture("first_start")
    # The words along the top: the third is Holes; what is chosen is underlined.
    line = first[70:82, :480]
    room.click(222, 60)
    changed = np.abs(room.picture("holes")[70:82, :480] - line).sum(axis=2) > 60
    columns = np.nonzero(changed.any(axis=0))[0]
    check(len(columns) > 40 and columns.max() > 200, f"a click chooses the station: {columns[:3]}…")
    room.key("2")
    place = tip(room.picture("profile"))
    room.drag(place, (40, 0))
    place = (place[0] + 40, place[1])
    path = folder / "typed.blank.json"
    path.unlink(missing_ok=True)
    room.key("ctrl+s")
    room.picture("asked_for_a_path")
    room.key("ctrl+a")
    room.tool("type", "--delay", 20, str(path))
    time.sleep(0.5)
    room.key("Return")
    check(wait(path.exists), "a typed path is written")
    moved = node(path)
    room.picture("saved")

    # The rest costs nothing.
    time.sleep(8.0)
    before, seconds = room.used_s(), 10.0
    time.sleep(seconds)
    idle_s = room.used_s() - before
    print(f"idle: {idle_s * 1000:.0f} ms of processor time in {seconds:.0f} s")
    check(idle_s <= 0.02, f"an idle desk uses no processor time, not {idle_s} s")

    # Unsaved work is asked about, and outlives a kill.
    room.drag(place, (30, 0))
    room.key("ctrl+q")
    time.sleep(1.0)
    check(room.desk.poll() is None, "leaving asks while there is unsaved work")
    room.picture("asked_before_leaving")
    room.key("Escape")
    time.sleep(2.5)
    room.desk.kill()
    room.desk.wait(10)
    check(node(path) == moved, "the file is as it was saved")
    room.start()
    room.picture("recovery_offered")
    room.key("Tab")
    room.key("space")
    room.picture("taken_up")
    room.key("ctrl+s")
    taken = wait(lambda: node(path) != moved)
    check(taken and node(path)[0] > moved[0] + 2.0, f"what was killed is taken up: {moved} to {node(path)}")
    room.leave()

    # What was saved is what is opened, where it was.
    room.start("open", path)
    again = tip(room.picture("again"))
    check(abs(again[1] - place[1]) < 60, "it starts again with what was saved")
    room.leave()


def starts(room, count=5):
    """Several starts in a row: to the first picture, and the memory then held."""
    times, held = [], []
    for _ in range(count):
        room.start()
        times.append(room.first_s)
        held.append(room.held_mb())
        room.leave()
    whole, own = (sorted(part)[count // 2] for part in zip(*held))
    told = " ".join(f"{seconds * 1000:.0f}" for seconds in sorted(times))
    print(f"start to first picture: {told} ms; memory {whole:.0f} MB, of it its own {own:.0f} MB (software OpenGL)")
    check(sorted(times)[count // 2] < 5.0, f"starts within 5 s: {times}")
    check(whole < 1000, f"holds less than a gigabyte: {whole} MB")


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
        room.leave()
        by_hand(room, folder)
        starts(room)
    finally:
        room.end()
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
