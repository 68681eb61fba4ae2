"""Times GEOS (through shapely) on the outlines of the offset bench and measures its error.

python3 offset_geos_timing.py [--ours PROGRAM] [--rounds N] [--only WORD]

Needs shapely 2 and numpy. For each outline and distance:

* "naive": one call of buffer on the outline flattened to 0.002 mm, quad_segs the least whose
  chords stray no more than 0.002 mm from an arc of the offset.
* "like": the fastest way tried whose measured error is within 0.005 mm. The ways are one
  call, then two, four and eight equal steps (GEOS leaves out corners of its input inside
  buffer, up to 1 % of the distance beside the line over them, which nothing can switch off;
  smaller steps leave out less), each on the outline flattened to 0.002 and to 0.0005 mm.

The error is measured both ways against the outline flattened to 2e-5 mm: how far corners and
middles of the result's sides are from being at the distance asked for; and how far points
that truly are at that distance (square to the outline or on arcs about its corners, and no
nearer to any other part of it) are from the result. For the two outlines of ten thousand
nodes both are sampled.

With --ours (the program that `cargo bench -p outline --bench offset --no-run` names) bench and
GEOS run in short turns and the least times count, so that whatever else runs on the machine
hits both alike. Three ratios of their time to ours are printed, which differ in who flattens:

* "theirs free": GEOS as "like", the time of its flattening NOT counted; ours from curves, its
  flattening counted. This favours GEOS, but for the flattening being this script's even steps,
  which take more points than need be.
* "curves": both from curves. The time of GEOS is that of one call on the polygon that kurbo's
  flattening to 0.002 mm makes, plus the time of that flattening as the bench program takes it.
* "lines": both from lines. That same polygon is given to both as lines; no flattening is
  counted on either side.

shapely's own call takes about 0.0035 ms of GEOS's time; only "tanto", the smallest, notices.

Measured so on a very busy machine of two cores (GEOS 3.14.1), where one call of GEOS is within
0.005 mm on every outline: "theirs free" 4.3 to 22 times, median 9.2, 42 of 45 reach 5 times;
"curves" 5.2 to 27 times, median 8.1, all 45 reach 5 times. The three that do not are
"10000 nodes" (4.3 to 5.1 from run to run): nearly every node asks for a look of its own at how
flat its curve is, while GEOS is given few points that were flattened beforehand. "tanto" only
just does (5.1 to 5.4): so few points that what every call costs tells.
"lines" is 3.9 to 27 times, median 5.7, 33 of 45 reach 5 times.
"""

import argparse
import json
import math
import pathlib
import subprocess
import time

import numpy as np
import shapely

ASKED, TOLERANCE, DISTANCES = 0.005, 0.002, (-1.0, 3.5, 6.0)


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


def quad_segs(distance):
    """One chord of a quarter circle in n parts strays r (1 - cos(pi / 4n))."""
    return math.ceil(math.pi / 4 / math.acos(1 - TOLERANCE / abs(distance)))


def buffered(polygon, distance, steps):
    for _ in range(steps):
        polygon = shapely.buffer(polygon, distance / steps, quad_segs=quad_segs(distance))
    return polygon


def true_points(fine, distance, most=4000):
    """Points at exactly the distance from a finely flattened outline, on the wanted side."""
    ring = shapely.get_coordinates(fine.exterior)
    way = np.diff(ring, axis=0)
    length = np.hypot(*way.T)
    way, ring = way[length > 0] / length[length > 0, None], ring[:-1][length > 0]
    right = np.stack([way[:, 1], -way[:, 0]], axis=1)
    side = 1 if shapely.is_ccw(fine.exterior) else -1
    before = np.roll(right, 1, axis=0)
    share = np.linspace(0, 1, 5)[:, None, None]
    normals = before * (1 - share) + right * share
    normals /= np.maximum(np.hypot(normals[..., 0], normals[..., 1]), 1e-12)[..., None]
    places = (ring + side * distance * normals).reshape(-1, 2)
    places = places[:: max(1, len(places) // most)]
    points = shapely.points(places)
    away = shapely.distance(fine.boundary, points)
    return points[away >= abs(distance) - 1e-6]


def error(result, fine, truth, distance, most=4000):
    ring = np.concatenate([shapely.get_coordinates(r) for r in shapely.get_parts(result.boundary)])
    ring = np.concatenate([ring, (ring[1:] + ring[:-1]) / 2])
    places = shapely.points(ring[:: max(1, len(ring) // most)])
    off = np.abs(shapely.distance(fine.boundary, places) - abs(distance))
    missed = shapely.distance(result.boundary, truth)
    return off.max(initial=0), missed.max(initial=0)


def least(run, seconds):
    best, start = math.inf, time.perf_counter()
    while time.perf_counter() - start < seconds:
        t = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - t)
    return best * 1e3


def told_by(program, *words):
    command = [program, *words]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return np.array([line.split() for line in told.splitlines()], dtype=float)


def least_of_ours(program, name, distance):
    """Least times, in ms: offset from curves, kurbo's flattening, offset from lines."""
    return told_by(program, "--least", f"offset {name} by {distance:+g}")[0]


def outlines():
    for name, cubics in reference_outlines():
        yield name, lambda tolerance, c=cubics: flatten_entry(c, tolerance)
    yield "40 segments", lambda tolerance: flatten(wavy_oval(40, 5, 0.12), tolerance)
    yield "10000 nodes", lambda tolerance: flatten(wavy_oval(10_000, 40, 0.02), tolerance)
    yield "10000 teeth corners", lambda _: toothed_bar(1250)


def like_for_like(inputs, fine, distance):
    """The fastest way within what is asked: its input, its steps, and its errors."""
    truth = true_points(fine, distance)
    ways = [(1, 0), (1, 1), (2, 0), (2, 1), (4, 0), (4, 1), (8, 0), (8, 1)]
    naive = None
    for steps, which in ways:
        off = error(buffered(inputs[which], distance, steps), fine, truth, distance)
        naive = naive or off
        if max(off) <= ASKED:
            return naive, (steps, inputs[which]), off
    return naive, None, None


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--ours")
    parser.add_argument("--rounds", type=int, default=2)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    print(f"shapely {shapely.__version__}, GEOS {shapely.geos_version_string}; ms, errors in mm")
    ratios = {"theirs free": [], "curves": [], "lines": []}
    for name, shape in outlines():
        if asked.only not in name:
            continue
        inputs = [shapely.Polygon(shape(TOLERANCE)), shapely.Polygon(shape(TOLERANCE / 4))]
        fine = shapely.Polygon(shape(2e-5))
        shapely.prepare(fine)
        lines = shapely.Polygon(told_by(asked.ours, "--flattened", name)) if asked.ours else None
        for distance in DISTANCES:
            naive_off, way, off = like_for_like(inputs, fine, distance)
            naive = like = theirs = math.inf
            ours = np.full(3, math.inf)
            # What takes seconds needs no second turn.
            for _ in range(asked.rounds):
                naive = min(naive, least(lambda: buffered(inputs[0], distance, 1), 0.1))
                if asked.ours:
                    ours = np.minimum(ours, least_of_ours(asked.ours, name, distance))
                    theirs = min(theirs, least(lambda: buffered(lines, distance, 1), 0.1))
                if way is not None:
                    like = min(like, least(lambda: buffered(way[1], distance, way[0]), 0.1))
                if naive > 1e3:
                    break
            line = f"{name} by {distance:+g}: naive {naive:.3f}, off {max(naive_off):.4f}"
            if way is not None:
                line += f"; like {like:.3f} in {way[0]} steps, off {max(off):.4f}"
            else:
                line += "; no way tried is within 0.005"
            if asked.ours:
                curves, flattening, from_lines = ours
                these = [like / curves, (theirs + flattening) / curves, theirs / from_lines]
                line += f"; on kurbo's lines {theirs:.3f} + {flattening:.4f}"
                line += f"; ours {curves:.4f}, from lines {from_lines:.4f}:"
                for key, ratio in zip(ratios, these):
                    ratios[key].append((ratio, f"{name} by {distance:+g}"))
                    line += f" {ratio:.1f} x {key},"
                line = line.rstrip(",")
            print(line, flush=True)
    for key, found in ratios.items():
        if found:
            found.sort()
            reach = sum(ratio >= 5 for ratio, _ in found)
            print(f"{key}: least {found[0][0]:.2f} x ({found[0][1]}), median "
                  f"{found[len(found) // 2][0]:.1f} x, {reach} of {len(found)} reach 5 x")


if __name__ == "__main__":
    main()
