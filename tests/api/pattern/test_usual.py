"""What a plan begins with can be cut with an ordinary ruler."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from api.cli.decisions import begun
from api.pattern.usual import usual_brief, with_easy_size
from placement.block import block_names
from placement.inches import Inches

if TYPE_CHECKING:
    from placement.inches import Units


# Common practice: rulers are marked in sixteenths of an inch at the finest, or in millimetres.
@pytest.mark.parametrize(
    ("units", "marks"), [("inches", Fraction(16)), ("metric", Fraction(254, 10))]
)
@pytest.mark.parametrize("name", block_names())
def test_every_block_begins_on_the_rulers_marks(name: str, units: Units, marks: Fraction) -> None:
    usual = usual_brief(units)
    brief = with_easy_size(replace(usual, block=name))
    size = brief.setting.block_size.value
    parts = {part for patch in brief.pattern().patches for part in (patch.width, patch.height)}
    assert all((part * size * marks).denominator == 1 for part in parts)
    assert abs(size - usual.setting.block_size.value) <= Fraction(1, 2)


def test_a_size_that_is_asked_for_is_kept() -> None:
    usual = usual_brief()
    asked = {"block": "nine-patch", "setting": {"block_size": Inches.parse("8 1/2")}}
    assert begun(usual, asked).setting.block_size == Inches.parse("8 1/2")
    assert begun(usual, {"block": "nine-patch"}).setting.block_size == Inches.parse("8 1/4")
