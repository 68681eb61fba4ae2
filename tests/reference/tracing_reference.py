#!/usr/bin/env python3
"""Makes `tracing.json`: what general-purpose libraries find where pictures are squared up.

Homographies by OpenCV (`getPerspectiveTransform`, `findHomography` on exact pairs), views of a
plane through a lens by its `projectPoints`, poses by its `solvePnP`; thresholds and circles by
scikit-image (`threshold_otsu`, `CircleModel`). Needs numpy, opencv-python-headless and
scikit-image.
"""

import json
import math
import pathlib

import cv2
import numpy as np
from skimage.filters import threshold_otsu
from skimage.measure import CircleModel

rng = np.random.default_rng(22)


def homographies():
    square = np.array([(0, 0), (200, 0), (200, 300), (0, 300)], np.float64)
    for corners in ([(10, 20), (900, 60), (1000, 1300), (40, 1250)], [(3, 3), (5, 2.9), (5.2, 4), (2.8, 4.4)],
                    [(-1, -1), (1, -1), (1.2, 1.1), (-0.9, 1)]):
        to = np.array(corners, np.float64)
        h, _ = cv2.findHomography(square, to, 0)
        exact = cv2.getPerspectiveTransform(square.astype(np.float32), to.astype(np.float32))
        assert np.abs(h - exact).max() < 1e-3 * np.abs(exact).max()
        yield {"from": square.tolist(), "to": to.tolist(), "h": (h / h[2, 2]).ravel().tolist()}
    for _ in range(5):
        h = np.eye(3) + rng.normal(0, 0.2, (3, 3))
        h[2, :2] = rng.normal(0, 4e-4, 2)
        h[:2, 2] = rng.uniform(-100, 100, 2)
        h /= h[2, 2]
        points = rng.uniform(-200, 200, (30, 2))
        to = cv2.perspectiveTransform(points[None], h)[0]
        found, _ = cv2.findHomography(points, to, 0)
        yield {"from": points.tolist(), "to": to.tolist(), "h": (found / found[2, 2]).ravel().tolist()}


def views():
    width, height = 2400, 1800
    half = math.hypot(width, height) / 2
    columns, rows = np.meshgrid(np.arange(9) * 30.0 - 120, np.arange(7) * 30.0 - 90)
    mm = np.stack([columns.ravel(), rows.ravel(), np.zeros(columns.size)], -1)
    for tilt, toward, k1, k2, focal in ((20, 30, 0.05, 0.0, 1.3), (35, 200, -0.05, 0.01, 1.1), (12, 110, 0.02, -0.004, 1.8)):
        # r in half diagonals here, in focal lengths there.
        lens = np.array([k1 * focal ** 2, k2 * focal ** 4, 0, 0])
        camera = np.array([[focal * half, 0, width / 2], [0, focal * half, height / 2], [0, 0, 1.0]])
        way = math.radians(toward)
        turn = np.diag([1.0, -1, -1]) @ cv2.Rodrigues(np.array([math.cos(way), math.sin(way), 0]) * math.radians(tilt))[0]
        r = cv2.Rodrigues(turn)[0]
        t = np.array([4.0, -3.0, 250 * focal])
        px = cv2.projectPoints(mm, r, t, camera, lens)[0][:, 0]
        ok, r2, t2 = cv2.solvePnP(mm, px, camera, lens)
        assert ok
        centre = -cv2.Rodrigues(r2)[0].T @ t2.ravel()
        assert px.min() > 0 and (px < (width, height)).all(), (px.min(0), px.max(0))
        yield {"width": width, "height": height, "k1": k1, "k2": k2, "focal": focal, "mm": mm[:, :2].tolist(),
               "px": px.tolist(), "foot_x": centre[0], "foot_y": centre[1], "camera_height": centre[2]}


def thresholds():
    for dark, share in ((40, 0.5), (60, 0.1), (90, 0.01), (150, 0.3), (20, 0.9)):
        n = 20000
        tones = np.concatenate([rng.normal(dark, 8, int(n * share)), rng.normal(210, 6, n - int(n * share))])
        histogram = np.bincount(np.clip(np.rint(tones), 0, 255).astype(int), minlength=256)
        found = threshold_otsu(hist=(histogram, np.arange(256)))
        yield {"histogram": histogram.tolist(), "bin": int(found)}


def circles():
    for x, y, r, noise, arc in ((0, 0, 3, 0.01, 1), (50, -20, 3.25, 0.03, 1), (120, 30, 6.35, 0.05, 1),
                                (-4, 9, 10, 0.02, 0.4), (300, 200, 1.5, 0.02, 1)):
        way = np.linspace(0, 2 * math.pi * arc, 120, endpoint=False)
        points = np.stack([x + r * np.cos(way), y + r * np.sin(way)], -1) + rng.normal(0, noise, (120, 2))
        model = CircleModel.from_estimate(points)
        (cx, cy), radius = model.center, model.radius
        # scikit-image's fit is algebraic of another kind: on short arcs they part by the noise.
        yield {"points": points.tolist(), "x": cx, "y": cy, "r": radius, "within": noise / 20 if arc == 1 else noise}


out = {"homographies": list(homographies()), "views": list(views()), "otsu": list(thresholds()), "circles": list(circles())}
shorten = lambda v: ({k: shorten(x) for k, x in v.items()} if isinstance(v, dict) else
                     [shorten(x) for x in v] if isinstance(v, list) else
                     float(f"{v:.12g}") if isinstance(v, float) else v)
(pathlib.Path(__file__).parent / "tracing.json").write_text(json.dumps(shorten(out)) + "\n")
