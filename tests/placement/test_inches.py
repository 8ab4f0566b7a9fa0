"""Exact lengths: the text form, units and order."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from placement.inches import MM_PER_INCH, Inches

eighths = st.integers(0, 8 * 500).map(lambda count: Inches(Fraction(count, 8)))
tape_measure = st.builds(
    lambda whole, top, power: Inches(whole + Fraction(top, 2**power)),
    st.integers(0, 500),
    st.integers(0, 63),
    st.integers(0, 6),
)
tenths_of_mm = st.integers(0, 50_000).map(lambda count: Inches(Fraction(count, 10) / MM_PER_INCH))
any_length = st.fractions(min_value=0, max_value=500).map(Inches)


@given(st.one_of(eighths, tape_measure, tenths_of_mm, any_length))
def test_the_text_form_reads_back_as_the_same_length(length):
    assert Inches.parse(str(length)) == length


@given(st.one_of(tape_measure, tenths_of_mm))
def test_json_loses_nothing(length):
    adapter = TypeAdapter(Inches)
    assert adapter.validate_json(adapter.dump_json(length)) == length


@given(st.integers(0, 10_000))
def test_whole_millimetres_are_exact(count):
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    length = Inches.parse(f"{count} mm")
    assert length.value == Fraction(count * 5, 127)
    assert length.mm == count


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("8", 8),
        ("8 1/2", Fraction(17, 2)),
        ("8-1/2", Fraction(17, 2)),
        ("1/4", Fraction(1, 4)),
        (".25", Fraction(1, 4)),
        ('2.5"', Fraction(5, 2)),
        ("2 1/2 in", Fraction(5, 2)),
        ("2 1/2 inches", Fraction(5, 2)),
        ("1 inch", 1),
        ("25.4 mm", 1),
        ("25.4mm", 1),
        ("2.54 cm", 1),
        (" 3 ", 3),
        (0, 0),
        ("8½", Fraction(17, 2)),
        ("8 ½", Fraction(17, 2)),
        ("½", Fraction(1, 2)),
        ("11⅞″", Fraction(95, 8)),
        ("8 1⁄2”", Fraction(17, 2)),
        ("8–1/2 in.", Fraction(17, 2)),
        ("8\u00a01/2", Fraction(17, 2)),
        ("8,5", Fraction(17, 2)),
        ("2,54 cm", 1),
        ("0,125", Fraction(1, 8)),
    ],
)
def test_lengths_are_read_as_people_write_them(text, inches):
    assert Inches.parse(text).value == inches


@pytest.mark.parametrize(
    "text",
    [
        "",
        "wide",
        "1/0",
        "2 1/",
        "-3",
        "1 2",
        "8 1/2 ft",
        "mm",
        "1/2/3",
        "nan",
        "1e3",
        "21/2/",
        "½8",
        "8½½",
        "8²",
        "−3",
        "8--1/2",
        "5'",
        "8,5,5",
        "8.5.5",
    ],
)
def test_what_is_not_a_length_is_refused_with_its_text(text):
    with pytest.raises(ValueError, match="is not a length") as refused:
        Inches.parse(text)
    assert repr(text) in str(refused.value)


def test_a_number_alone_is_centimetres_in_metric_work():
    # By definition an inch is 25.4 mm, so 20 cm are 1000/127 in.
    assert Inches.parse("20", "metric") == Inches.parse("200 mm")
    assert Inches.parse("7,5", "metric") == Inches.parse("75 mm")
    for text in ("8 in", '8"', "20 mm", "2 yd"):
        assert Inches.parse(text, "metric") == Inches.parse(text)
    with pytest.raises(ValueError, match="'2 1/2' has no unit: a number alone means centimetres"):
        Inches.parse("2 1/2", "metric")


@pytest.mark.parametrize("text", ["1,000", "12,500 mm"])
def test_a_comma_that_may_mean_thousands_is_asked_about(text):
    with pytest.raises(ValueError, match="thousands or a decimal") as refused:
        Inches.parse(text)
    assert repr(text) in str(refused.value)


# Unicode 15, Number Forms and Latin-1: the fractions that phones write for those on a ruler.
VULGAR = {
    Fraction(1, 8): "⅛", Fraction(1, 4): "¼", Fraction(3, 8): "⅜", Fraction(1, 2): "½",
    Fraction(5, 8): "⅝", Fraction(3, 4): "¾", Fraction(7, 8): "⅞",
}  # fmt: skip


def _written(length):
    """Every way to write a length of the ruler in inches."""
    whole, rest = divmod(length, 1)
    yield f"{float(length):.10f}".rstrip("0").rstrip(".")
    if not rest:
        yield str(whole)
        return
    mixed = [f"{rest.numerator}/{rest.denominator}", f"{rest.numerator}⁄{rest.denominator}"]
    for part in mixed:
        if whole:
            yield from (f"{whole}{between}{part}" for between in (" ", "-", "–", "\u00a0", " - "))
        else:
            yield part
    if rest in VULGAR:
        yield from (f"{whole or ''}{blank}{VULGAR[rest]}" for blank in ("", " ", "\u2009", "-")
                    if whole or blank != "-")  # fmt: skip


MARKS = ("", '"', ' "', "″", "”", "''", "’’", " in", "in", " in.", " inch", " inches", " INCHES")


@given(st.integers(0, 200), st.integers(0, 63), st.integers(0, 6), st.sampled_from(MARKS))
def test_every_form_of_every_length_on_the_ruler_reads_back_as_that_length(whole, top, power, mark):
    length = whole + Fraction(top, 2**power)
    for written in _written(length):
        assert Inches.parse(f"{written}{mark}").value == length, written
        assert Inches.parse(f"  {written}{mark} ").value == length, written


@given(st.integers(0, 30_000), st.sampled_from(["mm", " mm", " mm.", "MM", "\u202fmm"]))
def test_every_form_of_every_tenth_of_a_millimetre_reads_back(tenths, unit):
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    length = Fraction(tenths, 254)
    for mark in ".,":
        assert Inches.parse(f"{tenths // 10}{mark}{tenths % 10}{unit}").value == length
        in_cm = f"{tenths // 100}{mark}{tenths % 100:02d}{unit.lower().replace('mm', 'cm')}"
        assert Inches.parse(in_cm).value == length


def test_a_negative_length_is_refused():
    with pytest.raises(ValueError, match="can't be negative: -1/2"):
        Inches(Fraction(-1, 2))


@given(any_length, any_length)
def test_lengths_are_ordered_as_their_inches(one, other):
    assert (one < other) == (one.value < other.value)
    assert (one >= other) == (one.value >= other.value)


@pytest.mark.parametrize(
    ("length", "text"),
    [("17/2", "8 1/2"), ("3/4", "3/4"), ("9", "9"), ("300/127", "60 mm"), ("0", "0")],
)
def test_the_text_is_what_a_ruler_shows(length, text):
    assert str(Inches(Fraction(length))) == text
