"""Cliques against networkx."""

import networkx as nx
import numpy as np
import pytest

from palette.picking.clique import OutOfStepsError, clique

PLENTY = 100_000


def joined(graph):
    return nx.to_numpy_array(graph, dtype=bool)


@pytest.mark.parametrize("seed", range(12))
def test_the_largest_size_found_is_the_clique_number(seed):
    """Reference: networkx.max_weight_clique."""
    density = (0.2, 0.5, 0.8)[seed % 3]
    graph = nx.gnp_random_graph(22, density, seed=seed)
    _, largest = nx.max_weight_clique(graph, weight=None)
    found = clique(joined(graph), largest, PLENTY)
    assert len(found) == largest
    assert all(graph.has_edge(a, b) for a in found for b in found if a < b)
    assert clique(joined(graph), largest + 1, PLENTY) is None


@pytest.mark.parametrize("n", [5, 6, 7, 8])
def test_independent_queens_are_cliques_of_the_complement(n):
    """Queens: n that do not attack each other exist for n >= 4, never n + 1 (one a row)."""
    cells = [(r, c) for r in range(n) for c in range(n)]
    peaceful = np.array([[a != b and not _attack(a, b) for b in cells] for a in cells], dtype=bool)
    assert len(clique(peaceful, n, PLENTY)) == n
    assert clique(peaceful, n + 1, PLENTY) is None


def _attack(a, b):
    return a[0] == b[0] or a[1] == b[1] or abs(a[0] - b[0]) == abs(a[1] - b[1])


def test_a_graph_without_edges_has_cliques_of_one_only():
    nothing = np.zeros((4, 4), dtype=bool)
    assert clique(nothing, 0, PLENTY) == []
    assert len(clique(nothing, 1, PLENTY)) == 1
    assert clique(nothing, 2, PLENTY) is None


def test_no_vertices_hold_only_the_empty_clique():
    nothing = np.zeros((0, 0), dtype=bool)
    assert clique(nothing, 0, PLENTY) == []
    assert clique(nothing, 1, PLENTY) is None


def test_a_search_without_steps_says_so():
    graph = nx.gnp_random_graph(30, 0.5, seed=1)
    with pytest.raises(OutOfStepsError):
        clique(joined(graph), 8, 0)
