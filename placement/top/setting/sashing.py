"""Where sashing and cornerstones lie: polygons in inches, by the row they are sewn in.

Words used here
---------------
row : blocks sewn side by side, with a strip before, between and after them; level
    in a straight setting, on point from bottom left to top right.
line : what is sewn between two rows, and before the first and after the last:
    strips and cornerstones by turns or, without cornerstones, one long strip.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.top.setting.setting import Setting

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Sash:
    """One strip, cornerstone or half cornerstone of a quilt top."""

    part: Literal["sashing", "cornerstone"]
    """What it is."""
    points: tuple[Point, ...]
    """Corners, clockwise as seen, in inches from the top left of the centre."""
    line: int
    """Number of its line, or of its row, from 0."""
    between: bool
    """Whether it lies in a line between rows, not in a row of blocks."""


def sashes(setting: Setting) -> tuple[Sash, ...]:
    """Return every strip and cornerstone of a setting, row by row; empty without sashing."""
    if not setting.sashing.value:
        return ()
    found = _on_point(setting) if setting.kind == "on point" else _straight(setting)
    return tuple(sorted(found, key=lambda sash: (sash.line, not sash.between)))


def _straight(setting: Setting) -> Iterator[Sash]:
    side, sash, pitch = float(setting.block_size), float(setting.sashing), float(setting.pitch)
    for row in range(setting.down):
        for column in range(setting.across + 1):
            yield Sash("sashing", _box(column * pitch, row * pitch + sash, sash, side), row, False)
    for row in range(setting.down + 1):
        y = row * pitch
        if not setting.cornerstones:
            yield Sash("sashing", _box(0, y, setting.width, sash), row, True)
            continue
        for column in range(setting.across):
            yield Sash("sashing", _box(column * pitch + sash, y, side, sash), row, True)
        for column in range(setting.across + 1):
            yield Sash("cornerstone", _box(column * pitch, y, sash, sash), row, True)


def _box(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def _on_point(setting: Setting) -> Iterator[Sash]:
    """Frame the blocks of the main rows: that frames those between as well."""
    quarter = float(setting.pitch) / sqrt(8)
    for cell in (*setting.cells(), *setting.plain_cells()):
        if cell.row % 2:
            continue
        x, y = setting.centre(cell)
        row = (cell.row + cell.column) // 2
        for way in (-1, 1):
            end = x + way * quarter, y - way * quarter
            yield Sash("sashing", _strip(setting, end, level=False), row, False)
            if setting.cornerstones:
                side = x + way * quarter, y + way * quarter
                strip = _strip(setting, side, level=True)
                yield Sash("sashing", strip, row + (way > 0), True)
    for line in range(setting.across + setting.down):
        if setting.cornerstones:
            for tip in _tips(setting, line):
                yield Sash("cornerstone", _stone(setting, tip), line, True)
        else:
            yield Sash("sashing", _long(setting, line), line, True)


def _tips(setting: Setting, line: int) -> list[tuple[int, int]]:
    """Return the tips of main blocks on a line, in half diagonals, from bottom left upwards."""
    return [
        (across, 2 * line + 1 - across)
        for across in range(2 * setting.across + 1)
        if 0 <= 2 * line + 1 - across <= 2 * setting.down
    ]


def _strip(setting: Setting, centre: Point, *, level: bool) -> tuple[Point, ...]:
    """Return a strip of one block's length along a line (level) or across it."""
    long, short = (float(side) / sqrt(8) for side in (setting.block_size, setting.sashing))
    along, over = (long, short) if level else (short, long)
    x, y = centre
    # A line runs from bottom left to top right: along = (1, -1), over = (1, 1).
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple((x + a * along + o * over, y - a * along + o * over) for a, o in corners)


def _stone(setting: Setting, tip: tuple[int, int]) -> tuple[Point, ...]:
    """Return a cornerstone, or the half of it that lies in the quilt."""
    half, reach = float(setting.pitch) / sqrt(2), float(setting.sashing) / sqrt(2)
    x, y = (part * half for part in tip)
    corners = [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]
    return tuple(
        (left, top)
        for (left, top), (dx, dy) in zip(corners, _WAYS, strict=True)
        if 0 <= tip[0] + dx <= 2 * setting.across and 0 <= tip[1] + dy <= 2 * setting.down
    )


_WAYS = ((0, -1), (1, 0), (0, 1), (-1, 0))


def _long(setting: Setting, line: int) -> tuple[Point, ...]:
    """Return a strip that runs right across the quilt, its ends along the quilt's edge."""
    tips = _tips(setting, line)
    half, reach = float(setting.pitch) / sqrt(2), float(setting.sashing) / sqrt(2)
    ends = []
    for across, down in (tips[0], tips[-1]):
        x, y = across * half, down * half
        at_side = across in (0, 2 * setting.across)
        ends.append([(x, y + by) if at_side else (x + by, y) for by in (-reach, reach)])
    (above, below), (above2, below2) = ends
    return above, above2, below2, below
