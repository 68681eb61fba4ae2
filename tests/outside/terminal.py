#!/usr/bin/env python3
"""The command line in a real terminal (a pseudo terminal of the system's): colours only there, none
with NO_COLOR or on a dumb terminal, the same text without them, progress only there and not with
--quiet, and no file of other than text.

  terminal.py --program target/debug/blankwright
"""
import argparse
import json
import os
import pty
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COLOUR = re.compile(rb"\x1b\[[0-9;]*m")


def in_terminal(words, **env):
    """What a command writes to a terminal that is both its outputs, and its exit code."""
    ours, its = pty.openpty()
    everything = {**os.environ, "TERM": "xterm", **env}
    everything = {name: value for name, value in everything.items() if value is not None}
    child = subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=its, stderr=its, env=everything)
    os.close(its)
    told = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # The other end is closed.
            break
        if not part:
            break
        told += part
    os.close(ours)
    return told.replace(b"\r\n", b"\n"), child.wait()


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", required=True)
    program = parser.parse_args().program
    failed = []

    def check(fine, what):
        if not fine:
            failed.append(what)

    with tempfile.TemporaryDirectory() as folder:
        starter = ROOT / "assets/starters/drop-point.blank.json"
        numbers = subprocess.run([program, "numbers", str(starter), "--json"], capture_output=True, check=True)
        blank = json.loads(starter.read_text())
        # The first pin breaks through the spine.
        blank["holes"][0]["at_mm"][1] += json.loads(numbers.stdout)["holes"][0]["from_upper_mm"] - 1.0
        path = Path(folder) / "bad.blank.json"
        path.write_text(json.dumps(blank))
        words = [program, "check", str(path)]
        plain = subprocess.run(words, capture_output=True, check=False)
        coloured, code = in_terminal(words, NO_COLOR=None)
        check(code == plain.returncode == 1, f"check stops with 1, not {code}")
        check(not COLOUR.search(plain.stdout), "no colours in a pipe")
        check(b"\x1b[31mSTOP:\x1b[0m" in coloured, "STOP is red in a terminal")
        check(COLOUR.sub(b"", coloured) == plain.stdout, "the same text without colours")
        for env in ({"NO_COLOR": "1"}, {"TERM": "dumb", "NO_COLOR": None}):
            check(in_terminal(words, **env)[0] == plain.stdout, f"no colours with {env}")
        check(in_terminal(words, NO_COLOR="")[0] == coloured, "an empty NO_COLOR is none")

        pdf = str(Path(folder) / "a.pdf")
        words = [program, "print", str(path), "--out", pdf]
        check(b"Laying out" in in_terminal(words)[0], "progress in a terminal")
        check(b"Laying out" not in in_terminal([*words, "--quiet"])[0], "none with --quiet")
        done = subprocess.run(words, capture_output=True, check=True)
        check(b"Laying out" not in done.stdout + done.stderr, "none in a pipe")

        told, code = in_terminal([program, "print", str(path), "--out", "-"])
        check(code == 2 and b"can't show this file" in told and b"%PDF" not in told, "no PDF in a terminal")
        told, code = in_terminal([program, "draw", str(path), "--out", "-", "--quiet"])
        check(code == 0 and told.startswith(b"<"), "an SVG is text")
    if failed:
        sys.exit("failed: " + "; ".join(failed))
    print("14 checks in a terminal")


main()
