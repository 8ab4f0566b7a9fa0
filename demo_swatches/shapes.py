"""Outlines in the plane: splines, strokes, and moving them about.

An outline is an array of points, shape (n, 2), x to the right and y down, in any
unit. A motif is a list of (outline, ink), painted in order; ink 0 is bare cloth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.random import Generator

Outline = NDArray[np.float64]
Motif = list[tuple[Outline, int]]


def _catmull_rom(points: Outline, steps: int) -> Outline:
    """Points on the spline through all but the first and last of the given points."""
    a, b, c, d = points[:-3, None], points[1:-2, None], points[2:-1, None], points[3:, None]
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    spline = b + t / 2 * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))
    return spline.reshape(-1, 2)


def closed(points: ArrayLike, steps: int = 8) -> Outline:
    """Return a smooth closed outline through the points."""
    ring = np.asarray(points, float)
    return _catmull_rom(np.concatenate([ring[-1:], ring, ring[:2]]), steps)


def path(points: ArrayLike, steps: int = 12) -> Outline:
    """Return a smooth open line through the points, ends included."""
    line = np.asarray(points, float)
    ends = np.concatenate([line[:1], line, line[-1:]])
    return np.concatenate([_catmull_rom(ends, steps), line[-1:]])


def stroke(line: Outline, start: float, end: float | None = None) -> Outline:
    """Return the outline of a brush stroke whose width runs from start to end."""
    along = np.gradient(line, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    half = np.linspace(start, start if end is None else end, len(line))[:, None] / 2
    return np.concatenate([line + across * half, (line - across * half)[::-1]])


def circle(radius: float, at: Sequence[float] = (0.0, 0.0), points: int = 28) -> Outline:
    """Return a circle."""
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    return np.stack([np.cos(angle), np.sin(angle)], axis=1) * radius + np.asarray(at)


def wobbly(rng: Generator, radius: float, wobble: float = 0.08, corners: int = 9) -> Outline:
    """Return a circle as a hand would cut it."""
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    far = radius * (1 + rng.normal(0, wobble, corners))
    return closed(np.stack([np.cos(angle) * far, np.sin(angle) * far], axis=1))


def turned(outline: Outline, degrees: float) -> Outline:
    """Return the outline turned clockwise (as seen, y down) about the origin."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return outline @ np.array([[c, s], [-s, c]])


def moved(
    motif: Motif, at: Sequence[float], degrees: float = 0.0, size: float = 1.0, mirror: bool = False
) -> Motif:
    """Return a motif mirrored left to right, scaled, turned and then shifted."""
    flip = np.array([-size if mirror else size, size])
    return [(turned(line * flip, degrees) + np.asarray(at), ink) for line, ink in motif]
