"""Whether a photo shows several fabrics that lie apart, or one.

Most photos show one, and are told so in a few milliseconds: what lies apart from
others is in colours that the rim of the photo has nowhere. Those that may show
several are taken apart, and what is found then has to account for nearly all
that is no table, as pieces of cloth do and the figures of a print do not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from palette.bundle.table import LOOK, look_at
from palette.colour import light_to_lab
from palette.photo.ground import SIDE, colours_at
from palette.photo.open import light_of, reduced, shrunk

if TYPE_CHECKING:
    from collections.abc import Iterable

    from palette.bundle.result import Found, Piece
    from palette.bundle.table import Mask
    from palette.photo.open import Photo

FEWEST = 2
"""Pieces of a bundle."""
_RIM = 0.04
"""Breadth of the rim, part of the photo's longer side."""
_NOT_THERE = 0.0005
"""Share of the rim below which a colour is not there."""
_SPECK = 0.0015
"""Part of the photo below which something is no piece."""
_LEAST_APART = 0.04
"""Part of the photo that pieces in other colours than the rim's cover together at least."""
_SOLID = 0.65
"""Part of the box round it that one piece of cloth covers at least."""
_LEAST_CLOTH = 0.08
"""Part of the photo that the pieces of a bundle cover together at least."""
_LEAST_FILLED = 0.85
"""Part of the pieces' outlines that is no table, at least."""
_LEAST_EXPLAINED = 0.85
"""Part of what is no table that lies in the pieces' outlines, at least."""
_FIGURES = 4
"""Pieces from which on they may be the figures of a plaid or print, when all are of one colour."""
_ONE_COLOUR = 6.0
"""Distance in CIELAB from the middle colour up to which pieces are of one colour: uneven light
does so much to the squares of a plaid."""


def may_be_several(photo: Photo) -> bool:
    """Tell at a glance whether several things may lie apart on one ground."""
    from scipy.ndimage import binary_fill_holes, binary_opening, label  # slow to load

    light, _ = light_of(reduced(photo, max(1, round(max(photo.pixels.size) / SIDE))))
    rim = np.ones(light.shape[:2], np.bool_)
    breadth = max(2, round(_RIM * max(rim.shape)))
    rim[breadth:-breadth, breadth:-breadth] = False
    other = binary_opening(colours_at(light_to_lab(light), rim) < _NOT_THERE)
    labels, _ = label(binary_fill_holes(other))
    parts = np.bincount(labels.ravel())
    parts[0] = 0
    large = parts > _SPECK * other.size
    if parts[large].sum() < _LEAST_APART * other.size:
        return False
    return large.sum() >= FEWEST or _covered(labels == parts.argmax()) < _SOLID


def _covered(mask: Mask) -> float:
    """Return the part of the box round what is marked that is marked."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return float(mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1].mean())


def are_several(photo: Photo, found: Found) -> bool:
    """Tell whether what was found in a photo is a bundle, and not the figures of one print."""
    if len(found.pieces) < FEWEST:
        return False
    if sum(piece.quad.area for piece in found.pieces) < _LEAST_CLOTH:
        return False
    cloth = ~look_at(shrunk(photo, LOOK)).table
    pieces = _drawn(found, cloth)
    both = (cloth & pieces).sum()
    filled, explained = both / pieces.sum(), both / cloth.sum()
    if filled < _LEAST_FILLED or explained < _LEAST_EXPLAINED:
        return False
    return not _figures(photo, found)


def _figures(photo: Photo, found: Found) -> bool:
    """Tell whether pieces are so many and so alike that they are figures of one cloth."""
    if len(found.pieces) < _FIGURES:
        return False
    light, _ = light_of(shrunk(photo, LOOK))
    marks = [_marked((piece,), light.shape[:2]) for piece in found.pieces]
    colours = light_to_lab(np.array([light[mark].mean(axis=0) for mark in marks]))
    apart = np.linalg.norm(colours - np.median(colours, axis=0), axis=1)
    return bool(apart.max() <= _ONE_COLOUR)


def _drawn(found: Found, like: Mask) -> Mask:
    """Mark the pieces, in the shape of another mask."""
    return _marked(found.pieces, like.shape)


def _marked(pieces: Iterable[Piece], shape: tuple[int, ...]) -> Mask:
    """Mark the outlines of pieces in a mask of a shape (height, width)."""
    height, width = shape
    image = Image.new("1", (width, height))
    for piece in pieces:
        outline = [(x * width, y * height) for x, y in piece.quad.corners]
        ImageDraw.Draw(image).polygon(outline, 1)
    return np.asarray(image)
