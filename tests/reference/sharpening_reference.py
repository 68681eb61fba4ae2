#!/usr/bin/env python3
"""Sharpened facets on flat, hollow and convex bevels, apart from the program.

A section is laid out as a polygon (height over the edge, distance from the plane of the edge) and
cut by the sharpening plane with shapely; the place on an arc is found again by scipy's brentq on
the circle through edge and grind line, whose centre scipy's fsolve finds. Both must agree within
the fineness of the polygon. Sizes are invented for the purpose.

Definition: the plane goes through the middle of the edge at angle b to the centre plane; on a
blade ground on one side through the edge's corner on the flat face, at b to that face, and the
whole edge lies on the ground side. The edge may be thinner than it was ground to: the face then
goes from the thinner edge to the grind line, an arc with its own radius.

Writes `sharpening.json`:  python3 tests/reference/sharpening_reference.py
Needs numpy, scipy, shapely.
"""

import itertools
import json
import math
import pathlib

import numpy as np
from scipy.optimize import brentq, fsolve
from shapely.geometry import LineString, Polygon

HERE = pathlib.Path(__file__).parent
POINTS = 4000


def profile(shape, radius, edge, top, height):
    """The face's distance from the plane of the edge as a function of the height over the edge."""
    if shape == "flat":
        return lambda y: edge + (top - edge) * y / height
    # The centre of the circle through both ends: above the face for a hollow, below for a convex.
    side = 1.0 if shape == "hollow" else -1.0
    middle = np.array([height / 2, (edge + top) / 2])
    guess = middle + side * radius * np.array([edge - top, height]) / math.hypot(height, top - edge)
    equations = lambda c: [
        math.hypot(c[0], c[1] - edge) - radius,
        math.hypot(c[0] - height, c[1] - top) - radius,
    ]
    cy, cz = fsolve(equations, guess, xtol=1e-13)
    return lambda y: cz - side * math.sqrt(radius**2 - (y - cy) ** 2)


def facet(shape, radius, edge, top, height, angle):
    """Where the plane leaves the steel, by brentq and by shapely; None above the grind line."""
    face = profile(shape, radius, edge, top, height)
    over = lambda y: face(y) - y * math.tan(angle)
    steps = np.linspace(0.0, height, POINTS + 1)
    values = [over(y) for y in steps]
    first = next((i for i, v in enumerate(values) if v <= 0.0), None)
    if first is None:
        return None
    found = 0.0 if first == 0 else brentq(over, steps[first - 1], steps[first], xtol=1e-13)
    section = Polygon([(0, 0), *[(y, face(y)) for y in steps], (height, 0)])
    plane = LineString([(0, 0), (2 * height, 2 * height * math.tan(angle))])
    inside = plane.intersection(section)
    pieces = [inside] if inside.geom_type == "LineString" else list(inside.geoms)
    cut = min((p for p in pieces if p.geom_type == "LineString"), key=lambda p: p.bounds[0])
    assert abs(cut.bounds[2] - found) < 1e-5, (shape, cut.bounds, found)
    return found


def main():
    cases = []
    sizes = [(3.175, 0.5, 17.0), (4.0, 0.6, 28.0), (2.4, 0.3, 12.0)]
    shapes = [("flat", 0.0), ("hollow", 150.0), ("hollow", 450.0), ("convex", 120.0), ("convex", 600.0)]
    for (stock, ground, height), (shape, radius), one, thin, angle in itertools.product(
        sizes, shapes, [False, True], [1.0, 0.4], [5.0, 15.0, 20.0, 27.5]
    ):
        edge, faces = ground * thin, 1.0 if one else 2.0
        found = facet(shape, radius, edge / faces, stock / faces, height, math.radians(angle))
        cases.append(
            {
                "stock_mm": stock,
                "ground_edge_mm": ground,
                "edge_mm": edge,
                "height_mm": height,
                "shape": shape,
                "radius_mm": radius,
                "one_sided": one,
                "angle_deg": angle,
                "facet_height_mm": found,
                "facet_width_mm": found and found / math.cos(math.radians(angle)),
                "shoulder_mm": found and faces * found * math.tan(math.radians(angle)),
            }
        )
    told = {"made_by": "sharpening_reference.py", "cases": cases}
    (HERE / "sharpening.json").write_text(json.dumps(told, indent=1) + "\n")


if __name__ == "__main__":
    main()
