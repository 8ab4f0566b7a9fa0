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


def best_edge(lab: Floats, says: Floats, live: Mask) -> Edge | None:
    """Find the line that parts ground from cloth best at the upper side.

    Parameters
    ----------
    lab : Floats
        The photo, shape (height, width, 3).
    says : Floats
        How much each pixel speaks for the ground, shape (height, width); below 0 for the cloth.
    live : Mask
        Which pixels may be either.

    Returns
    -------
    Edge or None
        None where next to nothing lies beyond the best line.
    """
    height, width = says.shape
    start, end = _best_line(says)
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


def _best_line(says: Floats) -> tuple[int, int]:
    """Return the depths at both ends of the line beyond which most speaks for the ground."""
    height, width = says.shape
    above = np.concatenate([np.zeros((1, width)), np.cumsum(says, axis=0)])
    deepest = int(_DEEPEST * height)
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
