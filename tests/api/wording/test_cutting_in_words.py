"""What is said of cutting: pieces, verdicts with the fabric they speak of, names unharmed."""

from __future__ import annotations

from dataclasses import astuple, replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from api.booklet.chapters.cutting import cutting
from api.booklet.chapters.needs import needs
from api.booklet.edition import Edition
from api.booklet.source import source
from api.pattern.brief import Band
from api.pattern.cut_book import cut_book
from api.pattern.planner import look
from api.pattern.sewing import OwnCloth, Sewing
from api.web.wire.cutting_table import cutting_table
from api.wording.cutting import cutting_text, problem_lines
from api.wording.english import clean
from api.wording.lengths import Lengths
from api.wording.pieces import Hand
from api.wording.verdict import sentence
from placement.block import load_block
from placement.cloth.cutting import Cloth, Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.inverse import what_if
from placement.cloth.strips import cut
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan

SQUARE, SMALL = Use(PieceKind.PATCH), Use(PieceKind.SMALL_GOOSE)


def _piece(use: Use, side: str, count: int) -> Piece:
    return Piece(use, "", Inches.parse(side), Inches.parse(side), count)


def _said(kind: FormKind, *pieces: Piece, units: str = "inches", count: int = 1) -> str:
    cloth = Cloth("", form_of(kind, units), count)  # type: ignore[arg-type]
    return sentence(cut(pieces, cloth), Hand(Lengths(units)))  # type: ignore[arg-type]


def test_pieces_are_counted_as_people_say() -> None:
    nine, two = Inches.parse(9), Inches.parse(2)
    hand = Hand(borders=2)
    assert hand.counted(SQUARE, nine, nine, 1) == "1 square of 9 in"
    assert hand.counted(Use(PieceKind.PLAIN_BLOCK), nine, nine, 3) == "3 plain blocks of 9 in"
    assert hand.counted(SQUARE, nine, two, 2) == "2 rectangles of 9 in x 2 in"
    # Of a strip its width is told first, then its length.
    assert hand.counted(Use(PieceKind.SASH), nine, two, 2) == "2 sashing strips of 2 in x 9 in"
    assert hand.counted(Use(PieceKind.BORDER, 2), nine, two, 1) == (
        "1 outer border strip of 2 in x 9 in"
    )


def test_print_writes_the_same_lengths_in_its_own_hand() -> None:
    half = Inches.parse("2 1/2")
    assert Lengths(printed=True).sides(half, half) == '2\u00a01/2"'
    assert Lengths("metric", printed=True).cut(Inches.parse("65 mm")) == "6.5\u00a0cm"
    # A length that is hers in millimetres stays so in a plan in inches.
    assert Lengths().cut(Inches.parse("65 mm")) == "65 mm"


def test_verdicts_are_told_with_their_numbers() -> None:
    # Common practice: a 5 in and a 2 1/2 in strip fill 7 1/2 of 8 1/2 in; a second 2 1/2 in strip
    # makes 10 in, an inch more than the 9 in as sold.
    eighth = FormKind.FAT_EIGHTH
    assert _said(eighth, _piece(SQUARE, "5", 4), _piece(SMALL, "2 1/2", 8)) == (
        "Fits a fat eighth with 1 in of height to spare."
    )
    short = _said(eighth, _piece(SQUARE, "5", 4), _piece(SMALL, "2 1/2", 16))
    assert short.startswith("Short by 1 1/2 in: the strips take 10 in")
    assert "(9 in x 21 in as sold: short by 1 in)" in short
    assert "no place for 8 small squares of 2 1/2 in for flying geese" in short
    assert _said(FormKind.YARDAGE, _piece(Use(PieceKind.PLAIN_BLOCK), "41", 1)).startswith(
        "A plain block of 41 in x 41 in does not fit yardage (40 in wide usable)"
    )
    assert _said(FormKind.YARDAGE) == "Nothing is to be cut from yardage."
    assert "the strips take 24 cm" in _said(eighth, _piece(SQUARE, "60 mm", 30), units="metric")


def _quilt(brief: Brief, *names: str, **sewing: object) -> Plan:
    """Return four nine-patches of 9 in in as many fabrics as there are names."""
    swatches = tuple(
        replace(swatch, fabric=replace(swatch.fabric, name=name))
        for swatch, name in zip(brief.swatches, names, strict=False)
    )
    made = replace(
        brief, swatches=swatches, block="nine-patch", setting=Setting("straight", 2, 2,
        Inches.parse(9)), borders=(Band(Inches.parse(2), swatches[0].fabric.id),),
        binding_fabric=swatches[-1].fabric.id, sewing=Sewing(**sewing),  # type: ignore[arg-type]
    )  # fmt: skip
    ids = [swatch.fabric.id for swatch in swatches]
    return replace(look(made), layout=Layout(made.setting, tuple((ids * 4)[:4])))


def _strings(values: object) -> Iterator[str]:
    """Yield every text inside values."""
    if isinstance(values, str):
        yield values
    elif isinstance(values, tuple):
        for value in values:
            yield from _strings(value)


INKED = 'Moss: dark, no. 2 (and "ink")'
TRICKY = st.text(st.sampled_from("ab:;,.()\"'’=/<>&{}x×21 in"), min_size=1, max_size=20)


@settings(max_examples=15)
@example(INKED)
@example("Moss: 2 in x 3 in, for side triangles")
@example("1'\"")
@given(TRICKY.map(clean).filter(bool))
def test_any_name_goes_through_table_text_and_booklet_unharmed(brief: Brief, name: str) -> None:
    plan = _quilt(brief, name, "Fern", "Clay")
    book, first = cut_book(plan), plan.brief.swatches[0].fabric.id
    table = cutting_table(plan, book, 1)
    assert next(row.name for row in table.cloths if row.fabric == first) == name
    whats = [amount.what for amount in table.amounts]
    assert name in whats
    assert f"Border of {name}, butted" in whats
    text = cutting_text(plan, book)
    assert f"\n{name}, yardage\n" in text
    assert f"- Border of {name}, butted: cut 2 1/2 in wide" in text
    ready = source(plan, {}, Edition())
    assert any(name in words for words in _strings(astuple(needs(ready))))
    assert any(name in words for words in _strings(astuple(cutting(ready))))
    assert all(piece.kind in PieceKind for piece in book.pieces)


def test_every_verdict_says_of_which_fabric_it_speaks(brief: Brief) -> None:
    # By hand: a nine patch of 9 in has five squares of 3 1/2 in of its fabric and four of the
    # other; a five-inch square holds one.
    own = OwnCloth("solid-1", FormKind.FIVE_INCH_SQUARE, 1)
    plan = _quilt(brief, "Moss: dark", INKED, "Clay", cloths=(own,))
    (line,) = problem_lines(plan, cut_book(plan))
    assert line.startswith(f"{INKED}: ")


@pytest.mark.parametrize(("side", "enough"), [("4 1/2", 4), ("9 1/2", 4)])
def test_as_many_whole_squares_as_there_are_blocks_suffice(
    brief: Brief, side: str, enough: int
) -> None:
    # By hand: a plain square finished 4 1/2 in (9 1/2 in) is the whole of a five-inch (ten-inch)
    # square, so four blocks take four; cut list and booklet say so.
    form = FormKind.FIVE_INCH_SQUARE if side == "4 1/2" else FormKind.TEN_INCH_SQUARE
    plan = _quilt(brief, "Moss", form=form)
    setting = replace(plan.brief.setting, block_size=Inches.parse(side))
    plain = {"block": "plain-square", "setting": setting, "borders": (), "binding_fabric": ""}
    moved = replace(plan.brief, **plain)  # type: ignore[arg-type]
    plan = replace(look(moved), layout=Layout(setting, ("solid-0",) * 4))
    (cloth, *_) = cut_book(plan).problems
    assert cloth.enough == enough
    assert f"{enough} {form.value}s suffice" in cutting_text(plan, cut_book(plan))
    ready = source(plan, {}, Edition())
    assert f"{enough} {form.value}s" in str(needs(ready))


def test_her_own_squares_and_her_form_are_cut_told_and_printed(brief: Brief) -> None:
    # Derived: blocks of 7 in on point take sides of 11.1066 in and corners of 5.8033 in exactly;
    # squares of 12 and 6 1/2 in (common practice: oversize, trim) let the blocks float by
    # (12 - 11.1066) / 2 = 0.447 in. 6 x 7 blocks: 22 sides from 6 squares, 4 corners from 2.
    plan = _quilt(brief, *(f"Fabric {n}" for n in range(18)), form=FormKind.FAT_EIGHTH,
                  side_square=Inches.parse(12), corner_square=Inches.parse("6 1/2"))  # fmt: skip
    setting = Setting("on point", 6, 7, Inches.parse(7))
    moved = replace(plan.brief, setting=setting, borders=(), binding_fabric="")
    ids = [swatch.fabric.id for swatch in moved.swatches]
    layout = Layout(setting, tuple(ids[cell % len(ids)] for cell in range(72)))
    plan = replace(look(replace(moved, count=None)), layout=layout)
    book = cut_book(plan)
    text = cutting_text(plan, book)
    assert "cut 6 squares of 12 in" in text
    assert "cut 2 squares of 6 1/2 in" in text
    assert "Side triangles from 12 in squares clear the block points by 0.447 in" in text
    squares = {(p.kind, str(p.width), p.count) for p in book.pieces if p.fabric == plan.background}
    assert {(PieceKind.SIDE, "12", 6), (PieceKind.CORNER, "6 1/2", 2)} <= squares
    kinds = {cloth.cloth.form.kind for cloth in book.cloths}
    assert kinds == {FormKind.FAT_EIGHTH, FormKind.YARDAGE}


def test_what_if_asks_the_same_terms_as_the_cut_book(brief: Brief) -> None:
    # Metric work sews 7.5 mm: a plain square finished 240 mm is cut 255 mm, and two of them do
    # not lie in the 485 x 535 mm of a fat quarter's height; two lie side by side (510 mm).
    sewing = Sewing().in_units("metric")
    terms, form = sewing.terms("metric"), form_of(FormKind.FAT_QUARTER, "metric")
    side = Inches.parse("240 mm")
    (row,) = what_if(load_block("plain-square"), form, side, side, terms)
    plan = _quilt(brief, "Moss")
    setting = Setting("straight", 2, 1, side)
    moved = replace(plan.brief, setting=setting, borders=(), binding_fabric="", units="metric",
                    block="plain-square", sewing=sewing)  # fmt: skip
    made = replace(look(moved), layout=Layout(setting, ("solid-0",) * 2))
    cloth = cut_book(made).cloths[0]
    assert (row.usable.blocks, cloth.verdict) == (2, "fits")
    assert {str(piece.width) for piece in cut_book(made).pieces if piece.fabric == "solid-0"} == {
        "255 mm"
    }
