"""Which fabric in which cell: the whole answer to a request.

First it is found out how different neighbours can be made (reach), then like
colours are spread over the top by the rule of the style (styles, objective,
search), with neighbours no more alike than asked for and few pairs of fabrics
that meet again and again. The same request gives the same layout anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.end import STERN, furthest_apart
from placement.top.arrange.finishing import finished
from placement.top.arrange.large import gone_over, swept
from placement.top.arrange.objective import Objective, make_objective, stricter
from placement.top.arrange.promises import most_repeats, promises
from placement.top.arrange.quality import measure, quality, reachable, wanted
from placement.top.arrange.search import Tick, Variety, tabu
from placement.top.arrange.sequence import even_layout, sequence_layout, settle
from placement.top.arrange.styles import Rule, rule
from placement.top.arrange.sweeps import heat_bath
from placement.top.arrange.validation import Ask, ask, check_layout
from placement.top.arrange.walk import Walk, promising
from placement.top.reach.initial_layouts import any_layout
from placement.top.request import Arrangement, Floats, Progress, Reach, Request, Stage, Style, Swap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.top.arrange.geometry import Ground
    from placement.top.reach.task import Ints, Task

__all__ = ["arrange", "best_swaps", "measure"]

_STEPS = 240
"""Steps of the search over the whole table of swaps."""
_STEPS_AGAIN = 250
"""Steps for touching up an earlier layout."""
_FINISHING = 700
"""Steps for keeping what is promised."""
_MOST_FINISHING = 120_000
"""Cells times such steps, at most: each goes through all swaps."""
_A_PLACE = 20
"""Steps for each place at most: a small top has few layouts to look at."""
_FINISHING_AGAIN = 120
"""The same for an earlier layout."""
_PRICES = (0.08, 0.16, 0.3, 0.3)
"""Rising prices of a repeated contact, in standard deviations: a quarter of the steps each."""
_HALF = 0.5
_HOPE = 0.75
"""The part of the gap between reach and bound that might still be reached."""
_MOST_AIM = 1.3
"""The most to search for, as a part of what is wanted."""
_TWINS = 3.0
"""Fabrics that differ by less (CIEDE2000) are swapped with each other only at the end."""
_TWIN_STEPS = 60
_INSISTING = 600
"""Steps for spreading colours while neighbours stay further apart than by half."""
_STAYS = 0.15
"""Cost of changing a cell of an earlier layout, in standard deviations."""


def arrange(
    request: Request,
    progress: Progress | None = None,
    *,
    known: Reach | None = None,
    effort: int = 1,
) -> Arrangement:
    """Arrange a request's fabrics.

    Parameters
    ----------
    progress : Progress | None
        Called with the share done and what is going on; raising stops the work.
    known : Reach | None
        What is reachable, if it was found out before for the same fabrics and cells.
    effort : int
        How many times as long as usual to search.

    Raises
    ------
    ValueError
        In one sentence with the number at fault, if the request does not fit together.
    """
    made = ask(request)
    tell = progress or _silent
    tell(0.0, Stage.REACH)
    limit = known or reachable(made)
    tell(0.3, Stage.SPREAD)
    work = _Work(effort, lambda done: tell(0.3 + 0.65 * done, Stage.SPREAD))
    layout, limit = _layout(made, limit, work)
    tell(0.95, Stage.MEASURE)
    whole = made.whole(layout)
    before = request.previous or whole
    changed = sum(one != other for one, other in zip(whole, before, strict=True))
    result = Arrangement(whole, quality(made, layout, limit), changed)
    tell(1.0, Stage.DONE)
    return result


@dataclass(frozen=True, slots=True)
class _Work:
    """How long to search, and whom to tell."""

    effort: int
    """How many times as long as usual."""
    tick: Tick
    """Told the share done."""

    def part(self, stage: int, stages: int) -> _Work:
        """Return one of several stages of the work."""
        return replace(self, tick=lambda done: self.tick((stage + done) / stages))


def best_swaps(
    request: Request, layout: Sequence[int], most: int = 5, *, least: float | None = None
) -> tuple[Swap, ...]:
    """Return the swaps of two cells that make a layout better, the best first.

    Pinned cells stay, and no swap is offered that brings neighbours closer than
    ``least``; None takes the closest there are now.

    Raises
    ------
    ValueError
        If the request does not fit together, the layout does not fit it, or
        ``most`` is negative.
    """
    if most < 0:
        raise ValueError(f"most must be 0 or more, not {most}")
    made = ask(request)
    check_layout(made, layout)
    inner = made.inner(layout)
    return _swaps(made, inner, most, _closest(made.task, inner) if least is None else least)


def _silent(share: float, words: str) -> None:
    """Ignore progress."""


def _layout(made: Ask, limit: Reach, work: _Work) -> tuple[Ints, Reach]:
    """Return a layout, and what is reachable with what was found out on the way."""
    request = made.request
    rng = np.random.default_rng(request.seed)
    own = _rule(made)
    if request.style == Style.SCATTERED and request.apart > _HALF and len(made.task.edges):
        return _insisted(made, own, limit, rng, work)
    least = wanted(request.apart, limit.best)
    if made.previous is not None:
        return _touched_up(made, own, made.previous, least, rng, work), limit
    objective = _objective(made, own, _aim(request.apart, limit))
    start = _start(made, own, objective, rng)
    if request.style == Style.REPEATING:
        return start, limit
    layout = _searched(made, objective, start, least, rng, work.part(0, 2))
    objective = _objective(made, own, least)
    layout = _finished(made, objective, layout, least, rng, work.part(1, 2))
    return canonical(made.where, objective, layout), limit


def _start(made: Ask, own: Rule, objective: Objective, rng: np.random.Generator) -> Ints:
    """Return a layout to start from: the style's own, or one sequence from row to row."""
    if own.start is not None:
        return settle(made.task, objective, own.start, rng)
    if swept(made) and made.request.style == Style.SCATTERED:
        return even_layout(made.task, made.where, objective, rng)
    return sequence_layout(made.task, made.where, objective, rng)


def _finished(
    made: Ask,
    objective: Objective,
    layout: Ints,
    least: float,
    rng: np.random.Generator,
    work: _Work,
    steps: int = _FINISHING,
) -> Ints:
    """Make a scattered layout keep what is promised; on a large top there is no table for it."""
    if made.request.style != Style.SCATTERED or not objective.pairs.dense:
        return layout
    limits = promises(made, least)
    steps = work.effort * min(
        steps, _MOST_FINISHING // made.where.count, _A_PLACE * made.where.count
    )
    return finished(made, objective, layout, limits, rng, steps=steps, tick=work.tick)


def _aim(apart: float, limit: Reach) -> float:
    """Return the least neighbour difference to search for.

    More than what is wanted as long as it is not settled that no more can be
    reached: so the wanted part of the true limit is kept too.
    """
    hoped = limit.best + _HOPE * (limit.bound - limit.best)
    return min(wanted(apart, hoped), _MOST_AIM * wanted(apart, limit.best))


def _rule(made: Ask) -> Rule:
    return rule(made.request.style, made.task, made.where, made.colours, made.families)


def _objective(made: Ask, own: Rule, least: float, further: Floats | float = 0.0) -> Objective:
    """Return the objective of a style, with a further cost if there is one."""
    return make_objective(
        made.task,
        made.where,
        made.colours,
        least,
        cost=own.cost + further,
        weights=own.weights,
        too_alike=own.too_alike,
        loudness=made.loudness,
    )


def _searched(
    made: Ask,
    objective: Objective,
    layout: Ints,
    least: float,
    rng: np.random.Generator,
    work: _Work,
) -> Ints:
    """Search for the best layout, from one whose copies already lie far apart."""
    if swept(made):
        limits = promises(made, least)
        return gone_over(made, objective, layout, limits, rng, effort=work.effort, tick=work.tick)
    together = made.task.values[made.task.levels] < _TWINS
    stages = len(_PRICES)
    for stage, price in enumerate(_PRICES):
        layout = tabu(
            objective,
            layout,
            rng,
            steps=work.effort * _STEPS // stages,
            variety=_variety(made, least, price),
            together=together,
            tick=work.part(stage, stages).tick,
        )
    if together.sum() > len(together):
        variety = _variety(made, least, _PRICES[-1])
        layout = tabu(objective, layout, rng, steps=_TWIN_STEPS, variety=variety)
    return layout


def _variety(made: Ask, least: float, price: float) -> Variety:
    """Return the price of repeated contacts above the few that are allowed.

    In order of lightness few fabrics can meet at all.
    """
    if made.request.style == Style.LIGHT_TO_DARK:
        return Variety()
    return Variety(price, float(most_repeats(made, least)))


def _touched_up(
    made: Ask,
    own: Rule,
    earlier: Ints,
    least: float,
    rng: np.random.Generator,
    work: _Work,
) -> Ints:
    """Make an earlier layout fit the request, and better where few changes do it."""
    objective = _objective(made, own, least, _staying(made, earlier))
    start = settle(made.task, objective, earlier, rng)
    if made.request.style == Style.REPEATING:
        return start
    if not objective.pairs.dense:
        return heat_bath(objective, start, rng, temperatures=np.zeros(1), tick=work.tick)
    variety = _variety(made, least, _PRICES[-1])
    layout = tabu(
        objective, start, rng, steps=_STEPS_AGAIN, variety=variety, tick=work.part(0, 2).tick
    )
    return _finished(made, objective, layout, least, rng, work.part(1, 2), _FINISHING_AGAIN)


def _staying(made: Ask, earlier: Ints | None) -> Floats | float:
    """Return what it costs to change the cells of an earlier layout, shape (n, K)."""
    if earlier is None:
        return 0.0
    changes = np.full(made.task.accepts.shape, _STAYS)
    known = np.flatnonzero(earlier >= 0)
    changes[known, earlier[known]] = 0.0
    return changes


def _insisted(
    made: Ask, own: Rule, limit: Reach, rng: np.random.Generator, work: _Work
) -> tuple[Ints, Reach]:
    """Arrange with neighbours further apart than half of what is reachable: that comes first.

    Returns
    -------
    tuple[Ints, Reach]
        The layout, and what is reachable with the furthest that leaves copies apart.
    """
    request = made.request
    objective = _objective(made, own, limit.best)
    # What is known of the reach from before comes without the layout that reaches it.
    seen = limit.layout or reachable(made).layout
    furthest = made.inner(seen) if seen else any_layout(made.task, rng)
    if objective.pairs.dense:
        furthest, end = furthest_apart(made, own, furthest, wanted(_HALF, limit.best))
        limit = replace(limit, end=end)
    least = wanted(request.apart, limit.best, limit.end)
    strict = stricter(_objective(made, own, least, _staying(made, made.previous)), STERN)
    starts = [furthest]
    if made.previous is not None:
        starts.append(settle(made.task, strict, made.previous, rng))
    elif request.apart < 1:
        starts.append(_start(made, own, strict, rng))
    if not strict.pairs.dense:
        found = [heat_bath(strict, one, rng, temperatures=np.zeros(2)) for one in starts]
        return min(found, key=strict.energy), limit
    variety = _variety(made, least, _PRICES[-1])
    layouts = [
        tabu(strict, one, rng, steps=_INSISTING, variety=variety, tick=work.part(at, 3).tick)
        for at, one in enumerate(starts)
    ]
    layout = min(layouts, key=strict.energy)
    steps = _FINISHING if made.previous is None else _FINISHING_AGAIN
    layout = _finished(made, strict, layout, least, rng, work.part(2, 3), steps)
    return layout if made.previous is not None else canonical(made.where, strict, layout), limit


def _closest(task: Task, layout: Ints) -> float:
    """Return the least difference between neighbours; infinite if no two cells touch."""
    first, second = task.edges.T
    levels = task.levels[layout[first], layout[second]]
    return float(task.values[levels.min()]) if len(levels) else float("inf")


def canonical(where: Ground, objective: Objective, layout: Ints) -> Ints:
    """Return the smallest of a layout's mirror images that are exactly as good.

    Pins, holes, styles and an earlier layout make images worse, so they are
    kept as they are.
    """
    energy = objective.energy(layout)
    images = [layout[cells] for cells in mirrors(where)]
    good = [image for image in images if objective.energy(image) == energy]
    return min(good, key=lambda image: tuple(image.tolist()))


def mirrors(where: Ground) -> list[Ints]:
    """Return the flips and turns that map the cells onto themselves, as orders of cells."""
    rows, columns = where.rows - where.rows.min(), where.columns - where.columns.min()
    width = int(max(rows.max(), columns.max())) + 1
    place = np.argsort(rows * width + columns, kind="stable")
    keys = (rows * width + columns)[place]
    found = []
    for down, across in ((rows, columns), (columns, rows)):
        for row in (down, down.max() - down):
            for column in (across, across.max() - across):
                image = row * width + column
                if np.array_equal(np.sort(image), keys):
                    found.append(place[np.searchsorted(keys, image)])
    return found


def _swaps(made: Ask, layout: Ints, most: int, least: float) -> tuple[Swap, ...]:
    task, here = made.task, np.arange(len(layout))
    objective = _objective(made, _rule(made), least)
    lying = objective.cost.copy()
    lying[here, layout] = np.where(np.isfinite(lying[here, layout]), lying[here, layout], 0.0)
    walk = Walk(replace(objective, cost=lying), layout)
    found: list[Swap] = []
    for gain, one, other in promising(walk):
        if len(found) == most:
            break
        swapped = layout.copy()
        swapped[[one, other]] = layout[[other, one]]
        closest = _closest(task, swapped)
        if closest >= least:
            cells = (int(task.cells[one]), int(task.cells[other]))
            found.append(Swap(*cells, -gain, closest))
    return tuple(found)
