"""Which K of N places lie furthest apart: max-min dispersion, solved and proved.

K places have a closest pair at least t apart when they form a clique in the
graph that joins pairs at least t apart. So the largest t is bisected over the
distinct distances, each tried by an exact clique search.

Pinned places are in every set. How close two of them are to each other nothing
can change, so such pairs do not count.

Sets that tie are many. Among them the sum of the distances from each place to
its nearest decides, enlarged by swaps that keep the closest pair; that sum is
good, not proved best. Something outside, such as a background, can count there
as one more neighbour.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.picking.clique import OutOfStepsError, clique

if TYPE_CHECKING:
    from collections.abc import Collection

Floats = NDArray[np.float64]

STEPS = 20_000
"""Steps one clique search may take; the hardest of 2,500 choices of 60 colours needed 8,000."""


@dataclass(frozen=True, slots=True)
class Spread:
    """A set of places and how far apart they are."""

    chosen: tuple[int, ...]
    """The places, ascending."""
    apart: float
    """Distance of the closest pair that is not pinned on both sides; infinite if there is none."""
    proved: bool
    """Whether no other set of that size with the same pins has a larger `apart`."""
    bound: float = np.inf
    """What `apart` of no such set exceeds."""


def furthest_apart(
    distances: Floats,
    count: int,
    pinned: Collection[int] = (),
    outside: Floats | None = None,
    steps: int = STEPS,
    start: Collection[int] = (),
) -> Spread:
    """Choose places so that the closest pair is as far apart as possible.

    Parameters
    ----------
    distances : array of shape (N, N)
        Symmetric, zero or more; the diagonal is not looked at.
    count : int
        How many to choose, from the number of pins (at least 1) to N.
    pinned : collection of int
        Places that must be chosen.
    outside : array of shape (N,), optional
        Distance of each place from something outside; counts among ties only.
    steps : int
        How often the search may branch for each distance tried. A try that
        needs more counts as failed, and the answer as not proved.
    start : collection of int, optional
        A set of that size, with the pins, to do no worse than.

    Returns
    -------
    Spread
        Always the same for the same input.

    Raises
    ------
    ValueError
        If `count` or a pin is out of range.
    """
    pins = sorted(set(pinned))
    _check(len(distances), count, pins)
    counting = _counting(distances, pins)
    chosen = _better(counting, _greedy(counting, count, pins), list(start))
    values = np.unique(counting[np.isfinite(counting)])
    low, high = int(np.searchsorted(values, _apart(counting, chosen))), len(values)
    refuted = high
    while high - low > 1:
        middle = (low + high) // 2
        try:
            found = _at_least(float(values[middle]), counting, count, pins, steps)
            refuted = refuted if found else middle
        except OutOfStepsError:
            found = None
        if found is None:
            high = middle
        else:
            chosen, low = found, middle
    if outside is None:
        outside = np.full(len(distances), np.inf)
    chosen = _evened_out(counting, outside, chosen, pins)
    apart = _apart(counting, chosen)
    bound = max(apart, float(values[refuted - 1])) if np.isfinite(apart) else apart
    return Spread(tuple(sorted(chosen)), apart, apart == bound, bound)


def _better(counting: Floats, one: list[int], other: list[int]) -> list[int]:
    return other if other and _apart(counting, other) > _apart(counting, one) else one


def most_apart(
    distances: Floats, least: float, pinned: Collection[int] = (), steps: int = STEPS
) -> tuple[list[int], bool]:
    """Choose as many places as can be so that no two are nearer than `least`.

    Two pins may be. Places are taken in their order where that does no harm.

    Returns
    -------
    chosen, proved
        The places, ascending, and whether no more can be chosen.
    """
    pins = sorted(set(pinned))
    counting = _counting(distances, pins)
    chosen = [*pins]
    for place in range(len(counting)):
        if place not in pins and (counting[place, chosen] >= least).all():
            chosen.append(place)
    while len(chosen) < len(counting):
        try:
            found = _at_least(least, counting, len(chosen) + 1, pins, steps)
        except OutOfStepsError:
            return sorted(chosen), False
        if found is None:
            break
        chosen = found
    return sorted(chosen), True


def _check(size: int, count: int, pins: list[int]) -> None:
    if not max(1, len(pins)) <= count <= size:
        raise ValueError(
            f"cannot choose {count} of {size} places with {len(pins)} of them pinned;"
            f" choose from {max(1, len(pins))} to {size}"
        )
    if pins and not 0 <= pins[0] <= pins[-1] < size:
        raise ValueError(f"pins must lie between 0 and {size - 1}, not {pins}")


def _counting(distances: Floats, pins: list[int]) -> Floats:
    """Put pairs that do not count infinitely far apart."""
    counting = np.array(distances, dtype=np.float64)
    np.fill_diagonal(counting, np.inf)
    counting[np.ix_(pins, pins)] = np.inf
    return counting


def _apart(counting: Floats, chosen: list[int]) -> float:
    return float(counting[np.ix_(chosen, chosen)].min())


def _greedy(counting: Floats, count: int, pins: list[int]) -> list[int]:
    """Start from the pins, or the pair furthest apart, and add the furthest place each time."""
    chosen = pins or _first(counting, count)
    while len(chosen) < count:
        nearest = counting[:, chosen].min(axis=1)
        nearest[chosen] = -1.0
        chosen = [*chosen, int(nearest.argmax())]
    return chosen


def _first(counting: Floats, count: int) -> list[int]:
    if count == 1:
        return [0]
    far = np.where(np.isfinite(counting), counting, -1.0)
    return [int(place) for place in np.unravel_index(far.argmax(), far.shape)]


def _at_least(
    apart: float, counting: Floats, count: int, pins: list[int], steps: int
) -> list[int] | None:
    """Return a set whose counting pairs are at least that far apart, or None."""
    joined = counting >= apart
    able = np.flatnonzero(joined[:, pins].all(axis=1))
    able = able[~np.isin(able, pins)]
    partners = joined[np.ix_(able, able)].sum(axis=1)
    able = able[np.argsort(-partners, kind="stable")]
    found = clique(joined[np.ix_(able, able)], count - len(pins), steps)
    return None if found is None else [*pins, *able[found].tolist()]


def _evened_out(counting: Floats, outside: Floats, chosen: list[int], pins: list[int]) -> list[int]:
    """Swap places as long as that enlarges the sum of nearest distances."""
    apart = _apart(counting, chosen)
    nearest = counting[np.ix_(chosen, chosen)].min(axis=1)
    worth = float(np.minimum(nearest, outside[chosen]).sum())
    while True:
        swaps = [
            _best_swap(counting, outside, chosen, old, apart) for old in chosen if old not in pins
        ]
        best = max(swaps, key=lambda swap: swap[0], default=(worth, chosen))
        if best[0] <= worth + 1e-9:
            return chosen
        worth, chosen = best


def _best_swap(
    counting: Floats, outside: Floats, chosen: list[int], old: int, apart: float
) -> tuple[float, list[int]]:
    """Return the best set with `old` replaced that keeps the closest pair, and its sum."""
    rest = np.array([place for place in chosen if place != old], dtype=np.intp)
    new = np.delete(np.arange(len(counting)), chosen)
    if not len(rest) or not len(new):
        return -np.inf, chosen
    within = np.minimum(counting[np.ix_(rest, rest)].min(axis=1), outside[rest])
    across = counting[np.ix_(new, rest)]
    nearest = across.min(axis=1)
    worth = np.minimum(within, across).sum(axis=1) + np.minimum(nearest, outside[new])
    worth[nearest < apart] = -np.inf
    best = int(worth.argmax())
    return float(worth[best]), [*rest.tolist(), int(new[best])]
