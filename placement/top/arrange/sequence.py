"""One sequence of fabrics carried on from row to row: class = (place + shift x row) mod P.

With the right shift the copies of a fabric lie about sqrt(P) apart, all over
the top, so the sequence is a style of its own and a good start for large tops.
What fabric each of the P classes gets is a small assignment with the same
objective, summed over the cells of each class.
"""

from __future__ import annotations

from math import gcd
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import linear_sum_assignment

from placement.top.arrange.counted import lying
from placement.top.arrange.objective import CONTACT, Objective
from placement.top.arrange.pairs import Pairs
from placement.top.arrange.search import tabu
from placement.top.reach.initial_layouts import any_layout

if TYPE_CHECKING:
    from placement.top.arrange.geometry import Ground
    from placement.top.reach.task import Ints, Task
    from placement.top.request import Floats

_STEPS = 300
"""Steps for ordering a sequence."""
_MISPLACED = 0.5
"""Cost of a pinned or forbidden cell that the sequence misses, in standard deviations."""
_LONGEST = 3
"""A sequence has at most this many places for each fabric, on average."""
_MOST_EMPTY = 1.25
"""An even sequence is at most this many times as long as its fabrics have places."""
_MOST_LEFT = 1500
"""Cells without a fabric up to which the best filling is sought."""


def sequence_layout(
    task: Task, where: Ground, objective: Objective, rng: np.random.Generator
) -> Ints:
    """Return the best ordered sequence laid over the top, with every count kept.

    Where counts, pins or forbidden fabrics don't fit the sequence it is broken
    in as few cells as that takes.
    """
    slots = places_in_sequence(task.copies)
    laid = _laid(where, objective, slots, best_shift(where, len(slots)), rng)
    return settle(task, objective, laid, rng)


def even_layout(task: Task, where: Ground, objective: Objective, rng: np.random.Generator) -> Ints:
    """Return the best ordered sequence that is even on all lines, diagonals too.

    That takes a length and a shift whose steps along every line are prime to the length
    (Hedayat 1977), so the length is made up by a few empty places; their cells get the
    fabrics that fit best. Where that brings fabrics together that are too alike, as two
    families that only a checkerboard keeps apart, it is the usual sequence.
    """
    slots = places_in_sequence(task.copies)
    usual = _laid(where, objective, slots, best_shift(where, len(slots)), rng)
    found = even_sequence(where, len(slots))
    if found is None:
        return settle(task, objective, usual, rng)
    length, shift = found
    empty = np.full(length - len(slots), objective.fabrics)
    even = _laid(where, _with_nothing(objective), np.append(slots, empty), shift, rng)
    even = np.where(even == objective.fabrics, -1, even)
    worse = _too_alike(task, objective, even) > _too_alike(task, objective, usual)
    return settle(task, objective, usual if worse else even, rng)


def even_sequence(where: Ground, least: int) -> tuple[int, int] | None:
    """Return length and shift of the shortest sequence that is even on all lines, if any is.

    Of a length's shifts the one with which equal places lie furthest apart is taken.
    """
    slant = _steps(where)[1]
    for length in range(least, int(_MOST_EMPTY * least) + 1):
        distances = shift_distances(where, length).round(6)
        steps = [
            (shift, shift - 1, 2 * shift - 1 if slant else shift + 1) for shift in range(length)
        ]
        fits = [all(gcd(step, length) == 1 for step in three) for three in steps]
        if any(fits):
            return length, int(np.where(fits, distances, 0.0).argmax())
    return None


def _laid(
    where: Ground, objective: Objective, slots: Ints, shift: int, rng: np.random.Generator
) -> Ints:
    """Return the best order of a sequence's places, laid over the cells."""
    along, down = rows_of(where)
    classes = (along + shift * down) % len(slots)
    order = tabu(_gathered(objective, classes, len(slots)), slots, rng, steps=_STEPS)
    return np.asarray(order[classes])


def _with_nothing(objective: Objective) -> Objective:
    """Return an objective with one fabric more, which is like no other and costs nothing."""
    similarity = np.pad(objective.similarity, ((0, 0), (0, 1), (0, 1)))
    return Objective(objective.pairs, similarity, np.pad(objective.cost, ((0, 0), (0, 1))))


def _too_alike(task: Task, objective: Objective, layout: Ints) -> int:
    """Return how many contacts are between fabrics that are too alike."""
    first, second = layout[task.edges[(layout[task.edges] >= 0).all(axis=1)]].T
    return int(np.count_nonzero(objective.similarity[CONTACT][first, second] > 0))


def places_in_sequence(copies: Ints) -> Ints:
    """Return the fabric of each place of a sequence, in proportion to the copies.

    Fabrics with equal copies get a place each; the shortest sequence that fits
    the copies to half a cell each is taken, or the best of those tried.
    """
    best: Ints = np.arange(len(copies))
    least = np.inf
    for length in range(len(copies), min(_LONGEST * len(copies), int(copies.sum())) + 1):
        places = _shared(copies, length)
        miss = float(np.abs(places * copies.sum() / length - copies).sum())
        if miss < least - 1e-9:
            best, least = np.repeat(np.arange(len(copies)), places), miss
        if least <= 0.5 * len(copies):
            break
    return best


def _shared(copies: Ints, length: int) -> Ints:
    """Share places out by largest remainder, at least one each."""
    exact = copies * length / copies.sum()
    places: Ints = np.maximum(1, np.floor(exact + 1e-9)).astype(np.int64)
    while places.sum() != length:
        gap = exact - places
        short = places.sum() < length
        gap[(places == 1) & (not short)] = np.inf
        places[gap.argmax() if short else gap.argmin()] += 1 if short else -1
    return places


def rows_of(where: Ground) -> tuple[Ints, Ints]:
    """Return each cell's place along its row and its row, so that both count by one."""
    along, down = where.columns, where.rows
    if not (along % 2).any() and not (down % 2).any():
        return along // 2, down // 2
    if not ((along + down) % 2).any():
        return (along - down) // 2, down
    return along, down


def best_shift(where: Ground, length: int) -> int:
    """Return the shift from row to row with which equal places lie furthest apart."""
    return int(shift_distances(where, length).round(6).argmax())


def shift_distances(where: Ground, length: int) -> Floats:
    """Return for each shift, 0 to P - 1, how near two equal places come, in block sides."""
    across, slant, fall = _steps(where)
    shifts = np.arange(length)[:, None, None]
    down = np.arange(0, int(2 * np.sqrt(length)) + 2)[None, :, None]
    along = (-shifts * down) % length + length * np.arange(-2, 2)[None, None, :]
    squares = (across * along + slant * down) ** 2 + (fall * down) ** 2
    squares[:, (down[0] == 0) & (along[0] == 0)] = np.iinfo(np.int64).max
    return np.asarray(np.sqrt(squares.min(axis=(1, 2))) * where.step)


def _steps(where: Ground) -> tuple[int, int, int]:
    """Return the columns of a step along a row, and the columns and rows of a step down."""
    along, down = where.columns, where.rows
    if not (along % 2).any() and not (down % 2).any():
        return 2, 0, 2
    if not ((along + down) % 2).any():
        return 2, 1, 1
    return 1, 0, 1


def _gathered(objective: Objective, classes: Ints, length: int) -> Objective:
    """Return the same objective for layouts that give all cells of a class one fabric."""
    gather = lying(length, classes)
    weights = np.stack(
        [gather @ (objective.pairs.matrix(k) @ gather.T) for k in range(len(objective.similarity))]
    )
    inside = np.einsum("kcc->kc", weights)
    own = np.einsum("kff->kf", objective.similarity)
    cost = gather @ np.where(np.isfinite(objective.cost), objective.cost, _MISPLACED)
    cost += inside.T @ own / 2
    weights[:, np.arange(length), np.arange(length)] = 0
    empty = np.empty(0, dtype=np.int64)
    return Objective(Pairs(empty, empty, weights), objective.similarity, cost)


def settle(task: Task, objective: Objective, wanted: Ints, rng: np.random.Generator) -> Ints:
    """Return an allowed layout that differs from the one wanted in few cells.

    Parameters
    ----------
    wanted : Ints
        Fabric of each cell, -1 for none; counts, pins and forbidden fabrics may be broken.

    Notes
    -----
    Each fabric gives up the cells it has too many of where another does best;
    what is left is filled by a linear assignment.
    """
    held = task.pinned >= 0
    wanted = np.where(held, task.pinned, wanted)
    lying_well = (wanted >= 0) & np.isfinite(objective.cost[np.arange(len(wanted)), wanted])
    layout = np.where(lying_well, wanted, -1)
    field = objective.field(np.where(lying_well, wanted, 0))
    _give_up(task, field, layout)
    left = np.flatnonzero(layout < 0)
    if len(left) > _MOST_LEFT:
        return any_layout(task, rng)
    missing = task.copies - np.bincount(layout[layout >= 0], minlength=len(task.copies))
    fabrics = np.repeat(np.arange(len(missing)), missing)
    prices = np.where(np.isfinite(field), field, 1e6)[np.ix_(left, fabrics)]
    _, chosen = linear_sum_assignment(prices)
    layout[left] = fabrics[chosen]
    allowed = np.isfinite(objective.cost[np.arange(len(layout)), layout]).all()
    return layout if allowed else any_layout(task, rng)


def _give_up(task: Task, field: Floats, layout: Ints) -> None:
    """Empty the cells each fabric has too many of, the ones that gain most by it."""
    counts = np.bincount(layout[layout >= 0], minlength=len(task.copies))
    short = counts < task.copies
    for fabric in np.flatnonzero(counts > task.copies):
        cells = np.flatnonzero(layout == fabric)
        gains = field[cells, fabric] - field[np.ix_(cells, short)].min(axis=1, initial=np.inf)
        gains[task.pinned[cells] >= 0] = -np.inf
        order = np.argsort(-gains, kind="stable")
        layout[cells[order[: counts[fabric] - task.copies[fabric]]]] = -1
