"""One fabric from several cloths: its pre-cut and yardage, leftovers, what is at hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.brief import Band
from api.pattern.checking import check, checked_book
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.sewing import OwnCloth
from api.wording.faults import sentences
from placement.checks.fault import FaultKind
from placement.checks.several import judge_shares
from placement.cloth.cutting import PieceKind
from placement.cloth.forms import FormKind
from placement.inches import Inches
from tests.api.varied import varied

if TYPE_CHECKING:
    from api.pattern.plan import Plan


def _plan(*cloths: OwnCloth, border: str = "fabric-0") -> Plan:
    """Return a plan whose first fabric lies in blocks and is a border too."""
    plan = varied(
        "nine-patch", 11, units="inches", borders=(Band(Inches.parse(4), border),),
        binding_fabric="fabric-90", sashing_fabric="", cornerstone_fabric="", second_fabric="",
    )  # fmt: skip
    sewing = replace(plan.brief.sewing, form=FormKind.FAT_QUARTER, cloths=cloths)
    return replace(plan, brief=replace(plan.brief, sewing=sewing))


def _cloths(book: CutBook, fabric: str = "fabric-0") -> list[tuple[FormKind, set[PieceKind]]]:
    return [
        (cloth.cloth.form.kind, {piece.kind for piece in asked})
        for cloth, asked in zip(book.cloths, book.asked, strict=True)
        if cloth.fabric == fabric
    ]


def test_a_fabric_of_the_blocks_that_makes_a_border_keeps_its_pre_cut() -> None:
    plan = _plan()
    book = cut_book(plan)
    (first, blocks), (second, around) = _cloths(book)
    assert (first, second) == (FormKind.FAT_QUARTER, FormKind.YARDAGE)
    assert PieceKind.BORDER not in blocks
    assert around == {PieceKind.BORDER}
    assert sentences(plan, check(plan, book)) == ()


def test_a_pre_cut_that_is_lost_is_found() -> None:
    plan = _plan()
    book = cut_book(plan)
    at = next(n for n, c in enumerate(book.cloths) if c.fabric == "fabric-0")
    lost = replace(book, cloths=(*book.cloths[:at], *book.cloths[at + 1 :]),
                   asked=(*book.asked[:at], *book.asked[at + 1 :]))  # fmt: skip
    kinds = {found.kind for found in check(plan, lost)}
    assert kinds >= {FaultKind.OWN_FORM, FaultKind.CLOTHS_SHARED}


def test_what_finds_no_place_on_a_leftover_is_cut_from_the_next_cloth() -> None:
    left = OwnCloth("fabric-0", FormKind.OWN, height=Inches.parse(6), width=Inches.parse(9))
    plan = _plan(left, OwnCloth("fabric-0", FormKind.YARDAGE))
    book = cut_book(plan)
    mine = [c for c in book.cloths if c.fabric == "fabric-0"]
    assert [c.cloth.form.kind for c in mine] == [FormKind.OWN, FormKind.YARDAGE]
    assert mine[0].verdict.fits
    assert any(cut.use for cut in mine[0].cuts)
    whole = cut_book(_plan(OwnCloth("fabric-0", FormKind.YARDAGE)))
    used = next(c.used for c in whole.cloths if c.fabric == "fabric-0")
    assert mine[1].used <= used
    assert sentences(plan, check(plan, book)) == ()


def test_a_piece_asked_of_two_cloths_or_of_none_is_found() -> None:
    book = cut_book(_plan())
    assert judge_shares(book.pieces, book.asked) == ()
    twice = (*book.asked, book.asked[0])
    assert [found.kind for found in judge_shares(book.pieces, twice)] == [FaultKind.CLOTHS_SHARED]
    assert judge_shares(book.pieces, book.asked[1:]) != ()


@pytest.mark.parametrize("seed", range(4))
def test_no_judge_finds_fault_with_leftovers_of_any_plan(seed: int) -> None:
    left = {"height": Inches.parse(7), "width": Inches.parse(11)}
    plan = varied("shoo-fly", seed)
    names = [*[s.fabric.id for s in plan.brief.swatches][:3], plan.background]
    cloths = tuple(
        own
        for name in names
        for own in (OwnCloth(name, FormKind.OWN, **left), OwnCloth(name, FormKind.YARDAGE))
    )
    sewing = replace(plan.brief.sewing, cloths=cloths)
    plan = replace(plan, brief=replace(plan.brief, sewing=sewing))
    book = cut_book(plan)
    assert sentences(plan, check(plan, book)) == ()


def test_two_pieces_of_yardage_are_both_at_hand() -> None:
    # Two pieces of 36 in are 72 in.
    plan = _plan()
    own = OwnCloth(plan.background, FormKind.YARDAGE, 2, Inches.parse(36))
    book = checked_book(_plan(own))
    (need,) = (need for need in book.shopping.cloths if need.fabric == plan.background)
    assert need.owned.length == Inches.parse(72)
