#!/usr/bin/env python3
"""Makes a folder of finished PDFs: every sheet of every sample, and a proof for each paper.

  finished.py --program PROGRAM --out FOLDER
"""
import argparse
import json
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def main() -> None:
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--program", required=True)
    args.add_argument("--out", type=Path, required=True)
    args = args.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)

    def run(*words) -> str:
        done = subprocess.run([args.program, *map(str, words)], check=True, capture_output=True, text=True)
        return done.stdout.splitlines()[0] if done.stdout else ""

    for sample in sorted(ROOT.glob("samples/*.blank.json")):
        paper = "letter" if json.loads(sample.read_text())["unit"] == "in" else "a4"
        run("check", sample)
        pdf = args.out / sample.name.replace(".blank.json", ".pdf")
        print(run("print", sample, "--sheets", "all", "--paper", paper, "--out", pdf))
    for paper in ("letter", "a4"):
        print(run("proof", "--paper", paper, "--out", args.out / f"proof-{paper}.pdf"))


if __name__ == "__main__":
    main()
