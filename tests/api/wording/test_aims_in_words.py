"""What the other aim takes, and wider cloth would, in words; halves at the fold."""

from __future__ import annotations

from api.wording.cuts import cut_steps
from api.wording.pieces import Hand
from api.wording.verdict import aims, beside
from placement.cloth.aims import cut_for
from placement.cloth.cut_terms import CutTerms
from placement.cloth.cutting import Aim, Cloth, Piece, PieceKind, Then, Use
from placement.cloth.forms import FormKind, form_of
from placement.inches import Inches

BOLT = Cloth("", form_of(FormKind.YARDAGE))


def _sewn(length: str, height: str, count: int) -> Piece:
    size = Inches.parse(length), Inches.parse(height)
    return Piece(Use(PieceKind.SET_STRIP), "", *size, count, then=Then.STRIP_SET)


# The strips of the worked scenario's background: 9 of 4 in and 18 of 2 1/4 in, halved.
STRIPS = [_sewn("18 1/4", "4", 18), _sewn("16 1/4", "2 1/4", 36)]


def test_both_aims_are_told_with_what_they_ask_for() -> None:
    simple = cut_for(STRIPS, BOLT)
    least = cut_for(STRIPS, BOLT, CutTerms(Aim.LEAST))
    told, grain = beside(simple, Hand())
    assert told.startswith(f"The least cloth takes {least.used} in (buy ")
    assert told.endswith(" more, with 2 instructions, 2 ruler settings and 32 cuts.")
    assert grain.startswith("The least cloth has strip sets of two grains; the simplest plan keeps")
    told, grain = beside(least, Hand())
    assert grain.startswith("This has strip sets of two grains; the simplest plan keeps to one")
    assert told.startswith("The simplest plan takes 76 1/2 in (buy 2 1/4 yd) with 2 instructions,")


def test_half_strips_are_halved_at_the_fold() -> None:
    words = [words for _, words in cut_steps(cut_for(STRIPS, BOLT), Hand())]
    assert words == [
        (
            "Cut 9 strips 4 in and 18 strips 2 1/4 in across the width, halve all at the fold: 18 "
            "strips of 4 in x 20 in and 36 strips of 2 1/4 in x 20 in for strip sets."
        )
    ]


def test_half_an_inch_more_is_told_where_it_changes_the_plan() -> None:
    # By hand: strips of 20 1/4 in come one from 40 in and two from 40 1/2.
    plan = cut_for([_sewn("20 1/4", "2 1/2", 12)], BOLT)
    assert list(beside(plan, Hand()))[-1] == (
        "With 40 1/2 in of usable width half strips would do: 15 in (buy 1/2 yd); measure your "
        "cloth."
    )


def test_yardage_says_where_both_aims_cut_alike_and_pre_cuts_say_nothing() -> None:
    square = Piece(Use(PieceKind.PATCH), "", Inches.parse(4), Inches.parse(4), 10)
    same = "Least cloth and simplest cutting are the same plan."
    for aim in Aim:
        assert list(beside(cut_for([square], BOLT, CutTerms(aim)), Hand())) == [same]
    assert list(beside(cut_for([square], Cloth("", form_of(FormKind.FAT_QUARTER))), Hand())) == []


def test_one_line_tells_both_aims_and_what_the_simplest_costs() -> None:
    simple = cut_for(STRIPS, BOLT)
    least = cut_for(STRIPS, BOLT, CutTerms(Aim.LEAST))
    assert simple.buy is not None
    assert least.buy is not None
    yards = (simple.buy.value - least.buy.value) / 36
    told = aims((simple, simple), Hand())
    # Two fabrics: twice 2 instructions, 2 ruler settings and 32 cuts, and twice the cloth.
    assert told.startswith("Simplest: 4 instructions, 4 ruler settings and 64 cuts; least cloth: ")
    grain = " Strip sets of one grain go before what simple cutting may cost."
    assert told.endswith(f", {Inches(2 * yards)} yd less to buy.{grain}")
    back = aims((least,), Hand())
    work = "simplest: 2 instructions, 2 ruler settings and 32 cuts"
    assert back.endswith(f"{work}, {Inches(yards)} yd more to buy.{grain}")
    square = Piece(Use(PieceKind.PATCH), "", Inches.parse(4), Inches.parse(4), 10)
    alike = aims((cut_for([square], BOLT),), Hand())
    assert alike == "Least cloth and simplest cutting are the same plan."
