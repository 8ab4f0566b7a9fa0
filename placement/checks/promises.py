"""Independent judge of what a scattered layout is said not to keep of its promises.

Lines, shares and middles are worked out anew from places on the lattice, in fractions.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from fractions import Fraction
from itertools import combinations
from math import floor, hypot, sqrt
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import beside, nearest_copies, pieced
from placement.top.request import Promise

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from placement.top.request import Quality
    from placement.top.setting.setting import Cell, Setting

    Laid = Mapping[Cell, str]

_SAME = 1e-6
"""Two ways to work out one number part by less."""
_UNEVEN, _OFF_CENTRE = 0.05, 0.02
"""What may be left above what rounding forces, and of the half diagonal."""
_APART = 0.745
"""Copies lie this times sqrt(n / m) apart: sqrt(10) for 4 on 72 blocks."""
_FRESH = 0.88
"""The part of the contacts that can be all different which must be: 106 of 120."""


def judge_promises(
    setting: Setting,
    layout: Sequence[str],
    hole: str,
    difference: Callable[[str, str], float],
    lightness: Mapping[str, float],
    told: Quality,
) -> tuple[Fault, ...]:
    """List the promises that are broken and not said to be, or said to be and are kept.

    Parameters
    ----------
    setting : Setting
        The cells.
    layout : sequence of str
        Fabric a cell, as many as the setting has.
    hole : str
        What stands in it for a cell left as plain background.
    difference : callable
        The difference of two fabrics, CIEDE2000.
    lightness : mapping of str to float
        L* of each fabric.
    told : Quality
        What is told; what it wants of neighbours is taken as asked.
    """
    laid = {c: name for c, name in zip(pieced(setting), layout, strict=True) if name != hole}
    met = beside(setting, laid)
    margins = {
        Promise.NEIGHBOURS: _nearness(laid, met, difference, told.wanted),
        Promise.COPIES: _crowding(setting, laid),
        Promise.EVENNESS: unevenness(laid) - _UNEVEN,
        Promise.BALANCE: off_centre(laid, lightness) - _OFF_CENTRE,
        Promise.REPEATS: _repeats(laid, met, difference, told.wanted),
    }
    return tuple(
        fault(FaultKind.PROMISE, promise=promise, said=int(promise in told.broken), off=off)
        for promise, off in margins.items()
        if abs(off) > _SAME and (off > 0) != (promise in told.broken)
    )


def _nearness(
    laid: Laid,
    met: list[tuple[Cell, Cell]],
    difference: Callable[[str, str], float],
    wanted: float,
) -> float:
    return wanted - min((difference(laid[a], laid[b]) for a, b in met), default=wanted)


def _crowding(setting: Setting, laid: Laid) -> float:
    far = _APART * sqrt(len(laid) / max(Counter(laid.values()).values()))
    apart = nearest_copies(setting, laid)
    return 0.0 if apart is None else far - apart


def _repeats(
    laid: Laid,
    met: list[tuple[Cell, Cell]],
    difference: Callable[[str, str], float],
    wanted: float,
) -> float:
    pairs_met = {frozenset((laid[a], laid[b])) for a, b in met}
    pairs = sum(
        difference(one, other) >= wanted for one, other in combinations(sorted({*laid.values()}), 2)
    )
    allowed = floor(len(met) - _FRESH * min(len(met), pairs))
    # Whole numbers: half of one settles which side of the limit they are on.
    return len(met) - len(pairs_met) - allowed - 0.5


def unevenness(laid: Laid) -> float:
    """Return how far counts on lines are off, above what whole counts force, as a part of it."""
    counts = Counter(laid.values())
    off = forced = Fraction(0)
    for line in _lines(laid):
        held = Counter(laid[cell] for cell in line)
        fair = {name: Fraction(len(line) * count, len(laid)) for name, count in counts.items()}
        off += sum((abs(held[name] - share) for name, share in fair.items()), Fraction(0))
        parts = sorted((share - floor(share) for share in fair.values()), reverse=True)
        up = len(line) - sum(floor(share) for share in fair.values())
        forced += sum(1 - part for part in parts[:up]) + sum(parts[up:])
    return float((off - forced) / max(forced, Fraction(1)))


def _lines(laid: Laid) -> Iterator[list[Cell]]:
    """Return the rows, columns, diagonals and quadrants of two or more cells."""
    down = {cell.row for cell in laid}
    across = {cell.column for cell in laid}
    middle = min(down) + max(down), min(across) + max(across)
    lines: defaultdict[tuple[str, int, int], list[Cell]] = defaultdict(list)
    for cell in laid:
        lines["row", cell.row, 0].append(cell)
        lines["column", cell.column, 0].append(cell)
        lines["falling", cell.row - cell.column, 0].append(cell)
        lines["rising", cell.row + cell.column, 0].append(cell)
        below, right = 2 * cell.row - middle[0], 2 * cell.column - middle[1]
        if below and right:
            lines["quadrant", below > 0, right > 0].append(cell)
    return (line for line in lines.values() if len(line) > 1)


def off_centre(laid: Laid, lightness: Mapping[str, float]) -> float:
    """Return how far the centroid of lightness is from the middle, in half diagonals."""
    total = sum(max(0.0, lightness[name]) for name in laid.values())
    down = [cell.row for cell in laid]
    across = [cell.column for cell in laid]
    half = hypot(max(down) - min(down), max(across) - min(across)) / 2
    if not total or not half:
        return 0.0

    def pull(along: Sequence[int]) -> float:
        weighed = (
            max(0.0, lightness[name]) * at for name, at in zip(laid.values(), along, strict=True)
        )
        return sum(weighed) / total - sum(along) / len(along)

    return hypot(pull(down), pull(across)) / half
