"""The rows of a layout: every block once, neighbours side by side, triangles where they belong."""

from __future__ import annotations

from itertools import pairwise
from math import isclose

import pytest

from api.booklet.figures.rows import CORNER, lines, place_of, rows
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Kind, Setting


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize(("across", "down"), [(1, 1), (1, 4), (5, 2), (6, 7)])
def test_rows_hold_every_block_once_and_neighbours_share_an_edge(
    kind: Kind, across: int, down: int
) -> None:
    setting = Setting(kind, across, down, Inches.parse(8))
    cells = setting.cells()
    found = rows(Layout(setting, ("a",) * len(cells)))
    # a + b - 1 diagonals cross an on-point quilt of a x b; derived.
    assert len(found) == (across + down - 1 if kind == "on point" else down)
    assert sorted(cell for row in found for cell in row.cells) == sorted(cells)
    number = {cell: index for index, cell in enumerate(cells)}
    graph = setting.graph()
    for row in found:
        for first, second in pairwise(row.cells):
            assert graph.edges[number[first], number[second]]["touch"] == "edge"
    assert sum(len(row.triangles()) for row in found) == setting.side_triangles


def _area(points: tuple[tuple[float, float], ...]) -> float:
    turns = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in turns)) / 2


@pytest.mark.parametrize(("across", "down"), [(1, 1), (3, 2), (6, 7)])
def test_blocks_triangles_and_corners_cover_the_centre(across: int, down: int) -> None:
    setting = Setting("on point", across, down, Inches.parse(8))
    found = rows(Layout(setting, ("a",) * len(setting.cells())))
    area = 64.0 * setting.block_count
    area += sum(_area(shape) for row in found for shape in row.triangles())
    area += sum(_area(place_of(corner, setting)[0]) for corner in CORNER)
    assert isclose(area, setting.width * setting.height)


@pytest.mark.parametrize("stones", [False, True])
@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize(("across", "down"), [(1, 1), (3, 2), (6, 7)])
def test_rows_and_lines_of_sashing_take_the_whole_quilt_by_turns(
    kind: Kind, across: int, down: int, stones: bool
) -> None:
    sash = Inches.parse("1 1/2")
    setting = Setting(kind, across, down, Inches.parse(8), False, sash, stones)
    layout = Layout(setting, ("a",) * len(setting.cells()))
    found, between = rows(layout), lines(layout)
    assert [line.number for line in between] == list(range(len(found) + 1))
    assert all(len(row.strips) == len(row.cells) + 1 for row in found)
    area = 64.0 * setting.block_count
    area += sum(_area(shape) for row in found for shape in row.triangles())
    area += sum(_area(strip.points) for row in found for strip in row.strips)
    area += sum(_area(piece.points) for line in between for piece in line.pieces)
    if kind == "on point":
        area += sum(_area(place_of(corner, setting)[0]) for corner in CORNER)
    assert isclose(area, setting.width * setting.height)


def test_plain_blocks_lie_in_the_rows() -> None:
    setting = Setting("on point", 3, 3, Inches.parse(8), alternate=True)
    found = rows(Layout(setting, ("a",) * 9))
    assert sum(len(row.cells) for row in found) == 13
