"""Which fabrics of a bundle to use: enough of them, as unlike each other as can be.

What cannot be used is sifted out first. Of what survives, those are chosen whose
closest pair is furthest apart (reads-as CIEDE2000), and this is proved for
bundles of up to 60; among sets that tie, the one whose fabrics are furthest from
their nearest, the background included, on the whole.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from palette.picking.choice import (
    Choice,
    Contrast,
    LeftOut,
    Limits,
    Near,
    Obstacle,
    ObstacleKind,
    Reason,
)
from palette.picking.dispersion import Spread, furthest_apart
from palette.picking.eligibility import (
    Bundle,
    Out,
    by_preference,
    doubtful,
    from_background,
    measure,
    sift,
    sinking,
    twin,
    twin_chance,
    twins_of,
)
from palette.picking.relax import relaxations
from palette.uncertainty import is_open

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from palette.fabric import Fabric


def pick(
    fabrics: Sequence[Fabric],
    count: int | None,
    contrasts: Sequence[Contrast] = (),
    must: Collection[str] = (),
    leave: Collection[str] = (),
    limits: Limits | None = None,
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
    bundle = measure(fabrics, contrasts, must, leave, limits)
    out = sift(bundle, limits)
    able = by_preference(bundle, [place for place in range(len(fabrics)) if place not in out])
    spread = _spread(bundle, able, count)
    closest = _closest_pair(bundle, spread.chosen)
    rest = {
        place: _not_needed(bundle, place, spread) for place in able if place not in spread.chosen
    }
    too_few = count is not None and len(able) < count
    return Choice(
        kept=tuple(fabrics[place].id for place in spread.chosen),
        left_out=tuple(entry for _, entry in sorted((out | rest).items())),
        closest=float(bundle.far[closest]) if closest else None,
        closest_pair=(fabrics[closest[0]].id, fabrics[closest[1]].id) if closest else None,
        proved=spread.proved,
        problems=(*_unmet(bundle, out, count), *_insisted(bundle, limits)),
        relax=relaxations(bundle, out, limits, count) if count and too_few else (),
        doubts=_doubts(bundle, spread.chosen, limits),
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


def _spread(bundle: Bundle, able: list[int], count: int | None) -> Spread:
    """Choose among the places that can be used, given the preferred ones first."""
    pinned = [at for at, place in enumerate(able) if bundle.pinned(place)]
    wanted = len(able) if count is None else min(max(count, len(pinned)), len(able))
    if not wanted:
        return Spread((), np.inf, proved=True)
    spread = furthest_apart(
        bundle.far[np.ix_(able, able)], wanted, pinned, outside=from_background(bundle, able)
    )
    return replace(spread, chosen=tuple(sorted(able[at] for at in spread.chosen)))


def _closest_pair(bundle: Bundle, chosen: Sequence[int]) -> tuple[int, int] | None:
    return min(combinations(chosen, 2), key=lambda pair: float(bundle.far[pair]), default=None)


def _not_needed(bundle: Bundle, place: int, spread: Spread) -> LeftOut:
    nearest = min(spread.chosen, key=lambda other: float(bundle.far[place, other]))
    return LeftOut(
        bundle.fabrics[place].id,
        Reason.NOT_NEEDED,
        float(bundle.far[place, nearest]),
        spread.apart if np.isfinite(spread.apart) else None,
        bundle.fabrics[nearest].id,
    )


def _unmet(bundle: Bundle, out: Out, count: int | None) -> list[Obstacle]:
    """Return which wishes about the number cannot be met."""
    size = len(bundle.fabrics)
    if not size:
        return [Obstacle(ObstacleKind.NO_FABRICS, count)]
    found, able = [], size - len(out)
    if count is not None and len(bundle.must) > count:
        found.append(Obstacle(ObstacleKind.MANY_MUST, count, len(bundle.must)))
    if count is not None and count > size:
        found.append(Obstacle(ObstacleKind.SMALL_BUNDLE, count, size))
    if out and (not able or (count is not None and able < count)):
        found.append(Obstacle(ObstacleKind.FEW_LEFT, count, able))
    return found


def _insisted(bundle: Bundle, limits: Limits) -> list[Obstacle]:
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


def _doubts(bundle: Bundle, chosen: Sequence[int], limits: Limits) -> tuple[Near, ...]:
    """Return pairs of chosen fabrics that may be near-twins, the likest first."""
    chances = {pair: twin_chance(bundle, *pair, limits) for pair in combinations(chosen, 2)}
    open_pairs = sorted((p for p in chances if is_open(chances[p])), key=lambda p: -chances[p])
    return tuple(
        Near(
            bundle.fabrics[a].id,
            bundle.fabrics[b].id,
            float(bundle.far[a, b]),
            doubtful(bundle, a, b, chances[a, b]),
        )
        for a, b in open_pairs
    )
