"""What squares cut from a cloth show: how much of each main colour.

A large print cut small shows parts of itself, and one patch may hold none of what the
cloth as a whole reads as. Squares of each size are cut at many random places, lest they
fall into step with the repeat of the print, and put in order along what they differ most
in; every so many-th of them then stands for its neighbours (systematic sampling, Madow
and Madow 1944).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.fabric import SQUARES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats

    Counted = NDArray[np.intp]

_MANY = 24
"""Squares of each size that are told of: a share of them is right to about a twentieth."""
_TRIED = 20 * _MANY
_MOSTLY = 0.5
"""Part of a square that is cloth at least, and nothing that lies on it."""
_ALIKE = 0.06
"""Where no colour of any square has more or less of it than in the whole, larger ones are alike."""


def squares_of(
    labels: NDArray[np.intp], counts: NDArray[np.bool_], number: int, wide: float
) -> tuple[str, ...]:
    """Return what squares of a cloth show, as `palette.fabric.Print.squares` has it.

    Parameters
    ----------
    labels : array of shape (height, width)
        Which main colour each pixel shows.
    counts : array of shape (height, width)
        Which pixels are cloth.
    number : int
        How many main colours there are.
    wide : float
        Width of the whole picture in these pixels; of a fine print they are but its middle.
    """
    summed = _summed(labels, counts, number)
    whole = summed[-1, -1] / max(summed[-1, -1].sum(), 1)
    found = []
    for side in SQUARES:
        pixels = min(max(1, round(side * wide)), *labels.shape)
        shown = _shown(summed, pixels)
        if not len(shown) or np.abs(shown - whole).max() < _ALIKE:
            break
        found.append(":".join(map(_told, shown)))
    return tuple(found)


def _summed(labels: NDArray[np.intp], counts: NDArray[np.bool_], number: int) -> Counted:
    """Return how often each colour lies above and left of each corner, (h + 1, w + 1, number)."""
    height, width = labels.shape
    summed = np.zeros((height + 1, width + 1, number), np.intp)
    for colour in range(number):
        there = (labels == colour) & counts
        summed[1:, 1:, colour] = there.cumsum(axis=0).cumsum(axis=1)
    return summed


def _shown(summed: Counted, side: int) -> Floats:
    """Return the shares of the colours in squares of so many pixels, shape (n, number)."""
    room = np.array(summed.shape[:2]) - 1 - side
    top, left = np.random.default_rng(side).integers(room + 1, size=(_TRIED, 2)).T
    right, bottom = left + side, top + side
    area = summed[bottom, right] - summed[top, right] - summed[bottom, left] + summed[top, left]
    cloth = area.sum(axis=1)
    good = area[cloth >= _MOSTLY * side * side]
    if not len(good):
        return np.empty((0, summed.shape[2]))
    shares = good / good.sum(axis=1, keepdims=True)
    most = np.linalg.svd(shares - shares.mean(axis=0), full_matrices=False)[2][0]
    order = np.argsort(shares @ most, kind="stable")
    every = (np.arange(_MANY) + 0.5) * len(order) / _MANY
    return np.asarray(shares[order[every.astype(np.intp)]])


def _told(shares: Floats) -> str:
    """Write shares in hundredths that add up to 100: ends of running sums are rounded."""
    ends = np.rint(100 * shares.cumsum()).astype(int)
    return "-".join(map(str, np.diff(ends, prepend=0)))
