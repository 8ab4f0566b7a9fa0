"""Choosing the places furthest apart, against complete enumeration and networkx."""

from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.picking.dispersion import furthest_apart


def points(seed, size, axes=3):
    places = np.random.default_rng(seed).uniform(0, 100, (size, axes))
    return np.linalg.norm(places[:, None] - places, axis=-1)


def closest(distances, chosen, pinned=()):
    pairs = [pair for pair in combinations(chosen, 2) if not set(pair) <= set(pinned)]
    return min((distances[pair] for pair in pairs), default=np.inf)


def by_enumeration(distances, count, pinned=()):
    sets = combinations(range(len(distances)), count)
    return max(closest(distances, s, pinned) for s in sets if set(pinned) <= set(s))


@given(st.integers(0, 10_000), st.integers(2, 9), st.data())
def test_small_choices_equal_the_best_of_all_sets(seed, size, data):
    count = data.draw(st.integers(1, size))
    pinned = data.draw(st.sets(st.integers(0, size - 1), max_size=count))
    # Whole numbers make ties and zeros common.
    distances = np.round(points(seed, size, axes=2) / data.draw(st.sampled_from([1, 20, 60])))
    spread = furthest_apart(distances, count, pinned)
    assert len(set(spread.chosen)) == count
    assert pinned <= set(spread.chosen)
    assert spread.proved
    assert spread.apart == by_enumeration(distances, count, pinned)
    assert closest(distances, spread.chosen, pinned) == spread.apart


@pytest.mark.parametrize("seed", range(6))
def test_no_clique_of_networkx_is_larger_beyond_the_distance_found(seed):
    """Reference: networkx.max_weight_clique on the graph of pairs strictly further apart."""
    size, count = 30, (4, 8, 12, 16, 20, 24)[seed]
    distances = points(seed, size)
    spread = furthest_apart(distances, count)
    beyond = nx.Graph(p for p in combinations(range(size), 2) if distances[p] > spread.apart)
    _, largest = nx.max_weight_clique(beyond, weight=None)
    assert largest < count
    assert closest(distances, spread.chosen) == spread.apart


def test_planted_corners_of_a_cube_are_found_among_noise():
    corners = np.array([[x, y, z] for x in (0, 100) for y in (0, 100) for z in (0, 100)], float)
    noise = np.random.default_rng(4).uniform(10, 90, (40, 3))
    places = np.vstack([noise[:20], corners, noise[20:]])
    spread = furthest_apart(np.linalg.norm(places[:, None] - places, axis=-1), 8)
    assert spread.chosen == tuple(range(20, 28))
    assert spread.apart == 100


def test_two_close_pins_do_not_make_the_rest_careless():
    distances = points(11, 25)
    pins = np.unravel_index((distances + np.eye(25) * 1e9).argmin(), distances.shape)
    pinned = {int(place) for place in pins}
    spread = furthest_apart(distances, 6, pinned)
    assert pinned <= set(spread.chosen)
    assert spread.apart > 5 * distances[pins]
    assert spread.apart == by_enumeration(distances, 6, pinned)


@pytest.mark.parametrize("seed", range(4))
def test_among_equal_sets_no_single_swap_spreads_wider(seed):
    # Rounded coarsely, many sets tie for the closest pair.
    distances = np.round(points(seed, 24) / 15) * 15
    spread = furthest_apart(distances, 8)
    worth = spread_sum(distances, spread.chosen)
    for old in spread.chosen:
        for new in set(range(24)) - set(spread.chosen):
            swapped = [new if place == old else place for place in spread.chosen]
            if closest(distances, swapped) >= spread.apart:
                assert spread_sum(distances, swapped) <= worth + 1e-6


def spread_sum(distances, chosen):
    grid = distances[np.ix_(chosen, chosen)] + np.diag([np.inf] * len(chosen))
    return grid.min(axis=1).sum()


def test_too_few_steps_give_a_set_that_is_not_called_proved():
    distances = points(5, 60)
    full, short = furthest_apart(distances, 20), furthest_apart(distances, 20, steps=0)
    assert full.proved
    assert not short.proved
    assert len(short.chosen) == 20
    assert closest(distances, short.chosen) == short.apart <= full.apart


def test_the_same_distances_give_the_same_set():
    distances = points(6, 40)
    assert furthest_apart(distances, 15) == furthest_apart(distances.copy(), 15)


@pytest.mark.parametrize(("count", "pinned"), [(0, ()), (5, ()), (1, (0, 1))])
def test_counts_out_of_range_are_refused_with_the_range(count, pinned):
    with pytest.raises(ValueError, match=f"cannot choose {count} of 4 places"):
        furthest_apart(points(1, 4), count, pinned)


def test_a_pin_that_does_not_exist_is_named():
    with pytest.raises(ValueError, match="pins must lie between 0 and 3"):
        furthest_apart(points(1, 4), 2, (4,))
