"""White paper found in a photo: bright, smooth, of one tint and convex, wherever it lies.

A sheet need not be a rectangle in the photo: it is seen at a slant, reaches
beyond the photo's edge, is folded and lit from one side. So its light may fall
off smoothly, its outline has only to be convex, and what it borders on has to
be another colour nearly all along.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference, light_to_lab
from palette.photo.box import Box

SIDE = 160
"""Longer side of the pixels that paper is looked for in."""

Mask = NDArray[np.bool_]

_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
_BRIGHT = 0.45
"""Paper reflects at least this part of what is brightest (99th percentile)."""
_REDDISH, _BLUISH, _YELLOWISH = 14.0, -28.0, 42.0
"""Limits of |a*| and b* of a white of L* 82 in light that people call white."""
_ROUGH = 0.06
"""Standard deviation of log light in 3 x 3 pixels from which on a surface is no paper."""
_SIZE = (0.004, 0.45)
"""Part of the photo that a sheet may cover."""
_UNEVEN = 0.04
"""Standard deviation of log light that is left when it may fall off smoothly."""
_TINTED = 0.05
"""Deviation of a sheet's share of a primary, part of the share itself."""
_CONVEX = 0.92
"""Part of its convex hull that a sheet fills."""
_EDGE = 10.0
"""Difference from what lies round it (CIEDE2000), along 85 % of its outline."""
_ALONG = 15
_DIMMEST = 45.0
"""Least L* of a sheet."""
_BRIGHTER, _BRIGHTER_PART = 1.1, 0.06
"""So much of the photo may be brighter than paper, by this factor: glare, a lamp, a window."""
_MOST_SHEETS = 3
"""More pieces that look like paper are a print."""
_RECURS = 0.15
"""Part of the largest sheet that other white pieces cover at most."""
_AS_BRIGHT = 0.75
"""What reflects less of what the largest sheet does is no white like it."""
_ALIKE = 3.0
"""Times that stripes of one print differ in area at most."""
_CLOTH = 2.0
"""What is white and so many times larger than a sheet is a white cloth, and says nothing."""
_MIDDLE = 0.4
"""From each side: what covers the middle between is what the photo is of."""
_LIKE = 0.12
"""Paper that was marked is as far as light stays within this part of that in the marked place."""


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """One sheet of paper in a photo."""

    mask: Mask
    """Its pixels, shape (height, width)."""
    lab: Floats
    """Its colour in the photo, shape (3,)."""
    area: float
    """Part of the photo."""


def sheets_of_paper(light: Floats) -> tuple[Sheet, ...]:
    """Find every sheet of white paper, the largest first.

    Parameters
    ----------
    light : Floats
        Linear light of the photo, shape (height, width, 3), some 160 pixels on the
        longer side.

    Returns
    -------
    tuple of Sheet
        Empty where nothing is surely paper.
    """
    from scipy.ndimage import binary_fill_holes, label

    lab = light_to_lab(light)
    white = _white_and_smooth(light)
    labels, count = label(white)
    sizes = np.bincount(labels.ravel(), minlength=count + 1)[1:] / labels.size
    total = np.bincount(labels.ravel(), (light @ _LUMINANCE).ravel(), minlength=count + 1)[1:]
    found = {}
    for number in np.flatnonzero((sizes >= _SIZE[0]) & (sizes <= _SIZE[1])):
        piece = binary_fill_holes(labels == number + 1)
        if _is_paper(light, lab, piece, white & ~piece):
            found[int(number)] = Sheet(piece, np.median(lab[piece], axis=0), float(piece.mean()))
    sheets = sorted(found.values(), key=lambda sheet: -sheet.area)
    if not sheets or len(sheets) > _MOST_SHEETS or _are_stripes(sheets):
        return ()
    level = total / np.maximum(sizes * labels.size, 1)
    others = sizes * (level > _AS_BRIGHT * level[max(found, key=lambda at: sizes[at])])
    return () if _recurs(np.delete(others, [*found]), sheets[0]) else tuple(sheets)


def _are_stripes(sheets: list[Sheet]) -> bool:
    """Whether several of a like size cross the photo from side to side."""
    areas = [sheet.area for sheet in sheets if _crosses(sheet.mask)]
    return len(areas) > 1 and areas[1] > areas[0] / _ALIKE


def _crosses(mask: Mask) -> bool:
    return bool((mask[0].any() and mask[-1].any()) or (mask[:, 0].any() and mask[:, -1].any()))


def _recurs(others: Floats, sheet: Sheet) -> bool:
    """Whether white pieces of a like size lie where no paper does: then all are a print's."""
    like = others[others <= _CLOTH * sheet.area]
    return bool(like.sum() > _RECURS * sheet.area)


def sheet_at(light: Floats, box: Box) -> Mask:
    """Find all of the paper of which a part was marked.

    Parameters
    ----------
    light : Floats
        As for sheets_of_paper.
    box : Box
        The marked place.

    Returns
    -------
    Mask
        The paper, at least the marked place, shape (height, width).
    """
    from scipy.ndimage import binary_fill_holes, label

    left, top, right, bottom = box.pixels(light.shape[1], light.shape[0])
    place = (slice(top, bottom), slice(left, right))
    marked = np.median(light[place].reshape(-1, 3), axis=0)
    labels, _ = label((np.abs(light / np.maximum(marked, 1e-4) - 1) < _LIKE).all(axis=-1))
    inside = np.unique(labels[place])
    paper = np.asarray(binary_fill_holes(np.isin(labels, inside[inside > 0])), np.bool_)
    if paper.mean() > _SIZE[1]:
        paper = np.zeros_like(paper)
    paper[place] = True
    return paper


def box_of(mask: Mask) -> Box:
    """Return the box around what is marked, at least one pixel."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    height, width = mask.shape
    return Box(
        float(columns[0] / width),
        float(rows[0] / height),
        float((columns[-1] + 1) / width),
        float((rows[-1] + 1) / height),
    )


def _white_and_smooth(light: Floats) -> Mask:
    """Mark pixels that are bright, of a tint that white paper may have, and smooth."""
    from scipy.ndimage import binary_opening, uniform_filter

    level = light @ _LUMINANCE
    log = np.log(np.maximum(level, 1e-4))
    mean = uniform_filter(log, 3, mode="nearest")
    rough = np.sqrt(np.maximum(uniform_filter(log**2, 3, mode="nearest") - mean**2, 0))
    tint = light_to_lab(light / np.maximum(level, 1e-4)[..., None] * 0.6)
    white = (np.abs(tint[..., 1]) <= _REDDISH) & (tint[..., 2] >= _BLUISH)
    white &= tint[..., 2] <= _YELLOWISH
    bright = level >= _BRIGHT * np.percentile(level, 99)
    return np.asarray(binary_opening(bright & white & (rough < _ROUGH)))


def _is_paper(light: Floats, lab: Floats, piece: Mask, others: Mask) -> bool:
    middle = tuple(slice(int(_MIDDLE * n), n - int(_MIDDLE * n)) for n in piece.shape)
    if piece[middle].any() or np.median(lab[piece][:, 0]) < _DIMMEST:
        return False
    level = light @ _LUMINANCE
    brighter = level[~_wider(piece, 3)] > _BRIGHTER * np.median(level[piece])
    if brighter.mean() > _BRIGHTER_PART:
        return False
    return (
        _unevenness(np.log(np.maximum(level, 1e-4)), piece) <= _UNEVEN
        and _tints(light[piece]) <= _TINTED
        and _filled(piece) >= _CONVEX
        and _edge(lab, piece, others) >= _EDGE
    )


def _unevenness(log: Floats, piece: Mask) -> float:
    """Return the deviation of log light from a smooth quadratic field."""
    y, x = (place / max(piece.shape) for place in np.nonzero(piece))
    x, y = x - x.mean(), y - y.mean()
    field = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)
    fit, *_ = np.linalg.lstsq(field, log[piece], rcond=None)
    return float((log[piece] - field @ fit).std())


def _tints(light: Floats) -> float:
    shares = light / np.maximum(light.sum(axis=-1, keepdims=True), 1e-6)
    return float(shares.std(axis=0).max() / shares.mean(axis=0).min())


def _filled(piece: Mask) -> float:
    """Part of its convex hull that a piece fills.

    The hull of the pixels' middles is widened by half a pixel: one round their corners would
    call every turned edge jagged.
    """
    from scipy.spatial import ConvexHull

    hull = ConvexHull(np.argwhere(piece))
    return float(piece.sum() / (hull.volume + hull.area / 2 + 1))


def _edge(lab: Floats, piece: Mask, others: Mask) -> float:
    """Difference from what lies round a piece, other white left out; 0 with nothing round it."""
    ring = _wider(piece, 5) & ~_wider(piece, 2)
    if others.any():
        # A fold parts one sheet in two.
        ring &= ~_wider(others, 4)
    if ring.sum() <= 4:
        return 0.0
    apart = difference(lab[ring], np.median(lab[piece], axis=0))
    return float(np.percentile(apart, _ALONG))


def _wider(piece: Mask, by: int) -> Mask:
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(piece, iterations=by), dtype=np.bool_)
