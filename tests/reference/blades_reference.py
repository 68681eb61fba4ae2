#!/usr/bin/env python3
"""Volume, centre of mass and sections of ground knives, by dense numeric integration.

Independent of the program: outlines are flattened and cut by shapely, distances to edge, spine
and grind line come from scipy's k-d tree over points 0.004 mm apart, and thickness is summed by
the midpoint rule over columns of 0.15 mm with 200 places each. The knives are the program's own
starters with the blades given below, invented for the purpose; the rules are those of
`crates/reckon/src/solid`, written anew from their definitions:

* flat: half thickness E + (T - E) u with u = de / (de + dg), de and dg the distances to edge and
  grind line; hollow and convex: the circular arc through (0, E) and (h, T), h = de + dg;
* one side only: the whole t - e on one face; the other stays at T;
* taper: the stock falls linearly in x from a station to the tip;
* a plunge cut by a round file of radius r: behind its tangent point the file's arc;
* a swedge: a flat bevel on both faces from the spine, ahead of its end.

Writes `blades.json`:  python3 tests/reference/blades_reference.py
Needs numpy, scipy, shapely (general-purpose reference libraries).
"""

import json
import pathlib

import numpy as np
from scipy.spatial import cKDTree
from shapely.geometry import LineString, Polygon

HERE = pathlib.Path(__file__).parent
STARTERS = HERE / ".." / ".." / "assets" / "starters"
STEP, COLUMN, PLACES = 0.004, 0.15, 200

BEVEL = {"plunge_x_mm": 94.0, "grind_height_mm": 18.0, "edge_thickness_mm": 0.5}
BLADES = [
    ("drop-point", {}),
    ("drop-point", {"bevel": {**BEVEL, "grind": "hollow", "wheel_mm": 900.0, "plunge_file_mm": 6.0}}),
    ("drop-point", {"bevel": {**BEVEL, "grind": "convex", "radius_mm": 250.0, "sides": "left"}}),
    ("drop-point", {"bevel": {**BEVEL, "plunge_lean_deg": 12.0, "plunge_file_mm": 8.0},
                    "taper": {"from_x_mm": 95.0, "tip_mm": 1.6}}),
    ("drop-point", {"bevel": {**BEVEL, "up_to": "spine"}}),
    ("drop-point", {"bevel": {**BEVEL, "up_to": "line",
                              "line_mm": [[20.0, 14.0], [60.0, 12.0], [94.0, 15.0]]}}),
    ("drop-point", {"bevel": {**BEVEL, "grind_height_mm": 12.0},
                    "swedge": {"from_x_mm": 45.0, "height_mm": 4.0, "thickness_mm": 1.0}}),
    ("chefs-8in", {"taper": {"from_x_mm": 200.0, "tip_mm": 1.2}}),
    ("bird-and-trout", {}),
    ("clip-point", {}),
]


def flatten(p, q, a, b, n=400):
    """Points of a line or cubic from p to q with handles a, b."""
    t = np.linspace(0.0, 1.0, n + 1)[:, None]
    if a is None and b is None:
        return p + (q - p) * t
    a = p if a is None else a
    b = q if b is None else b
    return (1 - t) ** 3 * p + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t**2 * b + t**3 * q


def dense(points, step=STEP):
    """A polyline with places no further apart than a step."""
    out = [points[:1]]
    for p, q in zip(points[:-1], points[1:]):
        n = max(1, int(np.ceil(np.hypot(*(q - p)) / step)))
        out.append(p + (q - p) * (np.arange(1, n + 1) / n)[:, None])
    return np.vstack(out)


class Run:
    """Distance to a polyline."""

    def __init__(self, points):
        self.points = dense(np.asarray(points, float))
        self.tree = cKDTree(self.points)

    def distance(self, p):
        return self.tree.query(p)[0]

    def side(self, p):
        _, i = self.tree.query(p)
        i = np.clip(i, 1, len(self.points) - 2)
        way = self.points[i + 1] - self.points[i - 1]
        off = p - self.points[i]
        return np.sign(way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0])


def until(points, x, towards_butt):
    """A polyline from its start until it first crosses a station."""
    past = np.nonzero((points[:, 0] - x) * towards_butt > 0)[0]
    if len(past) == 0:
        return points
    i = past[0]
    a, b = points[i - 1], points[i]
    return np.vstack([points[:i], a + (b - a) * (x - a[0]) / (b[0] - a[0])])


def smooth(points):
    """The curve through points: slopes of the parabolas through neighbours, cubics between."""
    points = np.asarray(points, float)
    steps = np.diff(points, axis=0)
    longs = np.hypot(steps[:, 0], steps[:, 1])
    ways = steps / longs[:, None]
    slopes = [ways[0]]
    for i in range(1, len(points) - 1):
        slopes.append((ways[i - 1] * longs[i] + ways[i] * longs[i - 1]) / (longs[i - 1] + longs[i]))
    slopes.append(ways[-1])
    out = [points[:1]]
    for i, length in enumerate(longs):
        a, b = points[i] + slopes[i] * length / 3, points[i + 1] - slopes[i + 1] * length / 3
        out.append(flatten(points[i], points[i + 1], a, b)[1:])
    return np.vstack(out)


class Knife:
    def __init__(self, file):
        nodes = file["profile"]["nodes"]
        at = {n["id"]: i for i, n in enumerate(nodes)}
        place = lambda v: None if v is None else np.array(v, float)
        segs = []
        for a, b in zip(nodes, nodes[1:] + nodes[:1]):
            segs.append(flatten(place(a["at_mm"]), place(b["at_mm"]),
                                place(a.get("handle_out_mm")), place(b.get("handle_in_mm"))))
        tip, heel, n = at[file["profile"]["tip"]], at[file["profile"]["heel"]], len(nodes)
        walk = lambda i, j: np.vstack([segs[(i + k) % n] for k in range((j - i) % n)])
        one, other = walk(tip, heel), walk(heel, tip)[::-1]
        length = lambda p: np.hypot(*np.diff(p, axis=0).T).sum()
        edge, away = (one, other) if length(one) <= length(other) else (other, one)
        self.poly = Polygon(np.vstack(segs))
        x0, y0, x1, y1 = self.bounds = self.poly.bounds
        self.butt = -1.0 if edge[0][0] > (x0 + x1) / 2 else 1.0
        self.t = file["bar"]["thickness_mm"]
        self.holes = file.get("holes", [])
        self.taper, self.swedge = file.get("taper"), file.get("swedge")
        self.tip_x = edge[0][0]
        bevel = self.bevel = file["bevel"]
        x = bevel["plunge_x_mm"]
        cut = self.poly.intersection(LineString([(x, y0 - 1), (x, y1 + 1)]))
        self.foot = np.array([x, cut.bounds[1]])  # The starters' edges lie below.
        lean = np.radians(bevel.get("plunge_lean_deg", 0.0))
        self.ahead = np.array([-self.butt * np.cos(lean), np.sin(lean)])
        way = edge[-1] - edge[-3]
        off = -np.dot(edge[-1] - self.foot, self.ahead) / np.dot(way, self.ahead)
        if off > 0:
            edge = np.vstack([edge, edge[-1] + way * off])
        self.edge = Run(edge)
        self.top = None
        if bevel.get("up_to") == "spine":
            self.top = Run(until(away, x, self.butt))
        elif bevel.get("up_to") == "line":
            line = smooth(bevel["line_mm"])
            out = lambda a, b: a + (a - b) / np.hypot(*(a - b)) * (x1 - x0)
            self.top = Run(np.vstack([out(line[0], line[1]), line, out(line[-1], line[-2])]))
        if self.swedge:
            self.spine = Run(until(away, self.swedge["from_x_mm"], self.butt))

    def stock(self, x):
        t = np.full_like(x, self.t)
        if self.taper:
            a, b = self.taper["from_x_mm"], self.tip_x
            t += (self.taper["tip_mm"] - self.t) * np.clip((x - a) / (b - a), 0, 1)
        return t

    def face(self, de, h, edge, half):
        """Half thickness along a face that rises from `edge` to `half` over h."""
        u = de / h
        bevel = self.bevel
        if "grind" not in bevel:
            return edge + (half - edge) * u
        r = bevel["wheel_mm"] / 2 if bevel["grind"] == "hollow" else bevel["radius_mm"]
        out = 1.0 if bevel["grind"] == "hollow" else -1.0
        rise = half - edge
        chord = np.hypot(h, rise)
        away = out * np.sqrt(r * r - chord * chord / 4)
        cx, cz = h / 2 - rise / chord * away, (edge + half) / 2 + h / chord * away
        return cz - out * np.sqrt(r * r - (u * h - cx) ** 2)

    def halves(self, p):
        half = self.stock(p[:, 0]) / 2
        left, right = half.copy(), half.copy()
        bevel = self.bevel
        ahead = (p - self.foot) @ self.ahead
        swedged = self.swedge and ((self.swedge["from_x_mm"] - p[:, 0]) * self.butt >= 0).any()
        if (ahead < 0).all() and not swedged:
            return left, right
        de = self.edge.distance(p)
        if self.top is None:
            h = np.full_like(de, bevel["grind_height_mm"])
            beneath = de < h
        else:
            h = de + self.top.distance(p)
            inner = np.array([[p_[0], p_[1]] for p_ in self.edge.points[[len(self.edge.points) // 2]]])
            beneath = self.top.side(p) == self.top.side(inner)
        e, sides = bevel["edge_thickness_mm"], bevel.get("sides", "both")
        edge = np.full_like(half, e / 2) if sides == "both" else e - half
        z = self.face(de, h, edge, half)
        r = bevel.get("plunge_file_mm", 0.0) / 2
        d = np.clip(half - z, 0, r)
        run = np.sqrt(np.maximum(r * r - (r - d) ** 2, 0))
        arc = z + r - np.sqrt(np.maximum(r * r - (ahead - run) ** 2, 0))
        z = np.where(ahead >= run, z, np.minimum(arc, half))
        cut = (ahead >= 0) & beneath & (e < 2 * half)
        if sides in ("both", "left"):
            left = np.where(cut, np.minimum(left, z), left)
        if sides in ("both", "right"):
            right = np.where(cut, np.minimum(right, z), right)
        if self.swedge:
            ds, hs = self.spine.distance(p), self.swedge["height_mm"]
            s = self.swedge["thickness_mm"] / 2
            zs = s + (half - s) * ds / hs
            on = ((self.swedge["from_x_mm"] - p[:, 0]) * self.butt >= 0) & (ds < hs) & (s < half)
            left = np.where(on, np.minimum(left, zs), left)
            right = np.where(on, np.minimum(right, zs), right)
        return left, right

    def spans(self, x):
        """Heights between which there is steel at a station, holes not taken off."""
        cut = self.poly.intersection(LineString([(x, self.bounds[1] - 1), (x, self.bounds[3] + 1)]))
        lines = [cut] if cut.geom_type == "LineString" else list(getattr(cut, "geoms", []))
        return [(l.bounds[1], l.bounds[3]) for l in lines if l.length > 0]

    def solid(self):
        x0, _, x1, _ = self.bounds
        # Columns between every station where something begins, so that none holds a step.
        ends = [x0, x1, self.foot[0]]
        ends += [self.taper["from_x_mm"]] if self.taper else []
        ends += [self.swedge["from_x_mm"]] if self.swedge else []
        ends = sorted(e for e in ends if x0 <= e <= x1)
        volume, moment = 0.0, np.zeros(2)
        for a, b in zip(ends[:-1], ends[1:]):
            n = max(1, int(np.ceil((b - a) / COLUMN)))
            for x in a + (b - a) * (np.arange(n) + 0.5) / n:
                for low, high in self.spans(x):
                    y = low + (high - low) * (np.arange(PLACES) + 0.5) / PLACES
                    p = np.column_stack([np.full(PLACES, x), y])
                    left, right = self.halves(p)
                    w = (left + right) * (high - low) / PLACES * (b - a) / n
                    volume += w.sum()
                    moment += (p * w[:, None]).sum(axis=0)
        for hole in self.holes:
            c = np.array([hole["at_mm"]], float)
            left, right = self.halves(c)
            lost = np.pi * hole["diameter_mm"] ** 2 / 4 * (left + right)[0]
            volume -= lost
            moment -= c[0] * lost
        return volume, moment / volume

    def section(self, x):
        spans = self.spans(x)
        places = []
        for low, high in spans:
            for up in (0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98):
                y = low + (high - low) * up
                left, right = self.halves(np.array([[x, y]]))
                places.append([y, float(left[0]), float(right[0])])
        return {"x_mm": x, "spans_mm": spans, "places": places}


def main():
    told = []
    for starter, blade in BLADES:
        file = json.loads((STARTERS / f"{starter}.blank.json").read_text())
        file.update(blade)
        knife = Knife(file)
        volume, centre = knife.solid()
        x0, x1 = sorted([knife.tip_x, knife.foot[0]])
        sections = [knife.section(x0 + (x1 - x0) * s) for s in (0.15, 0.4, 0.65, 0.9)]
        print(starter, list(blade), round(volume, 2), centre)
        told.append({"starter": starter, "blade": blade, "volume_mm3": volume,
                     "centre_mm": list(centre), "sections": sections})
    (HERE / "blades.json").write_text(json.dumps({"blades": told}, indent=1) + "\n")


main()
