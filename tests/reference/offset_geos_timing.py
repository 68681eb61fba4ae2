"""Times GEOS (through shapely) on the outlines of the offset bench.

python3 offset_geos_timing.py [TOLERANCE_MM]

Needs shapely 2 and numpy. The input polygon is flattened to the tolerance beforehand and
that is NOT timed, while the bench of this repository times flattening too: the comparison
favours GEOS. quad_segs is the least whose chords stray no more than the tolerance from a
quarter circle of the offset's radius.

GEOS leaves out corners of its input inside buffer, up to 1 % of the distance beside the line
over them (0.06 mm at 6 mm), which neither its C interface nor shapely can switch off. So its
results are not within the tolerance and its times are lower than like for like: this too
favours GEOS.
"""

import json
import math
import pathlib
import sys
import time

import numpy as np
import shapely


def wavy_oval(nodes, lobes, depth):
    """The bench's outline: cubics through a wavy oval, as an array (nodes, 4, 2)."""
    step = 2 * math.pi / nodes

    def at(turn):
        r = 1 + depth * math.cos(lobes * turn)
        return np.array([110 * r * math.cos(turn), 20 * r * math.sin(turn)])

    def speed(turn):
        r = 1 + depth * math.cos(lobes * turn)
        dr = -depth * lobes * math.sin(lobes * turn)
        return np.array([
            110 * (dr * math.cos(turn) - r * math.sin(turn)),
            20 * (dr * math.sin(turn) + r * math.cos(turn)),
        ])

    turns = [(i % nodes) * step for i in range(nodes + 1)]
    return np.array([
        [at(a), at(a) + speed(a) * step / 3, at(b) - speed(b) * step / 3, at(b)]
        for a, b in zip(turns, turns[1:])
    ])


def flatten(cubics, tolerance):
    """Even steps in each cubic, by the bound on its second derivative."""
    points = []
    for c in cubics:
        bend = 6 * max(np.hypot(*(c[0] - 2 * c[1] + c[2])), np.hypot(*(c[1] - 2 * c[2] + c[3])))
        n = max(1, math.ceil(math.sqrt(bend / (8 * tolerance))))
        for i in range(n):
            t = i / n
            w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3]
            points.append(sum(k * p for k, p in zip(w, c)))
    return points


def toothed_bar(teeth):
    """The bench's bar with fine teeth, as corners."""
    pitch = 250 / teeth
    tooth = [(0.0, 0.0), (0.2, 1.0), (0.5, 1.0), (0.7, 0.0)]
    edge = [((i + x) * pitch, y * pitch / 2) for i in range(teeth) for x, y in tooth]
    return edge + [(250 - x, 30 - y) for x, y in edge]


def reference_outlines():
    """Name and cubics (lines as cubics with handles on their ends) of each valid outline."""
    file = json.loads(pathlib.Path(__file__).with_name("outlines.json").read_text())
    for entry in file["outlines"]:
        if not entry["valid"]:
            continue
        at, cubics = entry["outline"]["start"], []
        for s in entry["outline"]["segments"]:
            handles = [s[:2], s[2:4]] if len(s) == 6 else None
            cubics.append((at, handles, s[-2:]))
            at = s[-2:]
        yield entry["name"], cubics


def flatten_entry(cubics, tolerance):
    points = []
    for a, handles, b in cubics:
        if handles is None:
            points.append(np.array(a, float))
        else:
            points += flatten([np.array([a, *handles, b], float)], tolerance)
    return points


def best_of(run, seconds=0.5):
    run()
    times, start = [], time.perf_counter()
    while time.perf_counter() - start < seconds:
        t = time.perf_counter()
        run()
        times.append(time.perf_counter() - t)
    times.sort()
    return times[len(times) // 2], times[0], len(times)


def main():
    tolerance = float(sys.argv[1]) if len(sys.argv) > 1 else 0.002
    print(f"shapely {shapely.__version__}, GEOS {shapely.geos_version_string}, {tolerance} mm")
    outlines = [(n, flatten_entry(c, tolerance)) for n, c in reference_outlines()]
    outlines += [
        ("40 segments", flatten(wavy_oval(40, 5, 0.12), tolerance)),
        ("10000 nodes", flatten(wavy_oval(10_000, 40, 0.02), tolerance)),
        ("10000 teeth corners", toothed_bar(1250)),
    ]
    for name, corners in outlines:
        polygon = shapely.Polygon(corners)
        corners = len(polygon.exterior.coords) - 1
        for d in (-1.0, 3.5, 6.0):
            # One chord of a quarter circle in n parts strays r (1 - cos(pi / 4n)).
            quad_segs = math.ceil(math.pi / 4 / math.acos(1 - tolerance / abs(d)))
            result = shapely.buffer(polygon, d, quad_segs=quad_segs)
            median, least, runs = best_of(lambda: shapely.buffer(polygon, d, quad_segs=quad_segs))
            print(f"{name} ({corners} corners) by {d:+}: median {median * 1e3:.3f} ms, "
                  f"least {least * 1e3:.3f} ms of {runs}; {shapely.get_num_coordinates(result)} "
                  f"points out, quad_segs {quad_segs}")


if __name__ == "__main__":
    main()
