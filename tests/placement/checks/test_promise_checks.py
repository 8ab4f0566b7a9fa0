"""What a layout is said not to keep is judged: worked by hand, and every planted fault is named."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from placement.checks.fault import Fault, FaultKind
from placement.checks.promises import judge_promises, off_centre, unevenness
from placement.inches import Inches
from placement.top.arrange.arrange import measure
from placement.top.request import Promise, Quality, Reach, Request
from placement.top.setting.setting import Cell, Setting

if TYPE_CHECKING:
    from collections.abc import Sequence

FIVE = Setting("straight", 5, 5, Inches.parse(6))
LATIN = [(column + 2 * row) % 5 for row in range(5) for column in range(5)]
"""A Knut Vik design (Hedayat 1977): each class once in every row, column and diagonal."""


def laid(layout: Sequence[int]) -> dict[Cell, str]:
    cells = [Cell(row, column) for row in range(5) for column in range(5)]
    return {cell: str(fabric) for cell, fabric in zip(cells, layout, strict=True)}


def request_of(setting: Setting, kinds: int) -> Request:
    colours = np.random.default_rng(2).uniform([20, -40, -40], [90, 40, 40], (kinds, 3))
    far = np.sqrt(((colours[:, None] - colours[None]) ** 2).sum(axis=-1))
    return Request(setting, colours, far)


def judged(request: Request, layout: Sequence[int], told: Quality) -> tuple[Fault, ...]:
    return judge_promises(
        request.setting,
        [str(fabric) for fabric in layout],
        "-1",
        lambda one, other: float(request.difference[int(one), int(other)]),
        {str(fabric): float(lab[0]) for fabric, lab in enumerate(request.colours)},
        told,
    )


def test_a_knut_vik_design_is_even_and_stripes_are_not() -> None:
    assert unevenness(laid(LATIN)) == 0
    assert unevenness(laid([column for _ in range(5) for column in range(5)])) > 1


def test_light_on_one_side_lies_off_the_centre() -> None:
    """White in the left column of two, black in the right: the whole way to the side."""
    two = {Cell(0, 0): "white", Cell(0, 1): "black"}
    assert off_centre(two, {"white": 90.0, "black": 0.0}) == 1.0
    assert off_centre(two, {"white": 50.0, "black": 50.0}) == 0.0


@pytest.mark.parametrize("setting", [FIVE, Setting("on point", 4, 4, Inches.parse(6))])
def test_what_is_measured_passes_and_every_promise_told_wrongly_is_named(setting: Setting) -> None:
    request = request_of(setting, 5)
    rng = np.random.default_rng(7)
    reach = Reach(30.0, 60.0, False, None, ())
    for _ in range(12):
        layout = rng.permutation(np.resize(np.arange(5), len(setting.cells()))).tolist()
        copies = tuple(np.bincount(layout, minlength=5).tolist())
        told = measure(replace(request, copies=copies), layout, reach)
        assert judged(request, layout, told) == ()
        for promise in Promise:
            turned = tuple({*told.broken} ^ {promise})
            (found,) = judged(request, layout, replace(told, broken=turned))
            assert (found.kind, found["promise"]) == (FaultKind.PROMISE, promise)
