"""The largest reachable least difference, against complete enumeration and planted layouts."""

from fractions import Fraction
from itertools import permutations

import networkx as nx
import numpy as np
import pytest

from placement.checks import judge_layout, judge_neighbours
from placement.inches import Inches
from placement.top.reach.bounds import most_apart
from placement.top.reach.clique import heavy_clique
from placement.top.reach.reach import reach, why
from placement.top.reach.task import make_task
from placement.top.request import Cause, CauseKind, Request
from placement.top.setting.setting import Setting

SIDE = Inches(Fraction(8))


def random_differences(count, seed):
    """Invented differences, all distinct: Euclidean distances of random points."""
    points = np.random.default_rng(seed).uniform(0, 60, (count, 3))
    return np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=-1))


def two_families(sizes, within, across):
    """Differences of two families of fabrics: so much inside one, so much between them."""
    family = np.repeat([0, 1], sizes)
    difference = np.where(family[:, None] == family, float(within), float(across))
    np.fill_diagonal(difference, 0)
    return difference


def best_of_all_layouts(setting, difference, copies, fits=lambda _: True):
    """Try every layout there is."""
    fabrics = [fabric for fabric, count in enumerate(copies) for _ in range(count)]
    edges = [(a, b) for a, b, touch in setting.graph().edges(data="touch") if touch == "edge"]
    return max(
        min(difference[layout[a], layout[b]] for a, b in edges)
        for layout in set(permutations(fabrics))
        if fits(layout)
    )


def assert_sound(found, setting, difference, copies, **wish):
    """Ask the independent judges: no fault at best, some just above it."""
    colours = np.zeros((len(copies), 3))
    request = Request(setting, colours, difference, tuple(copies), **wish)
    assert judge_layout(request, found.layout) == ()
    assert judge_neighbours(request, found.layout, found.best) == ()
    assert judge_neighbours(request, found.layout, np.nextafter(found.best, np.inf))
    assert found.best <= found.bound
    assert found.proved == (found.best == found.bound)


SMALL = [
    (Setting("straight", 2, 2, SIDE), (1, 1, 2)),
    (Setting("on point", 2, 2, SIDE), (2, 2, 1)),
    (Setting("straight", 3, 2, SIDE), (1, 1, 1, 1, 2)),
    (Setting("on point", 3, 2, SIDE), (2, 2, 2, 2)),
    (Setting("straight", 3, 3, SIDE), (3, 3, 3)),
    (Setting("straight", 8, 1, SIDE), (1, 3, 2, 2)),
]


@pytest.mark.parametrize(("setting", "copies"), SMALL)
@pytest.mark.parametrize("seed", range(3))
def test_small_layouts_reach_what_trying_every_layout_reaches(setting, copies, seed):
    difference = random_differences(len(copies), seed)
    found = reach(setting, difference, copies, seconds=0.1)
    assert found.proved
    assert found.best == best_of_all_layouts(setting, difference, copies)
    assert_sound(found, setting, difference, copies)


@pytest.mark.parametrize("seed", range(4))
def test_twelve_cells_reach_what_trying_every_layout_reaches(seed):
    setting, copies = Setting("straight", 4, 3, SIDE), (4, 5, 3)
    difference = random_differences(3, seed)
    difference[0, 2] = difference[2, 0] = 90  # so that one pair alone cannot fill the grid

    def layouts(count, left):
        if not count:
            yield ()
            return
        for fabric in range(3):
            if left[fabric]:
                rest = [n - (f == fabric) for f, n in enumerate(left)]
                yield from ((fabric, *more) for more in layouts(count - 1, rest))

    edges = [(a, b) for a, b, touch in setting.graph().edges(data="touch") if touch == "edge"]
    best = max(
        min(difference[layout[a], layout[b]] for a, b in edges) for layout in layouts(12, copies)
    )
    found = reach(setting, difference, copies, seconds=0.1)
    assert (found.best, found.proved) == (best, True)


@pytest.mark.parametrize("seed", range(4))
def test_pins_and_forbidden_fabrics_are_kept_at_the_best_that_leaves(seed):
    setting, copies = Setting("straight", 4, 2, SIDE), (2, 3, 2, 1)
    difference = random_differences(4, seed)
    pinned, forbidden = {0: 1, 6: 1}, {1: (0, 3), 5: (2,)}

    def fits(layout):
        return all(layout[cell] == fabric for cell, fabric in pinned.items()) and all(
            layout[cell] not in barred for cell, barred in forbidden.items()
        )

    found = reach(setting, difference, copies, pinned=pinned, forbidden=forbidden, seconds=0.1)
    assert found.proved
    assert found.best == best_of_all_layouts(setting, difference, copies, fits)
    assert_sound(found, setting, difference, copies, pinned=pinned, forbidden=forbidden)


def test_a_hole_holds_nothing_and_parts_its_neighbours():
    # Five in a row, the middle one a hole: two pairs, so 0 meets 1 and 2 meets 3.
    difference = two_families((2, 2), 10, 50)
    difference[0, 1] = difference[1, 0] = 70
    difference[2, 3] = difference[3, 2] = 60
    found = reach(Setting("straight", 5, 1, SIDE), difference, (1, 1, 1, 1), holes=frozenset({2}))
    assert (found.best, found.proved) == (60, True)
    assert found.layout[2] == -1


def test_where_no_blocks_share_an_edge_those_sharing_a_point_are_kept_apart():
    # A corner, a corner and the middle between them: 1 in the middle is best.
    setting = Setting("straight", 3, 2, SIDE, alternate=True)
    difference = np.array([[0.0, 30.0, 10.0], [30.0, 0.0, 20.0], [10.0, 20.0, 0.0]])
    found = reach(setting, difference, (1, 1, 1))
    assert (found.best, found.proved, found.layout[2]) == (20, True, 1)


def test_a_single_block_has_nothing_to_differ_from():
    found = reach(Setting("on point", 1, 1, SIDE), random_differences(2, 0), (0, 1))
    assert found.proved
    assert (found.layout, found.cause) == ((1,), Cause(CauseKind.NOTHING_TOUCHES))


@pytest.mark.parametrize(
    ("setting", "first"),
    [(Setting("on point", 6, 7, SIDE), 42), (Setting("straight", 20, 20, SIDE), 200)],
)
def test_a_planted_checkerboard_of_two_families_is_found(setting, first):
    # The first family fills one side exactly, and families differ by 40, members by 3.
    cells = len(setting.cells())
    difference = two_families((6, 6), 3, 40)
    copies = [*_shares(first, 6), *_shares(cells - first, 6)]
    found = reach(setting, difference, copies, seconds=0.1)
    assert (found.best, found.proved) == (40, True)
    assert_sound(found, setting, difference, copies)


@pytest.mark.parametrize("seed", range(3))
def test_a_planted_layout_is_reached_or_bettered(seed):
    # A random layout of 72 cells; pairs of fabrics that meet in it differ by 30 or more,
    # most others by less.
    setting, rng = Setting("on point", 6, 7, SIDE), np.random.default_rng(seed)
    edges = [(a, b) for a, b, touch in setting.graph().edges(data="touch") if touch == "edge"]
    hidden = rng.permutation(np.repeat(np.arange(24), 3))
    while any(hidden[a] == hidden[b] for a, b in edges):
        hidden = rng.permutation(hidden)
    difference = np.triu(rng.uniform(0, 30, (24, 24)), 1)
    for a, b in edges:
        difference[min(hidden[a], hidden[b]), max(hidden[a], hidden[b])] = rng.uniform(30, 50)
    difference = difference + difference.T
    copies = np.bincount(hidden, minlength=24).tolist()
    found = reach(setting, difference, copies, seconds=0.3)
    assert found.best >= min(difference[hidden[a], hidden[b]] for a, b in edges)
    assert_sound(found, setting, difference, copies)


def _shares(total, count):
    return [total // count + (number < total % count) for number in range(count)]


def test_the_first_cause_told_is_a_fabric_near_all_others():
    # 3 is at most 12 from the others, which are 40 apart.
    difference = np.full((4, 4), 40.0)
    difference[3, :] = difference[:, 3] = 12
    np.fill_diagonal(difference, 0)
    found = reach(Setting("straight", 4, 4, SIDE), difference, (4, 4, 4, 4))
    assert (found.best, found.proved) == (12, True)
    assert found.cause == Cause(CauseKind.ALONE, 12, (3,))


def test_a_crowd_of_like_fabrics_is_told_with_its_copies_and_the_room():
    # 0, 1 and 2 are within 9; 9 copies where 8 of 16 cells can lie apart.
    difference = np.array([[0, 8, 9, 50], [8, 0, 7, 50], [9, 7, 0, 50], [50, 50, 50, 0]], float)
    found = reach(Setting("straight", 4, 4, SIDE), difference, (3, 3, 3, 7))
    assert (found.best, found.proved) == (9, True)
    assert found.cause == Cause(CauseKind.CROWD, 9, (0, 1, 2), copies=9, room=8, cells=16)


def test_one_fabric_with_more_copies_than_room_is_told():
    found = reach(Setting("straight", 3, 3, SIDE), two_families((1, 1), 0, 30), (6, 3))
    assert (found.best, found.proved) == (0, True)
    assert found.cause == Cause(CauseKind.COPIES, 0, (0,), copies=6, room=5, cells=9)


def test_families_that_do_not_fill_the_two_sides_are_told():
    # 36 and 36 copies, but 6 x 7 on point has sides of 42 and 30 cells.
    found = reach(Setting("on point", 6, 7, SIDE), two_families((6, 6), 3, 40), (6,) * 12)
    assert (found.best, found.bound, found.proved) == (3, 3, True)
    assert found.cause == Cause(
        CauseKind.CHECKERBOARD, 3, (0, 1, 2, 3, 4, 5), copies=36, cells=72, sides=(42, 30)
    )


def test_cells_that_accept_few_fabrics_are_told():
    difference = random_differences(4, 5)
    found = reach(Setting("straight", 4, 4, SIDE), difference, (4, 4, 4, 4), pinned={0: 2, 1: 3})
    if difference[2, 3] == found.best:
        assert found.cause.fabrics == (2, 3)
    assert found.best <= difference[2, 3]
    twins = difference.copy()
    twins[2, 3] = twins[3, 2] = 1
    found = reach(Setting("straight", 4, 4, SIDE), twins, (4, 4, 4, 4), pinned={0: 2, 1: 3})
    assert (found.best, found.proved) == (1, True)
    accepts = ((0, (2,)), (1, (3,)))
    assert found.cause == Cause(CauseKind.CHOOSY, 1, (2, 3), accepts=accepts)


@pytest.mark.parametrize("seed", range(6))
def test_the_cause_is_found_again_from_the_bound_alone(seed):
    setting, difference = Setting("on point", 4, 4, SIDE), random_differences(6, seed)
    copies = _shares(25, 6)
    found = reach(setting, difference, copies, seed=seed, seconds=0.1)
    task = make_task(setting, difference, copies, {}, {}, frozenset())
    assert why(task, found.bound + 1e-9) == found.cause


def test_the_same_request_gives_the_same_answer():
    setting, difference = Setting("on point", 4, 4, SIDE), random_differences(10, 1)
    copies = _shares(25, 10)
    first = reach(setting, difference, copies, seed=3, seconds=0.05)
    assert first == reach(setting, difference, copies, seed=3, seconds=0.05)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"copies": (4, 4)}, "difference must be 2 x 2"),
        ({"copies": (3, 3, 2)}, "add up to 9"),
        ({"pinned": {12: 0}}, "cell 12 does not exist; there are 9 cells"),
        ({"pinned": {0: 7}}, "fabric 7 does not exist; there are 3 fabrics"),
        ({"pinned": {0: 1}, "forbidden": {0: (1,)}}, "fabric 1 can't be pinned in cell 0"),
        ({"pinned": {0: 1}, "holes": frozenset({0})}, "cell 0 is a hole"),
        ({"forbidden": {4: (0, 1, 2)}}, "leave nothing for cell 4"),
        ({"forbidden": dict.fromkeys(range(8), (0,))}, "leave nothing for cell"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_in_words(arguments, words):
    copies = arguments.pop("copies", (3, 3, 3))
    with pytest.raises(ValueError, match=words):
        reach(Setting("straight", 3, 3, SIDE), random_differences(3, 0), copies, **arguments)


def test_differences_must_be_symmetric_finite_and_zero_to_oneself():
    setting = Setting("straight", 2, 2, SIDE)
    for matrix, words in (
        ([[0, 1], [2, 0]], "symmetric"),
        ([[1, 2], [2, 0]], "0 between a fabric and itself"),
        ([[0, np.inf], [np.inf, 0]], "finite"),
        ([[0, -2], [-2, 0]], "negative"),
    ):
        with pytest.raises(ValueError, match=words):
            reach(setting, np.array(matrix, dtype=float), (2, 2))


@pytest.mark.parametrize(("across", "down", "apart"), [(6, 7, 42), (4, 5, 20), (3, 9, 27)])
def test_on_point_the_main_rows_are_the_most_cells_that_lie_apart(across, down, apart):
    # ab main blocks and (a-1)(b-1) between; no two main ones share an edge.
    setting = Setting("on point", across, down, SIDE)
    count = len(setting.cells())
    task = make_task(setting, np.zeros((1, 1)), (count,), {}, {}, frozenset())
    assert most_apart(task) == apart


@pytest.mark.parametrize("seed", range(8))
def test_a_heavy_clique_is_found_just_when_networkx_has_one(seed):
    graph = nx.gnp_random_graph(14, 0.6, seed=seed)
    weights = np.random.default_rng(seed).integers(1, 9, 14)
    nx.set_node_attributes(graph, dict(enumerate(weights.tolist())), "weight")
    _, heaviest = nx.max_weight_clique(graph)
    joined = nx.to_numpy_array(graph, dtype=bool)
    found = heavy_clique(joined, weights, heaviest - 1)
    assert weights[found].sum() == heaviest
    assert all(joined[a, b] for a in found for b in found if a != b)
    assert heavy_clique(joined, weights, heaviest) is None
