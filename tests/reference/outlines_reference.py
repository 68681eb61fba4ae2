#!/usr/bin/env python3
"""Makes `outlines_own.json`: outlines of our own, measured by general-purpose libraries.

Area, centroid and second moments: fontTools' moments pen (about a near origin). Perimeter:
SciPy's adaptive quadrature of the speed. Least width: SciPy's scalar minimiser over the
direction, with exact extents. Webs: SciPy's minimiser of the distance along each segment,
checked against GEOS on a fine polyline. Inside radius: SciPy's minimiser of the curvature
radius along each segment. Largest circle: GEOS' `maximum_inscribed_circle` on a fine polyline.
"""

import json
import math
import pathlib
import random

import numpy
import shapely
from fontTools.pens.momentsPen import MomentsPen
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

HERE = pathlib.Path(__file__).parent


def wavy(rng, nodes, turn, move, notch):
    """Nodes (point, way in, way out) of a smooth ring, roughly a long oval with waves."""
    waves = [(k, rng.uniform(0, h), rng.uniform(0, 2 * math.pi))
             for k, h in ((2, 0.12), (3, 0.12), (5, 0.06), (8, 0.02))]
    size = (rng.uniform(80, 140), rng.uniform(12, 24))
    ring = []
    step = 2 * math.pi / nodes
    for i in range(nodes):
        phi = i * step
        r = 1 + sum(h * math.cos(k * phi + p) for k, h, p in waves)
        dr = -sum(k * h * math.sin(k * phi + p) for k, h, p in waves)
        c, s = math.cos(phi), math.sin(phi)
        point = numpy.array([size[0] * r * c, size[1] * r * s])
        way = numpy.array([size[0] * (dr * c - r * s), size[1] * (dr * s + r * c)]) * step / 3
        # Handles of unequal length keep the direction but not the speed.
        ring.append((point, way * rng.uniform(0.8, 1.1), way * rng.uniform(0.8, 1.1)))
    segments = []
    for i in range(nodes):
        (p, _, out), (q, back, _) = ring[i], ring[(i + 1) % nodes]
        segments.append([p, p + out, q - back, q])
    if notch:
        segments = with_notch(segments, nodes // 4, notch)
    c, s = math.cos(turn), math.sin(turn)
    matrix = numpy.array([[c, -s], [s, c]])
    return [[matrix @ p + move for p in seg] for seg in segments]


def with_notch(segments, at, depth):
    """Replaces one segment by a square notch with a round bottom, between straight lands."""
    p, _, _, q = segments[at]
    along = (q - p) / numpy.linalg.norm(q - p)
    inward = numpy.array([-along[1], along[0]])
    width = 0.3 * numpy.linalg.norm(q - p)
    mid = (p + q) / 2
    a, b = mid - along * width / 2, mid + along * width / 2
    c, d = a + inward * depth, b + inward * depth
    bulge = inward * width * 2 / 3
    return segments[:at] + [[p, a], [a, c], [c, c + bulge, d + bulge, d], [d, b], [b, q]] \
        + segments[at + 1:]


def value(seg, t):
    if len(seg) == 2:
        return seg[0] + t * (seg[1] - seg[0])
    s = 1 - t
    return s**3 * seg[0] + 3 * s * s * t * seg[1] + 3 * s * t * t * seg[2] + t**3 * seg[3]


def slope(seg, t):
    if len(seg) == 2:
        return seg[1] - seg[0]
    s = 1 - t
    return 3 * (s * s * (seg[1] - seg[0]) + 2 * s * t * (seg[2] - seg[1])
                + t * t * (seg[3] - seg[2]))


def bend(seg, t):
    if len(seg) == 2:
        return 0.0
    d1 = slope(seg, t)
    d2 = 6 * ((1 - t) * (seg[2] - 2 * seg[1] + seg[0]) + t * (seg[3] - 2 * seg[2] + seg[1]))
    return (d1[0] * d2[1] - d1[1] * d2[0]) / math.hypot(*d1) ** 3


def least(function, pieces=64):
    """Least value of a function of t on [0, 1]: every bracket on a grid is minimised."""
    grid = [i / pieces for i in range(pieces + 1)]
    values = [function(t) for t in grid]
    best = min(values)
    for i in range(pieces + 1):
        low, high = grid[max(i - 1, 0)], grid[min(i + 1, pieces)]
        if values[i] <= values[max(i - 1, 0)] and values[i] <= values[min(i + 1, pieces)]:
            found = minimize_scalar(function, bounds=(low, high), method="bounded",
                                    options={"xatol": 1e-13})
            best = min(best, found.fun)
    return best


def moments(segments):
    origin = sum(seg[0] for seg in segments) / len(segments)
    pen = MomentsPen()
    pen.moveTo(tuple(segments[0][0] - origin))
    for seg in segments:
        rest = [tuple(p - origin) for p in seg[1:]]
        pen.lineTo(rest[0]) if len(rest) == 1 else pen.curveTo(*rest)
    pen.closePath()
    area, x, y = pen.area, pen.momentX, pen.momentY
    sign = 1 if area > 0 else -1
    return {
        "area_mm2": abs(area),
        "centroid_mm": [origin[0] + x / area, origin[1] + y / area],
        "second_moments_about_centroid_mm4": {
            "Ixx_c": sign * (pen.momentYY - y * y / area),
            "Iyy_c": sign * (pen.momentXX - x * x / area),
            "Ixy_c": sign * (pen.momentXY - x * y / area),
        },
    }


def reach(segments, direction):
    """Greatest and least projection, from the exact extremes of each segment."""
    low, high = math.inf, -math.inf
    for seg in segments:
        v = [float(p @ direction) for p in seg]
        ts = [0.0, 1.0]
        if len(seg) == 4:
            a, b, c = v[1] - v[0], v[2] - v[1], v[3] - v[2]
            ts += [r.real for r in numpy.roots([a - 2 * b + c, 2 * (b - a), a])
                   if abs(r.imag) < 1e-12 and 0 < r.real < 1]
        for t in ts:
            at = float(value(seg, t) @ direction)
            low, high = min(low, at), max(high, at)
    return low, high


def least_width(segments):
    def width(phi):
        low, high = reach(segments, numpy.array([math.cos(phi), math.sin(phi)]))
        return high - low

    count = 720
    grid = [math.pi * i / count for i in range(count)]
    values = [width(phi) for phi in grid]
    best = (math.inf, 0.0)
    for i in sorted(range(count), key=lambda i: values[i])[:12]:
        step = math.pi / count
        found = minimize_scalar(width, bounds=(grid[i] - step, grid[i] + step),
                                method="bounded", options={"xatol": 1e-12})
        best = min(best, (found.fun, found.x))
    return {"least_width_mm": best[0], "least_width_normal_deg": math.degrees(best[1]) % 180}


def webs(segments, holes, polygon):
    all_webs = []
    for hole in holes:
        centre = numpy.array([hole["cx"], hole["cy"]])
        web = min(least(lambda t, s=seg: float(numpy.linalg.norm(value(s, t) - centre)))
                  for seg in segments) - hole["r"]
        by_geos = polygon.exterior.distance(shapely.Point(centre)) - hole["r"]
        assert polygon.contains(shapely.Point(centre))
        assert abs(web - by_geos) < 1e-5, (web, by_geos)
        all_webs.append(web)
    return all_webs


def tightest(segments, sense):
    worst = 0.0
    for seg in segments:
        worst = max(worst, -least(lambda t, s=seg: sense * bend(s, t), 256))
    return 1 / worst if worst > 1e-6 else None


def polyline(segments, pieces):
    """Points along the outline, this many to a cubic."""
    return [value(seg, i / pieces) for seg in segments
            for i in range(pieces if len(seg) == 4 else 1)]


def measure(segments, rng):
    sense = 1 if moments_sign(segments) > 0 else -1
    polygon = shapely.Polygon(polyline(segments, 4000))
    assert polygon.is_valid
    low = numpy.array([polygon.bounds[0], polygon.bounds[1]])
    high = numpy.array([polygon.bounds[2], polygon.bounds[3]])
    holes = []
    while len(holes) < 3:
        at = low + (high - low) * numpy.array([rng.random(), rng.random()])
        if polygon.contains(shapely.Point(at)):
            holes.append({"cx": at[0], "cy": at[1], "r": rng.choice([1.5, 2.5, 3.0])})
    truth = moments(segments)
    truth["perimeter_mm"] = sum(
        quad(lambda t, s=seg: math.hypot(*slope(s, t)), 0, 1, epsabs=1e-11, epsrel=1e-12)[0]
        for seg in segments)
    truth.update(least_width(segments))
    xs, ys = reach(segments, numpy.array([1.0, 0.0])), reach(segments, numpy.array([0.0, 1.0]))
    truth["bbox_mm"] = {"xmin": xs[0], "ymin": ys[0], "xmax": xs[1], "ymax": ys[1]}
    truth["hole_to_outline_mm"] = webs(segments, holes, polygon)
    radius = tightest(segments, sense)
    if radius:
        truth["tightest_inside_radius_mm"] = radius
    circle = shapely.maximum_inscribed_circle(shapely.Polygon(polyline(segments, 300)), tolerance=1e-4)
    truth["largest_circle_mm"] = circle.length
    return holes, truth


def moments_sign(segments):
    ring = [value(seg, i / 8) for seg in segments for i in range(8)]
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, ring[1:] + ring[:1]))


def main():
    rng = random.Random(20260)
    cases = []
    for k in range(16):
        nodes = (6, 9, 12, 24)[k % 4] * (1 if k % 3 else 2)
        turn = 0 if k % 2 else rng.uniform(-math.pi, math.pi)
        move = numpy.array([rng.uniform(-300, 300), rng.uniform(-300, 300)])
        if k == 15:
            move = numpy.array([1e6, -1e6])
        notch = rng.uniform(1.5, 4) if k in (2, 5, 8, 11) else None
        segments = wavy(rng, nodes, turn, move, notch)
        if k % 5 == 4:
            segments = [seg[::-1] for seg in segments[::-1]]
        holes, truth = measure(segments, rng)
        cases.append({
            "id": f"own{k:02}",
            "name": ("notched" if notch else "wavy") + f" ring of {len(segments)} segments",
            "valid": True,
            "outline": {"start": list(segments[0][0]),
                        "segments": [[float(v) for p in seg[1:] for v in p] for seg in segments]},
            "holes": holes,
            "truth": truth,
        })
    out = {"units": "mm", "outlines": cases}
    (HERE / "outlines_own.json").write_text(json.dumps(out, indent=1) + "\n")


if __name__ == "__main__":
    main()
