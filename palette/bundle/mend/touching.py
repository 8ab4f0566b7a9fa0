"""Fabrics that touch, or that a shadow joins: one piece, larger than the others, taken apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.bundle.mend.fragments import ENOUGH, Fragment, usual_area
from palette.bundle.outline import outline
from palette.photo.quad import SQUARE, projection

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from palette.bundle.table import Look, Mask
    from palette.colour import Floats

_TWICE = 1.6
"""Area beside the usual one from which on a piece may be two fabrics."""
_SLIM = 0.7
"""Its breadth over its length beside the usual, at most."""
_NECKS = (0.04, 0.08, 0.12, 0.16)
"""Half the breadth of what may join two fabrics and is none, part of the usual side."""
_LEAST = 0.3
"""Area of a part beside the usual one, at least."""
_CORE = 0.05
"""What is left of such a part without its rim, at least."""
_LINES = 48
"""Lines looked at along it."""
_WINDOW = 8
"""Lines of either fabric that are compared."""
_BETWEEN = (0.3, 0.7)
"""Where along it one fabric may end and the other begin."""
_APART = 8.0
"""How far in Lab the colours on both sides of the seam are apart, at least."""


def unjoined(look: Look, pieces: Sequence[Fragment]) -> list[Fragment]:
    """Take pieces apart that hang together by less than their breadth, as by a shadow."""
    if len(pieces) < ENOUGH:
        return list(pieces)
    usual = usual_area([float(piece.mask.sum()) for piece in pieces])
    parts: list[Fragment] = []
    for piece in pieces:
        # What a shadow encloses was filled.
        large = piece.area > _TWICE * usual
        parts.extend((large and _broad(piece.mask & ~look.table, usual)) or [piece])
    return parts


def _broad(cloth: Mask, usual: float, part: float = _NECKS[0]) -> list[Fragment]:
    """Give those parts of an area that have four sides; where it has none, cut broader necks."""
    reach = part * float(np.sqrt(usual))
    labels, _ = ndimage.label(ndimage.distance_transform_edt(cloth) > reach)
    parts: list[Fragment] = []
    for number in np.flatnonzero(np.bincount(labels.ravel())[1:] > _CORE * usual) + 1:
        mask = cloth & (ndimage.distance_transform_edt(labels != number) <= reach + 1)
        corners = outline(mask, single=True) if mask.sum() > _LEAST * usual else None
        if corners is None:
            continue
        piece = Fragment(mask, corners)
        if not piece.is_ragged:
            parts.append(piece)
        elif broader := next((wide for wide in _NECKS if wide > part), 0.0):
            parts.extend(_broad(mask, usual, broader))
    return parts


def untouched(look: Look, pieces: Sequence[Fragment]) -> list[Fragment]:
    """Divide pieces that are two fabrics or more in a row, where the colour changes most."""
    if len(pieces) < ENOUGH:
        return list(pieces)
    usual = usual_area([piece.area for piece in pieces])
    slim = _SLIM * float(np.median([piece.shape for piece in pieces]))
    return [part for piece in pieces for part in _parts(look, piece, usual, slim)]


def _parts(look: Look, piece: Fragment, usual: float, slim: float) -> Iterator[Fragment]:
    halves = []
    if piece.area > _TWICE * usual and piece.shape < slim and not piece.is_ragged:
        halves = _halves(look, piece)
    if not halves:
        yield piece
    for half in halves:
        yield from _parts(look, half, usual, slim)


def _halves(look: Look, piece: Fragment) -> list[Fragment]:
    """Take a piece in two; nothing if its colour changes nowhere."""
    sides = np.linalg.norm(np.roll(piece.corners, -1, axis=0) - piece.corners, axis=1)
    upright = sides[1] + sides[3] > sides[0] + sides[2]
    # Its first side is to run along it.
    corners = np.roll(piece.corners, -1, axis=0) if upright else piece.corners
    lines = _lines(look, projection(SQUARE, corners))
    sums = np.vstack([np.zeros(3), np.cumsum(lines, axis=0)])
    at = np.arange(max(_WINDOW, int(_BETWEEN[0] * _LINES)), int(_BETWEEN[1] * _LINES) + 1)
    before, after = sums[at] - sums[at - _WINDOW], sums[at + _WINDOW] - sums[at]
    change = np.linalg.norm(after - before, axis=1) / _WINDOW
    if change.max() < _APART:
        return []
    seam = at[change.argmax()] / _LINES
    down, across = np.nonzero(piece.mask)
    flat = np.column_stack([across + 0.5, down + 0.5, np.ones(len(down))])
    flat = flat @ projection(corners, SQUARE).T
    first = flat[:, 0] / flat[:, 2] < seam
    halves = []
    for mine in (first, ~first):
        mask = np.zeros_like(piece.mask)
        mask[down[mine], across[mine]] = True
        found = outline(mask, single=True)
        if found is None:
            return []
        halves.append(Fragment(mask, found))
    return halves


def _lines(look: Look, to_photo: Floats) -> Floats:
    """Mean Lab of each line across a piece, shape (_LINES, 3)."""
    along, across = np.meshgrid((np.arange(_LINES) + 0.5) / _LINES, np.linspace(0.15, 0.85, 15))
    flat = np.column_stack([along.ravel(), across.ravel(), np.ones(along.size)]) @ to_photo.T
    x, y = (flat[:, :2] / flat[:, 2:]).astype(int).T
    seen = look.lab[np.clip(y, 0, look.height - 1), np.clip(x, 0, look.width - 1)]
    return np.asarray(seen.reshape(*along.shape, 3).mean(axis=0))
