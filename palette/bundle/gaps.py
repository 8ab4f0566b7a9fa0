"""Fabrics that lie on a table with gaps between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.bundle.mend.changed_light import in_one_light
from palette.bundle.mend.fragments import ENOUGH, SLIM, Fragment, mended, usual_area
from palette.bundle.mend.same_colour import with_blended
from palette.bundle.mend.touching import unjoined, untouched
from palette.bundle.outline import outline, smallest_rectangle
from palette.bundle.result import in_reading_order
from palette.bundle.table import Look, Mask
from palette.photo.quad import Quad

if TYPE_CHECKING:
    from numpy.typing import NDArray

_LEAST = 0.0015
"""Least part of the photo that a fabric covers."""
_LEAST_OF_USUAL = 0.2
"""Least area of a fabric beside the usual one."""
_MOST_MENDED = 1.5
"""Greatest area of a fabric put together of fragments, beside the usual one."""
_GRAIN = 2
"""Pixels by which threads are cut and specks closed."""
_BROADER = 0.25
"""Half the breadth from which on a shadow is none, part of the usual side."""
_LEAST_DIM = 0.4
"""Least area of such a fabric beside the usual one."""
_EDGE = 2
"""Pixels along the edge of the photo; what is there goes on beyond it."""
_LIKE = (0.5, 1.6)
"""Area of a fabric that is cut off beside the usual one, at least and at most."""
_LEAST_LIT = 0.4
"""Part of a piece that is no shadow, at least, if the rest is to be one."""


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """The pixels of one piece."""

    box: tuple[slice, slice]
    """Rows and columns that hold it."""
    mask: Mask
    """Which pixels there are its own."""


def spread_out(look: Look) -> list[Quad]:
    """Find the fabrics, from the top left, row by row."""
    look = in_one_light(look)
    found = _fabrics([piece for placed in cloth(look) if (piece := _piece(look, placed))])
    pieces = mended(unjoined(look, found), ~look.table & ~look.shadow)
    quads = [_quad(look, piece) for piece in with_blended(look, untouched(look, pieces))]
    return in_reading_order([quad for quad in quads if quad])


def _fabrics(pieces: list[Fragment]) -> list[Fragment]:
    """Leave out what reaches in from beyond the photo and is unlike the fabrics clear of its edge.

    A floor, feet or scissors are; a fabric that is cut off is mostly there, and straight.
    """
    clear = [piece for piece in pieces if not _reaches_edge(piece)]
    if len(clear) < ENOUGH:
        return pieces
    least, most = np.array(_LIKE) * usual_area([piece.area for piece in clear])
    return [
        piece
        for piece in pieces
        if piece in clear or (least < piece.area < most and not piece.is_ragged)
    ]


def _reaches_edge(piece: Fragment) -> bool:
    rim = np.ones_like(piece.mask)
    rim[_EDGE:-_EDGE, _EDGE:-_EDGE] = False
    return bool(piece.mask[rim].any())


def cloth(look: Look) -> list[Placed]:
    """Find every piece of cloth, without the shadows that they throw."""
    least = _LEAST * look.table.size
    lit = [part for piece in _pieces(~look.table, least) for part in _lit(look, piece)]
    return lit + _dim_fabrics(look, lit) if lit else lit


def _dim_fabrics(look: Look, lit: list[Placed]) -> list[Placed]:
    """Find fabrics in a colour of the table in less light: broader than a shadow."""
    usual = usual_area([int(piece.mask.sum()) for piece in lit])
    left = ~look.table
    for piece in lit:
        left[piece.box] &= ~piece.mask
    reach = _BROADER * float(np.sqrt(usual))
    cores = ndimage.distance_transform_edt(left) > reach
    broad = left & (ndimage.distance_transform_edt(~cores) <= reach)
    found = _pieces(broad, max(_LEAST * broad.size, _LEAST_DIM * usual))
    slimmest = SLIM * float(np.median([_shape(piece.mask) for piece in lit]))
    return [piece for piece in found if _shape(piece.mask) > slimmest]


def _pieces(cloth: Mask, least: float) -> list[Placed]:
    """Take apart what is not table; pieces of at least so many pixels."""
    padded = np.pad(cloth, 2 * _GRAIN)
    apart = _without_threads(padded)
    areas = _areas(apart)
    large = areas[areas > least]
    usual = usual_area(large.tolist()) if large.size else 0.0
    whole = _mended(padded, apart, usual)
    whole = whole[2 * _GRAIN : -2 * _GRAIN, 2 * _GRAIN : -2 * _GRAIN]
    labels, _ = ndimage.label(whole)
    areas = _areas(labels)
    least = max(least, _LEAST_OF_USUAL * usual)
    boxes = ndimage.find_objects(labels)
    return [Placed(boxes[k], labels[boxes[k]] == k + 1) for k in np.flatnonzero(areas > least)]


def _without_threads(cloth: Mask) -> NDArray[np.int32]:
    """Give a number to all that hangs together by more than threads."""
    filled = ndimage.binary_fill_holes(cloth)
    opened = ndimage.binary_opening(filled, iterations=_GRAIN)
    return np.asarray(ndimage.label(opened)[0])


def _mended(cloth: Mask, apart: NDArray[np.int32], usual: float) -> Mask:
    """Join fragments a print fell into where it is like the table; not two fabrics."""
    closed = ndimage.binary_fill_holes(ndimage.binary_closing(cloth, iterations=2 * _GRAIN))
    labels, _ = ndimage.label(ndimage.binary_opening(closed, iterations=_GRAIN))
    small = np.append(False, _areas(labels) < _MOST_MENDED * usual)
    slimmest = SLIM * _usual_shape(apart, usual)
    for number in np.flatnonzero(small):
        mine = labels == number
        if len(np.unique(apart[mine & (apart > 0)])) > 1 and _shape(mine) < slimmest:
            small[number] = False
    return np.asarray((apart > 0) | small[labels])


def _usual_shape(apart: NDArray[np.int32], usual: float) -> float:
    """Breadth over length of the usual piece."""
    large = np.flatnonzero(_areas(apart) > usual / 2) + 1
    return float(np.median([_shape(apart == number) for number in large])) if len(large) else 0.0


def _shape(mask: Mask) -> float:
    """Breadth over length of a piece."""
    down, across = np.nonzero(mask)
    corners = smallest_rectangle(np.column_stack([across, down]).astype(np.float64))
    first, second = np.linalg.norm(np.diff(corners[:3], axis=0), axis=1)
    return float(min(first, second) / max(first, second, 1.0))


def _areas(labels: NDArray[np.int32]) -> NDArray[np.int64]:
    return np.bincount(labels.ravel())[1:]


def _lit(look: Look, piece: Placed) -> list[Placed]:
    """Take shadows off a piece, which may have joined several.

    What looks like shadow nearly throughout is a fabric, not the shadow of one.
    """
    dim = look.shadow[piece.box] & piece.mask
    if not dim.any():
        return [piece]
    rows, columns = piece.box
    parts = [
        Placed((_moved(part.box[0], rows.start), _moved(part.box[1], columns.start)), part.mask)
        for part in _pieces(piece.mask & ~dim, _LEAST * look.table.size)
    ]
    if sum(part.mask.sum() for part in parts) < _LEAST_LIT * piece.mask.sum():
        return [piece]
    return parts


def _moved(span: slice, by: int) -> slice:
    return slice(span.start + by, span.stop + by)


def _piece(look: Look, placed: Placed) -> Fragment | None:
    corners = outline(np.pad(placed.mask, 1), single=True)
    if corners is None:
        return None
    mask = np.zeros_like(look.table)
    mask[placed.box] = placed.mask
    rows, columns = placed.box
    return Fragment(mask, corners - 1 + [columns.start, rows.start])


def _quad(look: Look, piece: Fragment) -> Quad | None:
    try:
        return Quad.of_pixels(piece.corners, look.width, look.height)
    except ValueError:
        return None  # too thin, or no shape with four sides
