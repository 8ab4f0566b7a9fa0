"""Rounding to the ruler's marks: a length on a mark, but for binary noise, is that mark."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import floor, sqrt
from typing import TYPE_CHECKING

import pytest

from placement.inches import Inches
from placement.sizes import NOISE, round_down, round_up

Round = Callable[[float, Inches], Inches] if TYPE_CHECKING else object

STEP = Inches(Fraction(1, 8))
ON_A_MARK = [
    (6 * sqrt(2) * sqrt(2), Fraction(12)),  # 12.000000000000002
    (0.1 * 3 * 10, Fraction(3)),
    (sum([0.1] * 10) * 2, Fraction(2)),  # 1.9999999999999998
    (sqrt(2) ** 2 * 3.5, Fraction(7)),
    (7.000_000_000_000_1, Fraction(7)),
    (6.999_999_999_999_9, Fraction(7)),
]
"""Lengths that are on a mark by exact arithmetic, and the mark."""


def faults(rounding: Round) -> list[float]:
    """List lengths on a mark that a way of rounding moves to another."""
    return [noisy for noisy, mark in ON_A_MARK if rounding(noisy, STEP).value != mark]


@pytest.mark.parametrize("rounding", [round_up, round_down])
def test_noise_moves_no_length_off_its_mark(rounding: Round) -> None:
    assert faults(rounding) == []


def test_the_sign_of_the_noise_matters_and_is_judged() -> None:
    """Plant it: with the noise taken off, 1.9999999999999998 in falls an eighth short."""

    def planted(exact: float, step: Inches) -> Inches:
        return Inches(step.value * floor(exact / float(step) - NOISE))

    assert len(faults(planted)) >= 3
    assert planted(sum([0.1] * 10) * 2, STEP).value == Fraction(15, 8)
