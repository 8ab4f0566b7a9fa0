"""Independent judge of what is told of a layout's neighbours: how different, and how far apart.

Who lies beside whom is worked out from places on the lattice; the differences are given.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import beside, nearest_copies, pieced

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from placement.top.request import Quality
    from placement.top.setting.setting import Cell, Setting

_SAME = 1e-6
"""Two ways to work out one number part by less."""


def judge_neighbours_told(
    setting: Setting,
    layout: Sequence[str],
    hole: str,
    difference: Callable[[str, str], float],
    told: Quality,
) -> tuple[Fault, ...]:
    """List what is told wrongly of the closest neighbours and of the copies of one fabric.

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
    told : Quality
        What is told.
    """
    places = pieced(setting)
    filled = {cell: name for cell, name in zip(places, layout, strict=True) if name != hole}
    return (
        *_closest(setting, places, filled, difference, told),
        *_copies(setting, filled, told),
        *_order(told),
    )


def _closest(
    setting: Setting,
    places: Sequence[Cell],
    filled: Mapping[Cell, str],
    difference: Callable[[str, str], float],
    told: Quality,
) -> Iterator[Fault]:
    between = {
        frozenset(pair): difference(*(filled[cell] for cell in pair))
        for pair in beside(setting, filled)
    }
    found = min(between.values(), default=0.0)
    if abs(told.closest - found) > _SAME:
        yield fault(FaultKind.CLOSEST, said=told.closest, found=found)
    if told.closest_cells is None:
        if between:
            yield fault(FaultKind.CLOSEST_UNTOLD, found=found)
        return
    first, second = (places[number] for number in told.closest_cells)
    if between.get(frozenset((first, second)), found + 1) > found + _SAME:
        yield fault(FaultKind.CLOSEST_CELLS, first=first, second=second)


def _copies(setting: Setting, filled: Mapping[Cell, str], told: Quality) -> Iterator[Fault]:
    found = nearest_copies(setting, filled) or 0.0
    if abs(told.copies_apart - found) > _SAME:
        yield fault(FaultKind.COPIES_APART, said=told.copies_apart, found=found)


def _order(told: Quality) -> Iterator[Fault]:
    """Hold what is there below what can be reached, and that below what can't be passed."""
    if not told.closest <= told.reach + _SAME or not told.reach <= told.bound + _SAME:
        yield fault(FaultKind.REACH, said=told.reach, found=told.closest, bound=told.bound)
