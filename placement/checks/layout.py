"""Independent judges: given a result, they list its faults, all of them.

They share no code with what makes the results: who touches whom is worked out
from the cells' places, areas from the pieces. An empty tuple means sound.
"""

from __future__ import annotations

from collections import Counter
from math import isclose
from typing import TYPE_CHECKING

from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from placement.top.request import Request

HOLE = -1
"""In a layout: a cell left as plain background."""


def judge_layout(request: Request, layout: Sequence[int]) -> tuple[str, ...]:
    """List where a layout breaks its request: cells, counts, pins, forbidden fabrics, holes.

    Parameters
    ----------
    request : what was asked.
    layout : fabric number a cell, -1 for a hole.
    """
    cells = request.setting.cells()
    if len(layout) != len(cells):
        return (f"the layout has {len(layout)} cells; the setting has {len(cells)}",)
    return (
        *_unknown_fabrics(request, layout),
        *_wrong_holes(request, layout),
        *_wrong_counts(request, layout),
        *_moved_pins(request, layout),
        *_forbidden_laid(request, layout),
    )


def _unknown_fabrics(request: Request, layout: Sequence[int]) -> Iterator[str]:
    count = len(request.difference)
    for cell, fabric in zip(request.setting.cells(), layout, strict=True):
        if not HOLE <= fabric < count:
            yield f"{cell} holds fabric {fabric}; fabrics are 0 to {count - 1}"


def _wrong_holes(request: Request, layout: Sequence[int]) -> Iterator[str]:
    for number, (cell, fabric) in enumerate(zip(request.setting.cells(), layout, strict=True)):
        if number in request.holes and fabric != HOLE:
            yield f"{cell} should be left plain; it holds fabric {fabric}"
        if number not in request.holes and fabric == HOLE:
            yield f"{cell} is empty"


def _wrong_counts(request: Request, layout: Sequence[int]) -> Iterator[str]:
    laid = Counter(layout)
    count = len(request.difference)
    least, more = divmod(len(layout) - len(request.holes), count)
    for fabric in range(count):
        if request.copies is not None:
            allowed = [request.copies[fabric]]
        else:
            allowed = [least, least + 1] if more else [least]
        if laid[fabric] not in allowed:
            wanted = " or ".join(map(str, allowed))
            yield f"fabric {fabric} fills {laid[fabric]} cells; it should fill {wanted}"


def _moved_pins(request: Request, layout: Sequence[int]) -> Iterator[str]:
    for number, fabric in sorted(request.pinned.items()):
        if layout[number] != fabric:
            cell = request.setting.cells()[number]
            yield f"{cell} is pinned to fabric {fabric}; it holds {_what(layout[number])}"


def _forbidden_laid(request: Request, layout: Sequence[int]) -> Iterator[str]:
    for number, barred in sorted(request.forbidden.items()):
        if layout[number] in barred:
            cell = request.setting.cells()[number]
            yield f"{cell} must not hold fabric {layout[number]}; it does"


def _what(fabric: int) -> str:
    return "nothing" if fabric == HOLE else f"fabric {fabric}"


def judge_neighbours(request: Request, layout: Sequence[int], limit: float) -> tuple[str, ...]:
    """List the neighbours that differ by less than a limit.

    Neighbours share an edge; if no two filled cells do, they share a point.

    Parameters
    ----------
    request : the setting and the differences.
    layout : fabric number a cell, -1 for a hole; fit for the setting.
    limit : the least difference wanted, CIEDE2000.
    """
    cells = request.setting.cells()
    filled = {cell: fabric for cell, fabric in zip(cells, layout, strict=True) if fabric != HOLE}
    faults = []
    for first, second in _meetings(request.setting, filled):
        one, other = filled[first], filled[second]
        apart = float(request.difference[one, other])
        if apart < limit:
            faults.append(
                f"{first} and {second} hold fabrics {one} and {other}, "
                f"which differ by {apart:.1f}; at least {limit:.1f} is wanted"
            )
    return tuple(faults)


def _meetings(setting: Setting, filled: Collection[Cell]) -> list[tuple[Cell, Cell]]:
    """Return the pairs that share an edge or, if there are none, a point."""
    sharing_an_edge = list(_pairs(filled, *_EDGE[setting.kind]))
    return sharing_an_edge or list(_pairs(filled, *_POINT[setting.kind]))


_EDGE = {"on point": ((1, -1), (1, 1)), "straight": ((0, 1), (1, 0))}
_POINT = {"on point": ((0, 2), (2, 0)), "straight": ((1, -1), (1, 1))}


def _pairs(filled: Collection[Cell], *steps: tuple[int, int]) -> Iterator[tuple[Cell, Cell]]:
    for cell in filled:
        for down, right in steps:
            other = Cell(cell.row + down, cell.column + right)
            if other in filled:
                yield cell, other


def judge_turns(
    setting: Setting, turned: Collection[int], holes: Collection[int] = ()
) -> tuple[str, ...]:
    """List where seams don't nest: two blocks sharing an edge, both turned or neither.

    Parameters
    ----------
    setting : the cells.
    turned : indices of the cells whose block is turned.
    holes : indices of the cells left as plain background.
    """
    cells = setting.cells()
    number = {cell: index for index, cell in enumerate(cells) if index not in holes}
    faults = [
        f"cell {index} is turned; there is no block in it"
        for index in sorted(turned)
        if index not in number.values()
    ]
    for first, second in _pairs(number, *_EDGE[setting.kind]):
        both = (number[first] in turned, number[second] in turned)
        if both in ((True, True), (False, False)):
            how = "both turned" if both[0] else "both upright"
            faults.append(f"{first} and {second} share an edge and are {how}")
    return tuple(faults)


def judge_areas(setting: Setting) -> tuple[str, ...]:
    """List where a setting's numbers disagree: its pieces must fill width x height.

    A side triangle is half a block; a corner triangle, half the size of that, a
    quarter. Sashing is gone round block by block, each strip and each corner of a
    block's frame counted once; on point what lies on the quilt's edge counts half.
    """
    faults = []
    cells = [*setting.cells(), *setting.plain_cells()]
    if len(cells) != setting.block_count:
        faults.append(f"{len(cells)} cells are listed for {setting.block_count} blocks")
    repeated = [cell for cell, count in Counter(cells).items() if count > 1]
    faults += [f"{cell} is listed more than once" for cell in repeated]
    pieces = setting.block_count + setting.side_triangles / 2 + setting.corner_triangles / 4
    block, sash = float(setting.block_size), float(setting.sashing)
    strips, stones = _frames(setting, cells)
    covered = pieces * block**2 + strips * block * sash + stones * sash**2
    whole = setting.width * setting.height
    if not isclose(covered, whole, rel_tol=1e-9):
        faults.append(
            f"blocks, sashing and triangles cover {covered:.2f} square inches; width x height is "
            f"{whole:.2f}"
        )
    return tuple(faults)


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
