"""The rows of the layout as they are printed, and the marks of turned blocks."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import EDGE, every_place, is_plain, pieced

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.judging.facts import PrintFacts
    from placement.top.setting.setting import Cell


def rows_misread(facts: PrintFacts, dense: str) -> Iterator[Fault]:
    """Read the rows of the layout back: every block's number, plain blocks, and marks of turns."""
    setting, layout = facts.layout.setting, facts.layout
    laid = dict(zip(pieced(setting), layout.fabrics, strict=True))
    marked: set[Cell] = set()
    for number, cells in enumerate(_sewn_rows(facts), 1):
        written, named = [], []
        for cell in cells:
            fabric = "" if is_plain(setting, cell) else laid[cell]
            named += [cell] if fabric else []
            written.append(f"{facts.numbers[fabric]}(•?)" if fabric else "B")
        line = "".join(written)
        if setting.kind == "on point":
            ends = (_ends_in_triangle(facts, cell, way) for cell, way in
                    ((cells[0], 1), (cells[-1], -1)))  # fmt: skip
            start, end = ("triangle" if found else "—" for found in ends)
            line = f"{start}{line}{end}"
        # The drawing of the rows may hold the same numbers, without the marks.
        read = [match.groups() for match in re.finditer(f"{number}{line}", dense)]
        if not read:
            plain = line.replace("(•?)", " ")
            yield fault(FaultKind.UNSAID, words=f"row {number}: {plain}")
        else:
            dots = max(read, key=lambda found: sum(map(bool, found)))
            marked |= {cell for cell, dot in zip(named, dots, strict=True) if dot}
    yield from _marks(facts, {cell for cell, fabric in laid.items() if fabric}, marked)


def _sewn_rows(facts: PrintFacts) -> Iterator[list[Cell]]:
    """Yield the rows that are sewn: level, or from bottom left to top right."""
    setting = facts.layout.setting
    pointed = setting.kind == "on point"
    found: dict[int, list[Cell]] = {}
    for place in every_place(setting):
        found.setdefault(place.row + pointed * place.column, []).append(place)
    for _, places in sorted(found.items()):
        yield sorted(places, key=lambda place: place.column)


def _ends_in_triangle(facts: PrintFacts, cell: Cell, way: int) -> bool:
    """Whether a side triangle, not a corner, lies beyond the first (1) or last (-1) block."""
    setting = facts.layout.setting
    row, column = cell.row + way, cell.column - way
    outside = row in (-1, 2 * setting.down - 1), column in (-1, 2 * setting.across - 1)
    return outside[0] != outside[1]


def _marks(facts: PrintFacts, blocks: set[Cell], marked: set[Cell]) -> Iterator[Fault]:
    """List blocks that share an edge and are marked alike, where every other one must be."""
    pressing, setting = facts.book.pressing, facts.layout.setting
    if not pressing.turn and len(pressing.plans) < 2:
        if marked:
            yield fault(FaultKind.TURNED_IDLY, count=len(marked))
        return
    for cell in sorted(blocks):
        for down, right in EDGE[setting.kind]:
            other = type(cell)(cell.row + down, cell.column + right)
            if other in blocks and (cell in marked) == (other in marked):
                alike = int(cell in marked)
                yield fault(FaultKind.TURNED_ALIKE, first=cell, second=other, turned=alike)
