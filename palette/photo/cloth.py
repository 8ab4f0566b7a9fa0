"""The cloth in a photo: all that is clean of it, and the part that is kept as its swatch.

The one piece is cut out straight. What lies beside it or on it is left out, never
painted over: the swatch is the largest upright part that shows nothing but cloth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw

from palette.fabric import CutAway, NotCloth, PhotoWarning, Side
from palette.photo.box import Box
from palette.photo.daylight import Lit, as_image
from palette.photo.foreign_objects import strays
from palette.photo.ground import SIDE, cloth_corners
from palette.photo.open import Photo, cropped, light_of, reduced, shrunk
from palette.photo.paper import box_of
from palette.photo.quad import Quad, projection

if TYPE_CHECKING:
    from palette.photo.edge import Mask

PICTURE_SIDE = 1024
"""Longer side of the picture that is kept."""
_GRID = 64
"""Longer side of the grid in which the largest clean part is looked for."""
_LEAST_PART = 0.2
"""Part of the clean cloth that an upright part covers at least to stand for it."""
_ON_THE_EDGE = 0.01
"""Of the photo: a corner so near to its edge shows no ground there."""
_FEWEST_PIXELS = 16


@dataclass(frozen=True, slots=True, eq=False)
class Cloth:
    """The cloth in a photo."""

    every: Photo
    """The photo; its mask leaves out what is no cloth."""
    part: Photo
    """The part kept: straight, upright, its longer side at most 1024 pixels."""
    across: float = 1.0
    """How much of the cloth's width that part shows, above 0 and at most 1."""
    corners: Quad | None = None
    """Where the piece lies in the photo; None where the whole photo shows it."""
    left_out: tuple[CutAway, ...] = ()
    """What is no cloth."""
    warnings: tuple[PhotoWarning, ...] = ()
    """What of that may be part of the print all the same."""


def all_of(photo: Photo) -> Cloth:
    """Take a photo for cloth as a whole, except where its mask says otherwise."""
    return _kept(photo, shrunk(photo, PICTURE_SIDE), Cloth(photo, photo))


def cloth_in(
    photo: Photo,
    lit: Lit,
    *,
    whole: bool = False,
    framed: bool = False,
    corners: Quad | None = None,
) -> Cloth:
    """Find the cloth in a photo.

    Parameters
    ----------
    photo : Photo
        The opened photo, without margins.
    lit : Lit
        What is known of paper in it.
    whole : bool
        Whether all of it is cloth, except paper that corrects it.
    framed : bool
        Whether a margin lay all round it, as round a scan: then no table does.
    corners : Quad or None
        The corners of the cloth, told by hand; None has them found.
    """
    small = shrunk(photo, PICTURE_SIDE)
    quad = corners
    if quad is None and not (whole or framed) and photo.mask is None:
        quad = _corners(small, lit.beside)
    told = _told(quad if corners is None else None, lit)
    start = Cloth(photo, small, corners=quad, left_out=told)
    masked = _masked(small, quad, lit.beside)
    straight = _straightened(_masked(small, None, lit.beside), quad) if quad else masked
    if whole or corners or photo.mask is not None:
        return _kept(replace(photo, mask=_full(masked.mask, photo)), straight, start)
    return _without_strays(photo, masked, straight, start)


def _corners(small: Photo, beside: Mask | None) -> Quad | None:
    light, _ = light_of(reduced(small, max(1, round(max(small.pixels.size) / SIDE))))
    if beside is None:
        return cloth_corners(light)
    size = (light.shape[1], light.shape[0])
    blocked = as_image(beside).resize(size, Image.Resampling.NEAREST)
    return cloth_corners(light, np.asarray(blocked) > 0)


def _told(quad: Quad | None, lit: Lit) -> tuple[CutAway, ...]:
    """Return what is left out, with its place."""
    found = []
    if quad is not None:
        found.append(CutAway(NotCloth.GROUND, round(1 - quad.area, 4), _open_sides(quad)))
    if lit.beside is not None and lit.beside.any():
        box = box_of(lit.beside)
        place = (box.left, box.top, box.right, box.bottom)
        share = round(float(lit.beside.mean()), 4)
        found.append(CutAway(NotCloth.PAPER, share, box=tuple(round(part, 3) for part in place)))
    return tuple(found)


def _open_sides(quad: Quad) -> tuple[Side, ...]:
    """Return the sides of the photo at which the cloth ends before it does."""
    points = quad.array()
    depths = {
        Side.UPPER: points[:2, 1],
        Side.RIGHT: 1 - points[1:3, 0],
        Side.LOWER: 1 - points[2:, 1],
        Side.LEFT: points[[0, 3], 0],
    }
    return tuple(side for side, depth in depths.items() if depth.max() > _ON_THE_EDGE)


def _masked(small: Photo, quad: Quad | None, beside: Mask | None) -> Photo:
    """Mask all but the piece, and paper."""
    if quad is None and beside is None:
        return small
    size = small.pixels.size
    mask = Image.new("L", size, 255 if quad is None else 0)
    if quad is not None:
        ImageDraw.Draw(mask).polygon([(x * size[0], y * size[1]) for x, y in quad.corners], 255)
    if beside is not None:
        mask.paste(0, mask=as_image(beside).resize(size, Image.Resampling.NEAREST))
    if small.mask is not None:
        mask.paste(0, mask=small.mask.point([255] * 255 + [0]))
    return replace(small, mask=mask)


def _straightened(photo: Photo, quad: Quad) -> Photo:
    """See the piece straight on; the mask goes with it."""
    width, height = (max(1, round(side)) for side in quad.sides(*photo.pixels.size))
    size = (width, height)
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float64)
    matrix = projection(corners, quad.array() * photo.pixels.size)
    eight = tuple(matrix.ravel()[:8])
    way = Image.Transform.PERSPECTIVE
    pixels = photo.pixels.transform(size, way, eight, Image.Resampling.BILINEAR)
    mask = photo.mask and photo.mask.transform(size, way, eight, Image.Resampling.NEAREST)
    return replace(photo, pixels=pixels, mask=mask)


def _laid_back(mask: Image.Image, quad: Quad, size: tuple[int, int]) -> Image.Image:
    """Put what was marked in the straight piece back into the photo, mode L."""
    width, height = mask.size
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float64)
    eight = tuple(projection(quad.array() * size, corners).ravel()[:8])
    return mask.transform(size, Image.Transform.PERSPECTIVE, eight, Image.Resampling.NEAREST)


def _without_strays(photo: Photo, masked: Photo, straight: Photo, start: Cloth) -> Cloth:
    """Leave out, too, what lies on the cloth: hands, labels, tape, spots of glare."""
    box = _clean(straight.mask)
    part = straight if box is None else replace(cropped(straight, box), mask=None)
    found = strays(part)
    if found is None:
        return _kept(replace(photo, mask=_full(masked.mask, photo)), straight, start)
    whole = Image.new("L", straight.pixels.size, 0)
    left, top, *_ = (0, 0) if box is None else box.pixels(*straight.pixels.size)
    whole.paste(found.mask, (left, top))
    clean = straight.mask or Image.new("L", straight.pixels.size, 255)
    clean = clean.copy()
    clean.paste(0, mask=whole)
    back = _laid_back(whole, start.corners, masked.pixels.size) if start.corners else whole
    every = masked.mask.copy() if masked.mask else Image.new("L", masked.pixels.size, 255)
    every.paste(0, mask=back)
    told = replace(start, warnings=found.warnings)
    return _kept(replace(photo, mask=_full(every, photo)), replace(straight, mask=clean), told)


def _full(mask: Image.Image | None, photo: Photo) -> Image.Image | None:
    """Return a mask of the reduced photo in the size of the whole one."""
    if mask is None or mask.size == photo.pixels.size:
        return mask
    return mask.resize(photo.pixels.size, Image.Resampling.NEAREST)


def _kept(every: Photo, straight: Photo, start: Cloth) -> Cloth:
    """Cut the straight piece down to its largest clean part."""
    box = _clean(straight.mask)
    if box is None:
        return replace(start, every=every, part=straight)
    part = replace(cropped(straight, box), mask=None)
    return replace(start, every=every, part=part, across=round(box.right - box.left, 4))


def _clean(mask: Image.Image | None) -> Box | None:
    """Return the largest upright part that a mask leaves clean; None for all, or next to none."""
    if mask is None or mask.getextrema() == (255, 255):
        return None
    times = max(1, -(-max(mask.size) // _GRID))
    width, height = (side // times for side in mask.size)
    grid = np.asarray(mask.crop((0, 0, width * times, height * times)).reduce(times)) == 255
    if not grid.any():
        return None
    left, top, right, bottom = _largest(grid)
    if (right - left) * (bottom - top) < _LEAST_PART * grid.sum():
        return None
    if min(right - left, bottom - top) * times < _FEWEST_PIXELS:
        return None
    x, y = times / mask.width, times / mask.height
    return Box(left * x, top * y, min(1.0, right * x), min(1.0, bottom * y))


def _largest(grid: Mask) -> tuple[int, int, int, int]:
    """Return the largest rectangle of cells that are all set: left, top, right, bottom."""
    height, width = grid.shape
    tops, bottoms = np.triu_indices(height)
    above = np.concatenate([np.zeros((1, width), np.int64), np.cumsum(~grid, axis=0)])
    free = above[bottoms + 1] == above[tops]
    # The run of free columns that ends at each: its place less that of the last that is not.
    column = np.arange(width)
    last = np.maximum.accumulate(np.where(free, -1, column), axis=1)
    area = (column - last) * (bottoms - tops + 1)[:, None]
    pair, end = np.unravel_index(int(area.argmax()), area.shape)
    return int(last[pair, end]) + 1, int(tops[pair]), int(end) + 1, int(bottoms[pair]) + 1
