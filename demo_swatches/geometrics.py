"""Dots, tiles, scallops and other prints that a ruler and a compass draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from demo_swatches.repeat import Repeat
from demo_swatches.shapes import Motif, circle, closed, path, stroke, turned, wobbly

if TYPE_CHECKING:
    from numpy.random import Generator


def dots(
    rng: Generator, pitch: float, radius: float, wobble: float = 0.05, rows: int = 6
) -> Repeat:
    """Return staggered dots in ink 1, a little different each time."""
    repeat = Repeat(pitch * rows, pitch * rows)
    for row in range(rows * 2):
        for column in range(rows):
            at = (pitch * (column + (row % 2) / 2), pitch / 2 * row)
            repeat.paint_at([(wobbly(rng, radius * rng.normal(1, 0.04), wobble), 1)], at)
    return repeat


def tossed_dots(rng: Generator, size: float, radii: list[float]) -> Repeat:
    """Return dots of several sizes thrown about: inks 1 and 2 in turn, rings in ink 1."""
    repeat = Repeat(size, size, half_drop=True)
    for k, (x, y, radius) in enumerate(repeat.toss(rng, sorted(radii, reverse=True), 1.25)):
        repeat.paint_at([(wobbly(rng, radius, 0.05), 1 + k % 2)], (x, y))
    return repeat


def tiles(pitch: float) -> Repeat:
    """Return a lattice of leaf-shaped arcs with a lozenge in each field; inks 1 and 2."""
    repeat = Repeat(pitch, pitch)
    arc = path([(0, 0), (0.5, 0.17), (1, 0)])
    lens = np.concatenate([arc, (arc * (1, -1))[::-1]]) * pitch
    for degrees, at in ((0, (0, 0)), (90, (0, 0))):
        repeat.paint_at([(lens * (0.94, 0.9) + (pitch * 0.03, 0), 1)], at, degrees=degrees)
    star = closed(
        [
            (0, -0.2),
            (0.06, -0.06),
            (0.2, 0),
            (0.06, 0.06),
            (0, 0.2),
            (-0.06, 0.06),
            (-0.2, 0),
            (-0.06, -0.06),
        ],
        6,
    )
    repeat.paint_at([(star * pitch, 2), (circle(pitch * 0.045), 1)], (pitch / 2, pitch / 2))
    return repeat


def scallops(width: float) -> Repeat:
    """Return overlapping fish scales, open end up; inks ground line 1, bands 2 and 3."""
    half = width / 2
    repeat = Repeat(width, width)
    for row in range(-3, 6):
        for column in range(-1, 3):
            at = np.array([width * column + half * (row % 2), half * row])
            rings: Motif = [
                (circle(half * r, (0, 0), 60), ink)
                for r, ink in ((1.0, 1), (0.9, 2), (0.66, 3), (0.56, 2), (0.34, 3), (0.2, 1))
            ]
            # Each row hides the one above it, so the order matters, and copies would spoil it.
            repeat.paint([(ring + at, ink) for ring, ink in rings], copies=False)
    return repeat


def stars(rng: Generator, pitch: float, rows: int = 4) -> Repeat:
    """Return little six-rayed stars, staggered, each turned a bit, with dots between."""
    repeat = Repeat(pitch * rows, pitch * rows)
    for row in range(rows * 2):
        for column in range(rows):
            at = (pitch * (column + (row % 2) / 2), pitch / 2 * row)
            repeat.paint_at(_star(pitch * 0.17), at, degrees=rng.uniform(0, 60))
            beside = (at[0] + pitch / 2, at[1])
            repeat.paint_at([(circle(pitch * 0.028, points=14), 2)], beside)
    return repeat


def _star(radius: float) -> Motif:
    ray = stroke(path([(0, 0), (0, -radius)]), radius * 0.34, radius * 0.08)
    return [(turned(ray, 60 * k), 1) for k in range(6)]


def crosshatch(rng: Generator, size: float, gap: float, ink: int = 1) -> Repeat:
    """Return short brush marks, crossing, as if the cloth had been scumbled."""
    repeat = Repeat(size, size)
    for _ in range(int((size / gap) ** 2)):
        length = gap * rng.uniform(1.2, 3.2)
        mark = stroke(path([(-length, 0), (0, rng.normal(0, 0.6)), (length, 0)]), 1.6, 0.7)
        at = rng.random(2) * size
        repeat.paint_at([(mark, ink)], at, degrees=rng.choice([0, 90]) + rng.normal(0, 4))
    return repeat


def seeds(rng: Generator, pitch: float, rows: int = 8) -> Repeat:
    """Return apple pips in rows that lean to and fro; inks 1 pip, 2 glint."""
    repeat = Repeat(pitch * rows, pitch * rows)
    pip = closed([(0, -1), (0.42, -0.1), (0.38, 0.55), (0, 0.8), (-0.38, 0.55), (-0.42, -0.1)])
    glint = stroke(path([(-0.16, 0.3), (-0.12, -0.2), (-0.02, -0.6)]), 0.12, 0.04)
    for row in range(rows):
        for column in range(rows):
            lean = (38 if (row + column) % 2 else -38) + rng.normal(0, 7)
            at = np.array([column + 0.5, row + 0.5]) * pitch + rng.normal(0, pitch * 0.04, 2)
            repeat.paint_at([(pip, 1), (glint, 2)], at, degrees=lean, size=pitch * 0.3)
    return repeat
