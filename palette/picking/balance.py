"""A second level for a pick: kinds of fabrics in the numbers that are wished.

Once it is known how far apart the closest two can be, a pick may give up a tenth of
that for balance: as many light ones as medium and dark, or prints and solids, or the
hues round the wheel, as the bundle has. Swaps are made as long as they bring the
numbers nearer; the result is good, not proved best, and nothing is claimed of it.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from palette.fabric import PrintKind
from palette.picking.choice import PickBy

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

    from palette.colour import Floats
    from palette.fabric import Fabric

GIVEN_UP = 0.1
"""Part of the furthest that the closest two may be nearer, for balance."""


class Value(StrEnum):
    """How light a fabric reads; quilters sort by three values (common practice)."""

    LIGHT = "light"
    MEDIUM = "medium"
    DARK = "dark"


_LIGHT, _DARK = 70.0, 40.0
"""L* from which a fabric is light, and below which it is dark: Munsell values 7 and 4."""
_GREY = 8.0
"""Chroma (CIELAB) under which a fabric has no hue to speak of."""
_HUES = ("red", "orange", "yellow", "green", "blue-green", "blue", "violet", "magenta")
"""Eighths of the wheel of CIELAB, whose red lies at about 22 degrees."""


def value_of(fabric: Fabric) -> Value:
    """Return how light a fabric reads."""
    lightness = fabric.reads_as.lightness
    if lightness >= _LIGHT:
        return Value.LIGHT
    return Value.DARK if lightness < _DARK else Value.MEDIUM


def hue_of(fabric: Fabric) -> str:
    """Return the eighth of the wheel that a fabric reads as, or 'grey'."""
    colour = fabric.reads_as
    if np.hypot(colour.a, colour.b) < _GREY:
        return "grey"
    turn = np.degrees(np.arctan2(colour.b, colour.a)) % 360
    return _HUES[int(turn // 45)]


def is_print(fabric: Fabric) -> bool:
    """Whether a fabric is a print to the eye; by its colours where its print was not read."""
    if fabric.print is None:
        return len(fabric.colours) > 1
    return fabric.print.kind is not PrintKind.SOLID


def kind_of(fabric: Fabric, by: PickBy) -> str:
    """Return what a fabric counts as for a balance."""
    if by is PickBy.VALUES:
        return value_of(fabric)
    if by is PickBy.PRINTS:
        return "print" if is_print(fabric) else "solid"
    return hue_of(fabric)


def balanced(
    fabrics: Sequence[Fabric],
    apart: Floats,
    chosen: Sequence[int],
    by: PickBy,
    least: float,
    pinned: Collection[int] = (),
) -> list[int]:
    """Swap chosen places for others so that kinds come in the numbers wished.

    Parameters
    ----------
    fabrics : sequence of N fabrics
        What to choose from.
    apart : array of shape (N, N)
        How far every two are apart.
    chosen : sequence of int
        The choice to start from.
    by : PickBy
        The balance: VALUES, PRINTS or HUES.
    least : float
        No two of the chosen but those that must be used may be nearer.
    pinned : collection of int
        Places that stay.
    """
    names = [kind_of(fabric, by) for fabric in fabrics]
    known = sorted(set(names))
    kinds = np.array([known.index(name) for name in names])
    wished = _wished(kinds, len(known), len(chosen), by)
    counting = np.array(apart, dtype=np.float64)
    np.fill_diagonal(counting, np.inf)
    pins = np.array(sorted(pinned), dtype=np.intp)
    counting[pins[:, None], pins] = np.inf
    now, off = [*chosen], _off(kinds[list(chosen)], wished)
    while True:
        best = min(
            (
                each
                for old in now
                if old not in pinned
                if (each := _swapped(counting, kinds, wished, now, old, least)) is not None
            ),
            key=lambda each: each[:2],
            default=None,
        )
        if best is None or best[0] >= off - 1e-9:
            return sorted(now)
        off, now = best[0], best[2]


def _wished(kinds: NDArray[np.intp], many: int, count: int, by: PickBy) -> Floats:
    """Return how many of each kind are wished: equally many values, the rest as in the bundle."""
    there = np.bincount(kinds, minlength=many).astype(np.float64)
    if by is not PickBy.VALUES:
        return np.asarray(there * count / there.sum())
    wished, left = np.zeros(many), float(count)
    # A kind that has too few gives all, and what is missing is shared by the others.
    for kind in np.argsort(there):
        wished[kind] = min(there[kind], left / (many - int((wished > 0).sum())))
        left -= wished[kind]
    return wished


def _off(kinds: NDArray[np.intp], wished: Floats) -> float:
    return float(np.abs(np.bincount(kinds, minlength=len(wished)) - wished).sum())


def _swapped(
    counting: Floats,
    kinds: NDArray[np.intp],
    wished: Floats,
    now: list[int],
    old: int,
    least: float,
) -> tuple[float, float, list[int]] | None:
    """Return the best choice without one place: how far off the numbers, how near, the places."""
    rest = [place for place in now if place != old]
    new = np.setdiff1d(np.arange(len(kinds)), now)
    nearest = counting[new][:, rest].min(axis=1) if rest else np.full(len(new), np.inf)
    fits = new[nearest >= least]
    if not len(fits):
        return None
    tally = np.bincount(kinds[rest], minlength=len(wished)) - wished
    gain = np.abs(tally[kinds[fits]] + 1) - np.abs(tally[kinds[fits]])
    order = np.lexsort((-nearest[nearest >= least], gain))
    first = int(order[0])
    off = float(np.abs(tally).sum() + gain[first])
    return off, -float(nearest[nearest >= least][first]), [*rest, int(fits[first])]
