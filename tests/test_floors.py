"""The rooms stand on few floors: no arrow leads up, and the map in DEVELOPERS.md says the same."""

from __future__ import annotations

import tomllib
from pathlib import Path

import grimp
import networkx as nx
import pytest

ROOT = Path(__file__).resolve().parents[1]
MOST_FLOORS = 8


def arrows(package: str) -> nx.DiGraph:
    """Return which room of a package imports which, rooms as nodes."""
    graph = grimp.build_graph(package, cache_dir=None)
    rooms = graph.find_children(package)
    for room in rooms:
        graph.squash_module(room)
    found = nx.DiGraph()
    for room in rooms:
        found.add_node(room.removeprefix(f"{package}."))
        for other in graph.find_modules_directly_imported_by(room) & (rooms - {room}):
            found.add_edge(room.removeprefix(f"{package}."), other.removeprefix(f"{package}."))
    return found


def _floors(package: str) -> list[list[str]]:
    """Return the floors that the import contract sets, from the top."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = settings["tool"]["importlinter"]["contracts"]
    (contract,) = (one for one in contracts if one.get("containers") == [package])
    return [layer.split(" | ") for layer in contract["layers"]]


@pytest.mark.parametrize("package", ["api", "palette", "placement"])
def test_no_arrow_between_rooms_leads_up(package: str) -> None:
    found = arrows(package)
    floors = _floors(package)
    height = {room: number for number, floor in enumerate(floors) for room in floor}
    assert len(floors) <= MOST_FLOORS
    assert [(a, b) for a, b in found.edges if height[a] >= height[b]] == []
    assert found.number_of_edges() >= len(floors) - 1, "a house without arrows proves nothing"
    assert nx.dag_longest_path_length(found) + 1 <= MOST_FLOORS


def test_the_picture_of_the_floors_is_the_contract() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for package in ("api", "palette", "placement"):
        told = " → ".join(", ".join(f"`{room}`" for room in floor) for floor in _floors(package))
        assert f"{package}: {told}" in text
