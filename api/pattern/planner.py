"""The one use case: a brief becomes a plan. No web, no files, no photos.

Fabrics have ids here; placement knows them as numbers, in the order of the
chosen ones. Everything is a pure function from values to values.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from api.pattern.brief import Brief, Pin
from api.pattern.copies import copies_asked
from api.pattern.decision import named
from api.pattern.plan import Plan
from api.pattern.reaching import known_reach, reach_in, reach_of
from api.pattern.turning import with_turns
from palette.colour import from_srgb, parse_hex
from palette.fabric import Fabric, Share
from palette.picking.choice import PickBy
from palette.picking.contrast import best_background, judge
from palette.picking.loudness import loudness
from palette.picking.pick import Aim, pick
from palette.picking.pick import retold as told_again
from palette.picking.similarity import differences
from placement.top.arrange.arrange import arrange, measure
from placement.top.arrange.arrange import best_swaps as improving_swaps
from placement.top.arrange.quality import reachable
from placement.top.arrange.validation import ask
from placement.top.reach.reach import why
from placement.top.request import (
    Arrangement,
    Problem,
    ProblemKind,
    Progress,
    Promise,
    Quality,
    Reach,
    Request,
    RequestError,
    Swap,
)
from placement.top.setting.layout import EMPTY, Layout

if TYPE_CHECKING:
    from palette.colour import Lab
    from palette.picking.choice import Choice

_FURTHER_SECONDS = 1.0
"""How long a further look asks how different neighbours can be, in seconds of one core."""
_FURTHER_LAYOUTS = 3
"""Layouts it makes, at most, for one that keeps every promise."""
_NEXT_SEED = 1_000_003
"""From the seed of one of them to the next: far from the seeds of further arrangements."""

_SAME = 1e-9
"""Differences of one pair of fabrics part by less."""

HOLE = -1
"""In place of a fabric number: a cell left as background."""


def look(brief: Brief) -> Plan:
    """Judge backgrounds and pick fabrics; no layout yet.

    Raises
    ------
    ValueError
        If the brief names a fabric, background or block there is not.
    """
    check_brief(brief)
    plan = completed(brief, None)
    return replace(plan, choice=picked(brief, plan)) if brief.swatches else plan


def picked(brief: Brief, judged: Plan) -> Choice:
    """Return the choice among a brief's fabrics on the background that a plan of it has."""
    return pick(
        [swatch.fabric for swatch in brief.swatches],
        brief.count,
        tuple(entry for entry in judged.contrasts if entry.background == judged.background),
        must=tuple(s.fabric.id for s in brief.swatches if s.must_use),
        leave=tuple(s.fabric.id for s in brief.swatches if s.leave_out),
        limits=brief.limits,
        aim=aim_of(judged),
    )


def aim_of(plan: Plan) -> Aim:
    """Return what the pick of a plan is made for; without a mood to be near, far apart.

    Raises
    ------
    ValueError
        If the colour of the mood is no web colour.
    """
    brief = plan.brief
    if brief.pick_by is not PickBy.MOOD:
        return Aim(brief.pick_by)
    if brief.mood:
        return Aim(PickBy.MOOD, plan.swatch(brief.mood).fabric)
    if brief.mood_colour:
        digits = parse_hex(brief.mood_colour)
        colour = from_srgb(*bytes.fromhex(digits[1:]))
        return Aim(PickBy.MOOD, Fabric(f"mood-{digits[1:]}", digits, colour, (Share(colour, 1.0),)))
    if plan.background:
        return Aim(PickBy.MOOD, plan.swatch(plan.background).fabric)
    return Aim()


def retold(plan: Plan, kept: tuple[str, ...]) -> Choice:
    """Return a choice that was made otherwise, with what can be told of it now."""
    brief = plan.brief
    return told_again(
        [swatch.fabric for swatch in brief.swatches],
        kept,
        brief.count,
        tuple(entry for entry in plan.contrasts if entry.background == plan.background),
        must=tuple(s.fabric.id for s in brief.swatches if s.must_use),
        leave=tuple(s.fabric.id for s in brief.swatches if s.leave_out),
        limits=brief.limits,
    )


def completed(brief: Brief, choice: Choice | None, obstacles: tuple[Problem, ...] = ()) -> Plan:
    """Return the plan of a brief and a choice, with what follows from them; no layout yet.

    ``obstacles`` are what stood in the way of a layout.
    """
    fabrics = [swatch.fabric for swatch in brief.swatches]
    grounds = [swatch.fabric for swatch in brief.backgrounds]
    # No fabric sinks into a background that the quilt does not show.
    shown = bool(fabrics) and brief.shows_background
    contrasts = judge(fabrics, grounds, brief.limits) if shown else ()
    background = brief.background or (best_background(contrasts) if contrasts else "")
    if not background and grounds:
        background = grounds[0].id
    return Plan(brief, background, contrasts, choice, None, None, obstacles)


def make(
    brief: Brief,
    progress: Progress | None = None,
    previous: Plan | None = None,
    *,
    known: Plan | None = None,
) -> Plan:
    """Make the whole plan of a brief: backgrounds, picks, layout, turns.

    ``previous`` is a plan whose layout is kept as far as the brief allows; ``known`` one whose
    reach is kept if it has the same fabrics and cells. What can't be made is a problem of the
    plan; a brief that contradicts itself raises ValueError.
    """
    plan = look(brief)
    if plan.choice is None or not plan.choice.kept:
        return plan
    try:
        request = _request(brief, plan.choice, previous)
        result = arrange(request, progress, known=reach_of(known, plan))
    except RequestError as error:
        return replace(plan, problems=(error.problem.called(plan.choice.kept),))
    return _with_layout(plan, result)


def hindrances(brief: Brief, choice: Choice) -> tuple[Problem, ...]:
    """Return what leaves no layout, as far as it is seen without arranging."""
    try:
        ask(_request(brief, choice))
    except RequestError as error:
        return (error.problem.called(choice.kept),)
    return ()


def revise(plan: Plan, brief: Brief, progress: Progress | None = None) -> Plan:
    """Return the plan of a changed brief.

    The layout stays when nothing it depends on has changed, changes as little
    as possible when only fabrics or fixed cells have, and is made anew
    otherwise. A plan without a layout gets none.
    """
    looked = _looked_again(plan, brief)
    if plan.layout is None or looked.choice is None:
        return looked
    if _arranging(brief, looked.choice) == _arranging(plan.brief, plan.choice):
        return _carried(plan, looked)
    same_cells = brief.setting.cells() == plan.brief.setting.cells()
    same_rule = (brief.style, brief.seed) == (plan.brief.style, plan.brief.seed)
    return make(brief, progress, plan if same_cells and same_rule else None, known=plan)


def again(plan: Plan, seed: int, progress: Progress | None = None) -> Plan:
    """Return a plan arranged anew with a seed; what is known of its reach stays."""
    return make(replace(plan.brief, seed=seed), progress, known=plan)


def further(plan: Plan, progress: Progress | None = None) -> Plan:
    """Return a plan after about a second's further look, the same for the same plan.

    How different neighbours can be made is only ever found to be more, and the bound on it
    less. A layout that was not changed by hand gives way to one that keeps more promises.
    """
    if plan.layout is None or plan.quality is None or plan.choice is None:
        return plan
    request, numbers = _as_numbers(plan)
    made = ask(request)
    found = reachable(made, _FURTHER_SECONDS)
    known = known_reach(plan)
    reach = known.joined(found) if known else found
    # Beyond a half what is asked depends on copies too, which this does not look at.
    asked = plan.quality.wanted if plan.brief.apart > 0.5 else None
    seen = replace(plan, quality=_called(plan, measure(request, numbers, reach, asked)))
    if plan.by_hand:
        return seen
    for turn in range(_FURTHER_LAYOUTS):
        one = replace(request, seed=request.seed + turn * _NEXT_SEED)
        other = _with_layout(plan, arrange(one, progress, known=reach))
        if _keeps_more(other, seen):
            seen = other
        if not _broken(seen):
            break
    return seen


def _keeps_more(other: Plan, plan: Plan) -> bool:
    """Whether a layout keeps what another one does and more, with neighbours as different as asked.

    Beyond what is asked they may come nearer.
    """
    if other.quality is None or plan.quality is None:
        return False
    most = plan.quality.closest if plan.quality.wanted is None else plan.quality.wanted
    enough = other.quality.closest >= min(plan.quality.closest, most) - _SAME
    return enough and {*_broken(other)} < {*_broken(plan)}


def _broken(plan: Plan) -> tuple[Promise, ...]:
    return plan.quality.broken if plan.quality else ()


def _looked_again(plan: Plan, brief: Brief) -> Plan:
    """Pick anew only if something the pick depends on has changed, so that it stays as it was."""
    check_brief(brief)
    judged = completed(brief, None)
    if plan.choice is not None and _picking(judged) == _picking(plan):
        return replace(judged, choice=plan.choice)
    return look(brief)


def _picking(plan: Plan) -> tuple[object, ...]:
    """Return all that a pick depends on."""
    brief = plan.brief
    marked = [(s.fabric, s.must_use, s.leave_out) for s in brief.swatches]
    ground = plan.swatch(plan.background).fabric if plan.background else None
    return (marked, ground, bool(plan.contrasts), brief.count, brief.limits, aim_of(plan))


def swap(plan: Plan, first: int, second: int) -> Plan:
    """Exchange the fabrics of two cells by hand; pins move with the wish.

    Raises
    ------
    ValueError
        If there is no layout, a cell does not exist or is fixed.
    """
    layout = _layout(plan)
    for cell in (first, second):
        _check_cell(layout, cell)
        if cell in layout.pinned:
            raise ValueError(
                f"{layout.setting.cells()[cell]} is locked; unlock it before swapping it"
            )
    fabrics = list(layout.fabrics)
    fabrics[first], fabrics[second] = fabrics[second], fabrics[first]
    return _by_hand(replace(plan, layout=replace(layout, fabrics=tuple(fabrics)), by_hand=True))


def pin(plan: Plan, cell: int, pinned: bool) -> Plan:
    """Lock a cell with the fabric it has now, or unlock it.

    Raises
    ------
    ValueError
        If there is no layout or the cell does not exist.
    """
    layout = _layout(plan)
    _check_cell(layout, cell)
    others = tuple(entry for entry in plan.brief.pins if entry.cell != cell)
    pins = (*others, Pin(cell, layout.fabrics[cell])) if pinned else others
    pins = tuple(sorted(pins, key=lambda entry: entry.cell))
    locked = tuple(entry.cell for entry in pins)
    return replace(
        plan, brief=replace(plan.brief, pins=pins), layout=replace(layout, pinned=locked)
    )


def best_swaps(plan: Plan, most: int = 5) -> tuple[Swap, ...]:
    """Return the single swaps that improve the layout most, best first.

    Raises
    ------
    ValueError
        If there is no layout.
    """
    request, numbers = _as_numbers(plan)
    return improving_swaps(request, numbers, most)


def check_names(plan: Plan) -> None:
    """Refuse a plan, written by whoever, that names what it does not have.

    Raises
    ------
    ValueError
        Naming the block, background, thread or fabric there is none of.
    """
    check_brief(plan.brief)
    known = {swatch.fabric.id for swatch in plan.brief.everything()}
    unknown = sorted({*(plan.layout.fabrics if plan.layout else ())} - known - {None, ""})
    if unknown:
        raise ValueError(f"there is no fabric {unknown[0]!r}, but the layout names it")


def check_brief(brief: Brief) -> None:
    """Refuse names in a brief that lead nowhere: ValueError with the name."""
    brief.pattern()
    fabrics = {swatch.fabric.id for swatch in brief.swatches}
    grounds = {swatch.fabric.id for swatch in brief.backgrounds}
    threads = {swatch.fabric.id for swatch in brief.threads}
    if len(fabrics | grounds | threads) < len(brief.everything()):
        raise ValueError("two fabrics have the same id; every id may stand only once")
    known = {"fabric": fabrics, "background": grounds, "thread": threads}
    for entry in named(brief):
        decision = entry.decided.decision
        there = [entry.id in known[role] for role in decision.names]
        if not any(there) and entry.id not in (decision.choices or tuple)():
            raise ValueError(f"there is no {decision.names[0]} {entry.id!r} {decision.place}")


def _request(brief: Brief, choice: Choice, previous: Plan | None = None) -> Request:
    """Turn ids into numbers: the wish in placement's terms."""
    by_id = {swatch.fabric.id: swatch.fabric for swatch in brief.swatches}
    fabrics = [by_id[name] for name in choice.kept]
    number = {fabric.id: index for index, fabric in enumerate(fabrics)}
    colours = np.array([fabric.reads_as.array() for fabric in fabrics])
    copies = copies_asked(brief, choice.kept)
    family = {entry.fabric: entry.family for entry in brief.families}
    gone = [entry.fabric for entry in brief.pins if entry.fabric and entry.fabric not in number]
    if gone:
        raise RequestError(
            f"{gone[0]!r} is locked in a cell but is not among the picks",
            Problem(ProblemKind.NOT_PICKED, gone[0]),
        )
    return Request(
        setting=brief.setting,
        colours=colours,
        difference=differences(fabrics),
        copies=tuple(copies[name] for name in choice.kept) if copies else None,
        style=brief.style,
        families=tuple(family.get(name, 0) for name in choice.kept) if family else None,
        pinned={entry.cell: number[entry.fabric] for entry in brief.pins if entry.fabric},
        forbidden={
            ban.cell: tuple(number[name] for name in ban.fabrics if name in number)
            for ban in brief.bans
        },
        holes=frozenset(entry.cell for entry in brief.pins if not entry.fabric),
        apart=brief.apart,
        seed=brief.seed,
        previous=_earlier(previous, number),
        loudness=tuple(map(loudness, fabrics)),
    )


def _earlier(previous: Plan | None, number: dict[str, int]) -> tuple[int, ...] | None:
    if previous is None or previous.layout is None:
        return None
    return tuple(number.get(name, HOLE) for name in previous.layout.fabrics)


def _with_layout(plan: Plan, result: Arrangement) -> Plan:
    brief, choice = plan.brief, plan.choice
    names = choice.kept if choice else ()
    layout = Layout(
        brief.setting,
        tuple(EMPTY if index == HOLE else names[index] for index in result.layout),
        tuple(entry.cell for entry in brief.pins),
    )
    quality = _called(plan, result.quality)
    return replace(plan, layout=with_turns(plan, layout), quality=quality)


def _called(plan: Plan, quality: Quality) -> Quality:
    """Put the fabrics' ids in place of their numbers in the cause."""
    names = plan.choice.kept if plan.choice else ()
    return replace(quality, cause=quality.cause.called(names) if quality.cause else None)


def _arranging(brief: Brief, choice: Choice | None) -> tuple[object, ...]:
    """Return all that a layout depends on."""
    setting = brief.setting
    return (
        set(choice.kept) if choice else set(),
        (setting.kind, setting.across, setting.down, setting.alternate),
        (brief.style, brief.apart, brief.copies, brief.families),
        (brief.pins, brief.bans, brief.seed),
    )


def _carry(plan: Plan, looked: Plan) -> Plan:
    """Keep the layout under a brief that does not touch it."""
    layout = _layout(plan)
    kept = with_turns(looked, replace(layout, setting=looked.brief.setting))
    return replace(looked, layout=kept, quality=plan.quality, by_hand=plan.by_hand)


def _carried(plan: Plan, looked: Plan) -> Plan:
    """Keep the layout, measured anew if a fabric in it has other colours."""
    kept = _carry(plan, looked)
    if _colours(plan) == _colours(looked):
        return kept
    return replace(kept, quality=measured(kept))


def _colours(plan: Plan) -> set[tuple[str, Lab]]:
    kept = plan.choice.kept if plan.choice else ()
    return {(fabric, plan.swatch(fabric).fabric.reads_as) for fabric in kept}


def _as_numbers(plan: Plan) -> tuple[Request, tuple[int, ...]]:
    layout = _layout(plan)
    if plan.choice is None:
        raise ValueError("this plan has a layout but no picks; arrange it again")
    number = {name: index for index, name in enumerate(plan.choice.kept)}
    tally = layout.counts()
    request = replace(
        _request(plan.brief, plan.choice),
        copies=tuple(tally.get(name, 0) for name in plan.choice.kept),
    )
    return request, tuple(number.get(name, HOLE) for name in layout.fabrics)


def measured(plan: Plan, reach: Reach | None = None, wanted: float | None = None) -> Quality:
    """Return how good a plan's layout is; what can be reached is found out unless it is known.

    ``wanted`` is the least difference of neighbours that was asked for, if known.

    Raises
    ------
    ValueError
        If there is no layout, or it does not fit the choice.
    """
    request, numbers = _as_numbers(plan)
    if reach and not reach.cause:
        reach = replace(reach, cause=why(ask(request).task, reach.bound))
    return _called(plan, measure(request, numbers, reach, wanted))


def _by_hand(plan: Plan) -> Plan:
    """Measure the layout again after a change by hand; what can be reached has not changed."""
    old = plan.quality
    quality = measured(plan, reach_in(old), old.wanted) if old else measured(plan)
    if old is not None:
        quality = replace(
            quality,
            reach=max(old.reach, quality.closest),
            bound=old.bound,
            proved=old.proved,
            cause=old.cause,
        )
    return replace(plan, quality=quality)


def _layout(plan: Plan) -> Layout:
    if plan.layout is None:
        raise ValueError("this plan has no layout yet; arrange it first")
    return plan.layout


def _check_cell(layout: Layout, cell: int) -> None:
    if not 0 <= cell < len(layout.fabrics):
        raise ValueError(
            f"there is no block {cell}; this layout has 0 to {len(layout.fabrics) - 1}"
        )
