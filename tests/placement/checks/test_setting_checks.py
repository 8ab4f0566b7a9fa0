"""The judge of settings finds every number of a setting that is planted wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from placement.checks import FaultKind, judge_setting
from placement.inches import Inches
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Callable

    import networkx as nx

SIDE = Inches.parse(8)


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("alternate", [False, True])
@pytest.mark.parametrize("sashing", ["0", "1 1/2"])
def test_every_setting_is_sound(kind: Any, alternate: bool, sashing: str) -> None:
    for across in range(1, 7):
        for down in range(1, 7):
            setting = Setting(kind, across, down, SIDE, alternate, Inches.parse(sashing))
            assert judge_setting(setting) == ()


def _graph(setting: Setting, **changed: str) -> nx.Graph[int]:
    graph = Setting.graph(setting).copy()
    if changed:
        graph.edges[0, 1].update(changed)
    else:
        graph.remove_edge(0, 1)
    return graph


def _cells(change: Callable[[tuple[Cell, ...]], tuple[Cell, ...]]) -> Callable[[Setting], object]:
    return lambda setting: change(Setting.cells(setting))


PLANTED: dict[str, tuple[str, Callable[[Setting], object], FaultKind]] = {
    "a cell too few": ("cells", _cells(lambda cells: cells[:-1]), FaultKind.CELL_MISSING),
    "a cell too many": ("cells", _cells(lambda c: (*c, Cell(9, 9))), FaultKind.CELL_BEYOND),
    "a cell twice": ("cells", _cells(lambda cells: (cells[0], *cells)), FaultKind.CELL_TWICE),
    "cells out of order": ("cells", _cells(lambda cells: cells[::-1]), FaultKind.CELL_ORDER),
    "a plain cell too many": ("plain_cells", lambda _: (Cell(0, 0),), FaultKind.CELL_BEYOND),
    "a block too few": ("block_count", lambda s: len(s.cells()) - 1, FaultKind.CELLS_COUNTED),
    "two triangles too few": ("side_triangles", lambda s: 2 * (s.across + s.down - 3),
                              FaultKind.TRIANGLES_COUNTED),
    "two corners": ("corner_triangles", lambda _: 2, FaultKind.TRIANGLES_COUNTED),
    "too wide": ("width", lambda s: Setting.width.fget(s) + 0.125, FaultKind.SIZE_OF_TOP),
    "too low": ("height", lambda s: Setting.height.fget(s) - 0.125, FaultKind.SIZE_OF_TOP),
    "a wrong area": ("width", lambda s: Setting.width.fget(s) - 8, FaultKind.AREA),
    "middles moved": ("centre", lambda s: lambda cell: (Setting.centre(s, cell)[0] + 0.01,
                                                        Setting.centre(s, cell)[1]),
                      FaultKind.CELL_MOVED),
    "a touch forgotten": ("graph", _graph, FaultKind.TOUCH),
    "a touch told wrongly": ("graph", lambda s: _graph(s, touch="none"), FaultKind.TOUCH),
}  # fmt: skip
"""What of a setting is wrong, how, and what it must be found as."""

METHODS = ("cells", "plain_cells", "graph")


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_found(name: str, kind: Any) -> None:
    what, wrong, found = PLANTED[name]

    def method(setting: Setting, *given: Any) -> object:
        answer = wrong(setting)
        return answer(*given) if callable(answer) and given else answer

    member = method if what in (*METHODS, "centre") else property(method)
    planted = type("Planted", (Setting,), {what: member, "__slots__": ()})
    faults = judge_setting(planted(kind, 3, 3, SIDE, sashing=Inches.parse(1)))
    assert found in {fault.kind for fault in faults}


def test_every_answer_of_a_setting_is_damaged_here() -> None:
    """Whoever adds an answer to a setting adds its damage, or says here why none can be found."""
    taken_in = set(Setting.__dataclass_fields__)
    derived = {"pitch", "distance"}  # pitch stands in every place; distance only ranks layouts
    public = {name for name in dir(Setting) if not name.startswith("_")}
    assert public - taken_in - derived == {what for what, _, _ in PLANTED.values()}
