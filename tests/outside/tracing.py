#!/usr/bin/env python3
"""Traces synthetic pictures of all reference outlines with the real program and measures them.

The pictures come from `tests/reference/photos.py` (OpenCV); the mat in them is the page that the
program itself prints, rasterised by poppler. What the program wrote is compared with what is true
by GEOS, after the best rigid motion where the picture has no coordinates of its own.

    tracing.py --program "cargo run --quiet --locked --" [--keep FOLDER] [--only WORD]
    tracing.py --program target/release/blankwright --speed

The second tells instead how long the program, built for release, takes from a picture's file to the
blank's, how much memory, and how much longer that is than OpenCV on one thread takes to decode the
same picture, threshold it, follow its contours and put them on the plane by a homography. That
gives no sub-pixel edges, no lens, no corners and no curves: a floor, not a rival.

Needs Python 3 with numpy, opencv-python-headless, potracer, scipy and shapely, and Debian's poppler-utils.
"""

import argparse
import json
import pathlib
import shlex
import subprocess
import sys
import tempfile
import time

import cv2
import numpy as np
import potrace
import shapely
from scipy.optimize import least_squares

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "reference"))
import photos  # noqa: E402

# Most that 95 % of an outline, and all of it, may be off, mm.
PROMISED = {"mat": (0.15, 0.4), "page": (0.15, 0.4), "sheet": (0.3, 0.6), "scan": (0.08, 0.3),
            "line": (0.15, 0.4), "thick": (0.2, 0.4)}


def run(program, *words):
    return subprocess.run([*program, *map(str, words)], capture_output=True, text=True)


def outline_of(file):
    """The outline of a blank file as points."""
    nodes = json.loads(file.read_text())["profile"]["nodes"]
    points = []
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p0, p3 = np.array(a["at_mm"]), np.array(b["at_mm"])
        p1 = np.array(a.get("handle_out_mm", a["at_mm"]))
        p2 = np.array(b.get("handle_in_mm", b["at_mm"]))
        t = np.linspace(0, 1, 60)[:-1, None]
        points.extend((1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t * t * (1 - t) * p2 + t ** 3 * p3)
    # Evenly along it, so that short pieces count for no more than long ones.
    points = np.array(points)
    ring = shapely.LinearRing(points)
    even = shapely.line_interpolate_point(ring, np.arange(0, ring.length, 0.1))
    return shapely.get_coordinates(even), len(nodes)


def off(found, truth, rigid=True):
    """Distances both ways after the best motion without scaling, sorted, mm."""
    ring = shapely.LinearRing(truth)

    def moved(p):
        c, s = np.cos(p[2]), np.sin(p[2])
        return (found - middle) @ np.array([[c, s], [-s, c]]) + middle + p[:2]

    middle = found.mean(0)
    best = None
    if rigid:
        coarse = found[::7]
        for turn in (0, np.pi):
            start_angle = np.arctan2(*axis(truth)[::-1]) - np.arctan2(*axis(found)[::-1]) + turn
            start = [*(truth.mean(0) - middle), start_angle]

            def errors(p):
                c, s = np.cos(p[2]), np.sin(p[2])
                put = (coarse - middle) @ np.array([[c, s], [-s, c]]) + middle + p[:2]
                return shapely.distance(ring, shapely.points(put))

            tried = least_squares(errors, start, loss="soft_l1", f_scale=0.3)
            if best is None or tried.cost < best.cost:
                best = tried
        found = moved(best.x)
    there = shapely.distance(ring, shapely.points(found))
    back = shapely.distance(shapely.LinearRing(found), shapely.points(truth[::10]))
    return np.sort(there), back.max()


def others_nodes(jpeg):
    """The pieces of the outline as potracer lays them through the same picture's pixels."""
    picture = cv2.imdecode(np.frombuffer(jpeg, np.uint8), 0)
    _, dark = cv2.threshold(picture, 0, 1, cv2.THRESH_BINARY_INV | cv2.THRESH_OTSU)
    return max(len(curve.segments) for curve in potrace.Bitmap(dark.astype(bool)).trace())


def axis(points):
    """The direction of the long axis."""
    d = points - points.mean(0)
    return np.linalg.eigh(d.T @ d)[1][:, 1]


def pictures(page):
    """Every picture: name, kind, JPEG, options, truth."""
    size = {"chef_240": (22, 7)}
    for i, (name, (points, holes, sound)) in enumerate(photos.outlines().items()):
        if not sound:
            continue
        tilt, toward, k1 = [(0, 0, 0.0), (15, 40, 0.05), (25, 200, -0.05), (35, 100, 0.03)][i % 4]
        columns, rows = size.get(name, (16, 6))
        p, h = photos.placed(points, holes, [0, 3, -5, 8][i % 4] / 2, (2, -1))
        camera = dict(tilt_deg=tilt, toward_deg=toward, spin_deg=[0, 90, 180, 271][i % 4], k1=k1, seed=i)
        share = 1.6 if i % 2 else 1.3
        picture, _ = photos.on_mat(p, h, columns, rows, 8.2, share=share, **camera)
        yield name, "mat", photos.jpeg(picture), ["--mat"], p
        if i % 3 == 0 and name != "jimping":
            drawn, _ = photos.on_mat(p, h, columns, rows, 8.2, line=True, share=share, **camera)
            yield name, "line", photos.jpeg(drawn), ["--line", "centre"], p
        extent = points.max(0) - points.min(0)
        if extent[0] < 270:
            p, h = photos.placed(points, holes, 0, (139.7, 108))
            picture, _ = photos.on_sheet(p, h, (279.4, 215.9), 8.2, share=share, tilt_deg=tilt * 0.8,
                                         toward_deg=toward, k1=k1, seed=i)
            yield name, "sheet", photos.jpeg(picture), ["--rectangle", "letter"], p
        box = extent + 16
        p, h = photos.placed(points, holes, 0, box / 2)
        picture, _ = photos.scanned(p, h, box, seed=i)
        yield name, "scan", photos.jpeg(picture, 300), [], p
    # On the page that the program prints.
    points, holes, _ = photos.outlines()["trailing_point"]
    plane = photos.Plane((-80, -80), (431.8 + 80, 279.4 + 80), photos.TABLE)
    height, width = page.shape
    x, y = plane.px((0, 279.4)).round().astype(int)
    w, h = round(431.8 * photos.FINE), round(279.4 * photos.FINE)
    paper = cv2.resize(page, (w, h), interpolation=cv2.INTER_AREA).astype(float)
    plane.tones[y:y + h, x:x + w] = (photos.INK + (photos.PAPER - photos.INK) * paper / 255).astype(np.uint8)
    p, h = photos.placed(points, holes, 7, (225, 150))
    plane.thing(p, h)
    eye = photos.Camera((4000, 3000), 8.3, over=(215.9, 139.7), tilt_deg=12, toward_deg=70, spin_deg=4, k1=0.04)
    yield "trailing_point", "page", photos.jpeg(eye.see(plane)), [], p


def by_opencv(jpeg, columns, rows):
    """The largest contour on the plane, as OpenCV's own functions give it: of a scan without a mat
    in pixels."""
    picture = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_GRAYSCALE)
    _, dark = cv2.threshold(picture, 0, 255, cv2.THRESH_BINARY_INV | cv2.THRESH_OTSU)
    contours, above = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    inner = lambda c: c.min() > 0 and (c.max((0, 1)) < np.array(picture.shape[::-1]) - 1).all()
    outer = [c for c, (_, _, _, parent) in zip(contours, above[0]) if parent < 0 and inner(c)]
    *others, thing = sorted(outer, key=cv2.contourArea)[-3 - 2 * columns - 2 * rows:]
    plane = np.eye(3)
    if columns:
        boxes = [cv2.approxPolyDP(c, 0.05 * cv2.arcLength(c, True), True) for c in others]
        boxes = [c for c in boxes if len(c) == 4 and cv2.contourArea(c) > 0.5 * cv2.contourArea(boxes[-1])]
        centres = np.array([c.mean((0, 1)) for c in boxes], np.float32)
        ways = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], np.float32)
        seen = np.array([centres[(centres @ way).argmax()] for way in ways])
        half = np.array([columns - 1, rows - 1]) * photos.PITCH / 2
        plane, _ = cv2.findHomography(seen, ways * half * [1, -1])
    return cv2.perspectiveTransform(thing.astype(np.float64), plane)


# Told by a small process of its own: what a process forks counts the memory of its parent.
MEMORY = ("import resource, subprocess, sys; code = subprocess.call(sys.argv[1:], stdout=subprocess.DEVNULL); "
          "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss); sys.exit(code)")


def speed(program, folder):
    """How long a photograph of 12 megapixels on the mat and a scan of A4 at 300 dpi take."""
    cv2.setNumThreads(1)
    points, holes, _ = photos.outlines()["drop_point"]
    p, h = photos.placed(points, holes, 4, (3, -2))
    photo, _ = photos.on_mat(p, h, 16, 11, 10.62, tilt_deg=14, toward_deg=25, spin_deg=3, k1=-0.05)
    p, h = photos.placed(points, holes, 90, (105, 148.5))
    scan, _ = photos.scanned(p, h, (210, 297))
    each = (("photo", photo, None, ["--mat"], (16, 11)), ("scan", scan, 300, [], (0, 0)))
    for name, picture, dpi, options, mat in each:
        data = photos.jpeg(picture, dpi)
        file, out = folder / f"{name}.jpg", folder / f"{name}.blank.json"
        file.write_bytes(data)
        ours, theirs = [], []
        words = [*program, "new", "--picture", file, *options, "--out", out]
        measured = subprocess.run([sys.executable, "-c", MEMORY, *words], stdout=subprocess.PIPE, text=True)
        memory = int(measured.stdout.split()[-1]) / 1000
        for _ in range(7):
            out.unlink(missing_ok=True)
            start = time.perf_counter()
            code = subprocess.call(words, stdout=subprocess.DEVNULL)
            ours.append(time.perf_counter() - start)
            assert code in (0, 1) and out.exists(), name
            start = time.perf_counter()
            by_opencv(data, *mat)
            theirs.append(time.perf_counter() - start)
        ours, theirs = np.median(ours), np.median(theirs)
        print(f"{name}, {picture.size / 1e6:.1f} megapixels: {ours:.2f} s and {memory:.0f} MB; "
              f"OpenCV {theirs:.2f} s, {ours / theirs:.1f} times that")


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True, type=shlex.split)
    arguments.add_argument("--keep", type=pathlib.Path)
    arguments.add_argument("--only", default="")
    arguments.add_argument("--speed", action="store_true")
    given = arguments.parse_args()
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        folder = given.keep or pathlib.Path(folder)
        folder.mkdir(exist_ok=True)
        if given.speed:
            speed(given.program, folder)
            return
        done = run(given.program, "print", "--sheets", "mat", "--paper", "tabloid", "--out", folder / "mat.pdf")
        assert done.returncode == 0, done.stderr
        subprocess.run(["pdftocairo", "-gray", "-png", "-r", "600", "-singlefile", folder / "mat.pdf", folder / "mat"], check=True)
        page = cv2.imread(str(folder / "mat.png"), 0)
        if page.shape[0] > page.shape[1]:
            page = cv2.rotate(page, cv2.ROTATE_90_CLOCKWISE)
        for name, kind, jpeg, options, truth in pictures(page):
            if given.only not in f"{name} {kind}":
                continue
            picture, out = folder / f"{name}-{kind}.jpg", folder / f"{name}-{kind}.blank.json"
            picture.write_bytes(jpeg)
            done = run(given.program, "new", "--picture", picture, *options, "--out", out)
            if done.returncode not in (0, 1) or not out.exists():
                print(f"{name} {kind}: {done.stderr.strip()}")
                failed += 1
                continue
            found, nodes = outline_of(out)
            there, back = off(found, truth)
            p95, most = there[int(len(there) * 0.95)], max(there[-1], back)
            good = p95 <= PROMISED[kind][0] and most <= PROMISED[kind][1]
            if kind == "scan" and name != "jimping":
                # A general-purpose tracing library needs no fewer on the same pixels.
                good &= nodes <= others_nodes(jpeg)
            failed += not good
            print(f"{'' if good else 'FAILED '}{name} {kind}: {nodes} nodes, 95 % {p95:.3f}, all {most:.3f} mm")
            sys.stdout.flush()
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
