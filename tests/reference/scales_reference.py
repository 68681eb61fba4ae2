"""Scales, bolsters and what is sawn of the shipped knives, by GEOS (shapely).

Definition: the front line goes through the middle of the longest stretch of tang at the stated x,
straight or an arc, leaning; what lies behind it is one side. A front bolster ends on the same line
moved along x by its length, a rear bolster begins on a line square across, its length ahead of the
butt. What is sawn lies within the overhang of the side, behind the front line lengthened straight
on from its ends. Curves are polylines of 400 sides a segment; buffers have 256 sides a quarter.

Needs Python 3 with shapely. Run it in this folder: it writes scales.json.
"""
import json
import math
import pathlib

from shapely.geometry import LineString, Point, Polygon
from shapely.ops import split

SIDES, QUARTER, FAR = 400, 256, 400.0
SAMPLES = ["first-knife", "long-slicer", "petty-for-a-friend", "woodland-camp-knife"]
CASES = [
    {"curve": "straight", "lean_deg": 0.0, "overhang_mm": 1.5, "front_mm": None, "rear_mm": None},
    {"curve": "straight", "lean_deg": 15.0, "overhang_mm": 3.0, "front_mm": 11.0, "rear_mm": None},
    {"curve": "round", "radius_mm": 35.0, "lean_deg": 5.0, "overhang_mm": 1.5, "front_mm": None,
     "rear_mm": 14.0},
    {"curve": "hollow", "radius_mm": 28.0, "lean_deg": -8.0, "overhang_mm": 2.0, "front_mm": 9.0,
     "rear_mm": 13.0},
]


def ring(knife):
    nodes = knife["profile"]["nodes"]
    out = []
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p0, p3 = a["at_mm"], b["at_mm"]
        p1, p2 = a.get("handle_out_mm", p0), b.get("handle_in_mm", p3)
        straight = "handle_out_mm" not in a and "handle_in_mm" not in b
        for k in range(1 if straight else SIDES):
            t = 0.0 if straight else k / SIDES
            s = 1 - t
            out.append(tuple(s**3 * p0[i] + 3 * s * s * t * p1[i] + 3 * s * t * t * p2[i]
                             + t**3 * p3[i] for i in (0, 1)))
    return Polygon(out)


def front(blank, case, x, tip, edge_up):
    """The middle, and unit vectors back and up."""
    butt = 1.0 if x > tip[0] else -1.0
    cut = blank.intersection(LineString([(x, -FAR), (x, FAR)]))
    parts = [cut] if cut.geom_type == "LineString" else list(cut.geoms)
    longest = max(parts, key=lambda part: part.length)
    lean = math.radians(case["lean_deg"])
    spine = -1.0 if edge_up else 1.0
    back = (math.cos(lean) * butt, -math.sin(lean) * spine)
    up = (math.sin(lean) * butt, math.cos(lean) * spine)
    middle = longest.interpolate(0.5, normalized=True)
    return (middle.x, middle.y), back, up


def line(middle, back, up, case):
    """Its points far to both sides of its middle."""
    def at(along, behind):
        return tuple(middle[i] + along * up[i] + behind * back[i] for i in (0, 1))
    if case["curve"] == "straight":
        return [at(FAR * k / 2000, 0.0) for k in range(-2000, 2001)]
    r = case["radius_mm"]
    sign = 1.0 if case["curve"] == "round" else -1.0
    turns = [math.pi / 2 * k / 20000 for k in range(-20000, 20001)]
    return [at(r * math.sin(t), sign * r * (1 - math.cos(t))) for t in turns]


def within(points, blank):
    """The stretch of a line about its middle that lies in the blank, ends exact to the sides."""
    run = LineString(points).intersection(blank)
    parts = [run] if run.geom_type == "LineString" else list(run.geoms)
    middle = Point(points[len(points) // 2])
    return list(min(parts, key=lambda part: part.distance(middle)).coords)


def behind(run, back, up):
    """A region behind a run lengthened straight on from its ends."""
    if (run[-1][0] - run[0][0]) * up[0] + (run[-1][1] - run[0][1]) * up[1] < 0:
        run = run[::-1]
    def off(p, a, b):
        return tuple(p[i] + a * up[i] + b * back[i] for i in (0, 1))
    low, high = off(run[0], -FAR, 0), off(run[-1], FAR, 0)
    return Polygon([low, *run, high, off(high, 0, FAR), off(low, 0, FAR)])


def largest(shape):
    return shape if shape.geom_type == "Polygon" else max(shape.geoms, key=lambda g: g.area)


def one(name, folder):
    knife = json.loads((folder / f"{name}.blank.json").read_text())
    blank = ring(knife)
    ids = {node["id"]: node["at_mm"] for node in knife["profile"]["nodes"]}
    tip, heel = ids[knife["profile"]["tip"]], ids[knife["profile"]["heel"]]
    x = knife["scales"]["front_x_mm"]
    found = []
    for case in CASES:
        # The edge's side: where the heel lies from the middle of the blank there.
        cut = blank.intersection(LineString([(heel[0], -FAR), (heel[0], FAR)]))
        edge_up = heel[1] > (cut.bounds[1] + cut.bounds[3]) / 2
        middle, back, up = front(blank, case, x, tip, edge_up)
        butt = math.copysign(1.0, x - tip[0])
        points = line(middle, back, up, case)
        run = within(points, blank)
        # The piece of the blank with the butt.
        end = max(blank.exterior.coords, key=lambda p: p[0] * butt)
        parts = split(blank, longer(run)).geoms
        side = min(parts, key=lambda part: part.distance(Point(end)))
        region = behind(run, back, up)
        big = side.buffer(case["overhang_mm"], quad_segs=QUARTER)
        pieces, rest, sawn = [], side, largest(big.intersection(region))
        if case["front_mm"]:
            moved = [(p[0] + butt * case["front_mm"], p[1]) for p in points]
            second = behind(within(moved, side), back, up)
            pieces.append(("front bolster", rest.difference(second), sawn.difference(second)))
            rest, sawn = rest.intersection(second), sawn.intersection(second)
        last = None
        if case["rear_mm"]:
            at = end[0] - butt * case["rear_mm"]
            box = Polygon([(at, -FAR), (at + butt * FAR, -FAR), (at + butt * FAR, FAR), (at, FAR)])
            last = ("rear bolster", rest.intersection(box), sawn.intersection(box))
            rest, sawn = rest.difference(box), sawn.difference(box)
        pieces.append(("scale", rest, sawn))
        if last:
            pieces.append(last)
        found.append({**case, "pieces": [
            {"part": part, "area_mm2": largest(flush).area, "sawn_mm2": largest(waste).area,
             "bounds_mm": list(largest(flush).bounds), "sawn_bounds_mm": list(largest(waste).bounds)}
            for part, flush, waste in pieces]})
    return {"file": name, "cases": found}


def longer(run):
    """A run lengthened by a hair at both ends, so that it parts a polygon of chords."""
    def out(a, b):
        gap = math.dist(a, b)
        return tuple(b[i] + (b[i] - a[i]) / gap * 0.01 for i in (0, 1))
    return LineString([out(run[1], run[0]), *run, out(run[-2], run[-1])])


def main():
    here = pathlib.Path(__file__).parent
    folder = here.parent.parent / "samples"
    knives = [one(name, folder) for name in SAMPLES]
    text = json.dumps({"knives": knives}, indent=1)
    (here / "scales.json").write_text(text + "\n")


main()
