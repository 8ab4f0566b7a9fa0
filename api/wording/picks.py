"""Which fabrics are used and which are not, in words with their numbers."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.wording.apart import apart, how_far
from api.wording.contrasts import sinks
from api.wording.doubts import too_close
from api.wording.english import agree, listed, number, percent, tenths
from api.wording.names import all_called, called
from palette.picking.choice import (
    Choice,
    LeftOut,
    Near,
    Obstacle,
    ObstacleKind,
    Reason,
    Relax,
    WhyKept,
)

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from palette.picking.substitutes import Substitute

_LEFT_OUT = {
    Reason.TWIN: ("is too like another", "are too like another"),
    Reason.LOST: ("sinks into the background", "sink into the background"),
    Reason.CAMOUFLAGE: ("half melts into the background", "half melt into the background"),
    Reason.NOT_NEEDED: ("is not needed", "are not needed"),
    Reason.BY_HAND: ("is left out by hand", "are left out by hand"),
}

_GONE = {
    Reason.LOST: ("sinks into the background", "sink into the background"),
    Reason.CAMOUFLAGE: ("blends into it in good part", "blend into it in good part"),
    Reason.TWIN: ("is nearly the same as another", "are nearly the same as others"),
    Reason.BY_HAND: ("is left out by hand", "are left out by hand"),
}
"""The same where too few are left, in the order they are told."""

_WHY_KEPT = {
    WhyKept.MUST: "must be used",
    WhyKept.STANDS_OUT: "stands out more",
    WhyKept.FIRST: "comes first",
}


def picked(choice: Choice) -> list[str]:
    """Say how many fabrics are used, how alike they are, and why the others are not."""
    total = len(choice.kept) + len(choice.left_out)
    used = len(choice.kept)
    line = f"{used} of {number(total, 'fabric')} {agree(used, 'is', 'are')} used"
    if choice.closest is not None:
        line += f"; the two most alike differ by {apart(choice.closest)}"
        line += ", and no other choice does better" if choice.proved else ""
    counts = Counter(entry.reason for entry in choice.left_out)
    reasons = [
        f"{count} {agree(count, *_LEFT_OUT[reason])}"
        for reason, count in sorted(counts.items(), key=lambda item: -item[1])
    ]
    left_out = ["Left out: " + ", ".join(reasons) + "."] if reasons else []
    return [line + ".", *left_out, *_doubtful(choice)]


def most_alike(choice: Choice) -> str:
    """Say how far apart the two most alike of the chosen are; '' for fewer than two."""
    if choice.closest is None:
        return ""
    proved = " No other choice does better." if choice.proved else ""
    return f"The two most alike differ by {apart(choice.closest)}.{proved}"


def _doubtful(choice: Choice) -> list[str]:
    count = len(choice.doubts)
    if not count:
        return []
    line = f"{number(count, 'pair')} of the chosen may be nearly the same: too close to tell"
    return [f"{line} from these photos. Photograph them together by a window, with white paper."]


def doubtful(plan: Plan, near: Near) -> str:
    """Say which two of the chosen may be nearly the same for all that their photos tell."""
    return (
        f"{called(plan, near.fabric)} and {called(plan, near.other)} may be nearly the same "
        f"({tenths(near.apart)} apart). {too_close(near.doubt, 'are that alike')}"
    )


def left_out(plan: Plan, entry: LeftOut) -> str:
    """Say why a fabric is not among the chosen ones."""
    if entry.reason == Reason.BY_HAND:
        return f"{called(plan, entry.fabric)} is left out by hand."
    if entry.reason == Reason.TWIN:
        return _twin(plan, entry)
    if entry.reason == Reason.NOT_NEEDED:
        return f"{called(plan, entry.fabric)} is left out: {_not_needed(plan, entry)}."
    return sinks(plan, entry)


def _twin(plan: Plan, entry: LeftOut) -> str:
    twin = called(plan, entry.other or "")
    why = _WHY_KEPT[entry.kept_for or WhyKept.FIRST]
    used = plan.choice is not None and entry.other in plan.choice.kept
    kept = f"{twin} is kept because it {why}" if used else f"of the two, {twin} {why}"
    line = f"{called(plan, entry.fabric)} is nearly the same as {twin} ({_unlike(entry)}); {kept}."
    return f"{line} {too_close(entry.doubt, 'are that alike')}" if entry.doubt else line


def _unlike(entry: LeftOut) -> str:
    """Say how little two near-twins differ."""
    across = f"{tenths(entry.measured or 0.0)} apart from across the room"
    return across if entry.close_up is None else f"{across}, {tenths(entry.close_up)} close up"


def _not_needed(plan: Plan, entry: LeftOut) -> str:
    """Say that there are enough, and what one more would be too like."""
    chosen = len(plan.choice.kept) if plan.choice else 0
    enough = f"{chosen} {agree(chosen, 'is', 'are')} enough"
    other, measured = called(plan, entry.other or ""), entry.measured or 0.0
    away, apart_ = tenths(measured), tenths(entry.limit or 0.0)
    if entry.limit is None or measured >= entry.limit or away == apart_:
        return f"{enough}, though nothing else speaks against it ({other} is {away} away)"
    insisted = sum(swatch.must_use for swatch in plan.brief.swatches) > 1
    which = "the others chosen are" if insisted else "the chosen ones are"
    return (
        f"{enough} and {other} is only {away} away ({how_far(measured)}); {which} at least "
        f"{apart_} apart"
    )


def obstacle(plan: Plan, entry: Obstacle) -> str:
    """Say what can't be met as it is wished."""
    if entry.kind == ObstacleKind.INSISTED and entry.against:
        return _insisted(plan, entry.against)
    if entry.kind == ObstacleKind.NO_FABRICS:
        return "The bundle has no fabrics yet."
    there = entry.there or 0
    if entry.kind == ObstacleKind.MANY_MUST:
        return (
            f"{number(there, 'fabric')} must be used, but you want only {entry.wanted}; they are "
            "all kept."
        )
    if entry.kind == ObstacleKind.SMALL_BUNDLE:
        return f"You want {entry.wanted} fabrics, but the bundle has only {there}."
    return _too_few(plan, entry.wanted, there)


def _insisted(plan: Plan, against: LeftOut) -> str:
    if against.reason != Reason.TWIN:
        return f"{sinks(plan, against)} It stays because it must be used."
    pair = f"{called(plan, against.fabric)} and {called(plan, against.other or '')}"
    return f"{pair} are nearly the same ({_unlike(against)}); both stay because they must be used."


def _too_few(plan: Plan, wanted: int | None, able: int) -> str:
    size = len(plan.brief.swatches)
    wish = "Of the bundle" if wanted is None or wanted > size else f"You want {wanted}, but"
    left = f"only {able} {agree(able, 'is', 'are')} left" if able else "none is left"
    counts = Counter(entry.reason for entry in plan.choice.left_out) if plan.choice else Counter()
    parts = [f"{counts[r]} {agree(counts[r], *words)}" for r, words in _GONE.items() if counts[r]]
    return f"{wish} {left}: {listed(parts)}."


def relaxation(plan: Plan, way: Relax) -> str:
    """Say which limit to relax, and what that brings back."""
    end = "which is enough"
    if way.short:
        end = f"still {way.short} short of the {plan.brief.count} you want"
    comes = agree(len(way.brings_back), "comes", "come")
    back = listed(called(plan, fabric) for fabric in way.brings_back)
    return f"{_RELAXED[way.limit](way)}: {back} {comes} back, {end}."


_RELAXED = {
    "lost": lambda way: (
        f"Let fabrics pass that differ by {way.value:g} or more from the background "
        f"(now {way.now:g})"
    ),
    "camouflage": lambda way: (
        f"Let prints pass of which up to {percent(way.value - 0.01)} looks like the background "
        f"(now less than {percent(way.now)})"
    ),
    "twin_far": lambda way: (
        f"Keep both of two fabrics that are {way.value:g} or more apart from across the room "
        f"(now {way.now:g})"
    ),
    "twin_close": lambda way: (
        f"Keep both of two fabrics that are {way.value:g} or more apart close up (now {way.now:g})"
    ),
}
"""What relaxing each limit lets through."""


def substitute(plan: Plan, tried: Substitute) -> str:
    """Say what a left-out fabric would do in the place of a chosen one."""
    if tried.sinks:
        return sinks(plan, tried.sinks)
    fabric = called(plan, tried.fabric)
    if tried.twins:
        twins = all_called(plan, tried.twins)
        return f"{fabric} is nearly the same as {twins}, which would then be left out."
    soft = " It is soft on the background." if tried.soft else ""
    now = plan.choice.closest if plan.choice else None
    if tried.pair is None or tried.closest_after is None or now is None:
        return f"{fabric} would be the only one.{soft}"
    then, before = tenths(tried.closest_after), tenths(now)
    names = all_called(plan, tried.pair)
    change = "as now" if then == before else f"now {before}"
    return (
        f"{fabric} would leave the two most alike {then} apart "
        f"({how_far(tried.closest_after)}; {change}): {names}.{soft}"
    )
