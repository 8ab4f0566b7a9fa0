"""The judge of settings: cells, counts, places, touches and areas, each worked out anew.

A side triangle is half a block; a corner triangle, half the size of that, a
quarter. Sashing is gone round block by block, each strip and each corner of a
block's frame counted once; on point what lies on the quilt's edge counts half.
"""

from __future__ import annotations

from collections import Counter
from math import hypot, isclose, sqrt
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import EDGE, POINT, every_place, pieced, plain, size
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_NEAR = 1e-6
"""Inches that a place or a side may be off by binary noise."""


def judge_setting(setting: Setting) -> tuple[Fault, ...]:
    """List where a setting's numbers are wrong: cells, places, touches, triangles, size, areas."""
    return (
        *_listed(setting.cells(), pieced(setting)),
        *_listed(setting.plain_cells(), plain(setting)),
        *_counts(setting),
        *_sizes(setting),
        *_areas(setting),
        *_places(setting),
        *_touches(setting),
    )


def _listed(cells: Sequence[Cell], wanted: Sequence[Cell]) -> Iterator[Fault]:
    """List cells that are missing, too many, listed twice or in another order."""
    for cell, count in Counter(cells).items():
        if count > 1:
            yield fault(FaultKind.CELL_TWICE, cell=cell)
    given, asked = set(cells), set(wanted)
    for kind, gone in (
        (FaultKind.CELL_MISSING, asked - given),
        (FaultKind.CELL_BEYOND, given - asked),
    ):
        for cell in sorted(gone):
            yield fault(kind, cell=cell)
    if given == asked and len(cells) == len(wanted) and tuple(cells) != tuple(wanted):
        first = next(one for one, other in zip(cells, wanted, strict=True) if one != other)
        yield fault(FaultKind.CELL_ORDER, cell=first)


def _counts(setting: Setting) -> Iterator[Fault]:
    cells = len(setting.cells()) + len(setting.plain_cells())
    if cells != setting.block_count:
        yield fault(FaultKind.CELLS_COUNTED, counted=setting.block_count, found=cells)
    sides, corners = _gaps(setting)
    for said, found in ((setting.side_triangles, sides), (setting.corner_triangles, corners)):
        if said != found:
            yield fault(FaultKind.TRIANGLES_COUNTED, said=said, found=found)


def _gaps(setting: Setting) -> tuple[int, int]:
    """Count the places at the edge of an on-point top that no block fills, corners apart."""
    if setting.kind == "straight":
        return 0, 0
    places = set(every_place(setting))
    around = {Cell(r + i, c + j) for r, c in places for i in (-1, 1) for j in (-1, 1)} - places
    rows, columns = (-1, 2 * setting.down - 1), (-1, 2 * setting.across - 1)
    corners = sum(gap.row in rows and gap.column in columns for gap in around)
    return len(around) - corners, corners


def _sizes(setting: Setting) -> Iterator[Fault]:
    for said, found in zip((setting.width, setting.height), size(setting), strict=True):
        if not isclose(said, found, rel_tol=1e-9):
            yield fault(FaultKind.SIZE_OF_TOP, said=said, found=found)


def _areas(setting: Setting) -> Iterator[Fault]:
    cells = [*setting.cells(), *setting.plain_cells()]
    pieces = setting.block_count + setting.side_triangles / 2 + setting.corner_triangles / 4
    block, sash = float(setting.block_size), float(setting.sashing)
    strips, stones = _frames(setting, cells)
    covered = pieces * block**2 + strips * block * sash + stones * sash**2
    whole = setting.width * setting.height
    if not isclose(covered, whole, rel_tol=1e-9):
        yield fault(FaultKind.AREA, covered=covered, whole=whole)


def _frames(setting: Setting, cells: Sequence[Cell]) -> tuple[int, float]:
    """Count the strips round all blocks and the corners where they meet.

    Places are doubled so that a block, its four sides and its four corners all
    have whole numbers; on point the grid of blocks stands on its tip.
    """
    pointed = setting.kind == "on point"
    sides: set[tuple[int, int]] = set()
    corners: set[tuple[int, int]] = set()
    for row, column in cells:
        x, y = (column - row, column + row) if pointed else (2 * column, 2 * row)
        sides |= {(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)}
        corners |= {(x - 1, y - 1), (x + 1, y - 1), (x - 1, y + 1), (x + 1, y + 1)}
    if not pointed:
        return len(sides), float(len(corners))
    edge = [
        (x, y)
        for x, y in corners
        if (x + y) // 2 in (-1, 2 * setting.across - 1)
        or (y - x) // 2 in (-1, 2 * setting.down - 1)
    ]
    return len(sides), len(corners) - len(edge) / 2


def _middle(setting: Setting, place: Cell) -> tuple[float, float]:
    """Return where the middle of a block must lie, in inches from the top left."""
    step = float(setting.block_size) + float(setting.sashing)
    if setting.kind == "on point":
        # Half a diagonal a place; the first block's tips touch the left and top edge.
        half = step * sqrt(2) / 2
        return half + place.column * half, half + place.row * half
    first = float(setting.sashing) + float(setting.block_size) / 2
    return first + place.column * step, first + place.row * step


def _places(setting: Setting) -> Iterator[Fault]:
    for place in every_place(setting):
        x, y = setting.centre(place)
        right_x, right_y = _middle(setting, place)
        off = hypot(x - right_x, y - right_y)
        if off > _NEAR:
            yield fault(FaultKind.CELL_MOVED, cell=place, off=off)


def _touches(setting: Setting) -> Iterator[Fault]:
    """List pairs of cells whose touch, or the lack of one, the setting tells wrongly."""
    cells = pieced(setting)
    told = {
        (cells[min(pair)], cells[max(pair)]): shared["touch"]
        for *pair, shared in setting.graph().edges.data()
        if max(pair) < len(cells)
    }
    true = dict(_meetings(cells, "edge", EDGE[setting.kind]))
    true |= dict(_meetings(cells, "point", POINT[setting.kind]))
    for first, second in sorted({*told, *true}):
        if told.get((first, second)) != true.get((first, second)):
            yield fault(FaultKind.TOUCH, first=first, second=second)


def _meetings(
    cells: Sequence[Cell], touch: str, steps: Sequence[tuple[int, int]]
) -> Iterator[tuple[tuple[Cell, Cell], str]]:
    there = set(cells)
    for cell in cells:
        for down, right in steps:
            other = Cell(cell.row + down, cell.column + right)
            if other in there:
                yield (cell, other), touch
