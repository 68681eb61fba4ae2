#!/usr/bin/env python3
"""Curvature at the nodes of blank files, by SciPy's Bernstein polynomials.

    curvature.py FILE.blank.json …       (needs numpy and scipy)

There must be nodes whose handles keep a continuous curvature, and each must have the same on both
sides, to 1e-6 per millimetre; every smooth node must have one direction, to a thousandth of a
degree. Tells how much the curvature varies along each run between corners, ∫ (dκ/ds)² ds."""
import json
import sys

import numpy as np
from scipy.integrate import quad
from scipy.interpolate import BPoly

SAME_CURVATURE = 1e-6
SAME_DIRECTION = np.radians(1e-3)


def curves(profile):
    """A Bernstein polynomial for each stretch, x and y."""
    nodes = profile["nodes"]
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p, q = np.array(a["at_mm"]), np.array(b["at_mm"])
        out, into = a.get("handle_out_mm"), b.get("handle_in_mm")
        if out is None and into is None:
            controls = [p, p + (q - p) / 3, q - (q - p) / 3, q]
        else:
            controls = [p, p if out is None else out, q if into is None else into, q]
        yield BPoly(np.array(controls, float)[:, None, :], [0.0, 1.0])


def direction(curve, t):
    d = curve.derivative()(t)
    return np.arctan2(d[1], d[0])


def curvature(curve, t):
    d, dd = curve.derivative()(t), curve.derivative(2)(t)
    return (d[0] * dd[1] - d[1] * dd[0]) / np.hypot(*d) ** 3


def variation(curve):
    """∫ (dκ/ds)² ds by adaptive quadrature of a central difference."""
    def density(t):
        h = 1e-5
        t = min(max(t, h), 1 - h)
        speed = np.hypot(*curve.derivative()(t))
        slope = (curvature(curve, t + h) - curvature(curve, t - h)) / (2 * h)
        return slope**2 / speed

    return quad(density, 0, 1, limit=200)[0]


def check(path):
    profile = json.load(open(path, encoding="utf-8"))["profile"]
    all_curves = list(curves(profile))
    kept, worst, turns = 0, 0.0, 0.0
    for i, node in enumerate(profile["nodes"]):
        before, behind = all_curves[i - 1], all_curves[i]
        if node.get("smooth") and "handle_in_mm" in node and "handle_out_mm" in node:
            turn = direction(behind, 0.0) - direction(before, 1.0)
            turns = max(turns, abs((turn + np.pi) % (2 * np.pi) - np.pi))
        if node.get("handles") == "continuous-curvature":
            kept += 1
            worst = max(worst, abs(curvature(behind, 0.0) - curvature(before, 1.0)))
    total = sum(variation(c) for c in all_curves)
    print(
        f"{path}: {len(all_curves)} segments, {kept} nodes of continuous curvature, largest jump "
        f"{worst:.1e} 1/mm, largest turn at a smooth node {np.degrees(turns):.1e} degrees, "
        f"variation {total:.3e} 1/mm³"
    )
    return kept > 0 and worst <= SAME_CURVATURE and turns <= SAME_DIRECTION


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    results = [check(path) for path in sys.argv[1:]]
    sys.exit(0 if all(results) else 1)
