"""Prints made of the table's own colours: told from it by their mean, not pixel by pixel.

A print may hold nothing but colours that the table has too, in other shares.
Blurred over a good part of a fabric, both have one colour each, and these differ.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from palette.bundle.mend import ENOUGH, Piece, taken, usual_area
from palette.bundle.outline import outline
from palette.bundle.table import Look, rim
from palette.colour import Floats, light_to_lab

_STEP = 2
"""Every so many pixels are looked at."""
_BLUR = 0.2
"""Deviation of the blur, part of the usual side."""
_KNOWN = 0.3
"""Part of what is blurred into a pixel that is no other piece, at least."""
_FLOOR = (1.0, 0.7, 0.7)
"""Least deviation of the table's blurred colour in L*, a*, b*."""
_FAR = 5.0
"""Deviations from which on it is no table."""
_SIZES = (0.4, 1.6)
"""Area beside the usual one."""
_FRAGMENT = 0.5
"""Area beside the usual one, below which a piece may be part of another."""

_Mask = NDArray[np.bool_]


def with_blended(look: Look, pieces: Sequence[Piece]) -> list[Piece]:
    """Add fabrics whose mean colour is not the table's to those that were found.

    Fragments of them that were taken for pieces are gone.
    """
    if len(pieces) < ENOUGH:
        return list(pieces)
    usual = usual_area([piece.area for piece in pieces])
    whole = [piece for piece in pieces if piece.area >= _FRAGMENT * usual and not piece.is_ragged]
    found = _blended(look, taken(whole, look.table.shape, usual), usual)
    rest = [
        piece
        for piece in pieces
        if piece not in whole and not any(new.mask[piece.mask].mean() > 0.5 for new in found)
    ]
    return [*whole, *rest, *found]


def _blended(look: Look, others: _Mask, usual: float) -> list[Piece]:
    free = ~others[::_STEP, ::_STEP]
    lab, known = _blurred(look.even[::_STEP, ::_STEP], free, _BLUR * np.sqrt(usual) / _STEP)
    table = lab[rim(*free.shape) & free]
    if not len(table):
        return []
    off = lab - np.median(table, axis=0)
    spread = np.maximum(table.std(axis=0), _FLOOR)
    stands_out = np.where(known, np.linalg.norm(off / spread, axis=-1), 0.0)
    apart = np.where(known, np.linalg.norm(off, axis=-1), 0.0)
    labels, count = ndimage.label(stands_out > _FAR)
    found = []
    for number in range(1, count + 1):
        # Blur leaves half of the difference at the edge of a fabric.
        halves, _ = ndimage.label(apart > apart[labels == number].max() / 2)
        mine = halves == np.bincount(halves[labels == number]).argmax()
        if _SIZES[0] * usual < mine.sum() * _STEP**2 < _SIZES[1] * usual:
            corners = outline(np.pad(mine, 1))
            if corners is not None:
                found.append(Piece(_large(mine, others.shape), (corners - 1) * _STEP))
    return [piece for piece in found if not piece.is_ragged]


def _blurred(light: Floats, free: _Mask, sigma: float) -> tuple[Floats, _Mask]:
    """Blur what is free, in Lab, and tell where enough of it is."""
    weight = ndimage.gaussian_filter(free.astype(np.float64), sigma)
    parts = [ndimage.gaussian_filter(np.where(free, light[..., k], 0.0), sigma) for k in range(3)]
    mean = np.stack(parts, axis=-1) / np.maximum(weight, 1e-6)[..., None]
    return light_to_lab(np.maximum(mean, 1e-5)), (weight > _KNOWN) & free


def _large(mask: _Mask, shape: tuple[int, ...]) -> _Mask:
    """Make a mask of every _STEP-th pixel one of all."""
    return mask.repeat(_STEP, axis=0).repeat(_STEP, axis=1)[: shape[0], : shape[1]]
