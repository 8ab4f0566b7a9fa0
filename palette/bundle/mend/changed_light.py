"""The table where its light is another: in a hard shadow, or with a window reflected in it.

Pixel by pixel such a table can't be told from cloth of that colour. But it joins
fabrics to one piece that is too large, or comes in from beyond the photo, and
without it fabrics are left that have four sides and are as large as the others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage
from skimage.draw import polygon

from palette.bundle.mend.fragments import Fragment, usual_area
from palette.bundle.outline import outline
from palette.bundle.table import Mask

if TYPE_CHECKING:
    from palette.bundle.table import Look

_GRAIN = 2
"""Pixels by which threads are cut."""
_LEAST = 0.0015
"""Least part of the photo that a fabric covers."""
_SOME = 0.1
"""Part of a piece that may be table in another light, at least."""
_LIKE = (0.4, 1.6)
"""Area of a fabric beside the usual one."""
_EDGE = 2
"""Pixels along the edge of the photo."""
_ROUND = 2
"""Pixels round fabrics that stay theirs."""
_WHOLLY = 0.9
"""Part of a piece in another light from which on it may be nothing else."""
_SOFT = 1.8
"""Pixels over which the edge of a shadow or reflection goes from a quarter to three quarters of
what it changes, at least; the edge of cloth is sharper."""
_BESIDE = 5
"""Pixels on both sides of an edge that are looked at."""


@dataclass(frozen=True, slots=True, eq=False)
class _Joined:
    """A piece, and what is left of it where only cloth can be."""

    mask: Mask
    whole: Fragment | None
    parts: list[Fragment]
    changed: Mask


def in_one_light(look: Look) -> Look:
    """Take for table what is the table in another light, where fabrics come out so.

    Parameters
    ----------
    look : Look
        The photo.
    """
    changed = (look.shadow | look.veiled) & ~look.table
    if not changed.any():
        return look
    pieces = _joined(look, changed)
    sound = [part for piece in pieces for part in piece.parts or _sound(piece.whole)]
    if not sound:
        return look
    usual = usual_area([part.area for part in sound])
    table = look.table.copy()
    for piece in pieces:
        fabrics = [part for part in piece.parts if _is_like(part, usual)]
        if _is_fabric(piece, usual) or not (fabrics or _is_light(look, piece)):
            continue
        mine = piece.changed.copy()
        for fabric in fabrics:
            mine &= ~_around(fabric, mine.shape)
        table |= mine
    return replace(look, table=table, shadow=look.shadow & ~table)


def _joined(look: Look, changed: Mask) -> list[_Joined]:
    found = []
    masks = _pieces(~look.table, _LEAST * changed.size)
    some = [(mask & changed).sum() >= _SOME * mask.sum() for mask in masks]
    if not any(some):
        return []
    for mask, changes in zip(masks, some, strict=True):
        mine = mask & changed
        parts = []
        if changes:
            rest = _pieces(mask & ~changed, _LEAST * changed.size)
            parts = [part for one in rest for part in _sound(_fragment(one))]
        found.append(_Joined(mask, _fragment(mask), parts, mine))
    return found


def _pieces(cloth: Mask, least: float) -> list[Mask]:
    filled = ndimage.binary_fill_holes(np.pad(cloth, _GRAIN))
    opened = ndimage.binary_opening(filled, iterations=_GRAIN)[_GRAIN:-_GRAIN, _GRAIN:-_GRAIN]
    labels, _ = ndimage.label(opened)
    areas = np.bincount(labels.ravel())[1:]
    return [labels == number + 1 for number in np.flatnonzero(areas > least)]


def _fragment(mask: Mask) -> Fragment | None:
    corners = outline(np.pad(mask, 1), single=True)
    return None if corners is None else Fragment(mask, corners - 1)


def _sound(piece: Fragment | None) -> list[Fragment]:
    return [] if piece is None or piece.is_ragged else [piece]


def _is_like(piece: Fragment, usual: float) -> bool:
    return _LIKE[0] * usual < piece.area < _LIKE[1] * usual


def _is_fabric(piece: _Joined, usual: float) -> bool:
    """Whether a piece as it is may be one fabric: then nothing is taken from it."""
    whole = piece.whole
    if not piece.changed.any():
        return True
    if whole is None or whole.is_ragged or not _is_like(whole, usual):
        return False
    rim = np.ones_like(piece.mask)
    rim[_EDGE:-_EDGE, _EDGE:-_EDGE] = False
    return not piece.mask[rim].any()


def _is_light(look: Look, piece: _Joined) -> bool:
    """Whether a piece is nothing but another light on the table, with the soft edge of it."""
    if piece.changed.sum() < _WHOLLY * piece.mask.sum():
        return False
    inner = ndimage.distance_transform_edt(piece.mask)
    outer = ndimage.distance_transform_edt(~piece.mask)
    outside = (outer > _BESIDE) & (outer <= 2 * _BESIDE) & look.table
    inside = inner > min(_BESIDE, inner.max() / 2)
    if not outside.any():
        return False
    table, light = (np.median(look.even[where], axis=0) for where in (outside, inside))
    near = (outer <= _BESIDE) & (inner <= _BESIDE)
    way = (look.even[near] - table) @ (light - table) / max(np.square(light - table).sum(), 1e-9)
    edge = (inner > 0) & (inner <= 1)
    return bool(((way > 0.25) & (way < 0.75)).sum() >= _SOFT * edge.sum())


def _around(piece: Fragment, shape: tuple[int, ...]) -> Mask:
    mask = np.zeros(shape, dtype=np.bool_)
    mask[polygon(piece.corners[:, 1], piece.corners[:, 0], shape)] = True
    return np.asarray(ndimage.binary_dilation(mask, iterations=_ROUND))
