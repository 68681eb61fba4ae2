#!/usr/bin/env python3
"""The bevels sheet, seen by GEOS: prints starters and samples with the real program, reads the file
with pymupdf, then

  - every point of every guide line and grind line has its facet's distance from the edge, as
    shapely measures it from the blank file's own curves
  - no guide line is missing, and all end at the plunge line or at the blade's outline
  - the two arms of every gauge that bear on the blade stand at the facet's angle

Exits with 1 and says which measure failed. Needs pymupdf, shapely, numpy.

  bevels.py --program "cargo run --quiet --locked --"
"""
import argparse
import json
import math
import shlex
import sys
import tempfile
from pathlib import Path

import numpy as np
import pymupdf
from shapely.geometry import LineString, Point, box

import cutting
from cutting import ROOT, check, cubic, outline, run

MM_PER_POINT = 25.4 / 72
TRUE_MM = 0.01
TRUE_DEG = 0.05
PAPERS = ["letter", "a4", "a3"]


def paths(page, layer):
    """The straight or curved paths of a layer, each as points in mm, y up."""
    found = []
    for path in page.get_drawings():
        if path.get("layer") != layer:
            continue
        points = []
        for item in path["items"]:
            corners = [(p.x * MM_PER_POINT, (page.rect.height - p.y) * MM_PER_POINT)
                       for p in item[1:] if isinstance(p, pymupdf.Point)]
            if not points or math.dist(points[-1], corners[0]) > 1e-3:
                points.append(corners[0])
            points.extend(cubic(*corners).tolist() if item[0] == "c" else corners[1:])
        found.append(points)
    return found


def edge(knife, past_mm=0.0):
    """The edge from tip to heel, run on straight to the plunge line or past it, in the knife's plane."""
    nodes = knife["profile"]["nodes"]
    at = {node["id"]: i for i, node in enumerate(nodes)}
    tip, heel = at[knife["profile"]["tip"]], at[knife["profile"]["heel"]]

    def walk(start, end):
        points = [nodes[start]["at_mm"]]
        i = start
        while i != end:
            node, following = nodes[i], nodes[(i + 1) % len(nodes)]
            out, into = node.get("handle_out_mm"), following.get("handle_in_mm")
            if out is None and into is None:
                points.append(following["at_mm"])
            else:
                points.extend(cubic(node["at_mm"], out or node["at_mm"], into or following["at_mm"],
                                    following["at_mm"]).tolist())
            i = (i + 1) % len(nodes)
        return points

    ways = [walk(tip, heel), walk(heel, tip)[::-1]]
    points = min(ways, key=lambda way: LineString(way).length)
    end = np.array(points[-1])
    way = end - np.array(points[-2])
    steps = (knife["bevel"]["plunge_x_mm"] - end[0]) / way[0] + past_mm / np.hypot(*way)
    return LineString(points + [(end + way * steps).tolist()] if steps > 0 else points)


def blade(page, knife, facets, name):
    """Guide and grind lines of a level page against the edge."""
    whole = outline(knife)
    blank = paths(page, "Blank")
    drawn = max(blank, key=lambda p: box(*LineString(p).bounds).area)
    # Spine and edge side are strokes of their own that meet at the tip or at the break.
    ends = [drawn[0], drawn[-1]]
    for other in blank:
        if other is not drawn and any(math.dist(a, b) < 1e-3 for a in ends for b in (other[0], other[-1])):
            drawn = drawn + other
    x0, y0, x1, _ = LineString(drawn).bounds
    towards_butt = 1 if tip_x(knife) < whole.bounds[0] + 1e-6 else -1
    dx = x0 - whole.bounds[0] if towards_butt > 0 else x1 - whole.bounds[2]
    kept = whole.intersection(box(x0 - dx - 1e-6, -1e4, x1 - dx + 1e-6, 1e4))
    dy = y0 - kept.bounds[1]
    # All lines are parallels of one edge, which goes on straight past the plunge.
    edges = {"Guide lines": edge(knife, 60.0), "Plunge and grind lines": edge(knife, 60.0)}
    heights = [facet["height_mm"] for facet in facets]
    seen = set()
    plunge = knife["bevel"]["plunge_x_mm"]
    for layer, line in edges.items():
        for path in paths(page, layer):
            places = [(x - dx, y - dy) for x, y in path]
            inside = kept.buffer(0.02)
            if not all(inside.contains(Point(p)) for p in places) or layer != "Guide lines" and steep(places):
                continue  # the blade on edge, or the plunge line
            fine = [LineString(places).interpolate(s) for s in np.arange(0, LineString(places).length, 0.25)]
            off = [line.distance(p) for p in fine]
            k = min(range(len(heights)), key=lambda k: abs(heights[k] - np.median(off)))
            worst = max(abs(d - heights[k]) for d in off)
            check(worst < TRUE_MM, f"{name}: guide line {k + 1} is {worst:.4f} mm off {heights[k]:.3f}")
            ends = [places[0], places[-1]]
            if all(abs(p[0] - plunge) < 0.02 or whole.exterior.distance(Point(p)) < 0.02 for p in ends):
                seen.add(k)
    check(seen == set(range(len(heights))), f"{name}: whole guide lines: {sorted(seen)}")
    return len(seen)


def steep(places):
    """A line that runs across the blade rather than along it."""
    (xa, ya), (xb, yb) = places[0], places[-1]
    return abs(yb - ya) > abs(xb - xa)


def tip_x(knife):
    return next(n["at_mm"][0] for n in knife["profile"]["nodes"] if n["id"] == knife["profile"]["tip"])


def gauges(document, facets, name):
    """The angle between the two arms of every gauge, in the order of the facets."""
    cards = [path for page in document for path in paths(page, "Cut line")]
    check(len(cards) == len(facets), f"{name}: {len(cards)} gauges for {len(facets)} facets")
    angles = []
    for card in cards:
        corners = [np.array(p) for p in card]
        # The bend is the only corner with more than 180° of card in it.
        ring = corners[:-1] if np.hypot(*(corners[0] - corners[-1])) < 1e-3 else corners
        turns = []
        for i, at in enumerate(ring):
            into, out = at - ring[i - 1], ring[(i + 1) % len(ring)] - at
            turns.append(math.degrees(math.atan2(into[0] * out[1] - into[1] * out[0], into @ out)))
        way = math.copysign(1.0, sum(turns))
        angles.append(max(-way * t for t in turns))
    for told, facet in zip(sorted(angles, reverse=True), facets):
        check(abs(told - facet["angle_deg"]) < TRUE_DEG, f"{name}: gauge of {told:.3f}° for {facet['angle_deg']:.3f}°")
    return len(cards)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--program", required=True)
    program = shlex.split(parser.parse_args().program)
    folder = Path(tempfile.mkdtemp())
    lines = cards = 0
    for file in sorted((ROOT / "assets/starters").glob("*.blank.json")) + sorted((ROOT / "samples").glob("*.blank.json")):
        knife = json.loads(file.read_text())
        facets = json.loads(run(program, "numbers", file, "--json"))["filing"]["facets"]
        for paper in PAPERS:
            pdf = folder / "bevels.pdf"
            run(program, "print", file, "--out", pdf, "--paper", paper, "--sheets", "bevels")
            name = f"{file.name.split('.')[0]} on {paper}"
            document = pymupdf.open(pdf)
            drawn = [page for page in document if paths(page, "Guide lines")]
            # A sheet that is tiled or turned shows the same drawing.
            if len(drawn) == 1 and "Turned by" not in drawn[0].get_text():
                lines += blade(drawn[0], knife, facets, name)
            cards += gauges(document, facets, name)
    check(lines > 100 and cards > 200, f"{lines} lines and {cards} gauges were measured")
    print(f"{lines} lines, {cards} gauges; {cutting.passed} passed, {cutting.failed} failed")
    sys.exit(1 if cutting.failed or not cutting.passed else 0)


if __name__ == "__main__":
    main()
