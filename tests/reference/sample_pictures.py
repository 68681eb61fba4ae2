#!/usr/bin/env python3
"""Makes the sample pictures `samples/pencil-sketch.jpg` and `samples/cut-out-on-mat.jpg`.

They are synthetic: outlines of two sample knives, drawn with a soft pencil and scanned, and cut
from grey card and photographed on the tracing mat, by the functions of `photos.py` (OpenCV).

With the program's own trace of the second, `--traced FILE.blank.json`, it also makes the manual's
picture `assets/manual/tracing.png`. Needs what `photos.py` needs.
"""

import argparse
import json
import pathlib

import cv2
import numpy as np

import photos

ROOT = pathlib.Path(__file__).parents[2]


def knife(file):
    """Points along a blank's outline, and its holes."""
    blank = json.loads(file.read_text())
    nodes = blank["profile"]["nodes"]
    points = []
    for a, b in zip(nodes, nodes[1:] + nodes[:1]):
        p0, p3 = np.array(a["at_mm"]), np.array(b["at_mm"])
        p1 = np.array(a.get("handle_out_mm", a["at_mm"]))
        p2 = np.array(b.get("handle_in_mm", b["at_mm"]))
        t = np.linspace(0, 1, 80)[:-1, None]
        points.extend((1 - t) ** 3 * p0 + 3 * t * (1 - t) ** 2 * p1 + 3 * t * t * (1 - t) * p2 + t ** 3 * p3)
    return np.array(points), [(h["at_mm"], h["diameter_mm"]) for h in blank["holes"]]


def circle(centre, diameter):
    way = np.linspace(0, 2 * np.pi, 200, endpoint=False)[:, None]
    return np.array(centre) + diameter / 2 * np.hstack([np.cos(way), np.sin(way)])


def sketch():
    points, holes = knife(ROOT / "samples/petty-for-a-friend.blank.json")
    size = points.max(0) - points.min(0) + 24
    p, h = photos.placed(points, holes, 0, size / 2)
    plane = photos.Plane((0, 0), size, photos.PAPER)
    # A pencil's line is nowhere quite as dark.
    plane.line(p, 0.5, 104)
    for centre, diameter in h:
        plane.line(circle(centre, diameter), 0.4, 112)
    rng = np.random.default_rng(5)
    grain = cv2.resize(rng.normal(0, 22, (plane.tones.shape[0] // 6, plane.tones.shape[1] // 6)),
                       plane.tones.shape[::-1], interpolation=cv2.INTER_LINEAR)
    drawn = plane.tones < photos.PAPER
    plane.tones[drawn] = np.clip(plane.tones[drawn] + grain[drawn], 40, 190).astype(np.uint8)
    dpi = 200
    width, height = (size / 25.4 * dpi).astype(int)
    picture = cv2.resize(plane.tones, (int(width), int(height)), interpolation=cv2.INTER_AREA)
    picture = photos.spoiled(picture, 6, 0.08, 1.5, 0.6)
    (ROOT / "samples/pencil-sketch.jpg").write_bytes(photos.jpeg(picture, dpi, 82))


def cut_out():
    points, holes = knife(ROOT / "samples/woodland-camp-knife.blank.json")
    columns, rows = 15, 6
    p, h = photos.placed(points, holes, 5, (-4, 2))
    half = np.array([columns * photos.PITCH / 2 + 8, rows * photos.PITCH / 2 + 8])
    plane = photos.Plane(-half - 60, half + 60, photos.TABLE)
    plane.box(*(-half), *half, photos.PAPER)
    photos.draw_mat(plane, columns, rows)
    plane.thing(p, h, tone=96)
    eye = photos.Camera(photos.size_of(-half, half, 7.6, 1.12), 7.6, tilt_deg=11, toward_deg=40, spin_deg=-2, k1=-0.03)
    picture = eye.see(plane, seed=7, shading=0.25, noise=2.0, blur=0.8)
    (ROOT / "samples/cut-out-on-mat.jpg").write_bytes(photos.jpeg(picture, quality=82))
    return picture, eye


def manual(picture, eye, traced):
    """The photograph, smaller, with what was found drawn over it in red."""
    points, _ = knife(traced)
    scale = 1000 / picture.shape[1]
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    small = cv2.cvtColor(small // 16 * 17, cv2.COLOR_GRAY2BGR)
    line = np.rint(eye.px(points) * scale * 16).astype(np.int32)
    cv2.polylines(small, [line], True, (40, 40, 220), 2, cv2.LINE_AA, 4)
    nodes = np.array([n["at_mm"] for n in json.loads(traced.read_text())["profile"]["nodes"]])
    for x, y in np.rint(eye.px(nodes) * scale * 16).astype(int):
        cv2.circle(small, (x, y), 4 * 16, (255, 255, 255), -1, cv2.LINE_AA, 4)
        cv2.circle(small, (x, y), 4 * 16, (40, 40, 220), 1, cv2.LINE_AA, 4)
    cv2.imwrite(str(ROOT / "assets/manual/tracing.png"), small, [cv2.IMWRITE_PNG_COMPRESSION, 9])


if __name__ == "__main__":
    given = argparse.ArgumentParser()
    given.add_argument("--traced", type=pathlib.Path)
    given = given.parse_args()
    sketch()
    seen = cut_out()
    if given.traced:
        manual(*seen, given.traced)
