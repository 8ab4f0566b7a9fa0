"""The largest reachable least difference, against complete enumeration and planted layouts."""

from fractions import Fraction
from itertools import permutations

import numpy as np
import pytest

from placement.inches import Inches
from placement.top.reach import reach
from placement.top.setting import Setting

SIDE = Inches(Fraction(8))


def random_differences(count, seed):
    """Invented differences, all distinct: Euclidean distances of random points."""
    points = np.random.default_rng(seed).uniform(0, 60, (count, 3))
    return np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=-1))


def edges_of(setting):
    return [(a, b) for a, b, touch in setting.graph().edges(data="touch") if touch == "edge"]


def least_difference(setting, difference, layout):
    return min(
        difference[layout[a], layout[b]]
        for a, b in edges_of(setting)
        if layout[a] >= 0 and layout[b] >= 0
    )


def best_of_all_layouts(setting, difference, copies):
    """Try every layout there is."""
    fabrics = [fabric for fabric, count in enumerate(copies) for _ in range(count)]
    edges = edges_of(setting)
    return max(
        min(difference[layout[a], layout[b]] for a, b in edges)
        for layout in set(permutations(fabrics))
    )


@pytest.mark.parametrize(
    ("setting", "copies"),
    [
        (Setting("straight", 2, 2, SIDE), (1, 1, 2)),
        (Setting("on point", 2, 2, SIDE), (2, 2, 1)),
        (Setting("straight", 3, 2, SIDE), (1, 1, 1, 1, 2)),
        (Setting("on point", 3, 2, SIDE), (2, 2, 2, 2)),
        (Setting("straight", 3, 3, SIDE), (3, 3, 3)),
        (Setting("straight", 8, 1, SIDE), (1, 3, 2, 2)),
    ],
)
@pytest.mark.parametrize("seed", range(3))
def test_small_layouts_reach_what_trying_every_layout_reaches(setting, copies, seed):
    difference = random_differences(len(copies), seed)
    found = reach(setting, difference, copies, seconds=0.1)
    assert found.proved
    assert found.best == found.bound == best_of_all_layouts(setting, difference, copies)
    assert least_difference(setting, difference, found.layout) == found.best
    assert [found.layout.count(fabric) for fabric in range(len(copies))] == list(copies)
