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

from palette.picking.choice import Choice, Contrast, LeftOut, Limits, Reason
from palette.picking.contrast import rejudge
from palette.picking.dispersion import Spread, furthest_apart
from palette.picking.eligibility import (
    Bundle,
    Out,
    by_preference,
    doubtful,
    from_background,
    measure,
    sift,
    twin_chance,
    twins_of,
    unlike,
)
from palette.picking.relax import relaxations
from palette.uncertainty import is_open
from palette.words import listed, plural, tenths

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
            f"the contrasts are with {len(backgrounds)} backgrounds ({listed(backgrounds)});"
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
    fabric, other = bundle.fabrics[place], bundle.fabrics[nearest]
    distance = float(bundle.far[place, nearest])
    away, apart = tenths(distance), tenths(min(spread.apart, 1000.0))
    enough = f"{plural(len(spread.chosen), 'is', 'are')} enough"
    if distance < spread.apart < np.inf and away != apart:
        which = "the others chosen are" if len(bundle.must) > 1 else "the chosen ones are"
        why = f"{enough} and '{other.name}' is only {away} away; {which} at least {apart} apart"
    else:
        why = f"{enough}, though nothing else speaks against it ('{other.name}' is {away} away)"
    return LeftOut(
        fabric.id,
        "not needed",
        f"'{fabric.name}' is left out: {why}.",
        distance,
        spread.apart if np.isfinite(spread.apart) else None,
        other.id,
    )


def _unmet(bundle: Bundle, out: Out, count: int | None) -> list[str]:
    """Say which wishes about the number cannot be met."""
    if not bundle.fabrics:
        return ["The bundle has no fabrics yet."]
    problems = []
    able = len(bundle.fabrics) - len(out)
    if count is not None and len(bundle.must) > count:
        problems.append(
            f"{plural(len(bundle.must), 'fabric', 'fabrics')} must be used, but you want only"
            f" {count}; they are all kept."
        )
    if count is not None and count > len(bundle.fabrics):
        problems.append(f"You want {count} fabrics, but the bundle has only {len(bundle.fabrics)}.")
    if out and (not able or (count is not None and able < count)):
        problems.append(_too_few(bundle, out, count))
    return problems


def _too_few(bundle: Bundle, out: Out, count: int | None) -> str:
    size = len(bundle.fabrics)
    able = size - len(out)
    wish = "Of the bundle" if count is None or count > size else f"You want {count}, but"
    left = f"only {plural(able, 'is', 'are')} left" if able else "none is left"
    reasons = Counter(entry.reason for entry in out.values())
    parts = [plural(reasons[reason], *words) for reason, words in _TALLY.items() if reasons[reason]]
    return f"{wish} {left}: {listed(parts)}."


_TALLY: dict[Reason, tuple[str, str]] = {
    "lost": ("sinks into the background", "sink into the background"),
    "camouflage": ("blends into it in good part", "blend into it in good part"),
    "twin": ("is nearly the same as another", "are nearly the same as others"),
    "left out by hand": ("is left out by hand", "are left out by hand"),
}


def _insisted(bundle: Bundle, limits: Limits) -> list[str]:
    """Say what speaks against fabrics that must be used."""
    pinned = [place for place in range(len(bundle.fabrics)) if bundle.pinned(place)]
    problems = []
    for place in pinned:
        contrast = bundle.contrasts.get(bundle.fabrics[place].id)
        if contrast is not None and rejudge(contrast, limits) in ("lost", "camouflage"):
            problems.append(f"{contrast.sentence} It stays because it must be used.")
    for at, place in enumerate(pinned):
        for twin in twins_of(bundle, place, pinned[at + 1 :], limits):
            names = f"'{bundle.fabrics[place].name}' and '{bundle.fabrics[twin].name}'"
            problems.append(
                f"{names} are nearly the same ({unlike(bundle, place, twin)});"
                " both stay because they must be used."
            )
    return problems


def _doubts(bundle: Bundle, chosen: Sequence[int], limits: Limits) -> tuple[str, ...]:
    """Name pairs of chosen fabrics that may be near-twins, the likest first."""
    chances = {pair: twin_chance(bundle, *pair, limits) for pair in combinations(chosen, 2)}
    open_pairs = sorted((p for p in chances if is_open(chances[p])), key=lambda p: -chances[p])
    return tuple(
        f"'{bundle.fabrics[a].name}' and '{bundle.fabrics[b].name}' may be nearly the same"
        f" ({tenths(bundle.far[a, b])} apart). {doubtful(bundle, a, b, chances[a, b])}"
        for a, b in open_pairs
    )
