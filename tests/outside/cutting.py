#!/usr/bin/env python3
"""Cutting out, seen by GEOS: the real program's chains of holes and its layings of many blanks.

Chains, on every starter and every plain reference outline, with random drills, bridges, leaves
and margins of the bar:

  - no hole comes nearer to the blank than what is left to file, none is off it by more
  - every hole lies wholly on the bar
  - no two holes come nearer than half a bridge; a row with a free end has the bridge chosen;
    a row with two fixed ends, or a closed one, is within 5 % wherever some whole number of steps is
  - relief saw cuts keep what is left to file

Layings, on twenty mixes of starters, widths and kerfs:

  - no two blanks come nearer than the kerf, all lie inside the margins
  - the length is no more than the best of box nesting, made here by bottom-left filling in many
    orders, turned 0 and 90 degrees where that goes

Exits with 1 and says which measure failed. Needs shapely, numpy.

  cutting.py --program "cargo run --quiet --locked --" [--seed N]
"""
import argparse
import json
import math
import random
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box

ROOT = Path(__file__).resolve().parents[2]
FINE = 200  # points to a cubic; the polygon is then within 0.001 mm of a blank's curves
SLACK_MM = 0.002
passed, failed = 0, 0


def check(fine, what):
    global passed, failed
    if fine:
        passed += 1
    else:
        failed += 1
        print("FAILED:", what)


def run(program, *words):
    done = subprocess.run(program + [str(w) for w in words], capture_output=True, text=True, check=False, cwd=ROOT)
    check(done.returncode in (0, 1) and "panicked" not in done.stderr, f"{words}: {done.stderr[:300]}")
    return done.stdout


def cubic(a, b, c, d):
    t = np.linspace(0, 1, FINE + 1)[1:, None]
    a, b, c, d = (np.array(p, float) for p in (a, b, c, d))
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t ** 2 * c + t ** 3 * d


def outline(knife):
    """The profile of a blank file as a fine polygon in the knife's plane."""
    nodes = knife["profile"]["nodes"]
    points = []
    for node, following in zip(nodes, nodes[1:] + nodes[:1]):
        out, into = node.get("handle_out_mm"), following.get("handle_in_mm")
        if out is None and into is None:
            points.append(following["at_mm"])
        else:
            points.extend(cubic(node["at_mm"], out or node["at_mm"], into or following["at_mm"],
                                following["at_mm"]).tolist())
    return Polygon(points)


def placed(knife):
    at, turn = knife["bar"]["placement"]["at_mm"], knife["bar"]["placement"]["turn_deg"]
    return affinity.translate(affinity.rotate(outline(knife), turn, origin=(0, 0)), *at)


def chain(program, knife, name, folder):
    file = folder / "chain.blank.json"
    file.write_text(json.dumps(knife))
    numbers = json.loads(run(program, "numbers", file, "--json"))
    drilling, blank = numbers["drilling"], placed(knife)
    cutting, bar = knife["cutting"], knife["bar"]
    d, bridge, leave = cutting["drill_mm"], cutting["bridge_mm"], cutting["leave_mm"]
    said = f"{name}, drill {d:.2f}, bridge {bridge:.2f}, leave {leave:.2f}"
    steel = box(0, 0, bar["length_mm"], bar["width_mm"])
    centres = np.array(drilling["centres_mm"]).reshape(-1, 2)
    check(drilling["count"] == len(centres), f"{said}: count")
    edge = blank.exterior
    gaps = [edge.distance(Point(c)) - d / 2 for c in centres]
    inside = [blank.contains(Point(c)) for c in centres]
    check(not any(inside) and all(g >= leave - SLACK_MM for g in gaps),
          f"{said}: a hole comes within {min(gaps, default=9):.4f} of the blank")
    check(all(g <= leave + 0.02 for g in gaps), f"{said}: a hole lies {max(gaps, default=0):.4f} off")
    rims = [steel.boundary.distance(Point(c)) for c in centres if steel.contains(Point(c))]
    check(len(rims) == len(centres) and all(r >= d / 2 - 1e-6 for r in rims), f"{said}: a hole off the bar")
    if len(centres) > 1:
        apart = np.hypot(*(centres[:, None] - centres[None]).transpose(2, 0, 1))
        np.fill_diagonal(apart, np.inf)
        check(apart.min() >= d + bridge / 2 - 1e-6, f"{said}: two holes {apart.min():.4f} apart")
    within, uneven = 0, 0
    for row in drilling["rows"]:
        holes = row["holes"] + (row["holes"][:1] if row["closed"] else [])
        bridges = [math.dist(centres[a], centres[b]) - d for a, b in zip(holes, holes[1:])]
        if not bridges:
            continue
        check(max(bridges) - min(bridges) < 1e-3 or len(bridges) < 3, f"{said}: an uneven row {bridges}")
        if all(abs(b - bridge) <= 0.05 * bridge for b in bridges):
            within += 1
        else:
            uneven += 1
            # A whole number of steps along a stretch of n pitches can be off by half a pitch in n.
            n = len(bridges)
            best = (d + bridge) / (2 * n)
            check(max(abs(b - bridge) for b in bridges) <= 1.25 * best + 0.05 * bridge or n <= 3,
                  f"{said}: {n} bridges of {bridges[0]:.3f}")
    for cut in drilling["saw_cuts"]:
        line = LineString([cut["from_mm"], cut["to_mm"]])
        gap = line.distance(blank) - cut["kerf_mm"] / 2
        check(gap >= leave - SLACK_MM, f"{said}: a saw cut comes within {gap:.4f}")
        check(steel.boundary.distance(Point(cut["from_mm"])) < 1e-6, f"{said}: a saw cut begins in the steel")
    return len(centres), within, uneven


def svg(case):
    start = case["outline"]["start"]
    path = f"M{start[0]!r} {-start[1]!r}"
    for s in case["outline"]["segments"]:
        path += ("L" if len(s) == 2 else "C") + " ".join(repr(v if i % 2 == 0 else -v) for i, v in enumerate(s))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="400mm" viewBox="-100 -200 600 400">'
            f'<path d="{path}Z"/></svg>')


def knives(program, folder):
    """Starters, and the reference outlines that don't touch themselves, as the program takes them."""
    found = {f.name.split(".")[0]: json.loads(f.read_text())
             for f in sorted((ROOT / "assets/starters").glob("*.blank.json"))}
    for case in json.loads((ROOT / "tests/reference/outlines.json").read_text())["outlines"]:
        shape, blank = folder / "shape.svg", folder / f"{case['id']}.blank.json"
        shape.write_text(svg(case))
        run(program, "new", "--outline", shape, "--out", blank)
        if blank.exists():
            knife = json.loads(blank.read_text())
            if outline(knife).is_valid:
                found[f"reference {case['id']}"] = knife
    return found


def chains(program, dice, folder):
    total = [0, 0, 0]
    found = knives(program, folder)
    check(len(found) >= 22, f"{len(found)} outlines")
    for name, knife in found.items():
        for k in range(4):
            shape = json.loads(json.dumps(knife))
            room = dice.choice([0, 0, 4, 25])
            shape["bar"]["width_mm"] += 2 * room
            shape["bar"]["placement"]["at_mm"][1] += room
            shape["cutting"] = {"drill_mm": 3.2, "bridge_mm": 0.8, "leave_mm": 0.5} if k == 0 else {
                "drill_mm": dice.uniform(1.5, 8), "bridge_mm": dice.uniform(0.4, 2.5),
                "leave_mm": dice.uniform(0, 2)}
            total = [a + b for a, b in zip(total, chain(program, shape, name, folder))]
    print(f"chains: {len(found)} outlines, {total[0]} holes, {total[1]} rows within 5 % of the bridge, "
          f"{total[2]} where no whole number of steps is")


def box_nest(sizes, width, gap, dice, tries=400):
    """Shortest strip found by bottom-left filling of boxes in many orders."""
    def fill(order):
        laid = []
        for w, h in order:
            ys = {0.0} | {y + hh + gap for _, y, _, hh in laid} | {y - h - gap for _, y, _, hh in laid}
            best = None
            for y in ys:
                if y < -1e-9 or y + h > width + 1e-9:
                    continue
                x = 0.0
                for lx, ly, lw, lh in sorted(laid):
                    if ly < y + h + gap - 1e-9 and y < ly + lh + gap - 1e-9 and lx < x + w + gap - 1e-9 \
                            and x < lx + lw + gap - 1e-9:
                        x = lx + lw + gap
                if best is None or (x, y) < best[:2]:
                    best = (x, y)
            laid.append((*best, w, h))
        return max(x + w for x, _, w, _ in laid)
    orders = [sorted(sizes, reverse=True), sorted(sizes, key=lambda s: -s[1]),
              sorted(sizes, key=lambda s: -s[0] * s[1]), list(sizes)]
    orders += [dice.sample(sizes, len(sizes)) for _ in range(tries)]
    return min(fill(order) for order in orders)


def layings(program, dice, folder):
    starters = {f.name.split(".")[0]: json.loads(f.read_text())
                for f in sorted((ROOT / "assets/starters").glob("*.blank.json"))}
    saved = []
    for mix in range(20):
        names = dice.sample(sorted(starters), dice.choice([1, 1, 2, 3, 4]))
        copies = dice.randint(2, max(2, 16 // len(names)))
        kerf, margin = dice.choice([0.8, 1.5, 2.0, 3.0]), dice.choice([1.0, 2.0, 3.0])
        shapes = {n: outline(starters[n]) for n in names}
        high = max(s.bounds[3] - s.bounds[1] for s in shapes.values())
        width = round(high + 2 * margin + dice.choice([0.5, 5, 15, high * 0.8, high + kerf + 1, 60, 110]), 1)
        files = []
        for n in names:
            knife = json.loads(json.dumps(starters[n]))
            knife["bar"].update(grade="SAE 1084", thickness_mm=3.175)
            files.append(folder / f"{n}.blank.json")
            files[-1].write_text(json.dumps(knife))
        words = ["bar", *files, "--copies", copies, "--width", f"{width} mm", "--kerf", f"{kerf} mm",
                 "--margin", f"{margin} mm", "--json"] + (["--flip"] if mix % 3 == 2 else [])
        told = json.loads(run(program, *words))
        said = f"mix {mix} ({'+'.join(names)} × {copies} on {width}, kerf {kerf})"
        check(told["count"] == copies * len(names) and len(told["bars"]) == 1, f"{said}: count {told['count']}")
        bar = told["bars"][0]
        laid = []
        for blank in bar["blanks"]:
            a, b, c, d, e, f = blank["bar_from_knife"]
            check(abs(abs(a * d - b * c) - 1) < 1e-9 and (a * d - b * c > 0) != blank["flipped"], f"{said}: a scaled blank")
            laid.append(affinity.affine_transform(shapes[names[blank["file"]]], [a, c, b, d, e, f]))
        room = box(margin - 1e-3, margin - 1e-3, bar["length_mm"] - margin + 1e-3, width - margin + 1e-3)
        check(all(room.contains(p) for p in laid), f"{said}: a blank outside the margins")
        least = min((p.distance(q) for i, p in enumerate(laid) for q in laid[i + 1:]), default=9)
        check(least >= kerf - SLACK_MM, f"{said}: two blanks {least:.4f} apart")
        share = sum(s.area for s in laid) / (bar["taken_mm"] * width)
        check(abs(share - bar["used_share"]) < 1e-4, f"{said}: share {share} told as {bar['used_share']}")
        sizes = [(s.bounds[2] - s.bounds[0], s.bounds[3] - s.bounds[1]) for s in shapes.values()] * copies
        boxes = box_nest(sizes, width - 2 * margin, kerf, dice) + 2 * margin
        # The polygons laid are up to 0.01 mm wider than the blanks at each gap.
        check(bar["length_mm"] <= boxes + 0.01 * len(sizes), f"{said}: {bar['length_mm']:.1f} where boxes take {boxes:.1f}")
        saved.append(1 - bar["length_mm"] / boxes)
    print(f"layings: 20 mixes, shorter than boxes by {100 * np.mean(saved):.1f} % on average, "
          f"{100 * min(saved):.1f} % to {100 * max(saved):.1f} %")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    parser.add_argument("--seed", type=int, default=4)
    args = parser.parse_args()
    program = shlex.split(args.program)
    dice = random.Random(args.seed)
    with tempfile.TemporaryDirectory() as folder:
        chains(program, dice, Path(folder))
        layings(program, dice, Path(folder))
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed or not passed else 0)


if __name__ == "__main__":
    main()
