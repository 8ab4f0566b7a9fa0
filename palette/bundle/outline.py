"""From the pixels of one piece to its four corners."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats

_CORNER = 0.12
"""Part of a side near each corner that says nothing about where the side runs."""
_ROUNDS = 3
_TURNED = np.radians((6.0, 9.0))
"""Most that a side of a single fabric is turned against the others: if frayed, and if not."""
_FRAYED = 0.3
"""How sure such a side is beside the surest one."""
_OUTER = 70.0
"""Percentile of the edge pixels, from the inside out, at which a side turned more is laid."""


def outline(piece: NDArray[np.bool_], *, single: bool = False) -> Floats | None:
    """Find the corners of a piece that is more or less four-sided.

    The smallest rectangle round it is the start; then each side is laid through
    the edge pixels next to it, those that stick out or in having no say (loose
    threads, shadows, a print that is like the table).

    Parameters
    ----------
    piece : NDArray[np.bool_]
        Its pixels.
    single : bool
        Whether it is one fabric, cut square and so small in the photo that a slant hardly turns its
        sides: one that is turned against the others was laid wrongly.

    Returns
    -------
    Floats
        Clockwise in pixels, shape (4, 2); None if there is no such shape.
    """
    from scipy import ndimage

    down, across = np.nonzero(piece & ~ndimage.binary_erosion(piece, border_value=0))
    if len(down) < 12:
        return None
    rim = np.column_stack([across, down]).astype(np.float64) + 0.5
    corners = smallest_rectangle(rim)
    for _ in range(_ROUNDS):
        better = _laid(rim, corners, single=single)
        if better is None:
            break
        corners = better
    return corners


def smallest_rectangle(points: Floats) -> Floats:
    """Find the rectangle of least area round points, clockwise, shape (4, 2).

    It has a side on a side of the convex hull (Freeman & Shapira 1975).
    """
    from scipy.spatial import ConvexHull, QhullError

    try:
        hull = points[ConvexHull(points).vertices]
    except QhullError:  # they lie on one line
        hull = points[[points.sum(axis=1).argmin(), points.sum(axis=1).argmax()]]
    sides = np.roll(hull, -1, axis=0) - hull
    best, least = points[:4], np.inf
    for angle in np.unique(np.round(np.arctan2(sides[:, 1], sides[:, 0]) % (np.pi / 2), 4)):
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        turned = hull @ turn
        (left, top), (right, bottom) = turned.min(axis=0), turned.max(axis=0)
        area = (right - left) * (bottom - top)
        if area < least:
            box = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
            best, least = box @ turn.T, area
    return best


def _laid(rim: Floats, corners: Floats, *, single: bool) -> Floats | None:
    """Lay the four sides through the edge pixels next to them."""
    sides = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*sides.T)
    normals = np.column_stack([sides[:, 1], -sides[:, 0]]) / lengths[:, None]
    away = np.abs(((rim[:, None] - corners) * normals).sum(axis=-1))
    along = ((rim[:, None] - corners) * sides).sum(axis=-1) / np.square(lengths)
    nearest = away.argmin(axis=1)
    edges = []
    for side in range(4):
        close = (nearest == side) & (np.abs(along[:, side] - 0.5) < 0.5 - _CORNER)
        close &= away[:, side] < 0.2 * lengths.min()
        if close.sum() < 5:
            return None
        edges.append(rim[close])
    laid = [_line(edge, normal) for edge, normal in zip(edges, normals, strict=True)]
    lines = np.array([line for line, _ in laid])
    if single:
        lines = _squared(edges, lines, np.array([strength for _, strength in laid]), corners)
    return _crossings(lines)


def _line(points: Floats, normal: Floats) -> tuple[Floats, float]:
    """Fit n . p = d by reweighted least squares (Tukey's biweight).

    The line as (nx, ny, d), and how much it can be trusted: points over their variance.
    """
    weights = np.ones(len(points))
    for _ in range(8):
        middle = weights @ points / weights.sum()
        centred = points - middle
        spread = (centred * weights[:, None]).T @ centred
        normal = np.linalg.eigh(spread)[1][:, 0]
        off = centred @ normal
        # The median of the offsets, not their mean, says where most of the side runs.
        off -= np.median(off)
        reach = 4.685 * max(1.4826 * float(np.median(np.abs(off))), 0.4)
        weights = np.square(np.maximum(1 - np.square(off / reach), 0)) + 1e-9
    middle = weights @ points / weights.sum()
    return np.array([*normal, normal @ middle]), float(len(points) / reach**2)


def _squared(edges: list[Floats], lines: Floats, strengths: Floats, corners: Floats) -> Floats:
    """Lay sides anew, square to the others, that are turned against them."""
    angles = np.arctan2(lines[:, 1], lines[:, 0]) % (np.pi / 2)
    most = np.where(strengths < _FRAYED * strengths.max(), *_TURNED)
    # The angle that the surest sides share, as far as the others agree with it.
    off = np.abs((angles[:, None] - angles + np.pi / 4) % (np.pi / 2) - np.pi / 4)
    surest = int((np.minimum(off, _TURNED[0]) @ strengths).argmin())
    middle = corners.mean(axis=0)
    squared = lines.copy()
    for side in np.flatnonzero(off[surest] > most):
        directions = angles[surest] + np.arange(4) * np.pi / 2
        outward = edges[side].mean(axis=0) - middle
        normals = np.column_stack([np.cos(directions), np.sin(directions)])
        normal = normals[(normals @ outward).argmax()]
        squared[side] = [*normal, np.percentile(edges[side] @ normal, _OUTER)]
    return squared


def _crossings(lines: Floats) -> Floats | None:
    """Cross each side with the one before it."""
    corners = []
    for side in range(4):
        pair = lines[[side - 1, side]]
        if abs(np.linalg.det(pair[:, :2])) < 0.2:
            return None
        corners.append(np.linalg.solve(pair[:, :2], pair[:, 2]))
    return np.array(corners)
