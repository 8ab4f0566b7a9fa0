"""The straight line between the ground and the cloth at one side of a photo.

Everything here sees the photo so turned that the side is its upper one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference

GAP, _BAND = 2, 6
"""Pixels beside a line that are blurred, and up to which its two sides are compared."""
_DEEPEST = 0.32
"""Part of the photo that the ground takes up at most at one side."""
_STEEPEST = 0.14
"""Slope of an edge of the cloth against the photo's at most: 8 degrees."""
_THINNEST = 0.4
"""Pixels of ground for each pixel of the side at least; less is a blurred rim."""
_COARSE = 4
"""Columns looked at together, and twice the depths stepped over, to find a line roughly."""
_STEPS_IN = 3
"""Pixels between the parallels that are looked at further inside."""
_CHANGES = 4.0
"""Root mean square of the changes along a line (Lab) from which on they tell anything."""
_ALIKE = 0.6
"""Correlation of the changes on both sides from which on one pattern crosses the line."""
_TRIES, _FURTHER_OUT = 4, 3
"""Lines tried at one side, and pixels that the next lies further out at least."""

Mask = NDArray[np.bool_]
Depths = NDArray[np.int64]


class Limits(NamedTuple):
    """What a line has to show before what is beyond it counts as ground."""

    ground: float
    """Part of what is beyond it that speaks for the ground."""
    cloth: float
    """Part of a band on this side of it that speaks for the cloth."""
    step: float
    """Difference across it (CIEDE2000), nearly everywhere along it."""


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """The line between ground and cloth at one side of a photo, in pixels from that side."""

    start: int
    """Depth of the ground at the left or upper end."""
    end: int
    """Depth at the other end."""
    shows: Limits
    """What it shows: to be compared with what it has to."""
    colour: Floats
    """Lab of the ground, shape (3,)."""

    def passes(self, limits: Limits) -> bool:
        """Whether the line shows what it has to."""
        return all(value >= least for value, least in zip(self.shows, limits, strict=True))

    def beyond(self, height: int, width: int) -> Mask:
        """Mark what lies beyond the line, shape (height, width)."""
        return np.asarray(np.arange(height)[:, None] < _depth(self.start, self.end, width))


def true_edge(lab: Floats, says: Floats, live: Mask) -> Edge | None:
    """Find the best line at the upper side that the cloth's own pattern doesn't cross.

    The bands of a plaid that run up to its edge change beyond a line as they do on this side of
    it; the table does not. Where they do, the cloth ends further out.

    Parameters
    ----------
    lab, says, live : Floats, Floats, Mask
        As for best_edge.
    """
    deepest = round(_DEEPEST * len(says))
    for _ in range(_TRIES):
        edge = best_edge(lab, says, live, deepest)
        if edge is None or not goes_on(lab, edge):
            return edge
        deepest = max(edge.start, edge.end) - _FURTHER_OUT
        if deepest < GAP:
            break
    return None


def goes_on(lab: Floats, edge: Edge) -> bool:
    """Tell whether what changes along a line changes alike on both of its sides.

    Compared is the mean of a band on either side, column by column, without what changes slowly,
    as light does.
    """
    height, width = lab.shape[:2]
    margin = width // 10
    depth = _depth(edge.start, edge.end, width)[margin : width - margin]
    column = np.arange(margin, width - margin)
    above = np.concatenate([np.zeros((1, width, 3)), np.cumsum(lab, axis=0)])
    top, bottom = np.maximum(depth - GAP - _BAND, 0), np.maximum(depth - GAP, 1)
    first, last = np.minimum(depth + GAP, height - 1), np.minimum(depth + GAP + _BAND, height)
    outer = (above[bottom, column] - above[top, column]) / (bottom - top)[:, None]
    inner = (above[last, column] - above[first, column]) / (last - first)[:, None]
    outer, inner = _without_trend(outer), _without_trend(inner)
    spreads = [float(np.square(part).sum(axis=-1).mean()) for part in (outer, inner)]
    if min(spreads) < _CHANGES**2:
        return False
    together = float((outer * inner).sum(axis=-1).mean())
    return bool(together > _ALIKE * (spreads[0] * spreads[1]) ** 0.5)


def _without_trend(values: Floats) -> Floats:
    """Take a quadratic fit off each column of values, shape (n, 3)."""
    x = np.linspace(-1, 1, len(values))
    basis = np.stack([np.ones_like(x), x, x * x], axis=1)
    return np.asarray(values - basis @ np.linalg.lstsq(basis, values, rcond=None)[0])


def best_edge(lab: Floats, says: Floats, live: Mask, deepest: int) -> Edge | None:
    """Find the line that parts ground from cloth best at the upper side.

    Parameters
    ----------
    lab : Floats
        The photo, shape (height, width, 3).
    says : Floats
        How much each pixel speaks for the ground, shape (height, width); below 0 for the cloth.
    live : Mask
        Which pixels may be either.
    deepest : int
        Pixels that the ground takes up at most.

    Returns
    -------
    Edge or None
        None where next to nothing lies beyond the best line.
    """
    height, width = says.shape
    start, end = _best_line(says, deepest)
    depth = _depth(start, end, width)
    row = np.arange(height)[:, None]
    beyond = (row < depth) & live
    band = (row >= depth + GAP) & (row < depth + GAP + _BAND) & live
    if beyond.sum() < _THINNEST * width or not band.any():
        return None
    shows = Limits(
        float((says[beyond] > 0).mean()),
        float((says[band] < 0).mean()),
        _steps(lab, live, depth[None])[0],
    )
    return Edge(start, end, shows, np.median(lab[beyond], axis=0))


def step_inside(lab: Floats, edge: Edge) -> float:
    """Return the strongest difference across lines parallel to an edge, further inside.

    Parameters
    ----------
    lab : Floats
        The photo, shape (height, width, 3).
    edge : Edge
        The line at its upper side.
    """
    height, width = lab.shape[:2]
    further = np.arange(_BAND + GAP, int(0.75 * height) - max(edge.start, edge.end), _STEPS_IN)
    if not len(further):
        return 0.0
    depths = _depth(edge.start, edge.end, width) + further[:, None]
    return max(_steps(lab, np.ones((height, width), np.bool_), depths))


def _best_line(says: Floats, deepest: int) -> tuple[int, int]:
    """Return the depths at both ends of the line beyond which most speaks for the ground."""
    height, width = says.shape
    above = np.concatenate([np.zeros((1, width)), np.cumsum(says, axis=0)])
    rough = np.arange(0, deepest + 1, _COARSE // 2)
    usable = width // _COARSE * _COARSE
    blocks = above[:, :usable].reshape(height + 1, -1, _COARSE).sum(axis=-1)
    start, end = _best(blocks, rough, rough, _STEEPEST * width)
    near = np.arange(-_COARSE // 2, _COARSE // 2 + 1)
    starts, ends = (np.clip(near + depth, 0, deepest) for depth in (start, end))
    return _best(above, starts, ends, _STEEPEST * width + _COARSE)


def _best(above: Floats, starts: Depths, ends: Depths, steepest: float) -> tuple[int, int]:
    """Try each pair of ends; ``above`` sums what speaks for the ground from the side inwards."""
    starts, ends = (grid.ravel() for grid in np.meshgrid(starts, ends, indexing="ij"))
    level = np.abs(starts - ends) <= steepest
    starts, ends = starts[level], ends[level]
    width = above.shape[1]
    part = (np.arange(width) + 0.5) / width
    depth = np.rint(starts[:, None] * (1 - part) + ends[:, None] * part).astype(np.int64)
    best = int(above[depth, np.arange(width)].sum(axis=1).argmax())
    return int(starts[best]), int(ends[best])


def _depth(start: int, end: int, width: int) -> Depths:
    return np.rint(np.linspace(start, end, width)).astype(np.int64)


def _steps(lab: Floats, live: Mask, depths: Depths) -> list[float]:
    """Return the difference across lines, shape (lines, width), that a quarter falls below."""
    height, width = live.shape
    above = np.concatenate([np.zeros((1, width, 3)), np.cumsum(lab, axis=0)])
    column = np.arange(width)
    inner = np.clip(depths + GAP, 0, height - 1)
    outer = np.clip(depths - GAP + 1, 1, height)
    first, last = np.maximum(outer - _BAND + 1, 0), np.minimum(inner + _BAND - 2, height)
    outside = (above[outer, column] - above[first, column]) / (outer - first)[..., None]
    inside = (above[last, column] - above[inner, column]) / np.maximum(last - inner, 1)[..., None]
    apart = difference(outside, inside)
    counts = (depths >= GAP) & live[inner, column] & live[np.maximum(outer - 1, 0), column]
    return [
        float(np.quantile(row[use], 0.25)) if use.sum() > _BAND else 0.0
        for row, use in zip(apart, counts, strict=True)
    ]
