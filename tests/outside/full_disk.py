#!/usr/bin/env python3
"""A disk that is full, for real: a small file system in memory, filled byte by byte less. Whatever a
command writes is then the old file whole or the new one, it says in one sentence that the disk is
full and names the file, and leaves nothing beside it. Needs the right to mount; elsewhere it says
so and ends with 0.

  full_disk.py --program target/debug/blankwright
"""
import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
READINGS = ["--across", "178.2", "--up", "227.7", "--rising", "289.1", "--falling", "289.1"]


def in_own_namespace():
    """Starts this script again where a mount is nobody else's; whether it is there already."""
    if os.environ.get("FULL_DISK_INSIDE"):
        return True
    words = ["unshare", "--mount", "--propagation", "private", sys.executable, *sys.argv]
    try:
        done = subprocess.run(words, env={**os.environ, "FULL_DISK_INSIDE": "1"})
    except FileNotFoundError:
        print("skipped: unshare isn't here")
        sys.exit(0)
    if done.returncode == 1 and os.geteuid() != 0:
        print("skipped: nothing may be mounted here")
        sys.exit(0)
    sys.exit(done.returncode)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    program = str(Path(parser.parse_args().program).resolve())
    in_own_namespace()
    failed, refused, done_all = [], 0, 0
    blank = (ROOT / "samples/scalloped-camp-knife.blank.json").read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        disk = Path(folder)
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=192k", "tmpfs", folder], capture_output=True)
        if mounted.returncode:
            print("skipped: nothing may be mounted here")
            return 0
        try:
            commands = {
                "s.json": [program, "trim", "elm", "--shop", "s.json", "--paper", "letter", *READINGS],
                "n.blank.json": [program, "new", "drop-point", "--out", "n.blank.json"],
                "o.pdf": [program, "print", "a.blank.json", "--sheets", "profile,drilling", "--out", "o.pdf"],
                "b.pdf": [program, "bar", "a.blank.json", "--steps", "10", "--out", "b.pdf"],
                "d.svg": [program, "draw", "a.blank.json", "--out", "d.svg"],
                "p.pdf": [program, "proof", "--paper", "a4", "--out", "p.pdf"],
            }
            for name, words in commands.items():
                for left in (0, 1, 4096, 8192, 16384, 65536, 131072):
                    for old in disk.iterdir():
                        old.unlink()
                    (disk / "a.blank.json").write_bytes(blank)
                    before = b"what was there before"
                    replaces = name not in ("n.blank.json", "s.json")
                    if replaces:
                        (disk / name).write_bytes(before)
                    if name == "s.json":
                        subprocess.run([program, "trim", "club", "--shop", "s.json", "--paper", "letter", *READINGS], cwd=folder, check=True, capture_output=True)
                        before = (disk / name).read_bytes()
                    free = os.statvfs(folder)
                    fill = max(0, free.f_bavail * free.f_frsize - left)
                    (disk / "fill").write_bytes(b"x" * fill)
                    done = subprocess.run(words, cwd=folder, capture_output=True, text=True)
                    done_all += 1
                    where = f"{name} with {left} bytes left"
                    held = (disk / name).read_bytes() if (disk / name).exists() else b""
                    rest = {path.name for path in disk.iterdir()} - {"a.blank.json", "fill", name}
                    if rest:
                        failed.append(f"{where}: {rest} is left")
                    if done.returncode == 2:
                        refused += 1
                        told = done.stderr.strip()
                        if len(told.splitlines()) != 1 or name not in told or "disk is full" not in told:
                            failed.append(f"{where}: {told}")
                        if held != (before if replaces or name == "s.json" else b""):
                            failed.append(f"{where}: refused, and the file is another")
                    elif done.returncode in (0, 1):
                        if held == before or not held:
                            failed.append(f"{where}: said to be done")
                    else:
                        failed.append(f"{where}: exit {done.returncode} {done.stderr}")
        finally:
            subprocess.run(["umount", folder], capture_output=True)
    print(f"{done_all} commands on a disk with little room, {refused} refused, {len(failed)} fail")
    for line in failed:
        print("FAIL", line)
    if refused < 6:
        print("FAIL too few were refused: the disk was never full")
        return 1
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
