"""The swaps of two blocks that help a layout most, and what each makes better, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.pattern.planner import best_swaps, swap

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from placement.top.request import Quality

_ENOUGH = 0.005
"""A part by which a measure must get better to be spoken of."""


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
    sentence: str
    """What gets better, and whether neighbours stay as different as they are."""


def gains(plan: Plan, most: int) -> tuple[Gain, ...]:
    """Return the swaps that help a plan's layout most, best first.

    Raises
    ------
    ValueError
        If there is no layout.
    """
    found = []
    for each in best_swaps(plan, most):
        then = swap(plan, each.first, each.second).quality
        words = better(plan.quality, then) if plan.quality and then else ""
        found.append(Gain(each.first, each.second, each.gain, each.closest_after, words))
    return tuple(found)


def better(now: Quality, then: Quality) -> str:
    """Say what is better in one layout than in another, the least alike neighbours first."""
    words = []
    if then.closest > now.closest + 0.05:
        words.append(f"least difference of neighbours {then.closest:.1f}, now {now.closest:.1f}")
    if then.copies_apart > now.copies_apart + 0.05:
        words.append(f"copies {then.copies_apart:.1f} blocks apart, now {now.copies_apart:.1f}")
    if then.spread > now.spread * (1 + _ENOUGH):
        words.append("like colours further apart")
    if then.evenness < now.evenness * (1 - _ENOUGH):
        words.append("fabrics shared out more evenly")
    if then.balance < now.balance * (1 - _ENOUGH):
        words.append("light and dark better balanced")
    if then.repeated_contacts < now.repeated_contacts:
        words.append("fewer pairs of fabrics that meet again")
    return "; ".join(words) or "a little better all over"
