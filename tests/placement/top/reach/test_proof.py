"""The complete search, against published chromatic numbers and complete enumeration."""

from itertools import combinations, permutations, product

import networkx as nx
import numpy as np
import pytest
from networkx.algorithms.coloring import equitable_color

from placement.top.reach.proof import colour_graph, decide
from placement.top.reach.task import Classes


def queen_graph(side):
    """Squares of a board, joined where a queen could move (DIMACS colouring benchmark)."""
    squares = list(product(range(side), repeat=2))
    return nx.Graph(
        ((r1, c1), (r2, c2))
        for (r1, c1), (r2, c2) in combinations(squares, 2)
        if r1 == r2 or c1 == c2 or abs(r1 - r2) == abs(c1 - c2)
    )


def is_coloured(graph, colours):
    return set(colours) == set(graph) and all(colours[a] != colours[b] for a, b in graph.edges())


@pytest.mark.slow
@pytest.mark.parametrize(("side", "chromatic"), [(5, 5), (6, 7), (7, 7), (8, 9)])
def test_queen_graphs_take_as_many_colours_as_published(side, chromatic):
    # queen5_5, queen6_6, queen7_7, queen8_8: 5, 7, 7, 9 (DIMACS; from memory).
    graph = queen_graph(side)
    colours = colour_graph(graph, chromatic)
    assert is_coloured(graph, colours)
    assert len(set(colours.values())) <= chromatic
    assert colour_graph(graph, chromatic - 1) is False


@pytest.mark.parametrize("chromatic", [2, 3, 4, 5])
def test_mycielski_graphs_take_their_number_of_colours(chromatic):
    # Mycielski 1955: the k-th graph has no triangle, for k >= 3, and needs k colours.
    graph = nx.mycielski_graph(chromatic)
    assert is_coloured(graph, colour_graph(graph, chromatic))
    assert colour_graph(graph, chromatic - 1) is False


def test_the_search_says_when_its_conflicts_do_not_suffice():
    assert colour_graph(nx.mycielski_graph(7), 6, conflicts=10) is None


def classes_of(clash, copies, cells):
    clash = np.array(clash, dtype=np.bool_)
    accepts = np.ones((cells, len(copies)), dtype=np.bool_)
    return Classes(np.arange(len(copies)), clash, np.array(copies), accepts)


def breaks(classes, edges, layout):
    return any(classes.clash[layout[a], layout[b]] for a, b in edges)


def test_small_questions_are_answered_as_by_trying_every_layout():
    answers = []
    for seed in range(30):
        rng = np.random.default_rng(seed)
        graph = nx.gnp_random_graph(7, 0.3, seed=seed)
        edges = np.array(list(graph.edges()), dtype=np.int64).reshape(-1, 2)
        clash = rng.random((4, 4)) < 0.15
        classes = classes_of(clash | clash.T | np.eye(4, dtype=bool), (2, 2, 2, 1), 7)
        classes.accepts[0, :2] = False
        every = {
            layout
            for layout in set(permutations((0, 0, 1, 1, 2, 2, 3)))
            if layout[0] > 1 and not breaks(classes, edges, layout)
        }
        found, _ = decide(classes, edges, 10_000)
        assert tuple(found.tolist()) in every if every else found is False
        answers.append(bool(every))
    assert 5 < sum(answers) < 25, "both answers must occur, or this proves little"


def test_an_equitable_colouring_is_found_where_one_exists():
    # Hajnal and Szemeredi 1970: one with more colours than the largest degree always exists;
    # networkx finds it by their theorem's algorithm.
    graph = nx.grid_2d_graph(5, 5)
    known = equitable_color(graph, 5)
    copies = np.bincount(list(known.values())).tolist()
    numbered = nx.convert_node_labels_to_integers(graph)
    edges = np.array(list(numbered.edges()), dtype=np.int64)
    classes = classes_of(np.eye(5), copies, 25)
    found, _ = decide(classes, edges, 100_000)
    assert np.bincount(found, minlength=5).tolist() == copies
    assert not breaks(classes, edges, found)
