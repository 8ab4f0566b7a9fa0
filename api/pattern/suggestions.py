"""The swaps of two blocks that help a layout most, and what each makes better."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from api.pattern.plan import Plan
    from placement.top.request import Quality

_ENOUGH = 0.005
"""A part by which a measure must get better to be spoken of."""


_SEEN = 0.05
"""By how much a difference or a distance must grow to be spoken of."""


class Measure(StrEnum):
    """What a swap may make better (see placement.top.request.Quality)."""

    CLOSEST = "closest"
    COPIES = "copies_apart"
    SPREAD = "spread"
    EVENNESS = "evenness"
    BALANCE = "balance"
    CONTACTS = "repeated_contacts"


@dataclass(frozen=True, slots=True)
class Gain:
    """Two blocks whose fabrics could be exchanged."""

    first: int
    """Index of a cell."""
    second: int
    """Index of the other."""
    gain: float
    """How much better the layout gets, in standard deviations of a random layout."""
    closest_after: float
    """Least difference between edge neighbours after the swap, CIEDE2000."""
    better: tuple[tuple[Measure, float, float], ...]
    """What gets better, the most telling first: the measure, its value now and then."""


def gains(plan: Plan, most: int) -> tuple[Gain, ...]:
    """Return the swaps that help a plan's layout most, best first.

    Raises
    ------
    ValueError
        If there is no layout.
    """
    from api.pattern.planner import best_swaps, swap

    found = []
    for each in best_swaps(plan, most):
        then = swap(plan, each.first, each.second).quality
        gets = tuple(better(plan.quality, then)) if plan.quality and then else ()
        found.append(Gain(each.first, each.second, each.gain, each.closest_after, gets))
    return tuple(found)


def better(now: Quality, then: Quality) -> Iterator[tuple[Measure, float, float]]:
    """Yield what is better in one layout than in another, with both values."""
    for measure, counts in _COUNTS.items():
        before, after = float(getattr(now, measure)), float(getattr(then, measure))
        if counts(before, after):
            yield measure, before, after


def _grows(now: float, then: float) -> bool:
    return then > now + _SEEN


def _falls(now: float, then: float) -> bool:
    return then < now * (1 - _ENOUGH)


_COUNTS: dict[Measure, Callable[[float, float], bool]] = {
    Measure.CLOSEST: _grows,
    Measure.COPIES: _grows,
    Measure.SPREAD: lambda now, then: then > now * (1 + _ENOUGH),
    Measure.EVENNESS: _falls,
    Measure.BALANCE: _falls,
    Measure.CONTACTS: lambda now, then: then < now,
}
"""Whether a change of each measure is worth telling; the most telling first."""
