"""Which fabrics of a bundle can be used at all, and which two not beside each other.

Out is what a person left out, and what sinks into or blends with the background.
Of two near-twins either can be used: which one, the pick as a whole decides. What
must be used passes always.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.fabric import Fabric
from palette.picking.choice import Contrast, LeftOut, Limits, Reason, Verdict, WhyKept
from palette.picking.contrast import rejudge
from palette.picking.dispersion import most_apart
from palette.picking.similarity import Likeness, likeness
from palette.uncertainty import SURE, Doubt, case, chance_below, is_together

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from palette.colour import Floats

Out = dict[int, LeftOut]
"""Fabrics that cannot be used, by their place in the bundle."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """Fabrics with everything that was measured and wished about them."""

    fabrics: tuple[Fabric, ...]
    """The fabrics in their order."""
    contrasts: dict[str, Contrast]
    """Each fabric against the chosen background, by id; empty without a background."""
    must: frozenset[str]
    """Ids of those that must be used."""
    leave: frozenset[str]
    """Ids of those left out by hand."""
    like: Likeness
    """How different every two of them are."""

    @property
    def apart(self) -> Floats:
        """The difference of every two, shape (N, N)."""
        return self.like.whole

    def pinned(self, place: int) -> bool:
        """Whether the fabric at that place must be used."""
        return self.fabrics[place].id in self.must


def measure(
    fabrics: Sequence[Fabric],
    contrasts: Sequence[Contrast],
    must: Collection[str],
    leave: Collection[str],
) -> Bundle:
    """Measure a bundle once, whatever the limits."""
    return Bundle(
        tuple(fabrics),
        {contrast.fabric: contrast for contrast in contrasts},
        frozenset(must),
        frozenset(leave),
        likeness(tuple(fabrics)),
    )


def sift(bundle: Bundle, limits: Limits) -> Out:
    """Return what cannot be used under these limits, each with its reason."""
    reasons = {place: _unfit(bundle, each, limits) for place, each in enumerate(bundle.fabrics)}
    return {place: reason for place, reason in reasons.items() if reason is not None}


def largest(
    bundle: Bundle, able: Sequence[int], limits: Limits, keep: Collection[int] = ()
) -> tuple[list[int], bool]:
    """Choose as many of some places as can be so that no two are near-twins.

    Parameters
    ----------
    bundle : Bundle
        What was measured.
    able : sequence of int
        Places to choose from, the preferred ones first.
    limits : Limits
        When two are near-twins. Two that must be used may be.
    keep : collection of int
        Places to choose at any rate.

    Returns
    -------
    places, proved
        Those chosen, and whether no more can be.
    """
    pins = [at for at, place in enumerate(able) if bundle.pinned(place) or place in keep]
    chosen, proved = most_apart(bundle.apart[np.ix_(able, able)], limits.twin, pins)
    return [able[at] for at in chosen], proved


def by_preference(bundle: Bundle, places: Sequence[int]) -> list[int]:
    """Order places: what must be used first, then what stands out most, then as they come."""
    return sorted(places, key=lambda place: rank(bundle, place))


def from_background(bundle: Bundle, places: Sequence[int]) -> Floats:
    """Return the reads-as difference of each place from the background, infinite without one."""
    contrasts = [bundle.contrasts.get(bundle.fabrics[place].id) for place in places]
    return np.array([np.inf if c is None else round(c.difference, 6) for c in contrasts])


def twins_of(bundle: Bundle, place: int, others: Sequence[int], limits: Limits) -> list[int]:
    """Return which of the others are near-twins of a fabric, the likest first."""
    twins = [other for other in others if bundle.apart[place, other] < limits.twin]
    return sorted(twins, key=lambda other: float(bundle.apart[place, other]))


def twin_chance(bundle: Bundle, a: int, b: int, limits: Limits) -> float:
    """Give the chance that two fabrics are near-twins, for what their photos tell."""
    how = case(bundle.fabrics[a], bundle.fabrics[b])
    return chance_below(limits.twin, float(bundle.apart[a, b]), how)


def doubtful(bundle: Bundle, a: int, b: int, chance: float) -> Doubt:
    """Return what photos leave open: that two fabrics truly are near-twins."""
    return Doubt(chance, is_together(case(bundle.fabrics[a], bundle.fabrics[b])))


def twin(
    bundle: Bundle, place: int, other: int, limits: Limits, kept_for: WhyKept | None = None
) -> LeftOut:
    """Return that a fabric is nearly the same as another one, with all parts of the difference."""
    pair, chance = (place, other), twin_chance(bundle, place, other, limits)
    return LeftOut(
        bundle.fabrics[place].id,
        Reason.TWIN,
        float(bundle.apart[pair]),
        limits.twin,
        bundle.fabrics[other].id,
        float(bundle.like.afar[pair]),
        float(bundle.like.close[pair]),
        float(bundle.like.prints[pair]),
        kept_for,
        doubtful(bundle, place, other, chance) if kept_for and chance < SURE else None,
    )


def sinking(contrast: Contrast, limits: Limits) -> LeftOut | None:
    """Return that a fabric is lost in its background or blends into it; None if it does not."""
    found = rejudge(contrast, limits)
    if found == Verdict.LOST:
        reason, measured, limit = Reason.LOST, contrast.difference, limits.lost
    elif found == Verdict.CAMOUFLAGE:
        reason, measured, limit = Reason.CAMOUFLAGE, contrast.near_share, limits.camouflage
    else:
        return None
    return LeftOut(
        contrast.fabric, reason, measured, limit, contrast.background, doubt=contrast.doubt
    )


_BEST_FIRST = {verdict: place for place, verdict in enumerate(Verdict)}


def stands_out_more(bundle: Bundle, place: int, other: int) -> bool:
    """Whether a fabric stands out from the background more than another one."""
    return rank(bundle, place)[1:3] < rank(bundle, other)[1:3]


def rank(bundle: Bundle, place: int) -> tuple[bool, int, float, int]:
    """Return what places are ordered by: what must be used first, then what stands out most."""
    contrast = bundle.contrasts.get(bundle.fabrics[place].id)
    free = not bundle.pinned(place)
    if contrast is None:
        return free, 0, 0.0, place
    return free, _BEST_FIRST[contrast.verdict], -contrast.difference, place


def _unfit(bundle: Bundle, fabric: Fabric, limits: Limits) -> LeftOut | None:
    if fabric.id in bundle.leave:
        return LeftOut(fabric.id, Reason.BY_HAND)
    contrast = bundle.contrasts.get(fabric.id)
    if contrast is None or fabric.id in bundle.must:
        return None
    return sinking(contrast, limits)
