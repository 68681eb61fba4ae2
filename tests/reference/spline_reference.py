#!/usr/bin/env python3
"""Makes `spline.json`: control points of Hobby's spline, worked out twice.

By numpy, set up another way than in the program: two unknown angles for every curved run, one
dense system for the whole figure (J. D. Hobby, "Smooth, easy to compute interpolating splines",
Discrete & Computational Geometry 1, 1986). And by MetaPost (`mpost`, any usual TeX), the
published implementation of the same spline, asked for the controls it finds. The random seed is
fixed. Needs Python 3 with numpy, and mpost.
"""

import cmath
import json
import math
import pathlib
import random
import subprocess
import tempfile

import numpy

HERE = pathlib.Path(__file__).parent


def velocity(theta, phi):
    st, ct, sp, cp = math.sin(theta), math.cos(theta), math.sin(phi), math.cos(phi)
    over = 2 + math.sqrt(2) * (st - sp / 16) * (sp - st / 16) * (ct - cp)
    under = 1 + (math.sqrt(5) - 1) / 2 * ct + (3 - math.sqrt(5)) / 2 * cp
    return min(over / (3 * under), 4)


def solve(case):
    """The two inner control points of every run."""
    z = [complex(*k["at"]) for k in case["knots"]]
    n, closed = len(z), case["closed"]
    runs = n if closed else n - 1
    way = [z[(i + 1) % n] - z[i] for i in range(runs)]
    line = [case["knots"][i]["straight"] for i in range(runs)]
    # Unknown 2i is theta at the start of run i, 2i + 1 phi at its end.
    matrix, right = numpy.zeros((2 * runs, 2 * runs)), numpy.zeros(2 * runs)
    row = 0

    def equation(weights, value):
        nonlocal row
        for unknown, weight in weights:
            matrix[row, unknown] += weight
        right[row] = value
        row += 1

    def curl(run, at_start):
        if line[run]:
            return equation([(2 * run + (0 if at_start else 1), 1)], 0)
        both_free = free[run][0] and free[run][1]
        if both_free:
            return equation([(2 * run + (0 if at_start else 1), 1)], 0)
        return equation([(2 * run, 1), (2 * run + 1, -1)], 0)

    # Which ends of a run are loose: a run loose at both is a line.
    free = []
    for i in range(runs):
        def loose(knot, other):
            if other is None or case["knots"][knot]["corner"]:
                return True
            return False
        before = (i - 1) % n if closed or i > 0 else None
        behind = (i + 1) % n if closed or i + 1 < runs else None
        free.append((loose(i, before), loose((i + 1) % n, behind)))
    for knot in range(n):
        before = (knot - 1) % n if closed or knot > 0 else None
        behind = knot if closed or knot < runs else None
        if before is None:
            curl(behind, True)
        elif behind is None:
            curl(before, False)
        elif case["knots"][knot]["corner"]:
            curl(before, False)
            curl(behind, True)
        else:
            psi = cmath.phase(way[behind] / way[before])
            if line[before] or line[behind]:
                # Each line keeps its direction; a curve beside it takes it over.
                if line[before]:
                    equation([(2 * before + 1, 1)], 0)
                else:
                    equation([(2 * before + 1, 1)], -psi)
                if line[behind]:
                    equation([(2 * behind, 1)], 0)
                else:
                    equation([(2 * behind, 1)], -psi)
            else:
                equation([(2 * behind, 1), (2 * before + 1, 1)], -psi)
                a, b = 1 / abs(way[before]), 1 / abs(way[behind])
                equation(
                    [(2 * before, a), (2 * before + 1, -2 * a),
                     (2 * behind + 1, -b), (2 * behind, 2 * b)], 0)
    angles = numpy.linalg.solve(matrix, right)
    controls = []
    for i in range(runs):
        theta, phi = angles[2 * i], angles[2 * i + 1]
        u = z[i] + cmath.exp(1j * theta) * way[i] * velocity(theta, phi)
        v = z[(i + 1) % n] - cmath.exp(-1j * phi) * way[i] * velocity(phi, theta)
        controls.append([u.real, u.imag, v.real, v.imag])
    return [[[c[0], c[1]], [c[2], c[3]]] for c in controls]


def metapost(cases):
    """The same by mpost, for all cases in one run."""
    text = []
    for case in cases:
        knots, n = case["knots"], len(case["knots"])
        closed = case["closed"]
        runs = n if closed else n - 1
        line = [knots[i]["straight"] for i in range(runs)]

        def towards(run):
            a, b = knots[run]["at"], knots[(run + 1) % n]["at"]
            return "{(%r,%r)}" % (b[0] - a[0], b[1] - a[1])

        def side(knot, run, other):
            """What is said of the direction at a knot, on the side of a run."""
            if run is None:
                return ""
            if line[run]:
                return towards(run)
            if other is None or knots[knot]["corner"]:
                return "{curl 1}"
            return towards(other) if line[other] else ""

        path = []
        for i in range(n):
            before = (i - 1) % n if closed or i > 0 else None
            behind = i if closed or i < runs else None
            left, right = side(i, before, behind), side(i, behind, before)
            if left == right and left.startswith("{("):
                left = ""
            at = "(%r,%r)" % tuple(knots[i]["at"])
            if i == 0 and closed:
                first, left = left, ""
            path.append(left + at + right)
        words = " .. ".join(path) + ((" .. " + first + "cycle") if closed else "")
        text.append("path p; p := %s;" % words)
        for i in range(runs):
            text.append('show postcontrol %d of p; show precontrol %d of p;' % (i, i + 1))
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder) / "a.mp"
        source.write_text("\n".join(text) + "\nend\n")
        done = subprocess.run(["mpost", "-numbersystem=double", "-interaction=batchmode", "a.mp"],
                              cwd=folder, capture_output=True, text=True)
        log = (pathlib.Path(folder) / "a.log").read_text()
    shown = []
    for words in log.replace("\n", "").split(">> ")[1:]:
        inner = words[words.index("(") + 1:words.index(")")]
        shown.append([float(number) for number in inner.split(",")])
    at = 0
    found = []
    for case in cases:
        runs = len(case["knots"]) - (0 if case["closed"] else 1)
        found.append([[shown[at + 2 * i], shown[at + 2 * i + 1]] for i in range(runs)])
        at += 2 * runs
    assert at == len(shown), (at, len(shown), done.stdout[-500:])
    return found


def knot(x, y, corner=False, straight=False):
    return {"at": [x, y], "corner": corner, "straight": straight}


def cases():
    manual = [(0, 0), (60, 40), (40, 90), (10, 70), (30, 50)]
    yield "manual, open", False, [knot(*p) for p in manual]
    yield "manual, closed", True, [knot(*p) for p in manual]
    blade = [knot(0, 0, True), knot(30, 11), knot(70, 14), knot(110, 13), knot(160, 16),
             knot(205, 12), knot(208, -6), knot(170, -10), knot(125, -7), knot(95, -13, True),
             knot(60, -13, straight=False), knot(25, -10)]
    yield "a blade", True, blade
    straight = [dict(k) for k in blade]
    straight[9]["straight"] = True
    straight[2]["straight"] = True
    yield "a blade with straight runs", True, straight
    yield "a blade, open", False, blade
    dice = random.Random(19860323)
    for number in range(40):
        n = dice.randint(3, 12)
        knots = [knot(round(dice.uniform(-90, 90), 2), round(dice.uniform(-40, 40), 2),
                      dice.random() < 0.2 if number % 2 else False,
                      dice.random() < 0.2 if number % 4 == 3 else False) for _ in range(n)]
        yield "random %d" % number, number % 3 != 0, knots


def main():
    all_cases = [{"name": name, "closed": closed, "knots": knots}
                 for name, closed, knots in cases()]
    for case, found in zip(all_cases, metapost(all_cases)):
        case["numpy"] = solve(case)
        case["metapost"] = found
        far = max(math.dist(a, b) for one, two in zip(case["numpy"], found)
                  for a, b in zip(one, two))
        print(case["name"], "numpy and MetaPost differ by %.2g" % far)
    rows = ",\n".join(json.dumps(case) for case in all_cases)
    (HERE / "spline.json").write_text("[\n" + rows + "\n]\n")


main()
