"""How the colours of a print lie on the cloth: over what distance it changes, and which way.

Looked at are the main colours alone, every pixel as the one it is nearest to, so
that threads, folds and noise are no print. How much two points differ that lie so
far apart, in one direction, is a variogram (Matheron 1963, 'Principles of
Geostatistics') with CIEDE2000 in place of a square: its rise tells the scale of
the print, its level the contrast inside, its directions a stripe or a check.

What the eye makes of it is told by its outlines: their directions (the structure
tensor of Di Zenzo 1986, 'A note on the gradient of a multi-image'), and whether
they close round spots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference
from palette.fabric import DIRECTIONS, DISTANCES, Print, PrintKind
from palette.photo.squares import squares_of

if TYPE_CHECKING:
    from palette.photo.reduce import ClothPixels, Labels

Mask = NDArray[np.bool_]
Window = tuple[slice, slice]

_BETWEEN = (1.0, 1.4)
"""Each distance is looked at twice within its octave, lest it be the period of the print."""
_FARTHEST = 0.6
"""Part of the pixels' shorter side over which two points still have enough partners."""
_STEP = 2
"""Of rows and columns, every so many start a pair."""
_QUIET = 2.0
"""Contrast inside (CIEDE2000) under which a print is none to the eye: about the least
difference of two large fields that is noticed at once (common practice in textile grading)."""
_BINS = 36
"""Directions of outlines told apart, 5 degrees each."""
_BESIDE = 2
"""Bins on either side of a direction that belong to it."""
_ONE_WAY = 0.6
"""Part of all outlines along one direction that makes a stripe."""
_TWO_WAYS = 0.55
"""The same along two that cross squarely, which makes a check ..."""
_EACH_WAY = 0.18
"""... if each has so much of it."""
_CROSSED = 0.08
"""So much of it across what else were a stripe: of real striped cloth up to 0.03 is."""
_FEWEST_SPOTS = 6
_ROUND = (0.6, 0.95)
"""Part of its box that a spot fills: a disc pi/4, a square 1."""
_SPOTS = 0.6
"""Part of the spots' area that lies in round ones."""


def print_of(cloth: ClothPixels, lab: Floats, labels: Labels, pixel: float, wide: float) -> Print:
    """Measure a print.

    Parameters
    ----------
    cloth : ClothPixels
        The pixels.
    lab : array of shape (n, 3)
        Its main colours.
    labels : Labels
        Which of them each pixel is nearest to, from labels_of.
    pixel : float
        Side of a pixel, part of the photo's shorter side.
    wide : float
        Width of the photo in such pixels.
    """
    if len(lab) == 1:
        return Print(PrintKind.SOLID, len(DISTANCES) * (len(DIRECTIONS) * (0.0,),), ())
    apart = difference(lab[:, None], lab[None])
    shares = np.bincount(labels[cloth.counts], minlength=len(lab)) / cloth.counts.sum()
    contrast = float(shares @ apart @ shares)
    change = tuple(
        tuple(_change(labels, cloth.counts, apart, each / pixel, way, contrast) for way in _WAYS)
        for each in DISTANCES
    )
    kind = _kind(cloth, lab, labels, contrast)
    return Print(kind, change, squares_of(labels, cloth.counts, len(lab), wide))


_WAYS = tuple((np.cos(np.radians(way)), np.sin(np.radians(way))) for way in DIRECTIONS)


def _change(
    labels: Labels,
    counts: Mask,
    apart: Floats,
    distance: float,
    way: tuple[float, float],
    contrast: float,
) -> float:
    """Return the mean difference of points so many pixels apart; of any two where none are."""
    found = []
    for times in _BETWEEN:
        right, down = (round(times * distance * part) for part in way)
        if max(abs(right), abs(down)) > _FARTHEST * min(labels.shape):
            found.append(contrast)
            continue
        here, there = _windows(labels.shape, right, down)
        met = apart[labels[here], labels[there]][counts[here] & counts[there]]
        found.append(float(met.mean()) if met.size else contrast)
    return round(sum(found) / len(found), 1)


def _windows(shape: tuple[int, ...], right: int, down: int) -> tuple[Window, Window]:
    """Return where one point of each pair lies, and the other so far to its right and below."""
    height, width = shape
    left, other = max(0, -right), max(0, right)
    wide = width - abs(right)
    here = slice(0, height - down, _STEP), slice(left, left + wide, _STEP)
    return here, (slice(down, height, _STEP), slice(other, other + wide, _STEP))


def _kind(cloth: ClothPixels, lab: Floats, labels: Labels, contrast: float) -> PrintKind:
    if contrast < _QUIET:
        return PrintKind.SOLID
    if _is_spotted(labels, cloth.counts):
        return PrintKind.DOT
    return _by_outlines(_outlines(lab[labels], cloth.counts))


def _by_outlines(share: Floats) -> PrintKind:
    """Tell stripe and check by the part of all outlines along each direction."""
    around = [np.roll(share, by) for by in range(-_BESIDE, _BESIDE + 1)]
    along = np.sum(around, axis=0)
    across = np.roll(along, _BINS // 2)
    # Stripes that others cross are a check, also where one way is the stronger, as in a tartan.
    least = np.where(np.maximum(along, across) >= _ONE_WAY, _CROSSED, _EACH_WAY)
    both = np.where(np.minimum(along, across) >= least, along + across, 0.0)
    if both.max() >= _TWO_WAYS:
        return PrintKind.CHECK
    return PrintKind.STRIPE if along.max() >= _ONE_WAY else PrintKind.ALL_OVER


def _outlines(colours: Floats, counts: Mask) -> Floats:
    """Return the part of all outlines that runs along each direction, shape (_BINS,)."""
    wide = colours[:, :-2] + colours[:, 1:-1] + colours[:, 2:]
    soft = wide[:-2] + wide[1:-1] + wide[2:]
    down = soft[2:, 1:-1] - soft[:-2, 1:-1]
    right = soft[1:-1, 2:] - soft[1:-1, :-2]
    xx, yy, xy = (
        np.einsum("ijk,ijk->ij", a, b) for a, b in ((right, right), (down, down), (right, down))
    )
    strength = np.hypot(xx - yy, 2 * xy) * counts[2:-2, 2:-2]
    edge = strength > 0
    angle = np.degrees(0.5 * np.arctan2(2 * xy[edge], xx[edge] - yy[edge])) % 180
    bins = np.round(angle / (180 / _BINS)).astype(np.intp) % _BINS
    share = np.bincount(bins, np.sqrt(strength[edge]), minlength=_BINS)
    return np.asarray(share / max(share.sum(), 1e-9))


def _is_spotted(labels: Labels, counts: Mask) -> bool:
    """Whether what is not the ground is round spots of about one size, each by itself."""
    from scipy import ndimage  # slow to load, and no solid needs it

    ground = np.bincount(labels[counts]).argmax()
    marks, number = ndimage.label((labels != ground) & counts)
    if number < _FEWEST_SPOTS:
        return False
    area = np.bincount(marks.ravel(), minlength=number + 1)[1:]
    boxes = [
        (down.stop - down.start, right.stop - right.start)
        for down, right in ndimage.find_objects(marks)
    ]
    height, width = np.array(boxes).T
    filled = area / (height * width)
    lengthy = np.maximum(height, width) / np.minimum(height, width)
    typical = np.square(area).sum() / area.sum()
    round_ = (filled > _ROUND[0]) & (filled < _ROUND[1]) & (lengthy < 1.5) & (area >= 12)
    like = (area > typical / 4) & (area < 4 * typical)
    good = round_ & like
    return bool(good.sum() >= _FEWEST_SPOTS and area[good].sum() >= _SPOTS * area.sum())
