#!/usr/bin/env python3
"""Solids and cutting files, seen by other libraries: the real program's exports of starters and samples.

Meshes (trimesh, manifold3d, lib3mf):

  - every part of every STL is watertight, faces outward, is a manifold and does not cut through itself
  - blade and centre of mass are those of `numbers`, scales and pins weigh what it says where they are square
  - the 3MF is read without a warning, in millimetres, with names, materials and the STL's own volumes
  - mock-ups are solids too, and halves lie flat
  - a blade whose one-sided bevel meets its swedge is a solid that ends where they meet

DXF (ezdxf, shapely):

  - read without an error, audited without a finding; closed polylines and circles on their layers
  - area, perimeter and holes are those of `numbers`; inches and millimetres agree
  - DXF, blank, DXF again: nothing moves by 0.01 mm
  - drawings of ezdxf in every release from R12 to R2018, of lines, arcs, circles, ellipses, polylines with
    bulges, splines, blocks turned, mirrored and nested, give the outline that ezdxf itself flattens
  - twenty broken files are refused with one sentence

Exits with 1 and says which measure failed. Needs trimesh, manifold3d, lib3mf, ezdxf, shapely, numpy, scipy, lxml, networkx.

  solids.py --program "cargo run --quiet --locked --"
"""
import argparse
import json
import math
import random
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import ezdxf
import lib3mf
import manifold3d
import numpy as np
import trimesh
from ezdxf import path as dxf_path
from lib3mf import get_wrapper
from shapely import affinity, hausdorff_distance
from shapely.geometry import Polygon

import cutting
from cutting import ROOT, check, run

KNIVES = sorted((ROOT / "assets/starters").glob("*.blank.json")) + sorted((ROOT / "samples").glob("*.blank.json"))
RELEASES = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
FINE_MM = 1e-4


def numbers(program, file):
    return json.loads(run(program, "numbers", file, "--json"))


def load(file):
    """An STL welded where its numbers are the same, and nowhere else."""
    mesh = trimesh.load(file, process=False)
    points, where = np.unique(mesh.vertices.astype(np.float32), axis=0, return_inverse=True)
    return trimesh.Trimesh(points.astype(float), where.reshape(-1)[mesh.faces], process=False)


def sound(mesh, said):
    check(mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0, f"{said}: not closed outward")
    body = manifold3d.Manifold(manifold3d.Mesh(mesh.vertices.astype(np.float32), mesh.faces.astype(np.uint32)))
    check(body.status() == manifold3d.Error.NoError, f"{said}: {body.status()}")
    # What cuts through itself loses where it overlaps.
    both = body ^ body
    check(abs(both.volume() / mesh.volume - 1) < 1e-4, f"{said}: it cuts through itself")
    low, high = mesh.bounds
    for axis in range(3):
        normal = np.eye(3)[axis]
        for share in (0.13, 0.37, 0.61, 0.89):
            section = mesh.section(normal, low + share * (high - low) + 1e-7)
            if section is None:
                continue
            for ring in section.discrete:
                flat = Polygon(np.delete(ring, axis, axis=1)) if len(ring) > 3 else None
                if flat is not None and flat.area > 1e-3:
                    check(flat.buffer(0).area > 0.999 * flat.area, f"{said}: a section crosses itself")


def square(knife):
    """The same with its handle's corners, front and cuts as the figures take them."""
    handle = knife.get("handle", {})
    for key in ("shaping", "scallops", "jimping"):
        handle.pop(key, None)
    handle.setdefault("front", {})["bevel_deg"] = 0.0
    return knife


def solids(program, file, folder):
    name = file.name.removesuffix(".blank.json")
    told = numbers(program, file)
    out = folder / f"{name}.stl"
    run(program, "export", file, "--out", out, "--each")
    parts = {p.stem.removeprefix(f"{name}-"): load(p) for p in sorted(folder.glob(f"{name}-*.stl"))}
    for part, mesh in parts.items():
        sound(mesh, f"{name}, {part}")
    blade, mass = parts["blade"], told["mass"]
    jimped = told.get("jimping") is not None
    check(abs(blade.volume / mass["ground_mm3"] - 1) < (4e-3 if jimped else 1e-3),
          f"{name}: blade of {blade.volume:.1f}, not {mass['ground_mm3']:.1f} mm3")
    check(math.dist(blade.center_mass[:2], mass["centre_mm"]) < 0.1, f"{name}: centre {blade.center_mass}")
    printed(program, file, folder, name, parts)
    if told.get("scales") is not None:
        mock_ups(program, file, folder, name)
        weights(program, file, folder, name)
    return len(parts)


def weights(program, file, folder, name):
    knife = square(json.loads(file.read_text()))
    plain = folder / f"square-{name}.blank.json"
    plain.write_text(json.dumps(knife))
    whole = numbers(program, plain).get("whole")
    if not whole or "scales_g" not in whole:
        return
    run(program, "export", plain, "--out", folder / f"square-{name}.stl", "--each")
    rows = (ROOT / "assets/materials.csv").read_text().splitlines()
    import csv
    density = {row["name"]: float(row["density_g_cm3"]) for row in csv.DictReader(rows)}
    handle = knife["handle"]
    grams = {}
    for part in sorted(folder.glob(f"square-{name}-*.stl")):
        key = part.stem.removeprefix(f"square-{name}-")
        kind = key.rsplit("-", 1)[-1] if key.split("-")[0] not in ("pin", "tube", "screw") else "pins"
        material = {"scale": handle.get("scales"), "pins": handle.get("pins"),
                    "liner": (handle.get("liners") or {}).get("material")}.get(kind)
        if key.endswith("bolster"):
            material = (handle.get("_".join(key.split("-")[1:])) or {}).get("material")
        if key.startswith("right-scale") and handle.get("right_scale"):
            material = handle["right_scale"]
        if material in density:
            grams[kind] = grams.get(kind, 0) + load(part).volume * density[material] / 1000
    for kind, key in (("scale", "scales_g"), ("bolster", "bolsters_g"), ("liner", "liners_g"), ("pins", "pins_g")):
        if whole[key]:
            check(kind in grams and abs(grams[kind] / whole[key] - 1) < 1e-3,
                  f"{name}: {kind} of {grams.get(kind)} g, not {whole[key]}")


def printed(program, file, folder, name, parts):
    out = folder / f"{name}.3mf"
    run(program, "export", file, "--out", out)
    again = folder / f"{name}-again.3mf"
    run(program, "export", file, "--out", again)
    check(out.read_bytes() == again.read_bytes(), f"{name}: other bytes the second time")
    check(out.stat().st_size < 20_000_000, f"{name}: 3MF of {out.stat().st_size} bytes")
    model = get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(out))
    check(reader.GetWarningCount() == 0,
          f"{name}: lib3mf warns: {[reader.GetWarning(i)[0] for i in range(reader.GetWarningCount())]}")
    check(model.GetUnit() == lib3mf.ModelUnit.MilliMeter, f"{name}: not in millimetres")
    objects, volumes = model.GetMeshObjects(), {}
    while objects.MoveNext():
        mesh = objects.GetCurrentMeshObject()
        check(mesh.IsManifoldAndOriented(), f"{name}, {mesh.GetName()}: lib3mf calls it no manifold")
        points = np.array([list(p.Coordinates) for p in mesh.GetVertices()])
        faces = np.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
        volumes[mesh.GetName().replace(" ", "-")] = trimesh.Trimesh(points, faces, process=False).volume
        resource, _property, is_set = mesh.GetObjectLevelProperty()
        check(is_set and resource > 0, f"{name}, {mesh.GetName()}: no material")
    check(volumes.keys() == parts.keys(), f"{name}: parts {sorted(volumes)} and {sorted(parts)}")
    for part, mesh in parts.items():
        check(abs(volumes.get(part, 0) / mesh.volume - 1) < 1e-5, f"{name}, {part}: other volume in the 3MF")
    groups = model.GetBaseMaterialGroups()
    check(groups.Count() == 1, f"{name}: {groups.Count()} groups of materials")
    scene = trimesh.load(out)
    check(len(scene.geometry) == len(parts), f"{name}: trimesh finds {len(scene.geometry)} parts")


def through(program, folder):
    """A bevel all on one face that comes out through the swedge of the other: the blade ends there."""
    knife = json.loads((ROOT / "assets/starters/drop-point.blank.json").read_text())
    for side in ("left", "right"):
        for thickness in (0.3, 0.6):
            knife["bevel"]["sides"] = side
            knife["swedge"] = {"from_x_mm": 60.0, "height_mm": 6.0, "thickness_mm": thickness}
            file = folder / f"through-{side}-{thickness}.blank.json"
            file.write_text(json.dumps(knife))
            out = folder / f"through-{side}-{thickness}.stl"
            run(program, "export", file, "--out", out, "--each")
            mass = numbers(program, file)["mass"]
            blade = load(out.with_name(f"{out.stem}-blade.stl"))
            check(blade.is_watertight and blade.is_winding_consistent, f"{out.stem}: not closed outward")
            check(abs(blade.volume / mass["ground_mm3"] - 1) < 1e-3,
                  f"{out.stem}: blade of {blade.volume:.1f}, not {mass['ground_mm3']:.1f} mm3")
            found = json.loads(run(program, "check", file, "--json"))["findings"]
            check(any("cut through each other" in f["sentence"] for f in found), f"{out.stem}: not told")


def mock_ups(program, file, folder, name):
    for how in ("one-piece", "halves"):
        out = folder / f"{how}-{name}.stl"
        run(program, "export", file, "--out", out, "--mock-up", how, "--each")
        found = sorted(folder.glob(f"{how}-{name}-*.stl"))
        check(len(found) == 1 if how == "one-piece" else len(found) in (3, 4), f"{name}: {len(found)} pieces")
        for part in found:
            mesh = load(part)
            sound(mesh, part.stem)
            if how == "halves":
                flat = mesh.facets_area[np.argmin(mesh.facets_normal[:, 2])] if len(mesh.facets) else 0
                check(abs(mesh.bounds[0][2]) < 1e-6 and flat > 100, f"{part.stem}: does not lie flat")


def rings(doc, fine=1e-5):
    """The closed polylines of a drawing as fine polygons with their layers, and its circles."""
    found, circles = [], []
    for entity in doc.modelspace():
        if entity.dxftype() == "POLYLINE":
            check(entity.is_closed, "an open polyline")
            points = [(p.x, p.y) for p in dxf_path.make_path(entity).flattening(fine)]
            found.append((entity.dxf.layer, Polygon(points)))
        elif entity.dxftype() == "CIRCLE":
            circles.append((entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius))
        else:
            check(False, f"an entity {entity.dxftype()}")
    return found, circles


def read(file, said):
    doc = ezdxf.readfile(file)
    audit = doc.audit()
    check(not audit.errors and not audit.fixes, f"{said}: {[e.message for e in audit.errors + audit.fixes]}")
    return doc


def dxf(program, file, folder):
    name = file.name.removesuffix(".blank.json")
    told = numbers(program, file)
    out = folder / f"{name}.dxf"
    run(program, "export", file, "--out", out, "--units", "mm")
    doc = read(out, name)
    check(doc.header["$INSUNITS"] == 4, f"{name}: units {doc.header['$INSUNITS']}")
    (found, circles), profile = rings(doc), told["profile"]
    check(len(found) == 1 and found[0][0] == "OUTLINE_CUT_OUTSIDE", f"{name}: rings {[f[0] for f in found]}")
    ring = found[0][1]
    check(abs(ring.buffer(0).area / ring.area - 1) < 1e-9, f"{name}: the polyline crosses itself")
    check(abs(ring.area / profile["area_mm2"] - 1) < 1e-4, f"{name}: area {ring.area}")
    check(abs(ring.length / profile["perimeter_mm"] - 1) < 1e-4, f"{name}: perimeter {ring.length}")
    check(len(circles) == len(told["holes"]), f"{name}: {len(circles)} circles")
    for hole in told["holes"]:
        at = min(circles, key=lambda c: math.dist(c[:2], hole["at_mm"]), default=(9e9, 9e9, 0))
        check(math.dist(at[:2], hole["at_mm"]) < 1e-4 and abs(2 * at[2] - hole["diameter_mm"]) < 1e-4,
              f"{name}: hole at {hole['at_mm']}")
    true = cutting.outline(json.loads(file.read_text()))
    off = max(hausdorff_distance(ring.exterior, true.exterior), hausdorff_distance(true.exterior, ring.exterior))
    check(off < 0.006, f"{name}: {off:.5f} mm off the blank's own curves")
    inches = folder / f"{name}-in.dxf"
    run(program, "export", file, "--out", inches, "--units", "in", "--holes", "none")
    doc = read(inches, f"{name} in inches")
    found, circles = rings(doc, 4e-7)
    check(doc.header["$INSUNITS"] == 1 and not circles, f"{name}: inches")
    check(abs(found[0][1].area * 25.4 ** 2 / ring.area - 1) < 1e-6, f"{name}: area in inches")
    back = folder / f"{name}-back.blank.json"
    run(program, "new", "--outline", out, "--out", back)
    again = folder / f"{name}-again.dxf"
    run(program, "export", back, "--out", again, "--units", "mm")
    (second, holes) = rings(read(again, f"{name} again"))
    moved = hausdorff_distance(ring.exterior, second[0][1].exterior)
    check(moved < 0.01, f"{name}: moved by {moved:.5f} mm on its way round")
    check(len(holes) == len(told["holes"]), f"{name}: {len(holes)} holes came round")


def sheet(program, folder):
    out = folder / "bar.dxf"
    files = [KNIVES[0], KNIVES[1]]
    told = json.loads(run(program, "bar", *files, "--copies", "3", "--width", "60mm", "--out", out, "--json"))
    doc = read(out, "bar")
    mm = 25.4 if doc.header["$INSUNITS"] == 1 else 1
    found, _circles = rings(doc, 4e-7)
    found = [(layer, affinity.scale(ring, mm, mm, origin=(0, 0))) for layer, ring in found]
    blanks = [ring for layer, ring in found if layer == "OUTLINE_CUT_OUTSIDE"]
    bars = [ring for layer, ring in found if layer == "BAR_DO_NOT_CUT"]
    check(len(blanks) == 6 and len(bars) == len(told["bars"]), f"bar: {len(blanks)} blanks on {len(bars)} bars")
    for i, blank in enumerate(blanks):
        check(any(bar.contains(blank) for bar in bars), f"bar: blank {i} lies off its bar")
        near = min((blank.distance(other) for other in blanks[:i]), default=9)
        check(near > 1.99, f"bar: blanks {near:.3f} mm apart")
    inches = folder / "bar-inches.dxf"
    run(program, "bar", *files, "--copies", "3", "--width", "60mm", "--units", "in", "--holes", "none", "--out", inches)
    doc = read(inches, "bar in inches")
    check(doc.header["$INSUNITS"] == 1, "bar: no inches")
    again, circles = rings(doc, 4e-7)
    check(not circles and len(again) == len(found), "bar in inches: holes, or other rings")
    for (_, one), (_, other) in zip(found, again):
        scaled = affinity.scale(other, 25.4, 25.4, origin=(0, 0))
        check(hausdorff_distance(one, scaled) < 1e-3, "bar in inches: another ring")


def arcs_of(points, closed=True):
    """A polyline with random bulges through these points."""
    rng = random.Random(7)
    return [(x, y, rng.choice([0, 0.2, -0.15, 0.05])) for x, y in points]


SHAPE = [(0, 12), (40, -9), (110, -12), (200, -10), (204, 8), (120, 14)]


def drawn(kind, release):
    """A drawing of one closed outline made of one kind of entity, with two circles inside it."""
    doc = ezdxf.new(release, units=4)
    if release == "R12":
        doc.header["$INSUNITS"] = 4
    msp = doc.modelspace()
    ring = SHAPE + SHAPE[:1]
    into, put = msp, {}
    if kind.startswith("block"):
        into = doc.blocks.new("PART", base_point=(3, 4))
    if kind == "lines":
        pieces = list(zip(ring, ring[1:]))
        random.Random(3).shuffle(pieces)
        for i, (a, b) in enumerate(pieces):
            msp.add_line(*((a, b) if i % 2 else (b, a)))
    elif kind in ("polyline", "block", "block-mirrored", "block-nested", "block-array"):
        bulged = arcs_of(SHAPE)
        line = into.add_polyline2d(bulged, format="xyb", close=True)
        for at in ((130, 0), (170, -1)):
            into.add_circle(at, 3)
        put = {"block": {"rotation": 20, "xscale": 1.5, "yscale": 1.5},
               "block-mirrored": {"xscale": -1}, "block-nested": {"rotation": -75}}.get(kind, {})
        del line
    elif kind == "lwpolyline":
        msp.add_lwpolyline(arcs_of(SHAPE), format="xyb", close=True)
    elif kind == "down":
        # Seen from beneath: its normal points away.
        msp.add_lwpolyline(arcs_of([(-x, y) for x, y in SHAPE]), format="xyb", close=True,
                           dxfattribs={"extrusion": (0, 0, -1)})
    elif kind == "arcs":
        msp.add_line((0, 0), (100, 0))
        msp.add_arc((100, 15), 15, 270, 90)
        msp.add_line((100, 30), (0, 30))
        msp.add_arc((0, 15), 15, 90, 270)
    elif kind == "ellipse":
        msp.add_ellipse((50, 5), major_axis=(60, 20), ratio=0.3, start_param=0, end_param=math.pi)
        msp.add_ellipse((50, 5), major_axis=(60, 20), ratio=0.3, start_param=math.pi, end_param=2 * math.pi)
    elif kind == "spline":
        msp.add_open_spline([(0, 0, 0), (40, 30, 0), (90, 25, 0), (140, 28, 0), (200, 0, 0)])
        msp.add_line((200, 0), (0, 0))
    elif kind == "rational":
        msp.add_rational_spline([(0, 0, 0), (50, 50, 0), (110, 50, 0), (180, 0, 0)], weights=[1, 2, 0.5, 1])
        msp.add_line((180, 0), (0, 0))
    if kind == "block-nested":
        outer = doc.blocks.new("OUTER")
        outer.add_blockref("PART", (7, -2), dxfattribs={"rotation": 30, "xscale": 0.8, "yscale": 0.8})
        msp.add_blockref("OUTER", (1, 1), dxfattribs=put)
    elif kind.startswith("block"):
        msp.add_blockref("PART", (12, -8), dxfattribs=put)
    if not kind.startswith("block") and kind != "polyline":
        for at in ((60, 8), (80, 8)):
            msp.add_circle(at, 2)
    msp.add_text("not a line", height=3)
    return doc


def expanded(doc):
    """The outline as ezdxf itself expands and flattens it."""
    pieces = []

    def walk(entities):
        for entity in entities:
            if entity.dxftype() == "INSERT":
                walk(entity.virtual_entities())
            elif entity.dxftype() not in ("TEXT", "CIRCLE"):
                # Ellipses and splines by their own formulas: as paths they are only nearly right.
                exact = entity.dxftype() in ("ELLIPSE", "SPLINE")
                points = entity.flattening(1e-5) if exact else dxf_path.make_path(entity).flattening(1e-5, segments=16)
                pieces.append([(p[0], p[1]) for p in points])
    walk(doc.modelspace())
    ring = pieces.pop(0)
    while pieces:
        ends = [(math.dist(ring[-1], p[end]), i, end) for i, p in enumerate(pieces) for end in (0, -1)]
        _gap, i, end = min(ends)
        piece = pieces.pop(i)
        ring += piece if end == 0 else piece[::-1]
    return Polygon(ring)


def releases(program, folder):
    kinds = ["lines", "polyline", "lwpolyline", "down", "arcs", "ellipse", "spline", "rational", "block",
             "block-mirrored", "block-nested"]
    for release in RELEASES:
        for kind in kinds:
            if release == "R12" and kind in ("lwpolyline", "ellipse", "spline", "rational", "down"):
                continue
            doc = drawn(kind, release)
            file, out = folder / f"{kind}-{release}.dxf", folder / f"{kind}-{release}.blank.json"
            doc.saveas(file)
            said = f"{kind} of {release}"
            done = subprocess.run(program + ["new", "--outline", file, "--out", out, "--units", "mm"],
                                  capture_output=True, text=True, check=False, cwd=ROOT)
            check(done.returncode == 0, f"{said}: {done.stderr}")
            if done.returncode:
                continue
            check("TEXT" in done.stderr, f"{said}: says nothing of the text: {done.stderr}")
            knife, true = json.loads(out.read_text()), expanded(doc)
            taken = cutting.outline(knife)
            check(abs(taken.area / true.area - 1) < 1e-4, f"{said}: area {taken.area}, not {true.area}")
            off = hausdorff_distance(taken.exterior, true.exterior)
            check(off < 0.01, f"{said}: {off:.5f} mm off")
            check(len(knife["holes"]) == 2, f"{said}: {len(knife['holes'])} holes")
            # The same as a file of bytes.
            doc.saveas(file, fmt="bin")
            out.unlink()
            done = subprocess.run(program + ["new", "--outline", file, "--out", out, "--units", "mm"],
                                  capture_output=True, text=True, check=False, cwd=ROOT)
            same = done.returncode == 0 and json.loads(out.read_text()) == knife
            check(same, f"{said}: its bytes give another knife: {done.stderr}")


def broken(folder):
    """Files that are no drawing, or not to be trusted, each with a word of why."""
    doc = drawn("lwpolyline", "R2010")
    good = folder / "good.dxf"
    doc.saveas(good)
    text = good.read_text()
    cut = text.index("LWPOLYLINE")
    r12 = folder / "r12.dxf"
    drawn("lines", "R12").saveas(r12)
    lines = r12.read_text()
    start = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    end = "0\nENDSEC\n0\nEOF\n"

    def entity(*pairs):
        return start + "".join(f"{code}\n{value}\n" for code, value in pairs) + end

    def block(inner):
        blocks = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n10\n0\n20\n0\n" + inner + "0\nENDBLK\n0\nENDSEC\n"
        return start.replace("0\nSECTION\n2\nENTITIES\n", blocks + "0\nSECTION\n2\nENTITIES\n") \
            + "0\nINSERT\n2\nA\n10\n0\n20\n0\n" + end

    spline = [(0, "SPLINE"), (8, "0"), (70, 8), (71, 3)]
    points = [(10, 0), (20, 0), (30, 0), (10, 9), (20, 9), (30, 0), (10, 18), (20, 3), (30, 0), (10, 30), (20, 0), (30, 0)]
    yield "empty", b""
    yield "blanks", b"  \r\n \n"
    yield "a picture", bytes(range(256)) * 40
    yield "a PDF", b"%PDF-1.7\n%\xe2\xe3\n1 0 obj\n"
    yield "an SVG", b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm"/>'
    yield "cut off", text[:cut + 60].encode()
    yield "cut off in a number", text[:cut + 157].encode()
    yield "a word for a number", text.replace("\n 10\n", "\n 10\nten\n", 1).encode()
    yield "no code", text.replace("\n 10\n", "\n ?\n", 1).encode()
    yield "nothing in it", (start + end).encode()
    yield "no units", lines.replace("$INSUNITS", "$NOUNITS").encode()
    yield "open", entity((0, "LINE"), (10, 0), (20, 0), (11, 100), (21, 0), (0, "LINE"), (10, 100), (20, 0), (11, 90), (21, 30)).encode()
    yield "a number without end", entity((0, "LINE"), (10, "1e400"), (20, 0), (11, 100), (21, 0)).encode()
    yield "not a number", entity((0, "CIRCLE"), (10, "nan"), (20, 0), (40, 30)).encode()
    yield "a circle of no size", entity((0, "CIRCLE"), (10, 5), (20, 0), (40, -30)).encode()
    yield "a spline without knots", entity(*spline, *points).encode()
    yield "knots that fall", entity(*spline, *[(40, k) for k in (0, 0, 0, 0, -1, 1, 1, 1)], *points).encode()
    yield "a block in itself", block("0\nINSERT\n2\nA\n10\n1\n20\n0\n").encode()
    yield "a block a million times", block("0\nLINE\n10\n0\n20\n0\n11\n5\n21\n5\n").replace(
        "0\nINSERT\n2\nA\n", "0\nINSERT\n2\nA\n70\n30000\n71\n30000\n44\n9\n45\n9\n").encode()
    yield "only text", entity((0, "TEXT"), (10, 0), (20, 0), (40, 5), (1, "a knife")).encode()
    yield "far too small", entity((0, "CIRCLE"), (10, 0), (20, 0), (40, 0.4)).encode()
    yield "binary cut off", b"AutoCAD Binary DXF\r\n\x1a\x00\x00\x00SECTION\x00\x02"


def refused(program, folder):
    count = 0
    for why, data in broken(folder):
        file, out = folder / "broken.dxf", folder / "broken.blank.json"
        file.write_bytes(data)
        words = ["new", "--outline", file, "--out", out]
        done = subprocess.run(program + words, capture_output=True, text=True, check=False, cwd=ROOT, timeout=60)
        told = done.stderr.strip()
        check(done.returncode == 2 and told.startswith("blankwright: ") and len(told.splitlines()) == 1
              and "panicked" not in told and not out.exists(), f"broken, {why}: {done.returncode} {told[:300]}")
        count += 1
    check(count >= 20, f"{count} broken files")
    print(f"{count} broken files refused")


def main():
    args = argparse.ArgumentParser(description=__doc__)
    args.add_argument("--program", required=True)
    args.add_argument("--only", default="")
    typed = args.parse_args()
    program = [str(Path(word).resolve()) if Path(word).exists() else word for word in shlex.split(typed.program)]
    knives = [k for k in KNIVES if typed.only in k.name]
    with tempfile.TemporaryDirectory() as held:
        for file in knives:
            folder = Path(held) / file.name
            folder.mkdir()
            parts = solids(program, file, folder)
            dxf(program, file, folder)
            print(f"{file.name}: {parts} parts")
        folder = Path(held)
        through(program, folder)
        sheet(program, folder)
        releases(program, folder)
        refused(program, folder)
    print(f"{cutting.passed} measures hold, {cutting.failed} fail")
    sys.exit(1 if cutting.failed else 0)


if __name__ == "__main__":
    main()
