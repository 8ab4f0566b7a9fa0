"""Counts, lists, lengths and names as English writes them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.wording.english import (
    clean,
    length,
    listed,
    measure,
    number,
    percent,
    plural_of,
    quoted,
    tenths,
)
from placement.inches import Inches

NAMES = st.text(min_size=1, max_size=60)


# Plurals of the trade's nouns: dictionary forms.
@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("fabric", "fabrics"),
        ("flying goose", "flying geese"),
        ("half", "halves"),
        ("patch", "patches"),
        ("nine patch block", "nine patch blocks"),
        ("foot", "feet"),
    ],
)
def test_nouns_have_their_plural(one: str, many: str) -> None:
    assert plural_of(one) == many
    assert number(1, one) == f"1 {one}"
    assert number(0, one) == f"0 {many}"
    assert number(12, one) == f"12 {many}"


def test_a_phrase_may_bring_its_own_plural() -> None:
    assert number(2, "square of 4 in", "squares of 4 in") == "2 squares of 4 in"


@pytest.mark.parametrize(
    ("words", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_lists_end_in_and(words: list[str], text: str) -> None:
    assert listed(words) == text


@given(NAMES)
def test_a_name_stands_whole_between_marks_that_are_not_its_own(name: str) -> None:
    text = quoted(name)
    assert text[1:-1] == clean(name)
    assert text[0] not in "'\"" or text[0] not in clean(name)


@given(NAMES)
def test_no_name_controls_what_follows_it(name: str) -> None:
    assert clean(name).isprintable() or set(clean(name)) & set("\u200c\u200d")
    assert "\n" not in quoted(name)


@given(st.fractions(min_value=0, max_value=200))
def test_a_finished_length_is_told_to_an_eighth(inches: Fraction) -> None:
    told = Inches.parse(length(float(inches)).removesuffix(" in"))
    assert abs(told.value - inches) <= Fraction(1, 16) + Fraction(1, 10**9)


def test_cut_sizes_are_exact_in_either_unit() -> None:
    # An inch is 25.4 mm (International yard and pound agreement, 1959).
    assert measure(Inches.parse("2 1/2"), "inches") == "2 1/2 in"
    assert measure(Inches.parse("65 mm"), "metric") == "6.5 cm"
    assert measure(1.0, "metric") == "2.5 cm"


@given(st.floats(0, 100), st.floats(1, 100))
def test_what_lies_under_a_limit_lies_under_it_in_print(value: float, limit: float) -> None:
    limit = round(limit, 1)
    if value < limit:
        assert float(tenths(value, under=limit)) < limit
    assert abs(float(tenths(value, under=limit)) - value) <= 0.1 + 1e-9


def test_shares_are_whole_percent() -> None:
    assert percent(0.498) == "50 %"
    assert percent(0.498, under=0.5) == "49 %"


@pytest.mark.parametrize(
    ("inches", "units", "text"),
    [(72.1249, "inches", "72 1/8 in"), (0.5, "inches", "1/2 in"), (10, "metric", "25.5 cm")],
)
def test_lengths_are_written_as_people_say_them(inches: float, units: str, text: str) -> None:
    assert length(inches, units) == text
