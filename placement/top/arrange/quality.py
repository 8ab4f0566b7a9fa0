"""Measure a layout from the layout alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.geometry import OUTSIDE, Ground
from placement.top.arrange.objective import Moments, alikeness, moments, neutral
from placement.top.arrange.pairs import make_pairs, nearness
from placement.top.arrange.promises import broken
from placement.top.arrange.validation import Ask, ask, check_layout
from placement.top.reach.reach import reach as find_reach
from placement.top.request import Quality, Reach, Request

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.top.reach.task import Ints

FAR_ENOUGH = 30.0
"""CIEDE2000 from which two neighbours are told apart at a glance; more is not asked for
unless the request wants neighbours further apart than the half of what is reachable."""
_HALF = 0.5
_REACH_SECONDS = 0.06 / 72
"""How much work to spend on what is reachable, for each cell."""
_MOST_REACH_SECONDS = 0.45


def measure(
    request: Request,
    layout: Sequence[int],
    reach: Reach | None = None,
    wanted: float | None = None,
) -> Quality:
    """Return how good a layout is.

    Parameters
    ----------
    layout : Sequence[int]
        Fabric number a cell, -1 for a hole.
    reach : Reach | None
        What is reachable, if known; it is found out otherwise.
    wanted : float | None
        The least neighbour difference that was asked for, if known.

    Raises
    ------
    ValueError
        If the request does not fit together, or the layout does not fit it.
    """
    made = ask(request)
    check_layout(made, layout)
    return quality(made, made.inner(layout), reach or reachable(made), wanted)


def reachable(made: Ask, seconds: float | None = None) -> Reach:
    """Return how different neighbours can be made, the same whatever the request's seed.

    Parameters
    ----------
    seconds : float | None
        About how long to look, in seconds of one core; None works in proportion to the cells.
    """
    request = made.request
    if seconds is None:
        seconds = min(_MOST_REACH_SECONDS, _REACH_SECONDS * made.where.count)
    return find_reach(
        request.setting,
        request.difference,
        made.copies,
        pinned=request.pinned,
        forbidden=request.forbidden,
        holes=request.holes,
        seconds=seconds,
    )


def wanted(apart: float, best: float, end: float | None = None) -> float:
    """Return the least neighbour difference to ask for, CIEDE2000.

    The wanted part of what is reachable, and up to one half no more than 30;
    from there the limit rises to all that is reachable at 1, with copies of a
    fabric still apart if that is known.

    Parameters
    ----------
    apart : float
        The wanted part, 0 to 1.
    best : float
        What is reachable.
    end : float | None
        What is reachable with copies still apart.
    """
    beyond = max(0.0, 2 * apart - 1)
    if end is not None:
        best += (max(end, wanted(_HALF, best)) - best) * beyond
    limit = FAR_ENOUGH + max(0.0, best - FAR_ENOUGH) * beyond
    return min(apart * best, limit)


def quality(made: Ask, layout: Ints, reach: Reach, least: float | None = None) -> Quality:
    """Measure a layout in the task's numbers; ``least`` is what was wanted, if known."""
    task = made.task
    first, second = task.edges.T
    between = task.values[task.levels[layout[first], layout[second]]]
    at = int(between.argmin()) if len(between) else None
    closest = float(between[at]) if at is not None else 0.0
    if least is None:
        least = wanted(made.request.apart, reach.best, reach.end)
    found = Quality(
        closest=closest,
        closest_cells=None if at is None else _cells(made, at),
        wanted=least,
        reach=max(reach.best, closest),
        bound=reach.bound,
        proved=reach.proved,
        cause=reach.cause,
        copies_apart=copies_apart(made.where, layout),
        spread=spread(made, layout),
        evenness=evenness(made.where, layout, task.copies),
        balance=balance(made, layout),
        repeated_contacts=repeated_contacts(made, layout),
    )
    return replace(found, broken=broken(made, found))


def _cells(made: Ask, edge: int) -> tuple[int, int]:
    first, second = made.task.cells[made.task.edges[edge]]
    return int(first), int(second)


def copies_apart(where: Ground, layout: Ints) -> float:
    """Return the least distance between two cells with the same fabric, 0 if there are none."""
    least = np.inf
    for fabric in np.unique(layout):
        cells = np.flatnonzero(layout == fabric)
        above = np.triu_indices(len(cells), 1)
        squares = where.squares(cells[above[0]], cells[above[1]])
        least = min(least, float(squares.min(initial=np.inf)))
    return float(np.sqrt(least)) if np.isfinite(least) else 0.0


def spread(made: Ask, layout: Ints) -> float:
    """Return how many standard deviations better than random like colours are spread."""
    task = made.task
    alike = neutral(alikeness(task.values[task.levels]), task.copies)
    pairs = make_pairs(made.where, [nearness(made.where)])
    chance: Moments = moments(pairs.sums(0), alike, task.copies)
    if chance.deviation == 0:
        return 0.0
    own = pairs.field(alike[None], layout)[np.arange(len(layout)), layout].sum() / 2
    return float((chance.mean - own) / chance.deviation)


def evenness(where: Ground, layout: Ints, copies: Ints) -> float:
    """Return how far counts on lines are from fair shares, above what rounding forces.

    Every row, column, diagonal and quadrant of two or more cells should hold
    its part of each fabric's copies. The distances from those parts are added
    up, and so are those of the best whole counts; 0.05 means 5 % more.
    """
    off = forced = 0.0
    for labels in where.lines:
        inside = labels != OUTSIDE
        kinds, lines = len(copies), int(labels.max(initial=OUTSIDE)) + 1
        keys = labels[inside] * kinds + layout[inside]
        counts = np.bincount(keys, minlength=lines * kinds).reshape(lines, kinds)
        counts = counts[counts.sum(axis=1) > 1]
        lengths = counts.sum(axis=1, keepdims=True)
        shares = lengths * copies / copies.sum()
        parts = shares - np.floor(shares + 1e-9)
        spare = (lengths[:, 0] - np.floor(shares + 1e-9).sum(axis=1)).astype(np.int64)
        rounded_up = np.arange(kinds) < spare[:, None]
        ordered = -np.sort(-parts, axis=1)
        forced += float(np.where(rounded_up, 1 - ordered, ordered).clip(0).sum())
        off += float(np.abs(counts - shares).sum())
    return max(0.0, off - forced) / max(forced, 1.0)


def balance(made: Ask, layout: Ints) -> float:
    """Return how far the centroid of lightness lies from the middle, in half diagonals."""
    places = made.where.places()
    half = made.where.widest() / 2
    light = np.maximum(made.colours[layout, 0], 0.0)
    if half == 0 or light.sum() == 0:
        return 0.0
    offset = light @ places / light.sum() - places.mean(axis=0)
    return float(np.hypot(*offset)) / half


def repeated_contacts(made: Ask, layout: Ints) -> int:
    """Return how many contacts repeat a pair of fabrics already met."""
    ends = np.sort(layout[made.task.edges], axis=1)
    return len(ends) - len(np.unique(ends, axis=0)) if len(ends) else 0
