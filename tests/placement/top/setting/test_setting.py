"""Settings against the trade's closed forms, and the neighbour graph's properties."""

from fractions import Fraction
from math import sqrt

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement.checks import judge_setting
from placement.inches import Inches
from placement.top.setting.setting import Cell, Setting

EIGHT_AND_A_HALF = Inches(Fraction(17, 2))

settings_on_point = st.builds(
    Setting, st.just("on point"), st.integers(1, 9), st.integers(1, 9), st.just(EIGHT_AND_A_HALF)
)
settings_straight = st.builds(
    Setting, st.just("straight"), st.integers(1, 9), st.integers(1, 9), st.just(EIGHT_AND_A_HALF)
)
settings = st.builds(
    Setting,
    st.sampled_from(["on point", "straight"]),
    st.integers(1, 9),
    st.integers(1, 9),
    st.just(EIGHT_AND_A_HALF),
    st.booleans(),
)


def edges_only(setting):
    graph = setting.graph()
    return graph.edge_subgraph(
        (a, b) for a, b, touch in graph.edges(data="touch") if touch == "edge"
    )


@pytest.mark.parametrize(
    ("across", "down", "blocks", "side_triangles"),
    [
        # Closed forms ab + (a-1)(b-1) and 2(a+b-2) of on-point settings, worked by hand.
        (6, 7, 72, 22),
        (4, 5, 32, 14),
        (4, 4, 25, 12),
        (1, 1, 1, 0),
    ],
)
def test_on_point_counts_follow_the_closed_forms(across, down, blocks, side_triangles):
    setting = Setting("on point", across, down, EIGHT_AND_A_HALF)
    assert setting.block_count == len(setting.cells()) == blocks
    assert setting.side_triangles == side_triangles
    assert setting.corner_triangles == 4


def test_six_by_seven_on_point_measures_72_by_84_inches():
    # a F sqrt 2 x b F sqrt 2 with F = 8 1/2 in, to the four places worked by hand.
    setting = Setting("on point", 6, 7, EIGHT_AND_A_HALF)
    assert setting.width == pytest.approx(72.1249, abs=5e-5)
    assert setting.height == pytest.approx(84.1457, abs=5e-5)


def test_straight_measures_are_the_blocks_side_by_side():
    setting = Setting("straight", 5, 6, EIGHT_AND_A_HALF)
    assert (setting.width, setting.height) == (42.5, 51.0)
    assert (setting.side_triangles, setting.corner_triangles) == (0, 0)


@given(settings_on_point)
def test_on_point_edges_number_four_times_the_blocks_between(setting):
    # Each of the (a-1)(b-1) blocks between shares an edge with four main ones.
    assert edges_only(setting).number_of_edges() == 4 * (setting.across - 1) * (setting.down - 1)


@given(settings_straight)
def test_straight_edges_number_those_of_a_grid(setting):
    grid = nx.grid_2d_graph(setting.down, setting.across)
    assert edges_only(setting).number_of_edges() == grid.number_of_edges()


@given(settings)
def test_edge_neighbours_make_a_two_part_graph(setting):
    assert nx.is_bipartite(edges_only(setting))


@given(settings)
def test_no_cell_has_more_than_four_neighbours_of_a_kind(setting):
    graph = setting.graph()
    for cell in graph:
        touches = [graph.edges[cell, other]["touch"] for other in graph[cell]]
        assert touches.count("edge") <= 4
        assert touches.count("point") <= 4


@given(settings)
def test_neighbours_are_as_far_apart_as_the_graph_says(setting):
    cells = setting.cells()
    for first, second, edge in setting.graph().edges.data():
        apart = setting.distance(cells[first], cells[second])
        assert apart == pytest.approx({"edge": 1, "point": sqrt(2)}[edge["touch"]])
        assert edge["apart"] == pytest.approx(apart)


@given(settings)
def test_cells_that_are_near_are_joined(setting):
    cells = setting.cells()
    joined = setting.graph()
    for first in range(len(cells)):
        for second in range(first):
            near = setting.distance(cells[first], cells[second]) < 1.5
            assert joined.has_edge(first, second) == near


@given(settings)
def test_distance_is_the_same_both_ways_and_agrees_with_the_centres(setting):
    cells = setting.cells()
    first, last = cells[0], cells[-1]
    assert setting.distance(first, last) == setting.distance(last, first)
    (x1, y1), (x2, y2) = setting.centre(first), setting.centre(last)
    inches = sqrt((x1 - x2) ** 2 + (y1 - y2) ** 2)
    assert setting.distance(first, last) * 8.5 == pytest.approx(inches)


@given(settings)
def test_cells_are_unique_and_lie_within_the_top(setting):
    every = [*setting.cells(), *setting.plain_cells()]
    assert len(every) == len(set(every)) == setting.block_count
    for cell in every:
        x, y = setting.centre(cell)
        assert 0 < x < setting.width
        assert 0 < y < setting.height


@given(settings)
def test_blocks_and_triangles_fill_the_top(setting):
    assert judge_setting(setting) == ()


def test_plain_alternate_blocks_leave_no_two_pieced_ones_sharing_an_edge():
    for kind in ("on point", "straight"):
        setting = Setting(kind, 4, 5, EIGHT_AND_A_HALF, alternate=True)
        assert edges_only(setting).number_of_edges() == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("diagonal", 2, 2, EIGHT_AND_A_HALF), "'diagonal'"),
        (("straight", 0, 2, EIGHT_AND_A_HALF), "across must be 1 or more, not 0"),
        (("straight", 2, -1, EIGHT_AND_A_HALF), "down must be 1 or more, not -1"),
        (("on point", 100, 100, EIGHT_AND_A_HALF), "100 x 100 makes more than 10000"),
        (("straight", 2, 2, Inches(Fraction(0))), "above 0 inches"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_with_the_number(arguments, words):
    with pytest.raises(ValueError, match=words):
        Setting(*arguments)


def test_a_cell_is_named_from_one():
    assert str(Cell(0, 3)) == "row 1, place 4"
