"""Prints made of the table's own colours: told from it by their mean, not pixel by pixel.

A print may hold nothing but colours that the table has too, in other shares.
Blurred over a good part of a fabric, both have one colour each, and these differ.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.draw import polygon

from palette.bundle.mend.fragments import ENOUGH, Fragment, taken, usual_area
from palette.bundle.outline import outline
from palette.bundle.table import Look, rim
from palette.colour import Floats, light_to_lab

if TYPE_CHECKING:
    from collections.abc import Sequence

_STEP = 2
"""Every so many pixels are looked at."""
_BLUR = 0.2
"""Deviation of the blur, part of the usual side."""
_FINER = 0.12
"""The same for where its edges are."""
_KNOWN = 0.5
"""Part of what is blurred into a pixel that is no other piece, at least."""
_SURE = 0.75
"""The same in the middle of a fabric: more than between two pieces."""
_FLOOR = (1.0, 0.7, 0.7)
"""Least deviation of the table's blurred colour in L*, a*, b*."""
_FAR = 5.0
"""Deviations from which on it is no table."""
_CORE = 0.02
"""Area that stands out so far beside the usual one, at least."""
_SIZES = (0.4, 1.6)
"""Area beside the usual one."""
_FRAGMENT = 0.5
"""Area beside the usual one, below which a piece may be part of another."""
_HOLES = 0.2
"""Part of a piece in the colours of the table from which on its outline is doubtful."""
_STEPS = (-0.2, -0.15, -0.1, -0.05, 0.05, 0.1, 0.15, 0.2)
"""Where colours are compared on both sides of an edge, part of the way from the middle."""

_Mask = NDArray[np.bool_]


def with_blended(look: Look, pieces: Sequence[Fragment]) -> list[Fragment]:
    """Add fabrics whose mean colour is not the table's to those that were found.

    Fragments of them that were taken for pieces are gone.
    """
    if len(pieces) < ENOUGH:
        return list(pieces)
    usual = usual_area([piece.area for piece in pieces])
    doubtful = [piece for piece in pieces if not _is_sound(look, piece, usual)]
    whole = [piece for piece in pieces if piece not in doubtful]
    found = _blended(look, taken(whole, look.table.shape, usual), usual)
    for piece in doubtful:
        other = next((new for new in found if new.mask[piece.mask].mean() > 0.5), None)
        if other is None:
            whole.append(piece)
        elif not piece.is_ragged and _edges(look, piece) > _edges(look, other):
            found.remove(other)
            whole.append(piece)
    return [*whole, *found]


def _is_sound(look: Look, piece: Fragment, usual: float) -> bool:
    """Tell whether a piece is large enough, has four sides and holds little table."""
    inside = polygon(piece.corners[:, 1], piece.corners[:, 0], look.table.shape)
    fills = not piece.is_ragged and piece.area >= _FRAGMENT * usual
    return fills and bool(look.table[inside].mean() < _HOLES)


def _edges(look: Look, piece: Fragment) -> float:
    """How far in Lab the mean colours on both sides of its edges are apart."""
    corners, middle = piece.corners, piece.corners.mean(axis=0)
    along = np.linspace(0.1, 0.9, 33)[:, None]
    apart = []
    for first, second in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        edge = first + along * (second - first)
        strips = [middle + (edge - middle) * (1 + step) for step in _STEPS]
        seen = [look.lab[_within(strip, look.table.shape)].mean(axis=0) for strip in strips]
        half = len(seen) // 2
        apart.append(np.linalg.norm(np.mean(seen[:half], axis=0) - np.mean(seen[half:], axis=0)))
    return float(np.mean(apart))


def _within(points: Floats, shape: tuple[int, ...]) -> tuple[NDArray[np.int64], ...]:
    across, down = np.floor(points).astype(np.int64).T
    return np.clip(down, 0, shape[0] - 1), np.clip(across, 0, shape[1] - 1)


def _blended(look: Look, others: _Mask, usual: float) -> list[Fragment]:
    free = ~others[::_STEP, ::_STEP]
    light, side = look.even[::_STEP, ::_STEP], float(np.sqrt(usual))
    lab, weight = _blurred(light, free, _BLUR * side / _STEP)
    table = lab[rim(*free.shape) & free]
    if not len(table):
        return []
    off = lab - np.median(table, axis=0)
    spread = np.maximum(table.std(axis=0), _FLOOR)
    stands_out = (np.linalg.norm(off / spread, axis=-1) > _FAR) & (weight > _SURE)
    finer, weight = _blurred(light, free, _FINER * side / _STEP)
    apart = np.linalg.norm(finer - np.median(table, axis=0), axis=-1) * (weight > _KNOWN)
    labels, _ = ndimage.label(stands_out)
    cores = np.flatnonzero(np.bincount(labels.ravel())[1:] > _CORE * usual / _STEP**2) + 1
    found = [_piece(apart, labels == number, others.shape) for number in cores]
    return [
        piece
        for piece in found
        if piece and not piece.is_ragged and _SIZES[0] * usual < piece.area < _SIZES[1] * usual
    ]


def _blurred(light: Floats, free: _Mask, sigma: float) -> tuple[Floats, Floats]:
    """Blur what is free, in Lab; and how much of it there is around each pixel, 0 to 1."""
    weight = ndimage.gaussian_filter(free.astype(np.float64), sigma)
    parts = [ndimage.gaussian_filter(np.where(free, light[..., k], 0.0), sigma) for k in range(3)]
    mean = np.stack(parts, axis=-1) / np.maximum(weight, 1e-6)[..., None]
    return light_to_lab(np.maximum(mean, 1e-5)), np.where(free, weight, 0.0)


def _piece(apart: Floats, core: _Mask, shape: tuple[int, ...]) -> Fragment | None:
    """Outline the fabric around a core by how far each pixel is apart from the table."""
    mine = core
    for _ in range(2):
        # Blur leaves half of the difference at the edge of a fabric.
        halves, _ = ndimage.label(apart > np.percentile(apart[mine], 75) / 2)
        mine = halves == np.bincount(halves[core]).argmax()
    corners = outline(np.pad(mine, 1), single=True)
    return None if corners is None else Fragment(_large(mine, shape), (corners - 1) * _STEP)


def _large(mask: _Mask, shape: tuple[int, ...]) -> _Mask:
    """Make a mask of every _STEP-th pixel one of all."""
    return mask.repeat(_STEP, axis=0).repeat(_STEP, axis=1)[: shape[0], : shape[1]]
