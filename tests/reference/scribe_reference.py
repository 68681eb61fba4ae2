#!/usr/bin/env python3
"""Makes `scribe_reference.json`: scribing distances by GEOS, through shapely.

Takes every sound outline of `outlines.json` and `outlines_own.json` and every knife of `samples`
and `assets/starters`, lays it on a bar at a turn, puts holes into it and cuts the ray through
each hole's centre, square to the bar, with the placed outline as a fine polyline. The outline is
turned and moved by shapely's affinity, not by hand. Needs Python 3 with numpy and shapely; the
random seed is fixed.
"""

import json
import pathlib
import random

import numpy
import shapely
from shapely import affinity

HERE = pathlib.Path(__file__).parent
ROOT = HERE.parent.parent
PIECES = 3000


def of_outline(outline):
    """Segments (two or four points each) of an outline of the reference files."""
    at, segments = outline["start"], []
    for numbers in outline["segments"]:
        points = [at] + [numbers[i:i + 2] for i in range(0, len(numbers), 2)]
        segments.append(points)
        at = points[-1]
    return segments


def of_knife(knife):
    """Segments of a blank file's ring of nodes."""
    nodes = knife["profile"]["nodes"]
    segments = []
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        out, back = a.get("handle_out_mm"), b.get("handle_in_mm")
        if out is None and back is None:
            segments.append([a["at_mm"], b["at_mm"]])
        else:
            segments.append([a["at_mm"], out or a["at_mm"], back or b["at_mm"], b["at_mm"]])
    return segments


def svg_path(segments):
    words = ["M{!r},{!r}".format(*segments[0][0])]
    for seg in segments:
        numbers = " ".join("{!r},{!r}".format(*point) for point in seg[1:])
        words.append(("L" if len(seg) == 2 else "C") + numbers)
    return "".join(words) + "Z"


def polyline(segments):
    points = []
    for seg in segments:
        seg = numpy.array(seg, dtype=float)
        if len(seg) == 2:
            points.append(seg[:1])
            continue
        t = numpy.arange(PIECES)[:, None] / PIECES
        s = 1 - t
        points.append(s**3 * seg[0] + 3 * s * s * t * seg[1] + 3 * s * t * t * seg[2] + t**3 * seg[3])
    return shapely.Polygon(numpy.concatenate(points))


def lay(polygon, at, turn_deg):
    turned = affinity.rotate(polygon, turn_deg, origin=(0, 0))
    return affinity.translate(turned, at[0], at[1])


def distances(placed, centre, width, length):
    """From the bar's sides, and up and down to the outline, by cutting a ray with it."""
    x, y = centre.x, centre.y
    low, high = placed.bounds[1] - 1, placed.bounds[3] + 1
    up = placed.exterior.intersection(shapely.LineString([(x, y), (x, high)]))
    down = placed.exterior.intersection(shapely.LineString([(x, y), (x, low)]))
    return {
        "lower": centre.distance(shapely.LineString([(-1e4, 0), (1e4 + length, 0)])),
        "upper": centre.distance(shapely.LineString([(-1e4, width), (1e4 + length, width)])),
        "left": centre.distance(shapely.LineString([(0, -1e4), (0, 1e4)])),
        "right": centre.distance(shapely.LineString([(length, -1e4), (length, 1e4)])),
        "up": up.distance(centre),
        "down": down.distance(centre),
    }


def case(name, segments, holes, at, turn_deg, width, length):
    polygon = polyline(segments)
    placed = lay(polygon, at, turn_deg)
    centres = [lay(shapely.Point(hole), at, turn_deg) for hole in holes]
    row = sorted(range(len(holes)), key=lambda i: centres[i].x)
    told = []
    for i, centre in enumerate(centres):
        figures = distances(placed, centre, width, length)
        place = row.index(i)
        figures["before"] = row[place - 1] + 1 if place else None
        figures["along"] = centres[row[place - 1]].distance(centre) if place else None
        told.append(figures)
    return {
        "name": name,
        "bar": {"width": width, "length": length, "at": at, "turn_deg": turn_deg},
        "holes": [{"at": list(hole), **figures} for hole, figures in zip(holes, told)],
        "reach": [placed.bounds[0], placed.bounds[2]],
    }


def inside(polygon, rng, count):
    low_x, low_y, high_x, high_y = polygon.bounds
    holes = []
    while len(holes) < count:
        at = (rng.uniform(low_x, high_x), rng.uniform(low_y, high_y))
        point = shapely.Point(at)
        if polygon.contains(point) and polygon.exterior.distance(point) > 0.5:
            holes.append(at)
    return holes


def main():
    rng = random.Random(31)
    cases = []
    for file in ("outlines.json", "outlines_own.json"):
        for entry in json.loads((HERE / file).read_text())["outlines"]:
            if not entry["valid"]:
                continue
            segments = of_outline(entry["outline"])
            polygon = polyline(segments)
            if not polygon.is_valid or max(map(abs, polygon.bounds)) > 1e5:
                continue
            turn = rng.choice([0.0, rng.uniform(-8, 8), rng.uniform(-170, 170)])
            turned = lay(polygon, (0, 0), turn)
            at = (5 - turned.bounds[0], 3 - turned.bounds[1])
            width = turned.bounds[3] - turned.bounds[1] + 6
            length = turned.bounds[2] - turned.bounds[0] + 40
            holes = inside(polygon, rng, 6)
            case_ = case(entry["id"], segments, holes, at, turn, width, length)
            cases.append({"path": svg_path(segments), **case_})
    for path in sorted(ROOT.glob("samples/*.json")) + sorted(ROOT.glob("assets/starters/*.json")):
        knife = json.loads(path.read_text())
        bar, segments = knife["bar"], of_knife(knife)
        holes = [tuple(hole["at_mm"]) for hole in knife["holes"]]
        place = bar["placement"]
        case_ = case(str(path.relative_to(ROOT)), segments, holes, place["at_mm"],
                     place["turn_deg"], bar["width_mm"], bar["length_mm"])
        cases.append(case_)
    text = json.dumps({"units": "mm", "cases": cases}, indent=1)
    (HERE / "scribe_reference.json").write_text(text + "\n")


if __name__ == "__main__":
    main()
