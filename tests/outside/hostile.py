#!/usr/bin/env python3
"""Hostile files against the program: every command on every one must end in time and in memory, with
exit code 0, 1 or 2, one sentence where it is 2, and no panic. Processor time and peak memory are
read from outside (wait4).

  hostile.py --program target/release/blankwright
  hostile.py --program target/debug/blankwright --seconds 12     (a dev build is some times slower)
  hostile.py --program … --only comb --list                      (some of them, every figure told)
"""
import argparse
import copy
import itertools
import json
import math
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MAX_NODES = 10000
WALL_S = 120


def sample(name):
    return json.loads((ROOT / "samples" / f"{name}.blank.json").read_text())


def with_outline(base, points, closed_form=None):
    """The sample with these corners as its outline, tip the leftmost, heel half way along below."""
    knife = copy.deepcopy(base)
    nodes = [{"id": i + 1, "at_mm": [round(x, 6), round(y, 6)]} for i, (x, y) in enumerate(points)]
    left = min(range(len(points)), key=lambda i: points[i][0])
    middle = sorted(q[1] for q in points)[len(points) // 2]
    low = [i for i, p in enumerate(points) if p[1] <= middle]
    heel = min(low, key=lambda i: abs(points[i][0] - 116.0))
    knife["profile"] = {"nodes": nodes, "tip": left + 1, "heel": heel + 1}
    return knife


def spread(points, x0=0.0, x1=243.0, y0=-24.0, y1=9.0):
    """The points in the box of the usual blank."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    (a, b), (c, d) = (min(xs), max(xs)), (min(ys), max(ys))
    return [(x0 + (x - a) / (b - a) * (x1 - x0), y0 + (y - c) / (d - c) * (y1 - y0)) for x, y in points]


def star(n, inner=0.9):
    turn = lambda i: 2 * math.pi * i / n
    return spread([((1.0 if i % 2 else inner) * math.cos(turn(i)), (1.0 if i % 2 else inner) * math.sin(turn(i))) for i in range(n)])


def comb(n, depth=5.0, both=False, below=False):
    """n nodes of a bar with teeth on its upper side, or on both, or below."""
    teeth = (n - 4) // (4 if both else 2)
    up, down = [], []
    for i in range(teeth):
        x = 243.0 * (1 - i / teeth)
        up += [(x - 121.5 / teeth, 9.0 - depth), (x - 243.0 / teeth, 9.0)]
        down += [(243.0 - x + 121.5 / teeth, -24.0 + depth), (243.0 - x + 243.0 / teeth, -24.0)]
    corners = [(0.0, -24.0)] + (down if both else []) + [(243.0, -24.0), (243.0, 9.0)] + up
    corners = [p for i, p in enumerate(corners) if p != corners[i - 1]]
    return [(x, -15.0 - y) for x, y in corners][::-1] if below else corners


def spiral(n):
    """A strip wound up."""
    half = n // 2
    arm = lambda i, off: (
        (2 + off + 14 * i / half) * math.cos(20 * math.pi * i / half),
        (2 + off + 14 * i / half) * math.sin(20 * math.pi * i / half),
    )
    return spread([arm(i, 0) for i in range(half)] + [arm(i, 0.5) for i in range(half)][::-1])


def scribble(n, seed=1):
    chance = random.Random(seed)
    return [(chance.uniform(0, 243), chance.uniform(-24, 9)) for _ in range(n)]


def slits(n):
    """Slits right through to near the other side, alternately from above and below."""
    count = (n - 4) // 6
    up, down = [], []
    for i in range(count):
        x = 5 + 233 * i / count
        down += [(x, -24.0), (x + 0.02, 8.5), (x + 0.04, -24.0)]
        up += [(x + 0.6 * 233 / count, 9.0), (x + 0.6 * 233 / count + 0.02, -23.5), (x + 0.6 * 233 / count + 0.04, 9.0)]
    return [(0.0, -24.0)] + down + [(243.0, -24.0), (243.0, 9.0)] + up[::-1] + [(0.0, 9.0)]


def curved(knife, handle, seed=3):
    """The same with handles of any direction on every node."""
    chance = random.Random(seed)
    for node in knife["profile"]["nodes"]:
        x, y = node["at_mm"]
        for key in ("handle_in_mm", "handle_out_mm"):
            node[key] = [x + chance.uniform(-handle, handle), y + chance.uniform(-handle, handle)]
    return knife


def ring(n):
    return star(n, 1.0)


def blanks():
    """Name and knife of every hostile blank."""
    camp, bolstered = sample("scalloped-camp-knife"), sample("bolstered-woodland-knife")
    n = MAX_NODES
    shapes = {
        "star": star(n), "star-deep": star(n, 0.3), "ring": ring(n), "comb": comb(n), "comb-deep": comb(n, 28.0),
        "comb-below": comb(n, 5.0, below=True), "comb-both": comb(n, 12.0, both=True),
        "comb-fine": comb(n, 0.01), "spiral": spiral(n), "scribble": scribble(n), "scribble-few": scribble(200),
        "slits": slits(n), "same-place": ring(n // 2) * 2, "comb-1000": comb(1000), "star-1000": star(1000),
        "slits-300": slits(300), "comb-300": comb(300, 20.0), "spiral-400": spiral(400),
    }
    for base_name, base in (("camp", camp), ("bolstered", bolstered)):
        for name, points in shapes.items():
            yield f"{name}-{base_name}", with_outline(base, points[:n])
        bare = {k: v for k, v in base.items() if k in ("format", "version", "name", "unit", "bar")}
        yield f"curls-{base_name}", curved(with_outline(base, ring(n)), 0.3)
        yield f"loops-{base_name}", curved(with_outline(base, ring(n)), 50.0)
        yield f"loops-few-{base_name}", curved(with_outline(base, ring(60)), 20.0)
        # Many holes: apart, on one spot, and over each other.
        for name, at in (
            ("apart", lambda i: [2 + 0.24 * i, -8 + 5 * math.sin(i)]),
            ("one-spot", lambda i: [120.0, -8.0]),
            ("grid", lambda i: [6 + (i % 100) * 2.3, -14 + (i // 100) * 2.0]),
        ):
            for kind, more in (("pin", {"pin_mm": 1.5}), ("relief", {})):
                knife = copy.deepcopy(base)
                knife["holes"] = [
                    {"id": i + 1, "name": "W" * 200, "kind": kind, "at_mm": at(i), "diameter_mm": 1.6, **more}
                    for i in range(1000)
                ]
                yield f"holes-{name}-{kind}-{base_name}", knife
        knife = with_outline(base, comb(n))
        knife["holes"] = [{"id": i + 1, "name": "", "kind": "pin", "at_mm": [1 + 0.24 * i, -10], "diameter_mm": 0.2, "pin_mm": 0.1} for i in range(1000)]
        yield f"comb-holes-{base_name}", knife
        # Very large and very small, with everything on them.
        for name, by in (("tiny", 0.03), ("small", 0.35), ("half", 0.5), ("metre", 4.0), ("eight-metres", 33.0), ("far", 1000.0)):
            knife = scaled(base, by)
            yield f"{name}-{base_name}", knife
            if by > 1:
                knife = copy.deepcopy(knife)
                knife["bar"].update(width_mm=1000.0, length_mm=10000.0)
                yield f"{name}-on-bar-{base_name}", knife
        # Every number at its least and at its most.
        knife = copy.deepcopy(base)
        knife["cutting"] = {"drill_mm": 0.5, "bridge_mm": 0.1, "leave_mm": 0.0}
        yield f"chain-fine-{base_name}", knife
        yield f"chain-fine-comb-{base_name}", {**with_outline(base, comb(n, 28.0)), "cutting": knife["cutting"]}
        yield f"chain-fine-spiral-{base_name}", {**with_outline(base, spiral(n)), "cutting": knife["cutting"]}
        yield f"chain-fine-metres-{base_name}", {**scaled(base, 12.0), "cutting": knife["cutting"], "bar": {**base["bar"], "width_mm": 1000.0, "length_mm": 10000.0}}
        knife = copy.deepcopy(base)
        knife.setdefault("handle", {})["jimping"] = {"side": "spine", "from_x_mm": 0.0, "to_x_mm": 243.0, "pitch_mm": 0.1, "depth_mm": 0.05, "vee_deg": 60.0}
        yield f"jimping-fine-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["bevel"]["line_mm"] = [[1.1 * i, -10 + (8 if i % 2 else -6)] for i in range(100)]
        yield f"grind-zigzag-{base_name}", knife
        for name, points in (("far", [[50, -5], [1e7, 1e7], [100, -5]]), ("far-zigzag", [[1e7 * (-1) ** i, 1e7 * math.sin(i)] for i in range(100)])):
            knife = copy.deepcopy(base)
            knife["bevel"].update(up_to="line", line_mm=points)
            yield f"grind-{name}-{base_name}", knife
        # As many dimensions as are kept: edges that run alongside each other, and the whole way round.
        for name, shape, one in (
            ("gaps-of-one", None, lambda i: {"kind": "gap", "from": {"stretch": 2}, "to": {"stretch": 2}}),
            ("gaps", None, lambda i: {"kind": "gap", "from": {"stretch": 1 + i % 8}, "to": {"stretch": 1 + i // 8 % 8}}),
            ("gaps-rect", [(0, 0), (240, 0), (240, 30), (0, 30)], lambda i: {"kind": "gap", "from": {"stretch": 1}, "to": {"stretch": 3}}),
            ("along", star(n), lambda i: {"kind": "along", "from": {"node": 1 + i}, "to": {"node": 1 + (i + n // 2) % n}}),
        ):
            knife = copy.deepcopy(base) if shape is None else with_outline(base, shape)
            knife["dimensions"] = [one(i) for i in range(1000)]
            yield f"dimensions-{name}-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["handle"]["shaping"] = {"round_mm": 3.0, "thickness": [{"x_mm": 135.0 + 2 * i, "thickness_mm": 1.0 + 5 * (i % 2)} for i in range(50)]}
        knife["handle"]["scallops"] = {"count": 200, "front_mm": 0.0, "butt_mm": 0.0, "drum_mm": 500.0, "angle_deg": 5.0, "depth_mm": 3.0}
        yield f"scallops-{base_name}", knife
        knife = copy.deepcopy(knife)
        knife["handle"]["scallops"] = {"pitch_mm": 0.1, "front_mm": 0.0, "butt_mm": 0.0, "drum_mm": 20.0, "angle_deg": 12.0, "depth_mm": 0.8}
        yield f"scallops-pitch-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["bevel"].update(grind_height_mm=33.0, edge_thickness_mm=0.0, plunge_file_mm=50.0, plunge_lean_deg=60.0)
        yield f"bevel-extreme-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["bevel"].update(grind_height_mm=0.1, edge_thickness_mm=0.0, plunge_x_mm=1e7)
        yield f"bevel-far-{base_name}", knife
        # Sheaths with as many stitches as there can be, round outlines with as many corners.
        for name, points in (("own", None), ("comb", shapes["comb"]), ("star-deep", shapes["star-deep"])):
            for kind in ("folded leather", "two-sided thermoplastic"):
                knife = copy.deepcopy(base) if points is None else with_outline(base, points[:n])
                knife["sheath"] = fine_sheath(kind)
                yield f"sheath-{name}-{kind.split()[1]}-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["notes"] = "W\u0301" * 10000
        knife["name"] = "\u05d0W" * 100
        yield f"notes-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["notes"] = "\n" * 20000
        yield f"notes-lines-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["notes"] = "\ufdfa" * 20000
        yield f"notes-wide-{base_name}", knife
        aside = lambda i, parts: {"rule": f"web-to-edge-{i}", "parts": parts, "severity": "take care", "measured_mm": 1.0, "limit_mm": 2.0, "reason": "W" * 500}
        knife = with_outline(base, ring(n))
        knife["set_aside"] = [aside(i, [f"node {n - j}" for j in range(99)]) for i in range(400)]
        yield f"asides-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["set_aside"] = [aside(i, ["profile"]) for i in range(1000)]
        yield f"asides-many-{base_name}", knife
        knife = copy.deepcopy(base)
        knife["bar"]["placement"] = {"at_mm": [9e6, -9e6], "turn_deg": 359.0}
        yield f"off-the-bar-{base_name}", knife


def fine_sheath(kind):
    """A sheath of a kind with the closest row and the widest rim."""
    sheath = {"kind": kind, "cover_mm": 60.0, "clearance_mm": 0.0, "drain_mm": 1.0, "thickness_mm": 0.5}
    if kind.endswith("leather"):
        row = {"welt_width_mm": 60.0, "stitch_pitch_mm": 1.0, "stitch_margin_mm": 2.0, "belt_mm": 60.0, "loop_width_mm": 20.0}
    else:
        row = {"eyelet_mm": 1.0, "eyelet_pitch_mm": 4.0, "eyelet_offset_mm": 5.0, "eyelet_margin_mm": 5.0, "allowance_mm": 5.0}
    return {**sheath, **row}


def scaled(base, by):
    """Everything in the plane so many times as large."""
    def grow(value):
        return [v * by for v in value] if isinstance(value, list) else value * by
    knife = copy.deepcopy(base)
    for node in knife["profile"]["nodes"]:
        for key in ("at_mm", "handle_in_mm", "handle_out_mm"):
            if key in node:
                node[key] = grow(node[key])
    for hole in knife["holes"]:
        hole["at_mm"] = grow(hole["at_mm"])
    if "bevel" in knife:
        knife["bevel"]["plunge_x_mm"] *= by
        knife["bevel"]["grind_height_mm"] = min(max(0.1, knife["bevel"]["grind_height_mm"] * by), 500.0)
    if "scales" in knife:
        knife["scales"]["front_x_mm"] *= by
    return knife


def texts():
    """Name, bytes and ending of everything else that is hostile."""
    whole = (ROOT / "samples/first-knife.blank.json").read_text()
    yield "deep-json", b'{"format":"blankwright","version":1,"name":' + b"[" * 200_000, ".blank.json"
    yield "deep-objects", b'{"a":' * 100_000, ".blank.json"
    yield "many-ones", b'{"format":"blankwright","version":1,"name":[' + b"1," * 24_000_000 + b"1]}", ".blank.json"
    yield "many-fields", b'{"format":"blankwright","version":1' + b"".join(b',"f%d":1' % i for i in range(3_000_000)) + b"}", ".blank.json"
    yield "one-field-often", b'{"format":"blankwright","version":1' + b',"name":"x"' * 4_000_000 + b"}", ".blank.json"
    yield "long-string", b'{"format":"blankwright","version":1,"name":"' + b"x" * 48_000_000 + b'"}', ".blank.json"
    yield "long-keys", b'{"format":"blankwright","version":1' + b"".join(b',"' + b"k" * 50_000 + b'%d":[[[1]]]' % i for i in range(900)) + b"}", ".blank.json"
    yield "escapes", b'{"format":"blankwright","version":1,"name":"' + b"\\u0041" * 8_000_000 + b'"}', ".blank.json"
    yield "long-number", b'{"format":"blankwright","version":1,"name":' + b"9" * 48_000_000 + b"}", ".blank.json"
    yield "long-fraction", b'{"format":"blankwright","version":1,"name":0.' + b"1" * 48_000_000 + b"}", ".blank.json"
    yield "zeros", b"\0" * 49_000_000, ".blank.json"
    yield "spaces", b" " * 49_000_000, ".blank.json"
    yield "too-large", b" " * 60_000_000, ".blank.json"
    yield "latin", whole.encode("utf-16"), ".blank.json"
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="60mm" viewBox="0 0 300 60">'
    blade = '<path d="M5 30 C60 5 200 5 290 20 V45 H120 L110 50 Z"/>'

    def svg(inside):
        return (head + inside + "</svg>").encode()

    yield "svg-plain", svg(blade), ".svg"
    path = "M" + " L".join(f"{150 + 140 * math.cos(i / 30239.4):.4f},{30 + 25 * math.sin(i / 30239.4):.4f}" for i in range(190_000)) + "Z"
    yield "svg-190000-nodes", svg(f'<path d="{path}"/>'), ".svg"
    path = "M" + " L".join(f"{x:.3f},{y + 30:.3f}" for x, y in scribble(MAX_NODES)) + "Z"
    yield "svg-scribble", svg(f'<path d="{path}"/>'), ".svg"
    yield "svg-open-pieces", svg("".join(f'<path fill="none" stroke="black" d="M{x:.3f} {y + 30:.3f}L{x + .5:.3f} {y + 30.5:.3f}"/>' for x, y in scribble(100_000))), ".svg"
    pieces = [(150 + 140 * math.cos(2 * math.pi * i / 4900), 30 + 25 * math.sin(2 * math.pi * i / 4900)) for i in range(4900)]
    lines = [f'<line stroke="black" x1="{a[0]:.4f}" y1="{a[1]:.4f}" x2="{b[0]:.4f}" y2="{b[1]:.4f}"/>' for a, b in zip(pieces, pieces[1:] + pieces[:1])]
    random.Random(5).shuffle(lines)
    yield "svg-pieces-of-a-ring", svg("".join(lines)), ".svg"
    yield "svg-circles", svg(blade + "".join(f'<circle cx="{10 + x}" cy="{y + 30:.3f}" r="0.7"/>' for x, y in scribble(100_000))), ".svg"
    yield "svg-many-paths", svg("".join(f'<path d="M{x:.2f} {y + 30:.2f}h3v3h-3z"/>' for x, y in scribble(100_000))), ".svg"
    yield "svg-deep-groups", svg("<g>" * 100_000 + blade + "</g>" * 100_000), ".svg"
    yield "svg-deep-transforms", svg('<g transform="rotate(1)">' * 900 + blade + "</g>" * 900), ".svg"
    yield "svg-long-transform", svg(f'<g transform="{"rotate(1) " * 1_000_000}">{blade}</g>'), ".svg"
    uses = "".join(f'<g id="u{i}">' + f'<use href="#u{i - 1}"/>' * 10 + "</g>" for i in range(1, 12))
    yield "svg-uses", svg(f'<g id="u0">{blade}</g>{uses}<use href="#u11"/>'), ".svg"
    yield "svg-use-of-itself", svg(f'<g id="a">{blade}<use href="#a"/></g>'), ".svg"
    uses = "".join(f'<g id="v{i}"><use href="#v{i - 1}"/></g>' for i in range(1, 50_000))
    yield "svg-chain-of-uses", svg(f'<g id="v0">{blade}</g>{uses}<use href="#v49999"/>'), ".svg"
    # What is said of an element that is copied ten thousand times.
    copies = '<g id="w">' + '<use href="#e"/>' * 100 + "</g>" + '<use href="#w"/>' * 100
    for name, said in (
        ("style", 'style="' + "a:b;" * 50_000 + '"'), ("class", 'class="' + " ".join(f"c{i}" for i in range(30_000)) + '"'),
        ("transform", 'transform="' + "scale(1) " * 20_000 + '"'), ("moves", 'd="' + "M0 0" * 50_000 + '"'),
        ("attributes", " ".join(f'a{i}=""' for i in range(900))),
    ):
        yield f"svg-copies-{name}", svg(f'<style>.c1 .d1 {{ fill: red; display: inline }}</style>{blade}<defs><path id="e" {said}/></defs>{copies}'), ".svg"
    yield "svg-copies-remarks", svg(f'{blade}<g id="e">{"<!-- -->" * 300_000}</g>{copies}'), ".svg"
    yield "svg-long-style", svg(f'<g style="{"a:b;" * 5_000_000}">{blade}</g>'), ".svg"
    yield "svg-long-rule", svg(f'<style>path {{ {"a:b;" * 5_000_000} display: inline }}</style>{blade}'), ".svg"
    rules = "".join(f".c{i} .d{i} > path:first-child {{ fill: red; stroke: none }}" for i in range(20_000))
    yield "svg-styles", svg(f"<style>{rules}</style>" + '<g class="c1"><g class="d1">' + blade * 2000 + "</g></g>"), ".svg"
    yield "svg-classes", svg(f'<style>{rules}</style><path class="{" ".join(f"c{i}" for i in range(50_000))}" d="M5 5h200v30h-200z"/>'), ".svg"
    yield "svg-attributes", svg("<path" + "".join(f' a{i}=""' for i in range(200_000)) + ' d="M5 5h200v30h-200z"/>'), ".svg"
    yield "svg-many-attributes", svg(("<g" + "".join(f' a{i}=""' for i in range(900)) + "/>") * 2000 + blade), ".svg"
    yield "svg-namespaces", svg("<g" + "".join(f' xmlns:n{i}="u{i}"' for i in range(900)) + ">" + '<g xmlns:x="y">' * 500 + blade + "</g>" * 500 + "</g>"), ".svg"
    yield "svg-arcs", svg('<path d="M5 30' + "A1e9 1e-9 30 1 1 200 40A.001 90 9 0 0 10 10" * 2400 + 'Z"/>'), ".svg"
    yield "svg-huge-numbers", svg('<path d="M5 30L1e308 1e308L-1e308 9e307Z"/>' + blade), ".svg"
    yield "svg-tiny-viewbox", blade.join(['<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="60mm" viewBox="0 0 1e-300 1e-300">', "</svg>"]).encode(), ".svg"
    entities = "<!DOCTYPE svg [<!ENTITY a0 'M5 5h200v30h-200z'>" + "".join(f"<!ENTITY a{i} '{f'&a{i - 1};' * 10}'>" for i in range(1, 12)) + "]>"
    yield "svg-entities", (entities + head + '<path d="&a11;"/></svg>').encode(), ".svg"
    yield "svg-comments", svg("<!-- -->" * 3_000_000 + blade), ".svg"
    yield "svg-text", svg("x" * 45_000_000 + blade), ".svg"
    yield "svg-elements", svg("<g/>" * 5_000_000 + blade), ".svg"
    dxf = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{}0\nENDSEC\n0\nEOF\n"
    line = lambda a, b: f"0\nLINE\n8\n0\n10\n{a[0]:.4f}\n20\n{a[1]:.4f}\n11\n{b[0]:.4f}\n21\n{b[1]:.4f}\n"
    yield "dxf-lines", dxf.format("".join(line(a, b) for a, b in zip(pieces, pieces[1:] + pieces[:1]))).encode(), ".dxf"
    mess = scribble(200_000)
    yield "dxf-mess", dxf.format("".join(line(a, b) for a, b in zip(mess, mess[1:]))).encode(), ".dxf"
    yield "dxf-circles", dxf.format("".join(f"0\nCIRCLE\n8\n0\n10\n{x:.3f}\n20\n{y:.3f}\n40\n1\n" for x, y in mess)).encode(), ".dxf"
    vertices = "".join(f"10\n{x:.4f}\n20\n{y:.4f}\n42\n0.9\n" for x, y in scribble(100_000))
    yield "dxf-bulges", dxf.format(f"0\nLWPOLYLINE\n8\n0\n90\n100000\n70\n1\n{vertices}").encode(), ".dxf"
    blocks = "0\nSECTION\n2\nBLOCKS\n" + "".join(
        f"0\nBLOCK\n2\nB{i}\n70\n0\n10\n0\n20\n0\n" + f"0\nINSERT\n2\nB{i - 1}\n10\n0\n20\n0\n" * 10 + "0\nENDBLK\n" for i in range(1, 12)
    ) + "0\nENDSEC\n"
    yield "dxf-inserts", (blocks + "0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nB11\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n").encode(), ".dxf"
    long = "\u00c9" * 3_000_000
    yield "dxf-long-layer", (f"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n70\n0\n10\n0\n20\n0\n0\nLINE\n8\n{long}\n10\n0\n20\n0\n11\n9\n21\n0\n0\nENDBLK\n0\nENDSEC\n" + "0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nB\n10\n0\n20\n0\n70\n100\n71\n100\n44\n1\n45\n1\n0\nENDSEC\n0\nEOF\n").encode(), ".dxf"
    dated = dxf.replace("9\n$INSUNITS", "9\n$TDCREATE\n40\n99999999999\n9\n$INSUNITS")
    yield "dxf-dates", dated.format("".join(line(a, b) for a, b in zip(pieces, pieces[1:] + pieces[:1]))).encode(), ".dxf"
    yield "dxf-tabs", ("0\nX\n\x0b\x0b0\nSECTION\n2\nHEADER\n9\n$TDCREATE\n40\n99999999999\n0\nENDSEC\n" + dxf.format("")).encode(), ".dxf"
    knots = "".join(f"40\n{i}\n" for i in range(30_004)) + "".join(f"10\n{x:.3f}\n20\n{y:.3f}\n" for x, y in scribble(30_000))
    yield "dxf-spline", dxf.format(f"0\nSPLINE\n8\n0\n70\n8\n71\n3\n72\n30004\n73\n30000\n{knots}").encode(), ".dxf"
    yield "dxf-spline-degree", dxf.format("0\nSPLINE\n8\n0\n70\n8\n71\n3000\n72\n9001\n73\n6000\n" + "".join(f"40\n{i}\n" for i in range(9001)) + "".join(f"10\n{x:.3f}\n20\n{y:.3f}\n" for x, y in scribble(6000))).encode(), ".dxf"


def write_all(folder, wanted):
    """Writes every file whose name begins as wanted."""
    blank = lambda knife: json.dumps(knife, ensure_ascii=False).encode()
    made = itertools.chain(((name, blank(knife), ".blank.json") for name, knife in blanks()), texts())
    for name, data, ending in made:
        if not wanted or any(name.startswith(only) for only in wanted):
            (folder / f"{name}{ending}").write_bytes(data)


def commands(path, with_solids):
    """What is done with a file, each as words."""
    out = str(path.parent / "o")
    if path.suffix in (".svg", ".dxf"):
        return [["new", "--outline", str(path), "--out", f"{out}.blank.json"]]
    file = str(path)
    return [
        ["check", file],
        ["numbers", file, "--json"],
        ["print", file, "--paper", "a5", "--sheets", "all", "--out", f"{out}.pdf"],
        ["print", file, "--paper", "a0", "--sheets", "all,all", "--out", f"{out}.pdf"],
        ["bar", file, "--copies", "7", "--out", f"{out}.pdf"],
        ["bar", file, "--copies", "500", "--paper", "a0", "--out", f"{out}.pdf"],
        ["bar", file, "--fill", "--length", "3000mm", "--width", "300mm", "--flip", "--drill", "--paper", "roll:914mm", "--out", f"{out}.pdf"],
        ["draw", file, "--sheet", "bevels", "--out", f"{out}.svg"],
        ["export", file, "--out", f"{out}.dxf"],
        *(solids(file, out) if with_solids else []),
    ]


def solids(file, out):
    """A solid has a budget of triangles, and so may take some times as long as the rest."""
    return [
        ["draw", file, "--view", "three-quarter", "--dpi", "150", "--out", f"{out}.png"],
        ["export", file, "--out", f"{out}.stl"],
        ["export", file, "--tolerance", "0.005mm", "--mock-up", "halves", "--out", f"{out}.3mf"],
    ]


def limits():
    resource.setrlimit(resource.RLIMIT_AS, (6_000_000_000, 6_000_000_000))


def measured(words, cwd):
    """Exit code, processor seconds, peak memory in MB, wall seconds, standard error."""
    begun = time.monotonic()
    with tempfile.TemporaryFile() as err:
        child = subprocess.Popen(words, cwd=cwd, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=err, preexec_fn=limits)
        while True:
            pid, status, used = os.wait4(child.pid, os.WNOHANG)
            if pid:
                break
            if time.monotonic() - begun > WALL_S:
                child.kill()
                pid, status, used = os.wait4(child.pid, 0)
                break
            time.sleep(0.002)
        child.returncode = os.waitstatus_to_exitcode(status)
        err.seek(0)
        told = err.read(100_000).decode(errors="replace")
    return child.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000, time.monotonic() - begun, told


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", required=True)
    parser.add_argument("--seconds", type=float, default=2.0, help="processor time of one command")
    parser.add_argument("--mb", type=float, default=300.0, help="peak memory of one command")
    parser.add_argument("--only", default="", help="files whose names begin so, separated by commas")
    parser.add_argument("--command", default="", help="commands that begin with this word")
    parser.add_argument("--every", type=int, default=1, help="one file in so many")
    parser.add_argument("--solids", action="store_true", help="solids and views too")
    parser.add_argument("--list", action="store_true", help="tell every figure")
    chosen = parser.parse_args()
    program = str(Path(chosen.program).resolve())
    figures, failed = [], []
    with tempfile.TemporaryDirectory() as folder:
        # Written by another process: a child's peak memory counts that of who starts it.
        if not (writer := os.fork()):
            write_all(Path(folder), [only for only in chosen.only.split(",") if only])
            os._exit(0)
        if os.waitpid(writer, 0)[1]:
            sys.exit("the files can't be written")
        for path in sorted(Path(folder).iterdir())[:: chosen.every]:
            for words in commands(path, chosen.solids):
                if not words[0].startswith(chosen.command):
                    continue
                code, cpu, mb, wall, told = measured([program, *words], folder)
                shown = " ".join(word.replace(folder + "/", "") for word in words)
                line = f"{cpu:7.2f} s {mb:7.0f} MB  exit {code}  {shown}"
                figures.append((cpu, mb, line))
                if chosen.list:
                    print(line, "|", told.strip()[:150], flush=True)
                why = []
                if code not in (0, 1, 2):
                    why.append(f"ended with {code}")
                if "panicked" in told or "os error" in told:
                    why.append("says " + told[:300])
                if code == 2 and len(told.strip().splitlines()) != 1 and "fault" not in told and "field" not in told:
                    why.append(f"is refused with {len(told.strip().splitlines())} lines: {told[:200]}")
                if cpu > chosen.seconds:
                    why.append("takes too long")
                if mb > chosen.mb:
                    why.append("takes too much memory")
                if why:
                    failed.append(f"{line}: {'; '.join(why)}")
            path.unlink()
    refused = sum("exit 2  check" in line for *_, line in figures)
    print(f"of all blanks {refused} are refused by check")
    print("the slowest:", *[line for *_, line in sorted(figures, reverse=True)[:12]], sep="\n  ")
    print("the largest:", *[line for *_, line in sorted(figures, key=lambda f: -f[1])[:6]], sep="\n  ")
    print(f"{len(figures)} runs, {len(failed)} fail")
    for line in failed:
        print("FAIL", line)
    sys.exit(bool(failed))


if __name__ == "__main__":
    main()
