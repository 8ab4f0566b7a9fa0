"""Independent judges of layouts: given a result, they list its faults, all of them.

They share no code with what makes the results: places are worked out anew, who
touches whom from the places. An empty tuple means sound.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import EDGE, POINT, pieced
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from placement.top.request import Request

Id = int | str
"""A fabric: its number in a request, its id in a plan."""

HOLE = -1
"""In a layout of numbers: a cell left as plain background."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a layout must be: who may lie where, and how often."""

    setting: Setting
    """The cells."""
    fabrics: tuple[Id, ...]
    """Every fabric that may lie in it."""
    copies: Mapping[Id, int] | None = None
    """Cells each one fills; None shares the cells out equally."""
    pinned: Mapping[int, Id] = field(default_factory=dict)
    """Cell to the fabric that must stay in it."""
    forbidden: Mapping[int, Collection[Id]] = field(default_factory=dict)
    """Cell to the fabrics that must not lie there."""
    holes: Collection[int] = ()
    """Cells left as plain background."""
    hole: Id = HOLE
    """What stands in a layout for such a cell."""

    @classmethod
    def of(cls, request: Request) -> Asked:
        """Return what a request asks, in its numbers."""
        fabrics: tuple[Id, ...] = tuple(range(len(request.difference)))
        copies: dict[Id, int] | None = None
        if request.copies is not None:
            copies = dict(zip(fabrics, request.copies, strict=True))
        return cls(
            request.setting,
            fabrics,
            copies,
            dict(request.pinned),
            dict(request.forbidden),
            request.holes,
        )


def judge_layout(request: Request, layout: Sequence[int]) -> tuple[Fault, ...]:
    """List where a layout breaks its request: cells, counts, pins, forbidden fabrics, holes.

    Parameters
    ----------
    request : Request
        What was asked.
    layout : sequence of int
        Fabric number a cell, -1 for a hole.
    """
    return judge_cells(Asked.of(request), layout)


def judge_cells(asked: Asked, layout: Sequence[Id]) -> tuple[Fault, ...]:
    """List where a layout breaks what was asked, in numbers or ids.

    Parameters
    ----------
    asked : Asked
        What was asked.
    layout : sequence of int or str
        Fabric a cell.
    """
    cells = pieced(asked.setting)
    if len(layout) != len(cells):
        return (fault(FaultKind.LAYOUT_LENGTH, said=len(layout), found=len(cells)),)
    return (
        *_unknown_fabrics(asked, cells, layout),
        *_wrong_holes(asked, cells, layout),
        *_wrong_counts(asked, layout),
        *_moved_pins(asked, cells, layout),
        *_forbidden_laid(asked, cells, layout),
    )


def _unknown_fabrics(
    asked: Asked, cells: Sequence[Cell], layout: Sequence[Id]
) -> Iterator[Fault]:  # fmt: skip
    for cell, fabric in zip(cells, layout, strict=True):
        if fabric != asked.hole and fabric not in asked.fabrics:
            yield fault(FaultKind.UNKNOWN_FABRIC, cell=cell, fabric=fabric)


def _wrong_holes(asked: Asked, cells: Sequence[Cell], layout: Sequence[Id]) -> Iterator[Fault]:
    for number, (cell, fabric) in enumerate(zip(cells, layout, strict=True)):
        if number in asked.holes and fabric != asked.hole:
            yield fault(FaultKind.HOLE_FILLED, cell=cell, fabric=fabric)
        if number not in asked.holes and fabric == asked.hole:
            yield fault(FaultKind.CELL_EMPTY, cell=cell)


def _wrong_counts(asked: Asked, layout: Sequence[Id]) -> Iterator[Fault]:
    laid = Counter(layout)
    least, more = divmod(len(layout) - len(asked.holes), max(1, len(asked.fabrics)))
    for fabric in asked.fabrics:
        if asked.copies is not None:
            low = high = asked.copies.get(fabric, 0)
        else:
            low, high = least, least + (more > 0)
        if not low <= laid[fabric] <= high:
            yield fault(FaultKind.SHARE, fabric=fabric, found=laid[fabric], least=low, most=high)


def _moved_pins(asked: Asked, cells: Sequence[Cell], layout: Sequence[Id]) -> Iterator[Fault]:
    for number, fabric in sorted(asked.pinned.items()):
        if layout[number] != fabric:
            yield fault(
                FaultKind.PIN_MOVED, cell=cells[number], fabric=fabric, found=layout[number]
            )


def _forbidden_laid(asked: Asked, cells: Sequence[Cell], layout: Sequence[Id]) -> Iterator[Fault]:
    for number, barred in sorted(asked.forbidden.items()):
        if layout[number] in barred:
            yield fault(FaultKind.BANNED, cell=cells[number], fabric=layout[number])


def judge_neighbours(request: Request, layout: Sequence[int], limit: float) -> tuple[Fault, ...]:
    """List the neighbours that differ by less than a limit.

    Neighbours share an edge; if no two filled cells do, they share a point.

    Parameters
    ----------
    request : Request
        The setting and the differences.
    layout : sequence of int
        Fabric number a cell, -1 for a hole; fit for the setting.
    limit : float
        The least difference wanted, CIEDE2000.
    """
    cells = pieced(request.setting)
    filled = {cell: fabric for cell, fabric in zip(cells, layout, strict=True) if fabric != HOLE}
    faults = []
    for first, second in _meetings(request.setting, filled):
        one, other = filled[first], filled[second]
        apart = float(request.difference[one, other])
        if apart < limit:
            faults.append(
                fault(
                    FaultKind.ALIKE, first=first, second=second, fabric=one, other=other,
                    apart=apart, limit=limit,
                )
            )  # fmt: skip
    return tuple(faults)


def _meetings(setting: Setting, filled: Collection[Cell]) -> list[tuple[Cell, Cell]]:
    """Return the pairs that share an edge or, if there are none, a point."""
    sharing_an_edge = list(_pairs(filled, *EDGE[setting.kind]))
    return sharing_an_edge or list(_pairs(filled, *POINT[setting.kind]))


def _pairs(filled: Collection[Cell], *steps: tuple[int, int]) -> Iterator[tuple[Cell, Cell]]:
    for cell in filled:
        for down, right in steps:
            other = Cell(cell.row + down, cell.column + right)
            if other in filled:
                yield cell, other


def judge_turns(
    setting: Setting, turned: Collection[int], holes: Collection[int] = ()
) -> tuple[Fault, ...]:
    """List where seams don't nest: two blocks sharing an edge, both turned or neither.

    Parameters
    ----------
    setting : Setting
        The cells.
    turned : collection of int
        Indices of the cells whose block is turned.
    holes : collection of int
        Indices of the cells left as plain background.
    """
    number = {cell: index for index, cell in enumerate(pieced(setting)) if index not in holes}
    blocks = set(number.values())
    faults = [
        fault(FaultKind.TURNED_NOTHING, number=index)
        for index in sorted(turned)
        if index not in blocks
    ]
    for first, second in _pairs(number, *EDGE[setting.kind]):
        both = (number[first] in turned, number[second] in turned)
        if both[0] == both[1]:
            faults.append(
                fault(FaultKind.TURNED_ALIKE, first=first, second=second, turned=int(both[0]))
            )
    return tuple(faults)
