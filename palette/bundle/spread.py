"""Fabrics that lie on a table with gaps between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from palette.bundle.found import in_reading_order
from palette.bundle.outline import outline
from palette.bundle.quad import Quad
from palette.bundle.table import Look, Mask

_LEAST = 0.0015
"""Least part of the photo that a fabric covers."""
_LEAST_OF_MEDIAN = 0.2
"""Least area of a fabric beside the median one."""
_GRAIN = 2
"""Pixels by which threads are cut and specks closed."""
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
    found = [part for piece in pieces(~look.table) for part in _out_of_shadow(look, piece)]
    quads = [quad for piece in found if (quad := _quad(look, piece))]
    return in_reading_order(quads)


def pieces(cloth: Mask) -> list[Placed]:
    """Take apart what is not table."""
    whole = ndimage.binary_closing(np.pad(cloth, _GRAIN), iterations=_GRAIN)
    whole = ndimage.binary_fill_holes(whole)
    whole = ndimage.binary_opening(whole, iterations=_GRAIN)[_GRAIN:-_GRAIN, _GRAIN:-_GRAIN]
    labels, count = ndimage.label(whole)
    areas = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    large = areas > _LEAST * cloth.size
    if large.any():
        large &= areas > _LEAST_OF_MEDIAN * np.median(areas[large])
    boxes = ndimage.find_objects(labels)
    return [Placed(boxes[k], labels[boxes[k]] == k + 1) for k in np.flatnonzero(large)]


def _out_of_shadow(look: Look, piece: Placed) -> list[Placed]:
    """Take shadows off a piece, which may have joined several.

    What looks like shadow nearly throughout is a fabric, not the shadow of one.
    """
    dim = look.shadow[piece.box] & piece.mask
    if not dim.any():
        return [piece]
    cores = np.zeros(look.table.shape, dtype=np.bool_)
    cores[piece.box] = piece.mask & ~dim
    parts = pieces(cores)
    if sum(part.mask.sum() for part in parts) < _LEAST_LIT * piece.mask.sum():
        return [piece]
    return parts


def _quad(look: Look, piece: Placed) -> Quad | None:
    corners = outline(np.pad(piece.mask, 1))
    if corners is None:
        return None
    rows, columns = piece.box
    corners = corners - 1 + [columns.start, rows.start]
    try:
        return Quad.of_pixels(corners, look.width, look.height)
    except ValueError:
        return None  # too thin, or no shape with four sides
