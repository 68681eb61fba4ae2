#!/usr/bin/env python3
"""Synthetic pictures of known outlines, for the tests of tracing.

OpenCV, a general-purpose library, draws each outline where it is known to lie on a plane (a
tracing mat, a sheet of paper on a darker table, a scanner's glass) and sees it through a pinhole
camera with lens distortion, uneven light, noise and blur. Nothing here comes from the program:
the mat's marks are drawn from their description once more.

`photos.py` writes the few pictures that are kept, with what is true of them, to `photos/`.
`tests/outside/tracing.py` makes all the others with these functions. Needs Python 3 with numpy,
opencv-python-headless and shapely.
"""

import json
import math
import pathlib

import cv2
import numpy as np
import shapely

HERE = pathlib.Path(__file__).parent
# Pixels of the plane's own picture to the millimetre.
FINE = 30
# Points along each segment of an outline.
PER_SEGMENT = 199
PITCH, TARGET, OPENING, CELL = 20.0, 8.0, 4.8, 1.6
PAPER, INK, PENCIL, TABLE, STEEL = 232, 24, 96, 92, 52


def outlines():
    """The reference outlines by name: (points along it, holes, is it sound)."""
    found = {}
    for each in json.loads((HERE / "outlines.json").read_text())["outlines"]:
        points = [np.array(each["outline"]["start"])]
        for segment in each["outline"]["segments"]:
            p = [points[-1]] + [np.array(segment[i:i + 2]) for i in range(0, len(segment), 2)]
            t = np.linspace(0, 1, PER_SEGMENT + 1)[1:, None]
            if len(p) == 2:
                points.extend((1 - t) * p[0] + t * p[1])
            else:
                points.extend((1 - t) ** 3 * p[0] + 3 * t * (1 - t) ** 2 * p[1]
                              + 3 * t * t * (1 - t) * p[2] + t ** 3 * p[3])
        holes = [((hole["cx"], hole["cy"]), 2 * hole["r"]) for hole in each["holes"]]
        found[each["name"]] = (np.array(points), holes, each["valid"])
    return found


def placed(points, holes, turn_deg, at):
    """An outline turned about the middle of its box and moved so that this lies at a place."""
    middle = (points.min(0) + points.max(0)) / 2
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    turn = np.array([[c, -s], [s, c]])
    put = lambda p: (np.asarray(p) - middle) @ turn.T + np.asarray(at)
    return put(points), [(put(centre).tolist(), d) for centre, d in holes]


class Plane:
    """A picture of the plane, rows from the top, with its lower left corner at `low` (mm)."""

    def __init__(self, low, high, tone):
        self.low, self.high = np.array(low, float), np.array(high, float)
        width, height = np.ceil((self.high - self.low) * FINE).astype(int)
        self.tones = np.full((height, width), tone, np.uint8)

    def px(self, mm):
        mm = np.asarray(mm, float)
        return np.stack([(mm[..., 0] - self.low[0]) * FINE, (self.high[1] - mm[..., 1]) * FINE], -1)

    def fill(self, points, tone):
        """Fills the pixels whose centres lie inside (even-odd), row by row."""
        p = self.px(points) - 0.5
        q = np.roll(p, -1, 0)
        low = max(int(np.floor(p[:, 1].min())), 0)
        high = min(int(np.ceil(p[:, 1].max())) + 1, self.tones.shape[0])
        left = max(int(np.floor(p[:, 0].min())), 0)
        right = min(int(np.ceil(p[:, 0].max())) + 2, self.tones.shape[1])
        flips = np.zeros((high - low, right - left + 1), np.uint8)
        for a, b in zip(p, q):
            if a[1] == b[1]:
                continue
            first, last = sorted((a[1], b[1]))
            rows = np.arange(max(math.ceil(first), low), min(math.ceil(last), high))
            x = a[0] + (rows - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            np.bitwise_xor.at(flips, (rows - low, np.clip(np.ceil(x).astype(int) - left, 0, right - left)), 1)
        inside = np.bitwise_xor.accumulate(flips, 1)[:, :-1].astype(bool)
        self.tones[low:high, left:right][inside] = tone

    def box(self, x0, y0, x1, y1, tone):
        (left, top), (right, low) = np.rint(self.px([(x0, y1), (x1, y0)])).astype(int)
        self.tones[max(top, 0):low, max(left, 0):right] = tone

    def square(self, centre, side, tone):
        h = side / 2
        self.box(centre[0] - h, centre[1] - h, centre[0] + h, centre[1] + h, tone)

    def thing(self, points, holes, tone=STEEL, ground=PAPER):
        self.fill(points, tone)
        for (x, y), diameter in holes:
            way = np.linspace(0, 2 * math.pi, 400, endpoint=False)
            self.fill(np.stack([x + diameter / 2 * np.cos(way), y + diameter / 2 * np.sin(way)], -1), ground)

    def line(self, points, width=0.5, tone=PENCIL, ground=PAPER):
        ring = shapely.Polygon(points)
        self.fill(np.array(ring.buffer(width / 2).exterior.coords), tone)
        self.fill(np.array(ring.buffer(-width / 2).exterior.coords), ground)


def mark(columns, rows, corner):
    """The cells of a mat's mark: 14 bits and the remainder of a polynomial, started from a number."""
    told = columns << 8 | rows << 2 | corner
    rest = told << 11 ^ 0x2A5 << 14
    for bit in range(24, 10, -1):
        if rest >> bit & 1:
            rest ^= 0b101110000101 << bit - 11
    code = told << 11 | rest & 0x7FF
    return [[code >> 24 - (5 * r + c) & 1 for c in range(5)] for r in range(5)]


def draw_mat(plane, columns, rows):
    """A tracing mat about the plane's origin."""
    place = lambda c, r: ((c - (columns - 1) / 2) * PITCH, (r - (rows - 1) / 2) * PITCH)
    for r in range(rows):
        for c in range(columns):
            if r in (0, rows - 1) or c in (0, columns - 1):
                plane.square(place(c, r), TARGET, INK)
                plane.square(place(c, r), OPENING, PAPER)
    spots = [(0.5, 0), (columns - 1.5, 0), (columns - 1.5, rows - 1), (0.5, rows - 1)]
    for corner, (c, r) in enumerate(spots):
        x, y = place(c, r)
        for i, line in enumerate(mark(columns, rows, corner)):
            for k, cell in enumerate(line):
                if cell:
                    plane.square((x + (k - 2) * CELL, y + (2 - i) * CELL), CELL, INK)


class Camera:
    """A pinhole camera over the plane's place `over`, by its tilt, and its lens."""

    def __init__(self, size, px_per_mm, over=(0, 0), tilt_deg=0, toward_deg=0, spin_deg=0, k1=0.0,
                 focal=1.3):
        self.width, self.height = size
        self.k1 = k1
        self.half = math.hypot(*size) / 2
        self.focal = focal
        f = focal * self.half
        self.distance = f / px_per_mm
        way = math.radians(toward_deg)
        axis = np.array([math.cos(way), math.sin(way), 0]) * math.radians(tilt_deg)
        # From the plane (y up, z toward the camera) to the camera (y down, z away).
        look = np.diag([1.0, -1.0, -1.0])
        spin = cv2.Rodrigues(np.array([0, 0, math.radians(spin_deg)]))[0]
        turn = look @ cv2.Rodrigues(axis)[0] @ spin
        k = np.array([[focal, 0, 0], [0, focal, 0], [0, 0, 1.0]])
        over = np.array([over[0], over[1], 0.0])
        shift = np.array([0, 0, self.distance]) - turn @ over
        self.turn, self.shift = turn, shift
        self.h = k @ np.column_stack([turn[:, 0], turn[:, 1], shift])

    def place(self):
        """Where the camera is: the foot of its height, and its height, mm."""
        centre = -self.turn.T @ self.shift
        return centre[:2], centre[2]

    def undistorted(self, view):
        rd = np.hypot(view[..., 0], view[..., 1])
        r = rd.copy()
        for _ in range(12):
            r -= (r * (1 + self.k1 * r * r) - rd) / (1 + 3 * self.k1 * r * r)
        return view * np.where(rd > 0, r / np.maximum(rd, 1e-12), 1.0)[..., None]

    def px(self, mm, height=0.0):
        """The pixels at which places of the plane, or of one so much above it, are seen."""
        p = np.concatenate([np.asarray(mm, float), np.full((len(mm), 1), height)], 1)
        p = p @ self.turn.T + self.shift
        view = p[:, :2] / p[:, 2:] * self.focal
        view = view * (1 + self.k1 * (view ** 2).sum(1))[:, None]
        return view * self.half + np.array([self.width / 2, self.height / 2])

    def see(self, plane, seed=1, shading=0.3, noise=4.0, blur=1.0):
        """The picture of the plane, light from one corner."""
        over = 2
        xs = (np.arange(self.width * over) + 0.5) / over
        rows = []
        back = np.linalg.inv(self.h)
        for y in (np.arange(self.height * over) + 0.5) / over:
            view = np.stack([(xs - self.width / 2) / self.half,
                             np.full_like(xs, (y - self.height / 2) / self.half)], -1)
            view = self.undistorted(view)
            mm = np.concatenate([view, np.ones((len(xs), 1))], 1) @ back.T
            at = plane.px(mm[:, :2] / mm[:, 2:]) - 0.5
            rows.append(at.astype(np.float32))
        maps = np.stack(rows)
        edge = int(plane.tones[0, 0])
        fine = cv2.remap(plane.tones, maps[..., 0], maps[..., 1], cv2.INTER_LINEAR,
                         borderMode=cv2.BORDER_CONSTANT, borderValue=edge)
        picture = cv2.resize(fine, (self.width, self.height), interpolation=cv2.INTER_AREA)
        return spoiled(picture, seed, shading, noise, blur)


def spoiled(picture, seed, shading, noise, blur):
    """Blur, uneven light and noise."""
    picture = picture.astype(np.float64)
    if blur > 0:
        picture = cv2.GaussianBlur(picture, (0, 0), blur)
    height, width = picture.shape
    y, x = np.mgrid[0:height, 0:width]
    far = np.hypot(x / width - 0.2, y / height - 0.15) / math.hypot(0.8, 0.85)
    picture *= 1 - shading * far ** 1.5
    picture += np.random.default_rng(seed).normal(0, noise, picture.shape)
    return np.clip(np.rint(picture), 0, 255).astype(np.uint8)


def size_of(low, high, px_per_mm, share=1.16):
    side = (np.asarray(high) - np.asarray(low)) * px_per_mm * share
    return int(side[0]), int(side[1])


def on_mat(points, holes, columns, rows, px_per_mm=8.6, line=False, **camera):
    """A thing or a drawn line on a mat; gives the picture and the camera."""
    half = np.array([columns * PITCH / 2 + 8, rows * PITCH / 2 + 8])
    plane = Plane(-half - 60, half + 60, TABLE)
    plane.box(*(-half), *half, PAPER)
    draw_mat(plane, columns, rows)
    plane.line(points) if line else plane.thing(points, holes)
    seed = camera.pop("seed", 1)
    share = camera.pop("share", 1.16)
    size = size_of(-half, half, px_per_mm, share)
    # Held upright, the camera's own width runs along the mat's height.
    upright = round(camera.get("spin_deg", 0) / 90) % 2 == 1
    eye = Camera(size[::-1] if upright else size, px_per_mm, **camera)
    return eye.see(plane, seed), eye


def on_sheet(points, holes, sheet, px_per_mm=8.6, line=False, **camera):
    """A thing or a drawn line on a sheet of paper whose lower left corner is the origin."""
    sheet = np.array(sheet, float)
    plane = Plane((-80, -80), sheet + 80, TABLE)
    plane.box(0, 0, *sheet, PAPER)
    plane.line(points) if line else plane.thing(points, holes)
    seed = camera.pop("seed", 1)
    share = camera.pop("share", 1.16)
    eye = Camera(size_of((0, 0), sheet, px_per_mm, share), px_per_mm, over=sheet / 2, **camera)
    return eye.see(plane, seed), eye


def scanned(points, holes, size, dpi=300, line=False, seed=1):
    """A flat scan, `size` mm; light falls off a little toward the sides."""
    plane = Plane((0, 0), size, PAPER)
    plane.line(points) if line else plane.thing(points, holes)
    width, height = (np.array(size) / 25.4 * dpi).astype(int)
    xs, ys = (np.arange(width * 2) + 0.5) / 2, (np.arange(height * 2) + 0.5) / 2
    mm = lambda v: v * 25.4 / dpi
    x, y = np.meshgrid(mm(xs), size[1] - mm(ys))
    at = plane.px(np.stack([x, y], -1)).astype(np.float32) - 0.5
    fine = cv2.remap(plane.tones, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    picture = cv2.resize(fine, (int(width), int(height)), interpolation=cv2.INTER_AREA)
    # A scan's own origin: the lower left corner of its last row of pixels.
    lift = size[1] - height * 25.4 / dpi
    return spoiled(picture, seed, 0.1, 2.0, 0.7), lift


def jpeg(picture, dpi=None, quality=85):
    """A JPEG's bytes; with a density in its JFIF header if one is given."""
    data = bytearray(cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])[1].tobytes())
    assert data[6:11] == b"JFIF\0"
    if dpi:
        data[13:18] = bytes([1]) + int(dpi).to_bytes(2, "big") * 2
    return bytes(data)


def kept():
    """The pictures that are kept, each with what is true of it."""
    known = outlines()
    told = []

    def keep(name, picture, points, holes, dpi=None, **more):
        (HERE / "photos" / name).write_bytes(jpeg(picture, dpi))
        # The segments' own ends too, so that no tip is cut.
        every = points[np.union1d(np.arange(0, len(points), 8), np.arange(0, len(points), PER_SEGMENT))]
        told.append({"file": name, "outline": np.round(every, 5).tolist(),
                     "holes": [[*np.round(c, 5).tolist(), d] for c, d in holes], **more})

    points, holes, _ = known["drop_point"]
    p, h = placed(points, holes, 4, (3, -2))
    picture, eye = on_mat(p, h, 13, 5, 8.2, tilt_deg=14, toward_deg=25, spin_deg=3, k1=-0.05)
    foot, height = eye.place()
    keep("drop_point_on_mat.jpg", picture, p, h, mat=[13, 5], k1=-0.05, foot=foot.tolist(),
         height=height, focal=eye.focal)
    points, holes, _ = known["bird_and_trout"]
    p, h = placed(points, holes, 52, (107.95, 139.7))
    picture, eye = on_sheet(p, h, (215.9, 279.4), 5.0, share=1.35, tilt_deg=12, toward_deg=60, k1=0.05)
    keep("bird_and_trout_on_letter.jpg", picture, p, h)
    points, holes, _ = known["sheepsfoot"]
    p, h = placed(points, holes, 0, (108, 24))
    picture, lift = scanned(p, h, (216, 48))
    keep("sheepsfoot_scan.jpg", picture, p - [0, lift], [(np.array(c) - [0, lift], d) for c, d in h], 300)
    points, holes, _ = known["finger_notch"]
    p, h = placed(points, holes, -2, (116, 28))
    picture, lift = scanned(p, [], (232, 56), 200, line=True)
    keep("finger_notch_drawn.jpg", picture, p - [0, lift], [], 200)
    # The upper rim of a thing 4 mm thick, 500 mm under the camera: seen larger about its foot.
    points, holes, _ = known["bird_and_trout"]
    p, h = placed(points, [], 3, (2, 1))
    half = np.array([11 * PITCH / 2 + 8, 5 * PITCH / 2 + 8])
    px_per_mm, size = 6.6, size_of(-half, half, 6.6)
    focal = 507 * px_per_mm / (math.hypot(*size) / 2)
    camera = dict(tilt_deg=10, toward_deg=75, k1=0.02, focal=focal)
    foot, height = Camera(size, px_per_mm, **camera).place()
    seen = foot + (p - foot) * height / (height - 4.0)
    picture, _ = on_mat(seen, [], 11, 5, px_per_mm, **camera)
    keep("thick_on_mat.jpg", picture, p, [], thickness=4.0, height=height)
    (HERE / "photos.json").write_text(json.dumps(told) + "\n")


if __name__ == "__main__":
    (HERE / "photos").mkdir(exist_ok=True)
    kept()
