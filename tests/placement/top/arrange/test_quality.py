"""Measures of a layout, each on layouts whose value is known by hand."""

from dataclasses import replace

import networkx as nx
import numpy as np
import pytest

from placement.top.arrange.quality import FAR_ENOUGH, evenness, measure, wanted
from placement.top.arrange.validation import ask
from placement.top.request import Cause, CauseKind, Reach

CAUSE = Cause(CauseKind.LARGEST, 60.0)
NO_LIMIT = Reach(best=50.0, bound=60.0, proved=False, cause=CAUSE, layout=())


def test_a_knight_move_latin_square_is_perfectly_even(small):
    # Class (column + 2 row) mod 5: every row, column and diagonal of 5 x 5 holds each
    # fabric once at most (a Knut Vik design), and every quadrant of four holds four.
    request = small("straight", 5, 5, 5)
    square = tuple((column + 2 * row) % 5 for row in range(5) for column in range(5))
    found = measure(request, square, NO_LIMIT)
    assert found.evenness == 0
    assert found.copies_apart == pytest.approx(np.sqrt(5))


def test_stripes_are_as_uneven_as_counting_says(small):
    # 2 x 2 of two fabrics in stripes: rows hold 2 and 0 where 1 and 1 is fair, columns
    # and diagonals are fair. Off by 4 in all, where 0 is forced.
    request = small("straight", 2, 2, 2)
    made = ask(request)
    stripes = np.array([0, 0, 1, 1])
    assert evenness(made.where, stripes, made.task.copies) == 4.0
    assert evenness(made.where, np.array([0, 1, 1, 0]), made.task.copies) == 4.0


def test_the_closest_neighbours_are_found_where_they_are(small):
    request = small("straight", 3, 1, 3)
    difference = np.array([[0, 10, 30], [10, 0, 20], [30, 20, 0.0]])
    request = replace(request, difference=difference)
    found = measure(request, (0, 2, 1), NO_LIMIT)
    assert (found.closest, set(found.closest_cells)) == (20.0, {1, 2})


def test_neighbours_sharing_a_point_count_where_none_share_an_edge(small):
    request = small("on point", 2, 2, 4, alternate=True)
    found = measure(request, (0, 1, 2, 3), NO_LIMIT)
    pairs = [(0, 1), (0, 2), (1, 3), (2, 3)]
    assert found.closest == min(request.difference[a, b] for a, b in pairs)


def test_a_single_cell_has_no_neighbours(small):
    found = measure(small("straight", 1, 1, 1), (0,))
    assert found.closest_cells is None
    assert (found.copies_apart, found.repeated_contacts, found.spread) == (0, 0, 0)
    assert (found.evenness, found.balance) == (0, 0)


def test_light_on_one_side_shifts_the_centroid_to_it(small):
    # Lightness 90 left, 30 right on 2 x 1: the centroid lies 30 / 120 of a block left of
    # the middle, half the way from the middle to a block's centre being 1.
    request = small("straight", 2, 1, 2)
    request = replace(request, colours=np.array([[90.0, 0, 0], [30.0, 0, 0]]))
    assert measure(request, (0, 1), NO_LIMIT).balance == pytest.approx(0.5)
    request = replace(request, colours=np.array([[60.0, 9, 0], [60.0, 0, 9]]))
    assert measure(request, (0, 1), NO_LIMIT).balance == pytest.approx(0.0)


def test_like_colours_in_a_heap_score_below_random_and_apart_above(instance):
    request = instance("72-uniform-0")
    by_lightness = np.argsort(request.colours[:, 0])
    heap = tuple(int(fabric) for fabric in np.repeat(by_lightness, 4))
    layouts = [np.random.default_rng(seed).permutation(heap) for seed in range(40)]
    scores = [measure(request, tuple(map(int, each)), NO_LIMIT).spread for each in layouts]
    assert abs(np.mean(scores)) < 0.5
    assert 0.7 < np.std(scores) < 1.4
    assert measure(request, heap, NO_LIMIT).spread < -3


def test_repeated_contacts_are_those_beyond_the_first_of_each_pair(instance):
    request = instance("72-uniform-0")
    layout = tuple(int(f) for f in np.random.default_rng(0).permutation(np.repeat(range(18), 4)))
    met = nx.Graph()
    edges = [(a, b) for a, b, t in request.setting.graph().edges(data="touch") if t == "edge"]
    met.add_edges_from((layout[a], layout[b]) for a, b in edges)
    assert measure(request, layout, NO_LIMIT).repeated_contacts == len(edges) - met.size()


def test_what_is_wanted_is_half_of_what_is_reachable_up_to_a_glance():
    assert wanted(0.5, 40) == 20
    assert wanted(0.5, 90) == FAR_ENOUGH == 30
    assert wanted(0.0, 40) == 0
    assert wanted(1.0, 90) == 90
    steps = [wanted(part / 20, 90) for part in range(21)]
    assert steps == sorted(steps)


def test_what_is_reachable_is_told_with_its_reason(small):
    found = measure(small("straight", 3, 3, 3), tuple([0, 1, 2] * 3), NO_LIMIT)
    assert (found.reach, found.bound, found.proved, found.cause) == (50.0, 60.0, False, CAUSE)
    assert found.wanted == 25.0


@pytest.mark.parametrize(
    ("layout", "words"),
    [
        ((0, 1, 2), "has 3 cells; the setting has 4"),
        ((0, 1, 2, 7), "cell 3 holds fabric 7"),
        ((0, 1, 2, -1), "cell 3 holds -1"),
    ],
)
def test_a_layout_that_does_not_fit_is_refused(small, layout, words):
    with pytest.raises(ValueError, match=words):
        measure(small("straight", 2, 2, 3), layout, NO_LIMIT)
