"""Where blocks lie, worked out anew: places on a lattice, without asking the setting for them.

Rows and columns count half diagonals on point, blocks in a straight setting, as the
setting's cells do.
"""

from __future__ import annotations

from itertools import combinations
from math import hypot, sqrt
from typing import TYPE_CHECKING

from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Mapping

EDGE = {"on point": ((1, -1), (1, 1)), "straight": ((0, 1), (1, 0))}
"""Steps to blocks that share an edge, half of them."""

POINT = {"on point": ((0, 2), (2, 0)), "straight": ((1, -1), (1, 1))}
"""Steps to blocks that share a point only."""


def every_place(setting: Setting) -> tuple[Cell, ...]:
    """Return the places of all blocks, plain ones too, row by row."""
    if setting.kind == "straight":
        count = setting.across * setting.down
        return tuple(Cell(*divmod(number, setting.across)) for number in range(count))
    wide, high = 2 * setting.across - 1, 2 * setting.down - 1
    return tuple(
        Cell(row, column) for row in range(high) for column in range(wide) if row % 2 == column % 2
    )


def is_plain(setting: Setting, place: Cell) -> bool:
    """Whether a place takes a plain alternate block: on point the rows between, else by turns."""
    by_turns = place.row if setting.kind == "on point" else place.row + place.column
    return setting.alternate and by_turns % 2 == 1


def pieced(setting: Setting) -> tuple[Cell, ...]:
    """Return the places that take a fabric, row by row."""
    return tuple(place for place in every_place(setting) if not is_plain(setting, place))


def plain(setting: Setting) -> tuple[Cell, ...]:
    """Return the places of plain alternate blocks, row by row."""
    return tuple(place for place in every_place(setting) if is_plain(setting, place))


def beside(setting: Setting, laid: Mapping[Cell, str]) -> list[tuple[Cell, Cell]]:
    """Return the pairs of blocks that share an edge or, if there are none, a point."""
    for steps in (EDGE[setting.kind], POINT[setting.kind]):
        met = [
            (cell, other)
            for cell in laid
            for down, right in steps
            if (other := Cell(cell.row + down, cell.column + right)) in laid
        ]
        if met:
            return met
    return []


def side(setting: Setting) -> float:
    """Return a step of the lattice in block sides: on point half a block's diagonal."""
    return sqrt(2) / 2 if setting.kind == "on point" else 1.0


def nearest_copies(setting: Setting, laid: Mapping[Cell, str]) -> float | None:
    """Return how near two blocks of one fabric come, in block sides; None if there are none."""
    return min(
        (
            side(setting) * hypot(one.row - other.row, one.column - other.column)
            for one, other in combinations(laid, 2)
            if laid[one] == laid[other]
        ),
        default=None,
    )


def size(setting: Setting) -> tuple[float, float]:
    """Return width and height of the centre in inches, from the blocks at its edges."""
    block, sash = float(setting.block_size), float(setting.sashing)
    if setting.kind == "straight":
        wide, high = (
            blocks * block + (blocks + 1) * sash for blocks in (setting.across, setting.down)
        )
        return wide, high
    # A block and half the sashing on each of its sides stand on their tip.
    tip = sqrt(2 * (block + sash) ** 2)
    return setting.across * tip, setting.down * tip
