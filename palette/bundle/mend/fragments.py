"""Pieces of which only a part was told from the table, made whole.

A print may have a colour of the table in it: its stripes then come apart, or a
part of it is lost. Fabrics of one bundle are about as large as each other, so a
piece that is small or ragged is looked at again, more freely: everything around
it that is no table and belongs to no other piece may be its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.draw import polygon

from palette.bundle.outline import outline
from palette.colour import Floats

if TYPE_CHECKING:
    from collections.abc import Sequence

_SMALL = 0.75
"""Area beside the usual one, below which a piece is looked at again."""
_RAGGED = 0.85
"""Part of its outline that a piece fills at least."""
_GAP = 0.14
"""Half the widest gap that is closed, part of the usual side."""
_REACH = 1.0
"""How far around a piece is looked, part of the usual side."""
_APART = 0.05
"""What lies so near to another piece is its own, part of the usual side."""
_SPECK = 0.003
"""Least area of what may belong to a piece, part of the usual one."""
_GROWN = 1.12
"""A piece made whole is larger by this at least."""
_MOST = 1.4
"""Its area beside the usual one, at most."""
ENOUGH = 3
"""Pieces from which on their usual area says what another one may be like."""
_SHOWS = 0.3
"""Part of the usual area that shows of a piece at least."""
SLIM = 0.6
"""Its breadth over its length beside what is usual, at least: two fabrics in a row are slimmer."""

_Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Fragment:
    """A piece of cloth in a photo."""

    mask: _Mask
    """Its pixels, in the whole photo."""
    corners: Floats
    """Its outline, clockwise in pixels, shape (4, 2)."""

    @property
    def area(self) -> float:
        """Pixels inside its outline."""
        x, y = self.corners.T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)

    @property
    def shape(self) -> float:
        """Its breadth over its length."""
        sides = np.linalg.norm(np.roll(self.corners, -1, axis=0) - self.corners, axis=1)
        across, down = sides[0] + sides[2], sides[1] + sides[3]
        return float(min(across, down) / max(across, down, 1e-9))

    @property
    def is_ragged(self) -> bool:
        """Whether it leaves much of its outline empty."""
        return bool(self.mask.sum() < _RAGGED * self.area)


def mended(pieces: Sequence[Fragment], cloth: _Mask) -> list[Fragment]:
    """Make small and ragged pieces whole.

    Parameters
    ----------
    pieces : Sequence[Fragment]
        What was found.
    cloth : _Mask
        Every pixel that shows no table, nor its shadow.

    Returns
    -------
    list of Fragment
        Those that were whole, and the others as far as they could be mended; what
        turned out to be a part of another is gone.
    """
    if not pieces:
        return []
    usual = usual_area([piece.area for piece in pieces])
    slimmest = SLIM * float(np.median([piece.shape for piece in pieces]))
    doubtful = [p for p in pieces if p.area < _SMALL * usual or p.is_ragged]
    sound = [piece for piece in pieces if piece not in doubtful]
    for piece in sorted(doubtful, key=lambda one: -one.area):
        if any(other.mask[piece.mask].mean() > 0.5 for other in sound):
            continue
        whole = _whole(piece, sound, cloth, usual)
        sound.append(whole if whole and whole.shape > slimmest else piece)
    return [*sound, *_overlooked(sound, cloth, usual)] if len(sound) >= ENOUGH else sound


def usual_area(areas: Sequence[float]) -> float:
    """Give the area of a piece such that half of all cloth lies in larger ones.

    Fragments of a print are many, but they cover little.
    """
    ordered = np.sort(areas)
    return float(ordered[np.searchsorted(np.cumsum(ordered), ordered.sum() / 2)])


def _overlooked(pieces: Sequence[Fragment], cloth: _Mask, usual: float) -> list[Fragment]:
    """Find pieces that fell into parts too small to be taken for pieces."""
    side = float(np.sqrt(usual))
    rest = _without_specks(cloth & ~taken(pieces, cloth.shape, usual), _SPECK * usual)
    labels, count = ndimage.label(_closed(rest, _GAP * side))
    found = []
    for number in range(1, count + 1):
        mine = labels == number
        if (mine & rest).sum() < _SHOWS * usual:
            continue
        corners = outline(mine, single=True)
        if corners is not None:
            piece = Fragment(mine, corners)
            if not piece.is_ragged and _SMALL * usual < piece.area < _MOST * usual:
                found.append(piece)
    return found


def _whole(
    piece: Fragment, others: Sequence[Fragment], cloth: _Mask, usual: float
) -> Fragment | None:
    """Grow a piece over what may be its own; None if that makes no better piece."""
    side = float(np.sqrt(usual))
    own = (cloth & ~taken(others, cloth.shape, usual)) | piece.mask
    window = _around(piece, _REACH * side, cloth.shape)
    grown = np.zeros_like(cloth)
    grown[window] = _closed(_without_specks(own[window], _SPECK * usual), _GAP * side)
    labels, _ = ndimage.label(grown)
    mine = labels == np.bincount(labels[piece.mask]).argmax()
    corners = outline(mine, single=True) if mine[piece.mask].any() else None
    if corners is None:
        return None
    made = Fragment(mine, corners)
    better = not made.is_ragged and made.area > _GROWN * piece.mask.sum()
    return made if better and made.area < _MOST * usual else None


def taken(pieces: Sequence[Fragment], shape: tuple[int, ...], usual: float) -> _Mask:
    """Mark what belongs to pieces, and a little around them; `usual` is the usual area."""
    around = _APART * float(np.sqrt(usual))
    mask = np.zeros(shape, dtype=np.bool_)
    for piece in pieces:
        middle = piece.corners.mean(axis=0)
        away = piece.corners - middle
        longer = 1 + around / np.maximum(np.linalg.norm(away, axis=1, keepdims=True), 1.0)
        across, down = (middle + away * longer).T
        mask[polygon(down, across, shape)] = True
    return mask


def _around(piece: Fragment, reach: float, shape: tuple[int, ...]) -> tuple[slice, slice]:
    down, across = np.nonzero(piece.mask)
    return (
        slice(max(0, int(down.min() - reach)), min(shape[0], int(down.max() + reach) + 1)),
        slice(max(0, int(across.min() - reach)), min(shape[1], int(across.max() + reach) + 1)),
    )


def _without_specks(mask: _Mask, least: float) -> _Mask:
    labels, _ = ndimage.label(mask, structure=np.ones((3, 3)))
    large = np.bincount(labels.ravel()) >= least
    large[0] = False
    return np.asarray(large[labels])


def _closed(mask: _Mask, radius: float) -> _Mask:
    """Close gaps up to twice the radius wide, and holes."""
    pad = int(radius) + 2
    padded = np.pad(mask, pad)
    if not padded.any():
        return mask
    wide = ndimage.distance_transform_edt(~padded) <= radius
    closed = ndimage.binary_fill_holes(ndimage.distance_transform_edt(wide) > radius)
    return np.asarray(closed[pad:-pad, pad:-pad] | mask)
