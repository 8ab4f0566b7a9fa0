"""Which fabrics of a bundle to use: enough of them, as unlike each other as can be.

What sinks into the background is out. Of the rest, those are chosen whose closest
pair is furthest apart (palette.picking.similarity), no two of them near-twins, in one
search that is proved for bundles of up to 60; among sets that tie, the one whose
fabrics are furthest from their nearest, the background included, on the whole. A
second level may be wished instead (palette.picking.balance), or the fabrics nearest
to a mood (palette.picking.mood).
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from palette.fabric import Fabric
from palette.picking.balance import GIVEN_UP, balanced
from palette.picking.choice import Choice, Contrast, Limits, PickBy
from palette.picking.dispersion import Spread, furthest_apart
from palette.picking.eligibility import (
    Bundle,
    by_preference,
    from_background,
    largest,
    measure,
    sift,
)
from palette.picking.mood import from_mood, nearest_set
from palette.picking.reasons import Chosen, doubts, insisted, left_out, unmet
from palette.picking.relax import relaxations

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence


@dataclass(frozen=True, slots=True)
class Aim:
    """What a pick is made for."""

    by: PickBy = PickBy.APART
    """What for."""
    mood: Fabric | None = None
    """By mood: what the chosen ones are to be near; it may be one of the bundle."""

    def __post_init__(self) -> None:
        if self.by is PickBy.MOOD and self.mood is None:
            raise ValueError("a pick by mood needs a fabric or a colour to be near; name one")


def pick(
    fabrics: Sequence[Fabric],
    count: int | None,
    contrasts: Sequence[Contrast] = (),
    must: Collection[str] = (),
    leave: Collection[str] = (),
    limits: Limits | None = None,
    aim: Aim | None = None,
) -> Choice:
    """Choose fabrics and give a reason for every one left out.

    Parameters
    ----------
    fabrics : sequence of fabrics
        The bundle, each id once.
    count : int or None
        How many are wanted, 1 or more; None for all that can be used.
    contrasts : sequence of Contrast
        Each fabric against the chosen background; empty without a background.
    must, leave : collection of ids
        Fabrics that must be used, whatever their verdict, and fabrics left out by hand.
    limits : Limits, optional
        The limits the contrasts were judged with.
    aim : Aim, optional
        What the pick is made for; the closest two as far apart as can be unless it is given.

    Returns
    -------
    Choice
        What cannot be met, such as more fabrics than survive, is told in its
        `problems`; the choice is then as near to the wish as possible.

    Raises
    ------
    ValueError
        If the call contradicts itself: an id that is unknown, given twice, or
        both in `must` and `leave`; a count below 1; contrasts with several
        backgrounds or not with every fabric.
    """
    _check(fabrics, count, contrasts, must, leave)
    limits = limits or Limits()
    bundle = measure(fabrics, contrasts, must, leave)
    out = sift(bundle, limits)
    able = by_preference(bundle, [place for place in range(len(fabrics)) if place not in out])
    return _told(bundle, _chosen(bundle, able, count, limits, aim or Aim()), count, limits)


def retold(
    fabrics: Sequence[Fabric],
    kept: Collection[str],
    count: int | None,
    contrasts: Sequence[Contrast] = (),
    must: Collection[str] = (),
    leave: Collection[str] = (),
    limits: Limits | None = None,
) -> Choice:
    """Return a choice that was made otherwise, or by an earlier version, with reasons for it.

    Parameters are those of `pick`, beside the ids of the fabrics that were chosen; nothing
    is claimed of how good it is.
    """
    limits = limits or Limits()
    bundle = measure(fabrics, contrasts, must, leave)
    places = tuple(at for at, fabric in enumerate(fabrics) if fabric.id in kept)
    return _told(bundle, Chosen(places, bound=None), count, limits)


def _told(bundle: Bundle, chosen: Chosen, count: int | None, limits: Limits) -> Choice:
    ids = [fabric.id for fabric in bundle.fabrics]
    closest = min(
        combinations(chosen.places, 2), key=lambda pair: float(bundle.apart[pair]), default=None
    )
    rest = left_out(bundle, chosen, limits)
    few = count is not None and len(chosen.places) < count
    return Choice(
        kept=tuple(ids[place] for place in chosen.places),
        left_out=rest,
        closest=float(bundle.apart[closest]) if closest else None,
        closest_pair=(ids[closest[0]], ids[closest[1]]) if closest else None,
        proved=chosen.proved,
        bound=chosen.bound,
        off=chosen.off,
        problems=(*unmet(bundle, len(chosen.places), count), *insisted(bundle, limits)),
        relax=relaxations(bundle, chosen.places, limits, count) if count and few else (),
        doubts=doubts(bundle, chosen.places, limits),
    )


def _check(
    fabrics: Sequence[Fabric],
    count: int | None,
    contrasts: Sequence[Contrast],
    must: Collection[str],
    leave: Collection[str],
) -> None:
    ids = [fabric.id for fabric in fabrics]
    if len(set(ids)) < len(ids):
        twice = next(name for name, times in Counter(ids).items() if times > 1)
        raise ValueError(f"fabric id {twice!r} is given twice; give each fabric an id of its own")
    if count is not None and count < 1:
        raise ValueError(f"{count} fabrics cannot be chosen; ask for 1 or more")
    for word, wished in (("must be used", must), ("is left out", leave)):
        for unknown in sorted(set(wished) - set(ids)):
            raise ValueError(f"fabric {unknown!r} {word}, but the bundle has no such fabric")
    for both in sorted(set(must) & set(leave)):
        raise ValueError(f"fabric {both!r} must be used and is left out; take back one of the two")
    _check_contrasts(ids, contrasts)


def _check_contrasts(ids: Sequence[str], contrasts: Sequence[Contrast]) -> None:
    backgrounds = sorted({contrast.background for contrast in contrasts})
    if len(backgrounds) > 1:
        raise ValueError(
            f"the contrasts are with {len(backgrounds)} backgrounds ({', '.join(backgrounds)});"
            " give those of the chosen one only"
        )
    for missing in sorted(set(ids) - {contrast.fabric for contrast in contrasts}):
        if contrasts:
            raise ValueError(f"fabric {missing!r} has no contrast; judge every fabric first")


def _chosen(bundle: Bundle, able: list[int], count: int | None, limits: Limits, aim: Aim) -> Chosen:
    """Choose among the places that can be used, given the preferred ones first."""
    pinned = [place for place in able if bundle.pinned(place)]
    wanted = len(able) if count is None else min(max(count, len(pinned)), len(able))
    if not wanted:
        return Chosen((), proved=True)
    spread = _furthest(bundle, able, wanted) if count is not None else None
    if spread is None or spread.apart < limits.twin:
        most, proved = largest(bundle, able, limits)
        spread = _furthest(bundle, able, len(most), most)
        spread = replace(spread, proved=spread.proved and proved)
        if not proved:
            spread = replace(spread, bound=np.inf)
    if aim.by is PickBy.MOOD and aim.mood is not None:
        return _in_mood(bundle, able, spread, limits, aim.mood)
    if aim.by is PickBy.APART:
        return _as_chosen(spread)
    return _balanced(bundle, able, spread, limits, aim.by)


def _furthest(bundle: Bundle, able: list[int], count: int, start: Collection[int] = ()) -> Spread:
    pins = [at for at, place in enumerate(able) if bundle.pinned(place)]
    found = furthest_apart(
        bundle.apart[np.ix_(able, able)],
        count,
        pins,
        outside=from_background(bundle, able),
        start=[able.index(place) for place in start],
    )
    return replace(found, chosen=tuple(sorted(able[at] for at in found.chosen)))


def _as_chosen(spread: Spread) -> Chosen:
    bound = spread.bound if np.isfinite(spread.bound) else None
    return Chosen(spread.chosen, proved=spread.proved, bound=bound)


def _balanced(
    bundle: Bundle, able: list[int], spread: Spread, limits: Limits, by: PickBy
) -> Chosen:
    """Give up a little of how far apart the closest are for kinds in the numbers wished."""
    least = max((1 - GIVEN_UP) * spread.apart, min(limits.twin, spread.apart))
    at = {place: number for number, place in enumerate(able)}
    found = balanced(
        [bundle.fabrics[place] for place in able],
        bundle.apart[np.ix_(able, able)],
        [at[place] for place in spread.chosen],
        by,
        least,
        [at[place] for place in able if bundle.pinned(place)],
    )
    places = tuple(sorted(able[number] for number in found))
    return replace(_as_chosen(spread), places=places, proved=False)


def _in_mood(
    bundle: Bundle, able: list[int], spread: Spread, limits: Limits, mood: Fabric
) -> Chosen:
    off = from_mood(bundle.fabrics, mood)
    pins = [number for number, place in enumerate(able) if bundle.pinned(place)]
    found = nearest_set(
        off[able], bundle.apart[np.ix_(able, able)], len(spread.chosen), limits.twin, pins
    )
    places = tuple(sorted(able[at] for at in found.chosen)) if found else spread.chosen
    total = float(off[list(places)].sum())
    return Chosen(
        places,
        proved=found is not None and found.proved,
        bound=round(found.bound, 6) if found else None,
        mood=mood.id,
        offs=tuple(off.tolist()),
        off=round(total, 6),
    )
