#!/usr/bin/env python3
"""Sheaths, seen by GEOS and SciPy: the real program's rows, patterns and bends.

On every starter (12 outlines), with every kind of sheath, drawn straight or close:

  - the knife laid in the sheath's plane, the closed row and its holes: no hole nearer to the knife
    than welt (or offset) says, none off the row, holes evenly spaced; a close row is exactly so far
    off the covered part's own offset as GEOS buffers it
  - the row's length by SciPy (an interpolating parametric spline through its points, integrated),
    and the number of stitches that follows from it
  - the thread by hand from stitches, holes and layers
  - every section's taut inner face as the hull that GEOS finds; half the piece's width there by
    hull, neutral line and quarter turn
  - the bend allowance of the pattern by the formula of FAA-H-8083-31, chapter 4, and that by the
    handbook's worked example (R 1/4 in, T 0.051 in, a right angle: 0.433 in; from memory)
  - the pattern folded back round the knife, section by section: the two rims come out at one place
    of the closed sheath within 0.2 mm, and so do both rows of holes; where it is folded the pattern
    is its own mirror image
  - clip holes at their spacing; the welt's ring between inner edge and rim

Exits with 1 and says which measure failed. Needs numpy, scipy, shapely.

  sheath.py --program "cargo run --quiet --locked --"
"""
import argparse
import json
import math
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy.integrate import simpson
from scipy.interpolate import splev, splprep
from shapely.geometry import LineString, MultiPoint, Point, Polygon, box
from shapely.ops import unary_union

ROOT = Path(__file__).resolve().parents[2]
FINE = 200  # points to a cubic
SAMPLE_MM = 0.1  # the outline is sampled so finely along the sheath: a row may lie so much farther off
passed, failed = 0, 0
worst = {}


def check(fine, what):
    global passed, failed
    if fine:
        passed += 1
    else:
        failed += 1
        print("FAILED:", what)


def measure(name, value, limit, what):
    worst[name] = max(worst.get(name, 0.0), abs(value))
    check(abs(value) <= limit, f"{what}: {name} {value:.4f}, no more than {limit}")


def run(program, *words):
    done = subprocess.run(program + [str(w) for w in words], capture_output=True, text=True, check=False, cwd=ROOT)
    check(done.returncode in (0, 1) and "panicked" not in done.stderr, f"{words}: {done.stderr[:300]}")
    return done.stdout


def outline(knife):
    """The profile's corners, its cubics in fine steps."""
    nodes, points = knife["profile"]["nodes"], []
    t = np.linspace(0, 1, FINE + 1)[:-1, None]
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p0, p3 = np.array(a["at_mm"], float), np.array(b["at_mm"], float)
        p1 = np.array(a.get("handle_out_mm", a["at_mm"]), float)
        p2 = np.array(b.get("handle_in_mm", b["at_mm"]), float)
        if "handle_out_mm" not in a and "handle_in_mm" not in b:
            points.append(p0)
            continue
        u = 1 - t
        points.extend(u**3 * p0 + 3 * u**2 * t * p1 + 3 * u * t**2 * p2 + t**3 * p3)
    return np.array(points)


def laid(points, m):
    a, b, c, d, e, f = m
    return np.column_stack([a * points[:, 0] + c * points[:, 1] + e, b * points[:, 0] + d * points[:, 1] + f])


KINDS = {
    "folded leather": dict(thickness_mm=3.2, clearance_mm=1.0, welt_width_mm=12.0, stitch_pitch_mm=4.0,
                           stitch_margin_mm=4.0, belt_mm=40.0, loop_width_mm=25.0),
    "two-sided leather": dict(thickness_mm=3.0, clearance_mm=0.8, welt_width_mm=11.0, welt_thickness_mm=4.0,
                              stitch_pitch_mm=5.0, stitch_margin_mm=3.5),
    "folded thermoplastic": dict(thickness_mm=2.0, clearance_mm=0.0, eyelet_mm=6.0, eyelet_pitch_mm=25.0,
                                 eyelet_offset_mm=10.0, eyelet_margin_mm=8.0, clip_mm=38.1, allowance_mm=15.0),
    "two-sided thermoplastic": dict(thickness_mm=1.5, clearance_mm=0.0, eyelet_mm=6.35, eyelet_pitch_mm=22.0,
                                    eyelet_offset_mm=9.0, eyelet_margin_mm=8.0, allowance_mm=12.0),
}


def row_mm(kind, own):
    if "leather" in kind:
        return own["clearance_mm"] + own["welt_width_mm"] - own["stitch_margin_mm"]
    return own["eyelet_offset_mm"]


def arc_length(points):
    """Length by SciPy: a cubic spline through the run's points, its speed integrated by Simpson's rule."""
    p = np.array(points)
    p = p[np.r_[True, np.hypot(*np.diff(p, axis=0).T) > 1e-6]]
    # Where two points lie far apart the run is straight: points between keep the spline so.
    fine = [p[:1]]
    for a, b in zip(p[:-1], p[1:]):
        n = max(1, int(np.hypot(*(b - a)) / 0.2))
        fine.append(a + (b - a) * (np.arange(1, n + 1) / n)[:, None])
    fine = np.concatenate(fine)
    tck, u = splprep(fine.T, s=0, k=3)
    t = np.linspace(u[0], u[-1], 40_001)
    return float(simpson(np.hypot(*splev(t, tck, der=1)), x=t))


def upper_hull(station, sheath, folded, welt_mm):
    """Length of the taut inner face by GEOS: the convex hull of its corners and of a fine quarter circle, its
    upper side."""
    taut = np.array(station["taut"])
    points = [tuple(p) for p in taut]
    start, end = taut[0], taut[-1]
    if folded:
        r = sheath["bend_radius_mm"]
        points += [(-r * math.cos(t), r * math.sin(t)) for t in np.linspace(0, math.pi / 2, 400)]
    # The hull of what lies over the straight line between both ends, closed far below.
    hull = MultiPoint(points + [(start[0], -100.0), (end[0], -100.0)]).convex_hull
    if hull.geom_type != "Polygon":
        return 0.0
    coords = np.array(hull.exterior.coords)
    keep = [tuple(c) for c in coords if c[1] > -99.0]
    keep = sorted(set(keep), key=lambda c: (c[0], 0))
    # Along the upper side x rises; at the end it may fall straight down.
    path = sorted(keep, key=lambda c: (round(c[0], 9), -c[1] if abs(c[0] - end[0]) < 1e-9 else c[1]))
    return LineString(path).length


def folded_back(flat, sheath, stations, neutral):
    """Where a place of the flat half comes to lie: from the fold along the section by its own length."""
    x, left = flat[0], abs(flat[1])
    near = min(stations, key=lambda s: abs(s["x_mm"] - x))
    left -= neutral * math.pi / 2
    taut = np.array(near["taut"])
    left -= np.hypot(*np.diff(taut, axis=0).T).sum()
    return near, taut[-1][0] + left


def check_sheath(name, kind, close, own, knife, numbers):
    s = numbers["sheath"]
    what = f"{name}, {kind}{', close' if close else ''}"
    if s is None:
        check(False, f"{what}: no sheath")
        return
    folded = kind.startswith("folded")
    ring = laid(outline(knife), s["from_file"])
    blade = Polygon(ring).buffer(0)
    row, holes, rim = LineString(s["row"]), [Point(p) for p in s["holes"]], LineString(s["rim"])
    covered = blade.intersection(box(-1e3, -1e3, s["mouth_mm"], 1e3))
    # No hole nearer than it may be, none inside; the rim as far off.
    off = row_mm(kind, own)
    for hole in holes:
        gap = covered.distance(hole)
        check(gap >= off - 0.01, f"{what}: a hole {gap:.3f} from the knife, {off} asked")
        check(not blade.contains(hole), f"{what}: a hole in the knife")
        measure("hole off its row, mm", row.distance(hole), 0.002, what)
    rim_off = own["clearance_mm"] + own["welt_width_mm"] if "leather" in kind else off + own["eyelet_margin_mm"]
    measure("rim nearer than stated, mm", max(0.0, rim_off - covered.distance(rim)), 0.01, what)
    # The pocket as GEOS makes it: swept to the mouth, or as it is.
    pocket = covered
    if not close:
        fine = np.array(covered.segmentize(0.05).exterior.coords)
        fine = fine[np.argsort(fine[:, 0], kind="stable")]
        low, high = np.minimum.accumulate(fine[:, 1]), np.maximum.accumulate(fine[:, 1])
        swept = Polygon(np.r_[np.c_[fine[:, 0], low], np.c_[fine[:, 0], high][::-1]]).buffer(0)
        pocket = unary_union([covered, swept])
    far = pocket.distance(row)
    measure("row off the pocket's offset, mm", far - off, SAMPLE_MM + 0.05, what)
    # Arc length and count.
    length = arc_length(s["row"])
    measure("row's length against SciPy, share", length / s["row_mm"] - 1, 2e-4, what)
    along = np.array([row.project(h) for h in holes])
    steps = np.diff(along)
    if "leather" in kind:
        count = max(1, round(length / own["stitch_pitch_mm"]))
        check(s["steps"] == count == len(holes) - 1, f"{what}: {s['steps']} stitches, SciPy's row gives {count}")
        measure("stitch off its pitch, mm", float(np.abs(steps - length / count).max()), 0.02, what)
        layers = 2 * own["thickness_mm"] + s["welt_thickness_mm"]
        thread = 2 * length + 2 * (count + 1) * layers + 300
        measure("thread, share", s["thread_mm"] / thread - 1, 2e-4, what)
        # Welt: between inner edge and rim.
        welt = Polygon(s["welt"]["outline"])
        check(welt.is_valid, f"{what}: the welt's ring crosses itself")
        for hole in holes:
            check(welt.buffer(1e-6).contains(hole), f"{what}: a stitch off the welt")
        measure("welt nearer to the knife than its room, mm", max(0.0, own["clearance_mm"] - covered.distance(welt)), 0.01, what)
    else:
        check(s["steps"] == len(holes) - 1, f"{what}: steps")
        if "clip_mm" in own and s["clip"]:
            a, b = s["clip"]
            measure("clip spacing, mm", holes[a].distance(holes[b]) - own["clip_mm"], 1e-3, what)
    # Sections, bend and pattern.
    pattern = Polygon(s["pattern"]["outline"])
    check(pattern.is_valid, f"{what}: the pattern crosses itself")
    stock, neutral = knife["bar"]["thickness_mm"], 0.5 * own["thickness_mm"]
    measure("bend radius, mm", s["bend_radius_mm"] - stock / 2, 1e-9, what)
    allowance = math.pi * (stock / 2 + 0.5 * own["thickness_mm"])
    measure("bend allowance, mm", s["bend_allowance_mm"] - allowance, 1e-9, what)
    welt_mm = s["welt_thickness_mm"] or 0.0
    for station in s["stations"]:
        hull = upper_hull(station, s, folded, welt_mm)
        taut = station["taut"]
        if folded:
            take_up = hull - taut[-1][0] + neutral * math.pi / 2
        else:
            take_up = max(0.0, hull - (taut[-1][0] - taut[0][0]))
        measure("take-up against GEOS's hull, mm", station["take_up_mm"] - take_up, 0.004, what)
        check(station["take_up_mm"] >= 0, f"{what}: a piece smaller than the sheath")
    xs = [st["x_mm"] for st in s["stations"]]
    ups = [st["take_up_mm"] for st in s["stations"]]
    if folded:
        mirrored = Polygon([(x, -y) for x, y in s["pattern"]["outline"]])
        measure("pattern not its own mirror, mm2", pattern.symmetric_difference(mirrored).area, 0.01, what)
        # Both rims, folded back at each section, against the closed rim there.
        for station in s["stations"][1:]:
            x = station["x_mm"]
            line = LineString([(x, -1e3), (x, 1e3)])
            cut = pattern.exterior.intersection(line)
            ys = sorted(p.y for p in getattr(cut, "geoms", [cut]) if p.geom_type == "Point")
            closed = rim.intersection(line)
            if len(ys) < 2 or closed.is_empty or x > s["mouth_mm"] - 0.5:
                continue
            depths = []
            for y in (ys[0], ys[-1]):
                _, depth = folded_back((x, y), s, [station], neutral)
                depths.append(depth)
            low = min(p.y for p in getattr(closed, "geoms", [closed]))
            measure("rims apart when folded, mm", depths[0] - depths[1], 0.2, what)
            measure("rim off the closed sheath's, mm", depths[0] + low, 0.2, what)
        # Holes of both halves come to lie on each other, and on the closed row.
        flat = np.array(s["pattern"]["holes"])
        for hole in holes:
            up = np.interp(hole.x, xs, ups)
            for y in (hole.y - up, -(hole.y - up)):
                gap = np.hypot(flat[:, 0] - hole.x, flat[:, 1] - y).min()
                measure("hole of the pattern off the closed row's, mm", gap, 0.2, what)
    box_mm = pattern.bounds
    more = 2 * own.get("allowance_mm", 0.0)
    measure("blank's length, mm", s["blank_mm"][0] - (box_mm[2] - box_mm[0]) - more, 1e-6, what)
    measure("blank's width, mm", s["blank_mm"][1] - (box_mm[3] - box_mm[1]) - more, 1e-6, what)


def handbook():
    """The worked example of the bend allowance."""
    inch = 2 * math.pi * (0.25 + 0.051 / 2) / 4
    check(abs(inch - 0.433) < 0.0005, f"the handbook's example: {inch}")


def main():
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("--program", required=True)
    program = shlex.split(reader.parse_args().program)
    if len(program) == 1:
        program = [str(Path(program[0]).resolve())]
    handbook()
    starters = sorted((ROOT / "assets" / "starters").glob("*.blank.json"))
    check(len(starters) >= 12, "twelve outlines")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "knife.blank.json"
        for starter in starters:
            knife = json.loads(starter.read_text())
            for kind, own in KINDS.items():
                for close in (False, True):
                    sheath = {"kind": kind, "hand": "right", "cover_mm": 28.0, **own}
                    if close:
                        sheath["close_fit"] = True
                    knife["sheath"] = sheath
                    file.write_text(json.dumps(knife))
                    numbers = json.loads(run(program, "numbers", file, "--json"))
                    check_sheath(starter.stem, kind, close, own, knife, numbers)
    for name, value in sorted(worst.items()):
        print(f"  worst {name}: {value:.5f}")
    print(f"{passed} checks, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
