"""A fabric so like the table that it has to be pointed at."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.bundle.outline import outline
from palette.photo.quad import Point, Quad

if TYPE_CHECKING:
    from palette.bundle.table import Look, Mask
    from palette.colour import Floats

_TOLERANCES = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 13.0, 17.0)
"""How far in Lab the pixels of a fabric may lie from the place that was tapped."""
_SIZES = (0.002, 0.4)
"""Part of the photo that a fabric may cover."""
_FILLS = 0.85
"""Part of its outline that a fabric fills."""
_USUAL = 0.02
"""Part of the photo that a fabric covers if there is no other to go by."""


def grown(look: Look, others: list[Quad], at: Point) -> Quad:
    """Find the fabric that a point lies on.

    The area around it is taken that fills its four-sided outline best, among
    those of colours ever further from the point's own. Where there is none, a
    square of the usual size is put there to be corrected by hand.
    """
    seed = (min(int(at[1] * look.height), look.height - 1),
            min(int(at[0] * look.width), look.width - 1))  # fmt: skip
    smooth = ndimage.gaussian_filter(look.lab, (1.5, 1.5, 0))
    apart = np.sqrt(np.square(smooth - _around(smooth, seed)).sum(axis=-1))
    apart[_covered(look, others)] = np.inf
    best, most = None, _FILLS
    for tolerance in _TOLERANCES:
        area = _joined(apart < tolerance, seed)
        quad = _outlined(look, area)
        filled = area.sum() / (quad.area * area.size) if quad else 0.0
        if quad and most <= filled <= 1 / _FILLS:
            best, most = quad, filled
    return best or _square(look, others, at)


def _around(lab: Floats, seed: tuple[int, int]) -> Floats:
    row, column = seed
    near = lab[max(row - 2, 0) : row + 3, max(column - 2, 0) : column + 3]
    return np.asarray(np.median(near.reshape(-1, 3), axis=0))


def _covered(look: Look, quads: list[Quad]) -> Mask:
    from skimage.draw import polygon

    covered = np.zeros(look.table.shape, dtype=np.bool_)
    for quad in quads:
        corners = quad.array() * [look.width, look.height]
        covered[polygon(corners[:, 1], corners[:, 0], covered.shape)] = True
    return covered


def _joined(like: Mask, seed: tuple[int, int]) -> Mask:
    labels, _ = ndimage.label(ndimage.binary_opening(like, iterations=1))
    if not labels[seed]:
        return np.zeros_like(like)
    return np.asarray(ndimage.binary_fill_holes(labels == labels[seed]))


def _outlined(look: Look, area: Mask) -> Quad | None:
    if not _SIZES[0] * area.size < area.sum() < _SIZES[1] * area.size:
        return None
    corners = outline(area)
    if corners is None:
        return None
    try:
        return Quad.of_pixels(corners, look.width, look.height)
    except ValueError:
        return None  # no shape with four sides


def _square(look: Look, others: list[Quad], at: Point) -> Quad:
    area = float(np.median([quad.area for quad in others])) if others else _USUAL
    half = np.sqrt(area * look.width * look.height) / 2 / np.array([look.width, look.height])
    middle = np.clip(at, half, 1 - half)
    return Quad.of(middle + half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]))
