"""What is told of neighbours is judged: worked by hand, and every planted fault is named."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, Any

import pytest

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.neighbours import judge_neighbours_told
from placement.inches import Inches
from placement.top.request import Quality
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Sequence

SIX = Inches.parse(6)
STRAIGHT = Setting("straight", 3, 2, SIX)
ON_POINT = Setting("on point", 2, 2, SIX)
"""Rows of 2, 1 and 2 blocks."""

FAR = {frozenset("ab"): 30.0, frozenset("ac"): 20.0, frozenset("bc"): 10.0}

LAID = ("a", "b", "a", "c", "a", "")
"""Row 1: a b a; row 2: c a and a hole. Beside each other: ab, ba, ac, ba, ca: 20 at least."""
TOLD = Quality(20.0, (0, 3), 15.0, 25.0, 30.0, proved=False, cause=None, copies_apart=sqrt(2),
               spread=0, evenness=0, balance=0, repeated_contacts=0)  # fmt: skip


def difference(one: str, other: str) -> float:
    return 0.0 if one == other else FAR[frozenset((one, other))]


def judged(setting: Setting, laid: Sequence[str], told: Quality) -> tuple[Fault, ...]:
    return judge_neighbours_told(setting, laid, "", difference, told)


def test_what_is_told_rightly_passes() -> None:
    assert judged(STRAIGHT, LAID, TOLD) == ()
    assert judged(STRAIGHT, LAID, replace(TOLD, closest_cells=(3, 4))) == ()


def test_on_point_blocks_side_by_side_in_a_row_are_a_diagonal_apart() -> None:
    """Middles of two squares that touch at a point: the diagonal, side times root 2."""
    laid = ("a", "a", "b", "c", "c")
    told = replace(TOLD, closest=10.0, closest_cells=(2, 3), copies_apart=sqrt(2))
    assert judged(ON_POINT, laid, told) == ()
    (found,) = judged(ON_POINT, laid, replace(told, copies_apart=2.0))
    assert found == fault(FaultKind.COPIES_APART, said=2.0, found=pytest.approx(sqrt(2)))


def test_where_no_two_share_an_edge_those_that_share_a_point_are_neighbours() -> None:
    told = replace(TOLD, closest=20.0, closest_cells=(0, 4), copies_apart=2.0)
    assert judged(STRAIGHT, ("a", "", "a", "", "c", ""), told) == ()


def test_one_block_alone_has_no_neighbours_and_no_copies() -> None:
    alone = replace(TOLD, closest=0.0, closest_cells=None, copies_apart=0.0)
    laid = ("a", "", "", "", "", "")
    assert judged(STRAIGHT, laid, alone) == ()


@pytest.mark.parametrize(
    ("wrong", "found"),
    [
        ({"closest": 20.4}, fault(FaultKind.CLOSEST, said=20.4, found=20.0)),
        ({"closest": 19.9}, fault(FaultKind.CLOSEST, said=19.9, found=20.0)),
        (
            {"closest_cells": (0, 1)},
            fault(FaultKind.CLOSEST_CELLS, first=Cell(0, 0), second=Cell(0, 1)),
        ),
        (
            {"closest_cells": (2, 3)},
            fault(FaultKind.CLOSEST_CELLS, first=Cell(0, 2), second=Cell(1, 0)),
        ),
        ({"closest_cells": None}, fault(FaultKind.CLOSEST_UNTOLD, found=20.0)),
        ({"copies_apart": 2.0}, fault(FaultKind.COPIES_APART, said=2.0, found=sqrt(2))),
        ({"copies_apart": 0.0}, fault(FaultKind.COPIES_APART, said=0.0, found=sqrt(2))),
        ({"reach": 19.0}, fault(FaultKind.REACH, said=19.0, found=20.0, bound=30.0)),
        ({"bound": 24.0}, fault(FaultKind.REACH, said=25.0, found=20.0, bound=24.0)),
    ],
)
def test_a_planted_fault_is_named(wrong: dict[str, Any], found: Fault) -> None:
    assert judged(STRAIGHT, LAID, replace(TOLD, **wrong)) == (found,)
