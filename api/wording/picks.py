"""Which fabrics are used and which are not, in words with their numbers."""

from __future__ import annotations

from collections import Counter
from math import ceil
from typing import TYPE_CHECKING

from api.wording.apart import apart, how_far
from api.wording.contrasts import sinks
from api.wording.doubts import too_close
from api.wording.english import agree, listed, number, percent, tenths
from api.wording.names import all_called, called
from palette.picking.balance import kind_of
from palette.picking.choice import (
    Choice,
    LeftOut,
    Near,
    Obstacle,
    ObstacleKind,
    PickBy,
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
    Reason.FARTHER: ("lies farther from the mood", "lie farther from the mood"),
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
    WhyKept.MUST: "{} is used because it must be",
    WhyKept.FURTHER: "{} is used because the closest two would be nearer with the other",
    WhyKept.NEARER: "{} is used because it lies nearer to the mood",
    WhyKept.STANDS_OUT: "{} is used because it stands out more",
    WhyKept.EITHER: "{} is used, and either would do",
}

_BALANCED = {
    PickBy.VALUES: "so that light, medium and dark are nearly alike in number",
    PickBy.PRINTS: "so that prints and solids are mixed nearly as in the bundle",
    PickBy.HUES: "so that the hues are mixed nearly as in the bundle",
}


def picked(plan: Plan) -> list[str]:
    """Say how many fabrics are used, how alike they are, and why the others are not."""
    choice = plan.choice
    if choice is None:
        return []
    total = len(choice.kept) + len(choice.left_out)
    used = len(choice.kept)
    line = f"{used} of {number(total, 'fabric')} {agree(used, 'is', 'are')} used"
    if choice.closest is not None:
        line += f"; the two most alike differ by {apart(choice.closest)}"
    counts = Counter(entry.reason for entry in choice.left_out)
    reasons = [
        f"{count} {agree(count, *_LEFT_OUT[reason])}"
        for reason, count in sorted(counts.items(), key=lambda item: -item[1])
    ]
    left_out = ["Left out: " + ", ".join(reasons) + "."] if reasons else []
    return [line + ".", *_how_good(plan), *left_out, *_doubtful(choice)]


def most_alike(plan: Plan) -> str:
    """Say how far apart the two most alike of the chosen are; '' for fewer than two."""
    choice = plan.choice
    if choice is None or choice.closest is None:
        return ""
    return " ".join([f"The two most alike differ by {apart(choice.closest)}.", *_how_good(plan)])


def _how_good(plan: Plan) -> list[str]:
    """Say what is known of how well a pick serves what it was made for."""
    choice, by = plan.choice, plan.brief.pick_by
    if choice is None:
        return []
    if choice.off is not None:
        return [_in_mood(plan, choice, choice.off)]
    if choice.closest is None or len(choice.kept) == len(plan.brief.swatches):
        return []  # of all fabrics there is no other choice
    pinned = any(swatch.must_use for swatch in plan.brief.swatches)
    with_them = ", with those that must be," if pinned else ""
    better = f"No other {len(choice.kept)} of those that can be used{with_them} are further apart."
    most = _most(choice)
    if by in _BALANCED:
        return [f"They are picked {_BALANCED[by]}: {_tally(plan, choice)}{most}."]
    if choice.proved:
        return [better]
    return [f"Whether others are further apart is not known{most}."] if most else []


def _most(choice: Choice) -> str:
    """Say what the closest two cannot exceed, rounded up; '' if that is not known."""
    if choice.bound is None:
        return ""
    most = ceil(choice.bound * 10 - 1e-6) / 10
    return f"; no choice of as many can have its two most alike more than {most:.1f} apart"


def _tally(plan: Plan, choice: Choice) -> str:
    """Count what a balance is made of."""
    by = plan.brief.pick_by
    kinds = Counter(str(kind_of(plan.swatch(fabric).fabric, by)) for fabric in choice.kept)
    if by is PickBy.PRINTS:
        return listed(number(count, kind) for kind, count in kinds.most_common())
    return listed(f"{count} {kind}" for kind, count in kinds.most_common())


def _in_mood(plan: Plan, choice: Choice, off: float) -> str:
    words = f"They are picked in the mood of {mood_called(plan)}, {tenths(off / len(choice.kept))} "
    words += "away on average"
    if not choice.proved:
        return f"{words}."
    free = "no other choice of as many, without near-twins, lies nearer on the whole"
    return f"{words}; {free}."


def mood_called(plan: Plan) -> str:
    """Return what a pick's mood is taken from."""
    brief = plan.brief
    if brief.mood:
        return called(plan, brief.mood)
    return brief.mood_colour or called(plan, plan.background)


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
    if entry.reason == Reason.FARTHER:
        return f"{called(plan, entry.fabric)} is left out: {_farther(plan, entry)}."
    if entry.reason == Reason.NOT_NEEDED:
        return f"{called(plan, entry.fabric)} is left out: {_not_needed(plan, entry)}."
    return sinks(plan, entry)


def _twin(plan: Plan, entry: LeftOut) -> str:
    twin = called(plan, entry.other or "")
    kept = _WHY_KEPT[entry.kept_for or WhyKept.EITHER].format(twin)
    line = f"{called(plan, entry.fabric)} is nearly the same as {twin} ({_unlike(entry)}); {kept}."
    return f"{line} {too_close(entry.doubt, 'are that alike')}" if entry.doubt else line


def _unlike(entry: LeftOut) -> str:
    """Say how little two near-twins differ, on the whole and in its parts."""
    whole = f"{tenths(entry.measured or 0.0, entry.limit or 0.0)} apart"
    parts = (entry.afar, "from across the room"), (entry.close_up, "close up")
    told = [f"{tenths(value)} {where}" for value, where in parts if value is not None]
    told += [f"{tenths(entry.prints)} in their print"] if entry.prints else []
    return f"{whole}: {', '.join(told)}" if told else whole


def _farther(plan: Plan, entry: LeftOut) -> str:
    """Say that a fabric is farther from the mood than those that were chosen freely."""
    chosen = len(plan.choice.kept) if plan.choice else 0
    enough = f"{chosen} {agree(chosen, 'is', 'are')} enough"
    free = "the others chosen" if any(s.must_use for s in plan.brief.swatches) else "those chosen"
    far, most = tenths(entry.measured or 0.0), tenths(entry.limit or 0.0)
    return f"{enough} and it is {far} away from {mood_called(plan)}; {free} are at most {most} away"


def _not_needed(plan: Plan, entry: LeftOut) -> str:
    """Say that there are enough, and what one more would be too like."""
    chosen = len(plan.choice.kept) if plan.choice else 0
    enough = f"{chosen} {agree(chosen, 'is', 'are')} enough"
    if entry.other is None:
        return enough
    other, measured = called(plan, entry.other), entry.measured or 0.0
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
    back = listed(called(plan, fabric) for fabric in way.brings_back)
    return f"{_RELAXED[way.limit](way)}: {back} can be used as well, {end}."


_RELAXED = {
    "lost": lambda way: (
        f"Let fabrics pass that differ by {way.value:g} or more from the background "
        f"(now {way.now:g})"
    ),
    "camouflage": lambda way: (
        f"Let prints pass of which up to {percent(way.value - 0.01)} looks like the background "
        f"(now less than {percent(way.now)})"
    ),
    "twin": lambda way: (
        f"Keep both of two fabrics that are {way.value:g} or more apart (now {way.now:g})"
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
