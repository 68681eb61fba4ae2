#!/usr/bin/env python3
"""Makes `layout.json`: webs and tang sections of drilled blanks, measured by GEOS.

The outlines are those of `outlines.json` and `outlines_own.json` whose outlines are sound, laid
level; on each, holes are set at random inside. Webs are distances of GEOS (shapely) between the
outline's fine polyline (2000 points a curve) and circles as centres less radii. Sections are the
intersections of GEOS of the outline, less circles of 20,000 corners, with a line across; their
second moments are those of the boxes so cut, thickness times width, by the shoelace formulas for
a polygon's second moment about its centroid (an independent way to t·Σh³/12 + t·h·d²).
"""

import json
import math
import pathlib
import random

import shapely
from shapely.geometry import LineString, Point, Polygon, box

HERE = pathlib.Path(__file__).parent
THICKNESS = 3.175
BAR = (1200.0, 400.0)


def ring(outline, points=2000):
    at = tuple(outline["start"])
    out = [at]
    for seg in outline["segments"]:
        p = [tuple(seg[i:i + 2]) for i in range(0, len(seg), 2)]
        if len(p) == 1:
            out.append(p[0])
        else:
            a, b, c, d = at, *p
            for i in range(1, points + 1):
                t = i / points
                s = 1 - t
                out.append(tuple(s**3 * a[k] + 3 * s * s * t * b[k] + 3 * s * t * t * c[k]
                                 + t**3 * d[k] for k in (0, 1)))
        at = p[-1]
    return out


def second_moment(boxes):
    """Of polygons in (y, z) about the axis through their common centroid along z."""
    area = first = second = 0.0
    for polygon in boxes:
        corners = list(shapely.geometry.polygon.orient(polygon).exterior.coords)
        for (y0, z0), (y1, z1) in zip(corners, corners[1:]):
            cross = y0 * z1 - y1 * z0
            area += cross / 2
            first += (y0 + y1) * cross / 6
            second += (y0 * y0 + y0 * y1 + y1 * y1) * cross / 12
    return second - first * first / area


def pieces(geometry):
    if geometry.is_empty:
        return []
    lines = [g for g in getattr(geometry, "geoms", [geometry]) if g.length > 1e-12]
    return sorted((g.bounds[1], g.bounds[3]) for g in lines)


def section(material, x):
    _, low, _, high = material.bounds
    return pieces(material.intersection(LineString([(x, low - 1), (x, high + 1)])))


def main():
    rng = random.Random(20260)
    cases = []
    sources = []
    for name in ("outlines.json", "outlines_own.json"):
        sources += [o for o in json.loads((HERE / name).read_text())["outlines"] if o["valid"]]
    for source in sources[:16]:
        polygon = Polygon(ring(source["outline"]))
        if not polygon.is_valid:
            continue
        x0, y0, x1, y1 = polygon.bounds
        holes = []
        while len(holes) < 5:
            x, y = rng.uniform(x0, x1), rng.uniform(y0, y1)
            room = polygon.boundary.distance(Point(x, y))
            if polygon.contains(Point(x, y)) and room > 1.2:
                holes.append({"x": x, "y": y, "d": rng.uniform(1.0, min(8.0, 1.8 * room))})
        # Where the knife's origin lies on the bar.
        place = (BAR[0] / 2 - (x0 + x1) / 2, BAR[1] / 2 - (y0 + y1) / 2)
        sides = LineString(box(0, 0, *BAR).exterior.coords)
        told = []
        material = polygon
        for hole in holes:
            circle = Point(hole["x"], hole["y"]).buffer(hole["d"] / 2, quad_segs=5000)
            material = material.difference(circle)
        for i, hole in enumerate(holes):
            centre, radius = Point(hole["x"], hole["y"]), hole["d"] / 2
            others = [centre.distance(Point(o["x"], o["y"])) - radius - o["d"] / 2
                      for j, o in enumerate(holes) if j != i]
            on_bar = Point(hole["x"] + place[0], hole["y"] + place[1])
            whole, net = section(polygon, hole["x"]), section(material, hole["x"])
            boxes = [box(a, -THICKNESS / 2, b, THICKNESS / 2) for a, b in net]
            told.append({
                "edge_web_mm": polygon.boundary.distance(centre) - radius,
                "nearest_hole_web_mm": min(others),
                "bar_web_mm": sides.distance(on_bar) - radius,
                "full_mm": sum(b - a for a, b in whole),
                "net_mm": sum(b - a for a, b in net),
                "second_moment_mm4": second_moment(boxes),
            })
        cases.append({"id": source["id"], "outline": source["outline"], "place_mm": place,
                      "holes": holes, "truth": told})
    text = json.dumps({"units": "mm", "thickness_mm": THICKNESS, "bar_mm": BAR, "cases": cases},
                      indent=1)
    (HERE / "layout.json").write_text(text + "\n")
    print(len(cases), "cases with shapely", shapely.__version__, "GEOS", shapely.geos_version)
    assert not math.isnan(sum(h["second_moment_mm4"] for c in cases for h in c["truth"]))


if __name__ == "__main__":
    main()
