#!/usr/bin/env python3
"""How many pictures a second the desk shows in a real window under a virtual display while the view
is panned and zoomed, a node is dragged and the pointer moves over the blank, and what each picture
costs its processor. Panning, zooming, dragging and hovering should come at the same rate within a
fifth.

Pictures are counted as they appear in the display's own memory; the rows through which the display
itself draws the pointer are left out. Events come from xdotool at a steady pace, faster than
pictures are shown. The four take turns, and the medians of all rounds are told, so that whatever
else the machine does falls on all alike.

Needs what window.py needs.

  frames.py --program target/debug/blankwright [--rounds 5] [--view plain|shaded]
"""
import argparse
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import numpy as np

import window
from window import ROOT, Room, check, tip

WIDE, TALL = 1280, 800
# Half the height of the rows around the pointer that are left out.
POINTER = 40
# Seconds between two events, and how long each act lasts.
PACE_S, ACT_S = 0.008, 3.0
# Of the fastest rate, what the slowest must reach.
SAME = 0.8


class Watch(threading.Thread):
    """Counts pictures that differ from the one before."""

    def __init__(self, memory, y):
        super().__init__(daemon=True)
        data = np.memmap(memory, dtype=np.uint8, mode="r")[-WIDE * TALL * 4:].reshape(TALL, WIDE * 4)
        rows = [row for row in range(60, TALL, 6) if abs(row - y) > POINTER]
        self.data, self.rows = data, np.array(rows)
        self.times, self.on = [], True

    def run(self):
        shown, seen = None, None
        while self.on:
            now = self.data[self.rows].tobytes()
            # A picture that is still being written is not counted twice.
            if now == seen and now != shown:
                shown = now
                self.times.append(time.monotonic())
            seen = now
            time.sleep(0.002)

    def rate(self):
        """Pictures a second, but for the first and the last moment."""
        if len(self.times) < 4:
            return 0.0
        return (len(self.times) - 1) / (self.times[-1] - self.times[0])


def steps(points):
    """Words for xdotool: to each place in turn, at the pace."""
    words = []
    for x, y in points:
        words += ["mousemove", x, y, "sleep", PACE_S]
    return words


def to_and_fro(x, y, far):
    """Places along a row, there and back in single dots, for as long as an act lasts."""
    count = int(ACT_S / PACE_S)
    way = list(range(0, far, 2)) + list(range(far, 0, -2))
    return [(x + way[i % len(way)], y) for i in range(count)]


def wheel():
    """Words for xdotool: ten notches nearer, ten back, at the pace of moves. (Its own pause after a
    click is a tenth of a second.)"""
    words = []
    for i in range(int(ACT_S / PACE_S)):
        words += ["click", "--delay", round(PACE_S * 1000), 4 if i // 10 % 2 == 0 else 5]
    return words


def act(room, name, at):
    """Does one act; pictures a second, and milliseconds of the desk's processor time for each."""
    x, y = at
    room.tool("mousemove", x, y)
    time.sleep(0.8)
    button = {"pan": 2, "drag": 1}.get(name)
    words = wheel() if name == "zoom" else steps(to_and_fro(x, y, 120 if name != "drag" else 40))
    watch = Watch(room.memory, y)
    watch.start()
    before = room.used_s()
    if button:
        room.tool("mousedown", button)
    subprocess.run(["xdotool", *map(str, words)], env=room.env, check=False)
    used_s = room.used_s() - before
    watch.on = False
    watch.join()
    if button:
        room.tool("mousemove", x, y)
        room.tool("mouseup", button)
    if name == "drag":
        room.key("ctrl+z")
    room.key("f")
    pictures = max(len(watch.times), 1)
    return watch.rate(), used_s * 1000 / pictures


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--view", choices=("plain", "shaded"), default="plain")
    args = parser.parse_args()
    folder = Path(tempfile.mkdtemp()).resolve()
    room = Room(str(Path(args.program).resolve()), folder)
    found = {}
    try:
        blank = folder / "mine.blank.json"
        shutil.copy(ROOT / "assets/starters/drop-point.blank.json", blank)
        room.start("open", blank)
        room.key("2")
        room.key("f")
        node = tip(room.picture("before"))
        if args.view == "shaded":
            room.key("v")
        ground = (560, 560)
        places = {"pan": ground, "zoom": ground, "drag": node, "hover": (node[0] + 120, node[1])}
        for _ in range(args.rounds):
            for name, at in places.items():
                found.setdefault(name, []).append(act(room, name, at))
    finally:
        room.desk.kill()
        room.end()
    rates = {}
    for name, all_rounds in found.items():
        rate, ms = (statistics.median(part) for part in zip(*all_rounds))
        rates[name] = rate
        each = " ".join(f"{one:.0f}" for one, _ in all_rounds)
        print(f"{name:<6} {rate:5.1f} pictures a second ({each}), {ms:5.1f} ms of processor time each")
    slowest, fastest = min(rates.values()), max(rates.values())
    print(f"the slowest comes at {slowest / fastest:.2f} of the fastest")
    check(slowest >= SAME * fastest, "pan, zoom, drag and hover come at the same rate within a fifth")
    sys.exit(1 if window.failed else 0)


if __name__ == "__main__":
    main()
