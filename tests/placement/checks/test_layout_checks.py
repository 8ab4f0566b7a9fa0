"""Every judge passes sound results and names exactly the fault that was planted."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from placement.checks import Fault, FaultKind, judge_layout, judge_neighbours, judge_turns
from placement.checks.fault import fault
from placement.inches import Inches
from placement.top.request import Request
from placement.top.setting.setting import Cell, Setting

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


def _share(fabric: int, found: int, least: int, most: int) -> Fault:
    return fault(FaultKind.SHARE, fabric=fabric, found=found, least=least, most=most)


def _alike(
    first: Cell, second: Cell, fabrics: tuple[int, int], apart: float, limit: float
) -> Fault:
    one, other = fabrics
    return fault(FaultKind.ALIKE, first=first, second=second, fabric=one, other=other,
                 apart=apart, limit=limit)  # fmt: skip


def test_a_sound_layout_has_no_faults(wish):
    assert judge_layout(wish, SOUND) == ()
    assert judge_neighbours(wish, SOUND, 20.0) == ()


@pytest.mark.parametrize("wrong", [SOUND[:-1], (*SOUND, 0), ()])
def test_a_layout_too_short_or_too_long_is_named_with_both_sizes(wish, wrong):
    assert judge_layout(wish, wrong) == (fault(FaultKind.LAYOUT_LENGTH, said=len(wrong), found=6),)


def test_a_fabric_that_is_not_there_is_named_and_missed_in_its_count(wish):
    assert judge_layout(wish, (0, 1, 0, 3, 0, -1)) == (
        fault(FaultKind.UNKNOWN_FABRIC, cell=Cell(1, 0), fabric=3),
        _share(2, 0, 1, 1),
    )


def test_a_filled_hole_and_an_empty_cell_are_named(wish):
    assert judge_layout(wish, (0, 1, 0, 2, -1, 0)) == (
        fault(FaultKind.CELL_EMPTY, cell=Cell(1, 1)),
        fault(FaultKind.HOLE_FILLED, cell=Cell(1, 2), fabric=0),
    )


def test_a_wrong_count_is_named_for_each_fabric(wish):
    assert judge_layout(wish, (0, 1, 0, 2, 1, -1)) == (_share(0, 2, 3, 3), _share(1, 2, 1, 1))


def test_equal_shares_may_differ_by_one_and_no_more(wish):
    shared = replace(wish, copies=None, pinned={}, forbidden={})
    assert judge_layout(shared, (0, 1, 0, 1, 2, -1)) == ()
    assert judge_layout(shared, SOUND) == (_share(0, 3, 1, 2),)


def test_a_moved_pin_is_named(wish):
    assert judge_layout(wish, (2, 1, 0, 0, 0, -1)) == (
        fault(FaultKind.PIN_MOVED, cell=Cell(0, 0), fabric=0, found=2),
    )


def test_a_forbidden_fabric_is_named(wish):
    assert judge_layout(wish, (0, 2, 0, 1, 0, -1)) == (
        fault(FaultKind.BANNED, cell=Cell(0, 1), fabric=2),
    )


def test_neighbours_that_are_too_alike_are_named_with_both_cells(wish):
    # 1 and 2 differ by 10 and meet once, in the middle column.
    assert judge_neighbours(wish, (0, 1, 0, 0, 2, -1), 15.0) == (
        _alike(Cell(0, 0), Cell(1, 0), (0, 0), 0.0, 15.0),
        _alike(Cell(0, 1), Cell(1, 1), (1, 2), 10.0, 15.0),
    )


def test_on_point_neighbours_lie_in_the_rows_between():
    setting = Setting("on point", 2, 2, SIDE)  # two, one, two
    request = Request(setting, np.zeros((3, 3)), DIFFERENCE, (2, 1, 2))
    assert judge_neighbours(request, (0, 0, 1, 2, 2), 15.0) == (
        _alike(Cell(1, 1), Cell(2, 0), (1, 2), 10.0, 15.0),
        _alike(Cell(1, 1), Cell(2, 2), (1, 2), 10.0, 15.0),
    )


def test_where_no_blocks_share_an_edge_those_sharing_a_point_are_judged():
    setting = Setting("straight", 3, 2, SIDE, alternate=True)  # a corner, a corner, the middle
    request = Request(setting, np.zeros((3, 3)), DIFFERENCE, (1, 1, 1))
    assert judge_neighbours(request, (0, 1, 2), 15.0) == (
        _alike(Cell(0, 2), Cell(1, 1), (1, 2), 10.0, 15.0),
    )


def test_blocks_that_touch_at_a_point_on_point_are_judged():
    # With plain blocks in the rows between, three main blocks meet their neighbours in points,
    # side by side and one below the other; 2 x 2: cells 0 1 above 2 3.
    setting = Setting("on point", 2, 2, SIDE, alternate=True)
    request = Request(setting, np.zeros((3, 3)), DIFFERENCE, (2, 1, 1))
    assert judge_neighbours(request, (0, 1, 2, 0), 15.0) == ()
    assert judge_neighbours(request, (1, 2, 0, 0), 15.0) == (
        _alike(Cell(0, 0), Cell(0, 2), (1, 2), 10.0, 15.0),
        _alike(Cell(2, 0), Cell(2, 2), (0, 0), 0.0, 15.0),
    )
    assert judge_neighbours(request, (1, 0, 2, 0), 15.0) == (
        _alike(Cell(0, 0), Cell(2, 0), (1, 2), 10.0, 15.0),
        _alike(Cell(0, 2), Cell(2, 2), (0, 0), 0.0, 15.0),
    )


def test_turned_blocks_that_alternate_have_no_faults():
    assert judge_turns(STRAIGHT, (1, 3, 5)) == ()


def test_two_upright_and_two_turned_neighbours_are_named():
    assert judge_turns(Setting("straight", 4, 1, SIDE), (2, 3)) == (
        fault(FaultKind.TURNED_ALIKE, first=Cell(0, 0), second=Cell(0, 1), turned=0),
        fault(FaultKind.TURNED_ALIKE, first=Cell(0, 2), second=Cell(0, 3), turned=1),
    )


def test_a_turned_hole_is_named():
    assert judge_turns(Setting("straight", 3, 1, SIDE), (1,), {1}) == (
        fault(FaultKind.TURNED_NOTHING, number=1),
    )
