"""Places and arc lengths of scallops on the shipped knives, by SciPy.

Definition: first = front of the scales + 8 mm, end = hindmost x - 10 mm; the upper row at
first + k * 13 mm, the lower row half a pitch farther back, both up to the end. Each place's arc
length runs along the outline from where it crosses the scales' front line. Arc lengths are
adaptive quadratures of |B'(t)|, crossings are roots by Brent's method, on the exact curves.

Needs Python 3 with numpy and scipy. Run it in this folder: it writes strips.json.
"""
import json
import pathlib

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

FRONT, BUTT, PITCH = 8.0, 10.0, 13.0
SAMPLES = ["first-knife", "long-slicer", "petty-for-a-friend", "woodland-camp-knife"]


def curves(knife):
    nodes = knife["profile"]["nodes"]
    out = []
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p0, p3 = np.array(a["at_mm"], float), np.array(b["at_mm"], float)
        if "handle_out_mm" not in a and "handle_in_mm" not in b:
            p1, p2 = p0 + (p3 - p0) / 3, p0 + 2 * (p3 - p0) / 3
        else:
            p1 = np.array(a.get("handle_out_mm", a["at_mm"]), float)
            p2 = np.array(b.get("handle_in_mm", b["at_mm"]), float)
        out.append((p0, p1, p2, p3))
    return out


def at(c, t):
    s = 1 - t
    return s**3 * c[0] + 3 * s * s * t * c[1] + 3 * s * t * t * c[2] + t**3 * c[3]


def speed(c, t):
    s = 1 - t
    d = 3 * (s * s * (c[1] - c[0]) + 2 * s * t * (c[2] - c[1]) + t * t * (c[3] - c[2]))
    return float(np.hypot(*d))


def length(c, t0, t1):
    return quad(lambda t: speed(c, t), t0, t1, epsabs=1e-10, epsrel=1e-10, limit=200)[0]


def crossings(cs, x):
    """Every (y, curve, t) at which the outline passes x."""
    found = []
    ts = np.linspace(0, 1, 401)
    for i, c in enumerate(cs):
        f = lambda t: at(c, t)[0] - x
        v = [f(t) for t in ts]
        for k in range(400):
            if v[k] == 0 or v[k] * v[k + 1] < 0:
                t = ts[k] if v[k] == 0 else brentq(f, ts[k], ts[k + 1], xtol=1e-14)
                found.append((float(at(c, t)[1]), i, t))
    return found


def between(cs, a, b):
    """Arc length from a forward round the ring to b."""
    if a[0] == b[0] and a[1] <= b[1]:
        return length(cs[a[0]], a[1], b[1])
    sum_ = length(cs[a[0]], a[1], 1) + length(cs[b[0]], 0, b[1])
    i = (a[0] + 1) % len(cs)
    while i != b[0]:
        sum_ += length(cs[i], 0, 1)
        i = (i + 1) % len(cs)
    return sum_


out = {"front_mm": FRONT, "butt_mm": BUTT, "pitch_mm": PITCH, "knives": []}
for name in SAMPLES:
    knife = json.loads(pathlib.Path(f"../../samples/{name}.blank.json").read_text())
    cs = curves(knife)
    front = knife["scales"]["front_x_mm"]
    butt = max(
        max(
            at(c, minimize_scalar(lambda t: -at(c, t)[0], bounds=(0, 1), method="bounded",
                                  options={"xatol": 1e-13}).x)[0], c[0][0], c[3][0])
        for c in cs
    )
    first, end = front + FRONT, butt - BUTT
    rows = {}
    for row, pick, shift in (("upper", max, 0.0), ("lower", min, PITCH / 2)):
        corner = pick(crossings(cs, front))
        places, x = [], first + shift
        while x <= end + 1e-6:
            y, i, t = pick(crossings(cs, x))
            ways = [between(cs, corner[1:], (i, t)), between(cs, (i, t), corner[1:])]
            places.append({"at_mm": [x, y], "along_mm": min(ways)})
            x += PITCH
        rows[row] = places
    out["knives"].append({"file": name, **rows})
pathlib.Path("strips.json").write_text(json.dumps(out, indent=1) + "\n")
