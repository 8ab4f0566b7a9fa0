"""Every judge passes sound results and names exactly the fault that was planted."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from placement.checks import judge_areas, judge_layout, judge_neighbours, judge_turns
from placement.inches import Inches
from placement.top.request import Request
from placement.top.setting.setting import Setting

SIDE = Inches(Fraction(8))
DIFFERENCE = np.array([[0.0, 30.0, 20.0], [30.0, 0.0, 10.0], [20.0, 10.0, 0.0]])
STRAIGHT = Setting("straight", 3, 2, SIDE)
SOUND = (0, 1, 0, 2, 0, -1)
"""Row 1: 0 1 0; row 2: 2 0 and a hole."""


@pytest.fixture
def wish():
    return Request(
        STRAIGHT,
        colours=np.zeros((3, 3)),
        difference=DIFFERENCE,
        copies=(3, 1, 1),
        pinned={0: 0},
        forbidden={1: (0, 2)},
        holes=frozenset({5}),
    )


def test_a_sound_layout_has_no_faults(wish):
    assert judge_layout(wish, SOUND) == ()
    assert judge_neighbours(wish, SOUND, 20.0) == ()


def test_a_layout_of_another_size_is_named_with_both_sizes(wish):
    assert judge_layout(wish, SOUND[:-1]) == ("the layout has 5 cells; the setting has 6",)


def test_a_fabric_that_is_not_there_is_named_and_missed_in_its_count(wish):
    assert judge_layout(wish, (0, 1, 0, 3, 0, -1)) == (
        "row 2, place 1 holds fabric 3; fabrics are 0 to 2",
        "fabric 2 fills 0 cells; it should fill 1",
    )


def test_a_filled_hole_and_an_empty_cell_are_named(wish):
    assert judge_layout(wish, (0, 1, 0, 2, -1, 0)) == (
        "row 2, place 2 is empty",
        "row 2, place 3 should be left plain; it holds fabric 0",
    )


def test_a_wrong_count_is_named_for_each_fabric(wish):
    assert judge_layout(wish, (0, 1, 0, 2, 1, -1)) == (
        "fabric 0 fills 2 cells; it should fill 3",
        "fabric 1 fills 2 cells; it should fill 1",
    )


def test_equal_shares_may_differ_by_one_and_no_more(wish):
    shared = replace(wish, copies=None, pinned={}, forbidden={})
    assert judge_layout(shared, (0, 1, 0, 1, 2, -1)) == ()
    assert judge_layout(shared, SOUND) == ("fabric 0 fills 3 cells; it should fill 1 or 2",)


def test_a_moved_pin_is_named(wish):
    assert judge_layout(wish, (2, 1, 0, 0, 0, -1)) == (
        "row 1, place 1 is pinned to fabric 0; it holds fabric 2",
    )


def test_a_forbidden_fabric_is_named(wish):
    assert judge_layout(wish, (0, 2, 0, 1, 0, -1)) == (
        "row 1, place 2 must not hold fabric 2; it does",
    )


def test_neighbours_that_are_too_alike_are_named_with_both_cells(wish):
    # 1 and 2 differ by 10 and meet once, in the middle column.
    assert judge_neighbours(wish, (0, 1, 0, 0, 2, -1), 15.0) == (
        (
            "row 1, place 1 and row 2, place 1 hold fabrics 0 and 0, "
            "which differ by 0.0; at least 15.0 is wanted"
        ),
        (
            "row 1, place 2 and row 2, place 2 hold fabrics 1 and 2, "
            "which differ by 10.0; at least 15.0 is wanted"
        ),
    )


def test_on_point_neighbours_lie_in_the_rows_between():
    setting = Setting("on point", 2, 2, SIDE)  # two, one, two
    request = Request(setting, np.zeros((3, 3)), DIFFERENCE, (2, 1, 2))
    assert judge_neighbours(request, (0, 0, 1, 2, 2), 15.0) == (
        (
            "row 2, place 2 and row 3, place 1 hold fabrics 1 and 2, "
            "which differ by 10.0; at least 15.0 is wanted"
        ),
        (
            "row 2, place 2 and row 3, place 3 hold fabrics 1 and 2, "
            "which differ by 10.0; at least 15.0 is wanted"
        ),
    )


def test_where_no_blocks_share_an_edge_those_sharing_a_point_are_judged():
    setting = Setting("straight", 3, 2, SIDE, alternate=True)  # a corner, a corner, the middle
    request = Request(setting, np.zeros((3, 3)), DIFFERENCE, (1, 1, 1))
    assert judge_neighbours(request, (0, 1, 2), 15.0) == (
        (
            "row 1, place 3 and row 2, place 2 hold fabrics 1 and 2, "
            "which differ by 10.0; at least 15.0 is wanted"
        ),
    )


def test_turned_blocks_that_alternate_have_no_faults():
    assert judge_turns(STRAIGHT, (1, 3, 5)) == ()


def test_two_upright_and_two_turned_neighbours_are_named():
    assert judge_turns(Setting("straight", 4, 1, SIDE), (2, 3)) == (
        "row 1, place 1 and row 1, place 2 share an edge and are both upright",
        "row 1, place 3 and row 1, place 4 share an edge and are both turned",
    )


def test_a_turned_hole_is_named():
    assert judge_turns(Setting("straight", 3, 1, SIDE), (1,), {1}) == (
        "cell 1 is turned; there is no block in it",
    )


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("alternate", [False, True])
def test_blocks_and_triangles_fill_the_top(kind, alternate):
    for across in range(1, 8):
        for down in range(1, 8):
            assert judge_areas(Setting(kind, across, down, SIDE, alternate)) == ()


class TooFewTriangles(Setting):
    """A setting that forgets two side triangles, worth one block of 64 square inches."""

    @property
    def side_triangles(self):
        """Two fewer than 2(a + b - 2)."""
        return 2 * (self.across + self.down - 3)


class BlockTwice(Setting):
    """A setting that lists its first cell twice."""

    def cells(self):
        """Every cell, the first one twice."""
        first, *rest = Setting.cells(self)
        return (first, first, *rest)


def test_missing_triangles_are_named_with_both_areas():
    assert judge_areas(TooFewTriangles("on point", 2, 2, SIDE)) == (
        "blocks, sashing and triangles cover 448.00 square inches; width x height is 512.00",
    )


class WithoutOuterSashing(Setting):
    """A straight setting that forgets the sashing along its right side."""

    @property
    def width(self):
        """One strip too little."""
        return Setting.width.fget(self) - float(self.sashing)


@pytest.mark.parametrize("kind", ["on point", "straight"])
@pytest.mark.parametrize("size", [(1, 1), (3, 2), (4, 5), (6, 7)])
def test_blocks_sashing_cornerstones_and_triangles_fill_the_quilt(kind, size):
    assert judge_areas(Setting(kind, *size, SIDE, sashing=Inches.parse("1 1/2"))) == ()


def test_sashing_forgotten_on_one_side_is_named():
    # 2 x 2 blocks of 8 in and 1 in sashing: 256 of blocks, 12 strips of 8, 9 squares; 19 x 18.
    assert judge_areas(WithoutOuterSashing("straight", 2, 2, SIDE, sashing=Inches.parse(1))) == (
        "blocks, sashing and triangles cover 361.00 square inches; width x height is 342.00",
    )


def test_a_cell_listed_twice_is_named():
    assert judge_areas(BlockTwice("straight", 2, 2, SIDE)) == (
        "5 cells are listed for 4 blocks",
        "row 1, place 1 is listed more than once",
    )
