"""Folded fabrics one on another: where one ends and the next begins.

The stack is straightened and each line across it is described by its colours.
The borders are those that leave the lines between them most alike, found
exactly by dynamic programming over all ways to divide the lines (Bellman 1961).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from scipy import ndimage

from palette.bundle.stack.ends import with_ends
from palette.bundle.stack.slant import slanted
from palette.colour import Floats
from palette.photo.quad import Quad

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.bundle.table import Look

_LINES = 20
"""Lines looked at for each fabric."""
_ACROSS = 128
"""Pixels looked at along each line."""
_CODES = 16
"""Colours told apart in a stack."""
_SHARE = 25.0
"""How much a share of a colour weighs beside a mean colour in Lab."""
_ALIKE = 25.0
"""Variance of the lines of a plain fabric: above it, more counts ever less, as prints do vary."""
_VARIED = 50.0
"""Weight of a fabric whose lines vary."""
_UNEVEN = 60.0
"""Weight of uneven thickness."""
_EDGE = 12.0
"""Weight of an edge that runs all along a border."""


@dataclass(frozen=True, slots=True, eq=False)
class _Division:
    """One way to divide a stack."""

    distinctness: float
    """How much lines of different fabrics differ: much along the fabrics, little across them."""
    borders: Floats
    """Where fabrics begin and end at either end of the borders, part of the stack's height,
    shape (count + 1, 2)."""


def stack(look: Look, whole: Quad, count: int, *, beyond: bool = True) -> list[Quad]:
    """Divide the outline of a stack into so many fabrics, whichever way they lie.

    One that is longer than the others may reach `beyond` the outline.
    """
    first, second, third, fourth = whole.corners
    turned = Quad.of(np.array([fourth, first, second, third]))
    lying, upright = (_divided(_straightened(look, quad, count), count) for quad in (whole, turned))
    if lying.distinctness >= upright.distinctness:
        return [_strip(look, whole, *pair, beyond=beyond) for pair in pairwise(lying.borders)]
    strips = [_strip(look, turned, *pair, beyond=beyond) for pair in pairwise(upright.borders)]
    # The turned stack's left edge is the upper edge in the photo.
    return [Quad.given(np.roll(strip.array(), -1, axis=0)) for strip in strips]


def _strip(look: Look, whole: Quad, upper: Floats, lower: Floats, *, beyond: bool) -> Quad:
    if not (upper < lower).all():  # laid across each other
        upper, lower = np.full(2, upper.mean()), np.full(2, lower.mean())
    corners = np.array([[0, upper[0]], [1, upper[1]], [1, lower[1]], [0, lower[0]]])
    return with_ends(look, Quad.of(whole.seen(corners)), beyond=beyond)


def _straightened(look: Look, quad: Quad, count: int) -> Floats:
    """Give the Lab of the stack seen straight on, shape (lines, across, 3)."""
    lines = min(count * _LINES, 480)
    down, across = np.mgrid[0:lines, 0:_ACROSS]
    points = np.column_stack(
        [0.03 + 0.94 * (across.ravel() + 0.5) / _ACROSS, (down.ravel() + 0.5) / lines]
    )
    seen = quad.seen(points) * [look.width, look.height] - 0.5
    sampled = [
        ndimage.map_coordinates(look.lab[..., part], seen[:, ::-1].T, order=1, mode="nearest")
        for part in range(3)
    ]
    return np.stack(sampled, axis=-1).reshape(lines, _ACROSS, 3)


def _divided(lab: Floats, count: int) -> _Division:
    lines = len(lab)
    even = _even(lab)
    codes = _coded(even)
    described = _described(even, codes)
    edge = _edges(lab)
    sums = np.vstack([np.zeros(described.shape[1]), np.cumsum(described, axis=0)])
    squares = np.append(0.0, np.cumsum(np.square(described).sum(axis=1)))
    usual = lines / count
    shortest, longest = max(3, int(0.35 * usual)), int(2.5 * usual) + 1
    best = np.full((count + 1, lines + 1), np.inf)
    before = np.zeros((count + 1, lines + 1), dtype=np.int64)
    best[0, 0] = 0.0
    ends = np.arange(lines + 1)
    lengths = np.arange(shortest, min(longest, lines) + 1)
    starts = ends[:, None] - lengths
    valid = starts >= 0
    starts = np.maximum(starts, 0)
    total = sums[ends[:, None]] - sums[starts]
    within = squares[ends[:, None]] - squares[starts] - np.square(total).sum(-1) / lengths
    within = _VARIED * lengths / usual * np.log1p(np.maximum(within, 0) / lengths / _ALIKE)
    within += _UNEVEN * np.square(np.log(lengths / usual))
    within[~valid] = np.inf
    reward = np.append(edge, 0.0) * _EDGE
    for number in range(1, count + 1):
        tried = best[number - 1][starts] + within
        choice = tried.argmin(axis=1)
        best[number] = tried[ends, choice] - reward
        before[number] = starts[ends, choice]
    borders = [lines]
    for number in range(count, 0, -1):
        borders.append(int(before[number, borders[-1]]))
    parts = zip(borders[:0:-1], borders[-2::-1], strict=True)
    mean = described.mean(axis=0)
    distinctness = sum(
        (b - a) * np.square(described[a:b].mean(axis=0) - mean).sum() for a, b in parts
    )
    return _Division(float(distinctness), slanted(codes, np.array(borders[::-1]) / lines))


def _even(lab: Floats) -> Floats:
    """Compare colours as if equally bright: folds are shaded."""
    tint = 66 * lab[..., 1:] / (lab[..., :1] + 16)
    return np.concatenate([0.5 * lab[..., :1], tint], axis=-1)


def _coded(even: Floats) -> NDArray[np.int64]:
    """Give each pixel the number of its colour among those of the stack."""
    pixels = even.reshape(-1, 3)
    codes = _codes(pixels)
    nearest = np.square(pixels[:, None] - codes).sum(axis=-1).argmin(axis=1)
    return np.asarray(nearest.reshape(even.shape[:2]))


def _described(even: Floats, codes: NDArray[np.int64]) -> Floats:
    """Describe each line by its mean colour and by how much of which colours it shows."""
    mean, spread = even.mean(axis=1), even.std(axis=1)
    numbers = range(int(codes.max()) + 1)
    shares = np.stack([(codes == number).mean(axis=1) for number in numbers], axis=-1)
    return np.concatenate([mean, spread, _SHARE * np.sqrt(shares)], axis=-1)


def _codes(pixels: Floats) -> Floats:
    """Choose colours that lie far apart among those of a stack, then settle them."""
    sample = pixels[:: max(1, len(pixels) // 4000)]
    chosen = [sample.mean(axis=0)]
    far = np.full(len(sample), np.inf)
    for _ in range(_CODES):
        far = np.minimum(far, np.square(sample - chosen[-1]).sum(axis=-1))
        chosen.append(sample[far.argmax()])
    codes = np.array(chosen)
    for _ in range(5):
        group = np.square(sample[:, None] - codes).sum(axis=-1).argmin(axis=1)
        codes = np.array([sample[group == k].mean(axis=0) for k in np.unique(group)])
    return codes


def _edges(lab: Floats) -> Floats:
    """How much more than elsewhere the colour changes before each line, shape (lines,)."""
    change = np.zeros(len(lab))
    change[1:] = np.median(np.abs(np.diff(lab, axis=0)).sum(axis=-1), axis=1)
    dark = lab[..., 0].mean(axis=1)
    around = ndimage.uniform_filter1d(dark, 9)
    dip = np.maximum(around - dark, 0)
    both = ndimage.gaussian_filter1d(change, 1) + 2 * ndimage.maximum_filter1d(dip, 2)
    return np.asarray(both / (np.median(both) + 1e-6 + both.mean()))
