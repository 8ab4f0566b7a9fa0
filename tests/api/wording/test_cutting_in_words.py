"""What is said of cutting: pieces, verdicts with the fabric they speak of, names unharmed."""

from __future__ import annotations

from dataclasses import replace
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
from placement.cloth.cutting import Cloth, Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.strips import cut
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
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
    assert Lengths("metric", printed=True).cut(Inches.parse("65 mm")) == "65\u00a0mm"
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
    assert "the strips take 240 mm" in _said(eighth, _piece(SQUARE, "60 mm", 30), units="metric")


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


INKED = 'Moss: dark, no. 2 (and "ink")'
TRICKY = st.text(st.sampled_from("ab:;,.()\"'’=/<>&{}x×21 in"), min_size=1, max_size=20)


@settings(max_examples=15)
@example(INKED)
@example("Moss: 2 in x 3 in, for side triangles")
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
    said = f"{needs(ready)} {cutting(ready)}"
    assert f"{name!r}" in said or name in said
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
