"""Why each fabric is not among the chosen ones, and what of the wish can't be met.

Every reason holds for the choice as it is: what a fabric is held against is chosen
itself, or is the background or the mood.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from palette.picking.choice import LeftOut, Limits, Near, Obstacle, ObstacleKind, Reason, WhyKept
from palette.picking.eligibility import (
    Bundle,
    doubtful,
    sift,
    sinking,
    stands_out_more,
    twin,
    twin_chance,
    twins_of,
)
from palette.uncertainty import is_open

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Chosen:
    """The places that were chosen, and what is known of them."""

    places: tuple[int, ...]
    """The places, ascending."""
    proved: bool = False
    """Whether none serve better."""
    bound: float | None = None
    """See palette.picking.choice.Choice."""
    mood: str | None = None
    """Id of what they are to be near; None for another aim."""
    offs: tuple[float, ...] = ()
    """How far each fabric of the bundle is from the mood."""
    off: float | None = None
    """The same of the chosen ones, added up."""


def left_out(bundle: Bundle, chosen: Chosen, limits: Limits) -> tuple[LeftOut, ...]:
    """Return why each of the others is not chosen, in the bundle's order."""
    out = sift(bundle, limits)
    rest = (place for place in range(len(bundle.fabrics)) if place not in chosen.places)
    return tuple(out.get(place) or _passed_over(bundle, place, chosen, limits) for place in rest)


def _passed_over(bundle: Bundle, place: int, chosen: Chosen, limits: Limits) -> LeftOut:
    twins = twins_of(bundle, place, chosen.places, limits)
    if twins:
        first = next((other for other in twins if bundle.pinned(other)), twins[0])
        return twin(bundle, place, first, limits, _why_kept(bundle, place, first, chosen))
    farther = _farther(bundle, place, chosen)
    return farther or _not_needed(bundle, place, chosen)


def _farther(bundle: Bundle, place: int, chosen: Chosen) -> LeftOut | None:
    """Return that a fabric is farther from the mood than all that were chosen freely."""
    if chosen.mood is None:
        return None
    free = [chosen.offs[each] for each in chosen.places if not bundle.pinned(each)]
    if not free or chosen.offs[place] < max(free):
        return None
    name = bundle.fabrics[place].id
    return LeftOut(name, Reason.FARTHER, chosen.offs[place], max(free), chosen.mood)


def _not_needed(bundle: Bundle, place: int, chosen: Chosen) -> LeftOut:
    name = bundle.fabrics[place].id
    if not chosen.places:
        return LeftOut(name, Reason.NOT_NEEDED)
    nearest = min(chosen.places, key=lambda other: float(bundle.apart[place, other]))
    least = _least(bundle, chosen.places)
    return LeftOut(
        name,
        Reason.NOT_NEEDED,
        float(bundle.apart[place, nearest]),
        least if np.isfinite(least) else None,
        bundle.fabrics[nearest].id,
    )


def _least(bundle: Bundle, places: Sequence[int]) -> float:
    """Return how far the closest two are apart that must not both be used."""
    pairs = (
        float(bundle.apart[a, b])
        for a, b in combinations(places, 2)
        if not (bundle.pinned(a) and bundle.pinned(b))
    )
    return min(pairs, default=np.inf)


def _why_kept(bundle: Bundle, place: int, other: int, chosen: Chosen) -> WhyKept:
    """Return what would be lost with a fabric in the place of its twin."""
    if bundle.pinned(other):
        return WhyKept.MUST
    if chosen.mood is not None and chosen.offs[other] < chosen.offs[place]:
        return WhyKept.NEARER
    instead = [place if each == other else each for each in chosen.places]
    if _least(bundle, instead) < _least(bundle, chosen.places):
        return WhyKept.FURTHER
    return WhyKept.STANDS_OUT if stands_out_more(bundle, other, place) else WhyKept.EITHER


def unmet(bundle: Bundle, able: int, count: int | None) -> list[Obstacle]:
    """Return which wishes about the number cannot be met; ``able`` can be used together."""
    size = len(bundle.fabrics)
    if not size:
        return [Obstacle(ObstacleKind.NO_FABRICS, count)]
    found = []
    if count is not None and len(bundle.must) > count:
        found.append(Obstacle(ObstacleKind.MANY_MUST, count, len(bundle.must)))
    if count is not None and count > size:
        found.append(Obstacle(ObstacleKind.SMALL_BUNDLE, count, size))
    if able < size and (not able or (count is not None and able < count)):
        found.append(Obstacle(ObstacleKind.FEW_LEFT, count, able))
    return found


def insisted(bundle: Bundle, limits: Limits) -> list[Obstacle]:
    """Return what speaks against fabrics that must be used."""
    pinned = [place for place in range(len(bundle.fabrics)) if bundle.pinned(place)]
    against = []
    for place in pinned:
        contrast = bundle.contrasts.get(bundle.fabrics[place].id)
        against.append(contrast and sinking(contrast, limits))
    for at, place in enumerate(pinned):
        twins = twins_of(bundle, place, pinned[at + 1 :], limits)
        against += [twin(bundle, place, other, limits) for other in twins]
    return [Obstacle(ObstacleKind.INSISTED, against=entry) for entry in against if entry]


def doubts(bundle: Bundle, chosen: Sequence[int], limits: Limits) -> tuple[Near, ...]:
    """Return pairs of chosen fabrics that may be near-twins, the likest first."""
    chances = {pair: twin_chance(bundle, *pair, limits) for pair in combinations(chosen, 2)}
    open_pairs = sorted((p for p in chances if is_open(chances[p])), key=lambda p: -chances[p])
    return tuple(
        Near(
            bundle.fabrics[a].id,
            bundle.fabrics[b].id,
            float(bundle.apart[a, b]),
            doubtful(bundle, a, b, chances[a, b]),
        )
        for a, b in open_pairs
    )
