"""Which fabrics of a bundle can be used at all, and why the others cannot.

In this order: what a person left out, what sinks into or blends with the
background, and one of every two near-twins. What must be used passes always.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats
from palette.fabric import Fabric
from palette.picking.choice import Contrast, LeftOut, Limits, Reason, Verdict, WhyKept
from palette.picking.contrast import rejudge
from palette.picking.similarity import differences, pair_closeness
from palette.uncertainty import SURE, Doubt, case, chance_below, is_together

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

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
    far: Floats
    """Reads-as differences, shape (N, N)."""
    close: Floats
    """Close-up differences of pairs that may be twins, shape (N, N); infinite for others."""

    def pinned(self, place: int) -> bool:
        """Whether the fabric at that place must be used."""
        return self.fabrics[place].id in self.must


def measure(
    fabrics: Sequence[Fabric],
    contrasts: Sequence[Contrast],
    must: Collection[str],
    leave: Collection[str],
    limits: Limits,
) -> Bundle:
    """Measure a bundle once; sifting it with limits no wider needs nothing more."""
    # A millionth is far below what eyes or photos tell apart; rounding to it
    # gives the same choice on machines whose last bits differ.
    far = np.round(differences(fabrics), 6)
    close = np.full(far.shape, np.inf)
    pairs = np.argwhere(np.triu(far < limits.twin_far, 1))
    close[tuple(pairs.T)] = np.round(pair_closeness(fabrics, pairs), 6)
    return Bundle(
        tuple(fabrics),
        {contrast.fabric: contrast for contrast in contrasts},
        frozenset(must),
        frozenset(leave),
        far,
        np.minimum(close, close.T),
    )


def sift(bundle: Bundle, limits: Limits) -> Out:
    """Return what cannot be used under these limits, each with its reason."""
    out: Out = {}
    for place, fabric in enumerate(bundle.fabrics):
        reason = _unfit(bundle, fabric, limits)
        if reason is not None:
            out[place] = reason
    kept: list[int] = []
    for place in by_preference(bundle, [p for p in range(len(bundle.fabrics)) if p not in out]):
        twins = twins_of(bundle, place, kept, limits)
        if twins and not bundle.pinned(place):
            out[place] = _twin(bundle, place, twins[0], limits)
        else:
            kept.append(place)
    return out


def by_preference(bundle: Bundle, places: Sequence[int]) -> list[int]:
    """Order places: what must be used first, then what stands out most, then as they come."""
    return sorted(places, key=lambda place: _rank(bundle, place))


def from_background(bundle: Bundle, places: Sequence[int]) -> Floats:
    """Return the reads-as difference of each place from the background, infinite without one."""
    contrasts = [bundle.contrasts.get(bundle.fabrics[place].id) for place in places]
    return np.array([np.inf if c is None else round(c.difference, 6) for c in contrasts])


def twins_of(bundle: Bundle, place: int, others: Sequence[int], limits: Limits) -> list[int]:
    """Return which of the others are near-twins of a fabric, the likest first."""
    twins = [
        other
        for other in others
        if bundle.far[place, other] < limits.twin_far
        and bundle.close[place, other] < limits.twin_close
    ]
    return sorted(twins, key=lambda other: float(bundle.far[place, other]))


def twin_chance(bundle: Bundle, a: int, b: int, limits: Limits) -> float:
    """Give the chance that two fabrics are near-twins, for what their photos tell."""
    pair = bundle.fabrics[a], bundle.fabrics[b]
    how = case(*pair)
    afar = chance_below(limits.twin_far, float(bundle.far[a, b]), how)
    if afar <= 1 - SURE:
        return afar
    close = float(pair_closeness(pair, np.array([[0, 1]]))[0])
    return min(afar, chance_below(limits.twin_close, close, how))


def doubtful(bundle: Bundle, a: int, b: int, chance: float) -> Doubt:
    """Return what photos leave open: that two fabrics truly are near-twins."""
    return Doubt(chance, is_together(case(bundle.fabrics[a], bundle.fabrics[b])))


def twin(bundle: Bundle, place: int, other: int, limits: Limits) -> LeftOut:
    """Return that a fabric is nearly the same as another one, with both differences."""
    return LeftOut(
        bundle.fabrics[place].id,
        Reason.TWIN,
        float(bundle.far[place, other]),
        limits.twin_far,
        bundle.fabrics[other].id,
        float(bundle.close[place, other]),
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


def _rank(bundle: Bundle, place: int) -> tuple[bool, int, float, int]:
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


def _twin(bundle: Bundle, place: int, other: int, limits: Limits) -> LeftOut:
    chance = twin_chance(bundle, place, other, limits)
    doubt = doubtful(bundle, place, other, chance) if chance < SURE else None
    why = _why_kept(bundle, place, other)
    return replace(twin(bundle, place, other, limits), kept_for=why, doubt=doubt)


def _why_kept(bundle: Bundle, place: int, twin: int) -> WhyKept:
    if bundle.pinned(twin):
        return WhyKept.MUST
    if _rank(bundle, twin)[:3] < _rank(bundle, place)[:3]:
        return WhyKept.STANDS_OUT
    return WhyKept.FIRST
