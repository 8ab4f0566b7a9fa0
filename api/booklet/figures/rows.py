"""The rows a quilt top is sewn in: level in a straight setting, diagonal on point."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt
from typing import TYPE_CHECKING, Literal

from api.drawing.scene import Point
from placement.top.setting.sashing import Sash, sashes
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from placement.top.setting.layout import Layout

End = Literal["", "side", "corner"]
CORNER = ("top left", "top right", "bottom right", "bottom left")


@dataclass(frozen=True, slots=True)
class Row:
    """Blocks sewn side by side, with the setting triangles at their ends."""

    number: int
    """From 1; on point from the top left corner."""
    cells: tuple[Cell, ...]
    """From left to right; on point from bottom left to top right."""
    ends: tuple[tuple[Point, ...], tuple[Point, ...]]
    """Corners of the side triangle at the start and at the end, in inches of the centre;
    empty where there is none."""
    head: Point
    """Where its number stands in a drawing."""
    strips: tuple[Sash, ...] = ()
    """The sashing before, between and after its blocks."""

    def triangles(self) -> tuple[tuple[Point, ...], ...]:
        """Return the side triangles of this row."""
        return tuple(end for end in self.ends if end)


@dataclass(frozen=True, slots=True)
class Line:
    """Sashing and cornerstones sewn end to end, before, between and after the rows."""

    number: int
    """From 0: line 0 lies before row 1, the last one after the last row."""
    pieces: tuple[Sash, ...]
    """Strips and cornerstones, in no order."""

    @property
    def strips(self) -> int:
        """How many strips it takes."""
        return sum(piece.part == "sashing" for piece in self.pieces)


def lines(layout: Layout) -> tuple[Line, ...]:
    """Return the lines of sashing of a layout in sewing order; none without sashing."""
    found: dict[int, list[Sash]] = {}
    for sash in sashes(layout.setting):
        if sash.between:
            found.setdefault(sash.line, []).append(sash)
    return tuple(Line(number, tuple(pieces)) for number, pieces in sorted(found.items()))


def rows(layout: Layout) -> tuple[Row, ...]:
    """Return the rows of a layout in sewing order."""
    setting = layout.setting
    every = (*setting.cells(), *setting.plain_cells())
    strips: dict[int, list[Sash]] = {}
    for sash in sashes(setting):
        if not sash.between:
            strips.setdefault(sash.line, []).append(sash)
    straight = setting.kind == "straight"
    row_of = _level if straight else _diagonal
    count = setting.down if straight else setting.across + setting.down - 1
    return tuple(
        replace(row_of(setting, every, number), strips=tuple(strips.get(number, ())))
        for number in range(count)
    )


def _level(setting: Setting, every: tuple[Cell, ...], row: int) -> Row:
    cells = tuple(sorted(cell for cell in every if cell.row == row))
    head = (-0.22 * float(setting.block_size), setting.centre(cells[0])[1])
    return Row(row + 1, cells, ((), ()), head)


def _diagonal(setting: Setting, every: tuple[Cell, ...], diagonal: int) -> Row:
    cells = sorted((c for c in every if c.row + c.column == 2 * diagonal), key=lambda c: c.column)
    half = float(setting.block_size) / sqrt(2)
    first, last = cells[0], cells[-1]
    start = _side_triangle(setting, first.row + 1, first.column - 1)
    end = _side_triangle(setting, last.row - 1, last.column + 1)
    return Row(diagonal + 1, tuple(cells), (start, end), _head(setting, start, half))


def _head(setting: Setting, start: tuple[Point, ...], half: float) -> Point:
    """Place a row's number outside the triangle it starts with; the corner's row has none."""
    if not start:
        return -0.62 * half, setting.height - 0.5 * half
    left, low = min(x for x, _ in start), max(y for _, y in start)
    if left == 0 and low < setting.height:
        return -0.3 * half, start[0][1] + half
    return left + half, setting.height + 0.3 * half


def _side_triangle(setting: Setting, row: int, column: int) -> tuple[Point, ...]:
    """Return the side triangle in a place outside the blocks; empty at a corner of the quilt.

    Places outside are named like cells: row -1 is above the first, column -1 left of it.
    """
    half, pitch = (float(side) / sqrt(2) for side in (setting.block_size, setting.pitch))
    last_row, last_column = 2 * setting.down - 1, 2 * setting.across - 1
    at_side = column in (-1, last_column)
    at_end = row in (-1, last_row)
    if at_side == at_end:
        return ()
    x, y = (column + 1) * pitch, (row + 1) * pitch
    if at_side:
        reach = half if column == -1 else -half
        return (x, y - half), (x + reach, y), (x, y + half)
    reach = half if row == -1 else -half
    return (x - half, y), (x + half, y), (x, y + reach)


def place_of(corner: str, setting: Setting) -> tuple[tuple[Point, ...], int]:
    """Return a corner triangle and the number of the row it is sewn to."""
    half = float(setting.block_size) / sqrt(2)
    wide, high = setting.width, setting.height
    a, b = setting.across, setting.down
    places: dict[str, tuple[tuple[Point, ...], int]] = {
        "top left": (((0, 0), (half, 0), (0, half)), 1),
        "top right": (((wide, 0), (wide, half), (wide - half, 0)), a),
        "bottom right": (((wide, high), (wide - half, high), (wide, high - half)), a + b - 1),
        "bottom left": (((0, high), (0, high - half), (half, high)), b),
    }
    return places[corner]
