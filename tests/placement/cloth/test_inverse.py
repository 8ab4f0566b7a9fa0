"""What if: sizes of an uneven nine-patch against the forms of cloth, derived by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from placement.block import Block, load_block, parse_block
from placement.cloth.forms import Form, FormKind, form_of
from placement.cloth.inverse import WhatIf, tried, what_if
from placement.cloth.pieces import Terms
from placement.inches import Inches
from placement.sizes import FIVE_MM


def _uneven(*columns: int) -> Block:
    data: dict[str, object] = {
        "name": "Uneven nine patch",
        "columns": list(columns),
        "rows": list(columns),
        "patches": ["F B F", "B F B", "F B F"],
    }
    return parse_block(data)


def _asked(block: Block, form: Form, least: str, most: str) -> dict[str, WhatIf]:
    rows = what_if(block, form, Inches.parse(least), Inches.parse(most), Terms())
    return {str(row.finished): row for row in rows}


@pytest.mark.slow
@pytest.mark.parametrize("columns", [(4, 9, 4), (2, 3, 2)])
def test_four_blocks_from_a_fat_eighth_allow_finished_height_less_six_seams(
    columns: tuple[int, int, int],
) -> None:
    # Derived: strips of centre + 2q and twice corner + 2q are F + 6q = 8 1/2 in, so F = 7;
    # as sold, 9 in, F = 7 1/2.
    rows = _asked(_uneven(*columns), form_of(FormKind.FAT_EIGHTH), "6 3/4", "7 3/4")
    usable = [row.finished for row in rows.values() if row.usable.blocks >= 4]
    nominal = [row.finished for row in rows.values() if row.nominal.blocks >= 4]
    assert (str(max(usable)), str(max(nominal))) == ("7", "7 1/2")
    assert str(rows["7"].usable.spare) == "0"


def test_a_ten_inch_square_gives_two_blocks_of_eight_and_a_half_to_the_last_thread() -> None:
    # Derived: two 5 in squares and two strips of four 2 1/2 in squares.
    row = _asked(_uneven(4, 9, 4), form_of(FormKind.TEN_INCH_SQUARE), "8 1/2", "8 1/2")["8 1/2"]
    assert (row.usable.blocks, row.usable.whole, row.on_ruler) == (2, True, True)


def test_trimming_a_ten_inch_square_costs_a_whole_size_and_both_are_shown() -> None:
    trimmed = replace(
        form_of(FormKind.TEN_INCH_SQUARE), width=Inches.parse("9 3/4"), height=Inches.parse("9 3/4")
    )
    rows = _asked(_uneven(4, 9, 4), trimmed, "8", "8 3/4")
    two = {size: (row.nominal.blocks, row.usable.blocks) for size, row in rows.items()}
    assert two["8 1/2"] == (2, 1)
    assert two["8"] == (2, 2)
    assert rows["8 1/2"].nominal.whole
    assert not rows["8 1/2"].usable.whole


def test_a_block_too_large_for_the_cloth_gives_none() -> None:
    row = _asked(_uneven(4, 9, 4), form_of(FormKind.FIVE_INCH_SQUARE), "12", "12")["12"]
    assert (row.usable.blocks, row.usable.waste, row.usable.whole) == (0, 1.0, False)


def test_a_plain_square_fills_a_five_inch_square() -> None:
    # F + 2q = 4 1/2 + 1/2.
    rows = _asked(load_block("plain-square"), form_of(FormKind.FIVE_INCH_SQUARE), "4", "5")
    assert [size for size, row in rows.items() if row.usable.whole] == ["4 1/2"]


def test_open_ended_cloth_and_sizes_without_a_range_are_refused() -> None:
    four, five = Inches.parse(4), Inches.parse(5)
    with pytest.raises(ValueError, match="choose a pre-cut"):
        what_if(load_block("nine-patch"), form_of(FormKind.YARDAGE), four, five, Terms())
    with pytest.raises(ValueError, match="make no range"):
        what_if(load_block("nine-patch"), form_of(FormKind.FAT_EIGHTH), five, four, Terms())


def test_metric_sizes_are_those_of_a_metric_ruler() -> None:
    # With seams of 7.5 mm every size on the ruler cuts on the ruler; common practice.
    terms = Terms(Inches.parse("7.5 mm"), FIVE_MM)
    least, most = Inches.parse("18 cm"), Inches.parse("21 cm")
    quarter = form_of(FormKind.FAT_QUARTER, "metric")
    rows = what_if(load_block("nine-patch"), quarter, least, most, terms)
    assert [row.finished.mm for row in rows] == [180, 185, 190, 195, 200, 205, 210]
    assert [row.finished.mm for row in rows if row.on_ruler] == [180, 195, 210]
    assert tuple(side.mm for side in tried("metric")) == (100, 300)
