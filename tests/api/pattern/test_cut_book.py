"""From a plan to the cutting table: the worked case in words and numbers, areas, refusals."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from api.drawing.cutting import cutting_drawing, cutting_png, cutting_svg
from api.pattern.brief import Band, Brief, Copies, OwnBlock
from api.pattern.checking import check
from api.pattern.cut_book import CutBook, book_json, cut_book
from api.pattern.plan import Plan
from api.pattern.planner import look, make
from api.pattern.sewing import OwnCloth, Sewing
from api.pattern.stored import from_json, to_json
from api.pattern.turning import with_turns
from api.wording.cutting import cautions, cutting_text, problem_lines
from palette.colour import Lab
from placement.checks.cutting import judge_cutting
from placement.cloth.cutting import PieceKind
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.pattern.plan import Plan

UNEVEN = OwnBlock("Uneven nine patch", ("4", "9", "4"), ("4", "9", "4"),
                  ("F B B", "B F B", "B B F"))  # fmt: skip


def _worked(brief: Brief, block: OwnBlock = UNEVEN, **sewing: object) -> Plan:
    """Return 72 blocks of 8 1/2 in from 18 fabrics, four blocks each."""
    swatches = [
        replace(s, fabric=replace(s.fabric, id=f"f{n}", name=f"Fabric {n}"))
        for n, s in enumerate((brief.swatches * 2)[:18])
    ]
    made = replace(
        brief,
        swatches=tuple(swatches),
        setting=Setting("on point", 6, 7, Inches.parse("8 1/2")),
        own_block=block,
        sewing=Sewing(form="fat eighth", **sewing),  # type: ignore[arg-type]
    )
    layout = Layout(made.setting, tuple(f"f{cell % 18}" for cell in range(72)))
    looked = look(made)
    assert looked.choice is not None
    picks = replace(looked.choice, kept=tuple(f"f{n}" for n in range(18)), left_out=())
    return replace(looked, choice=picks, layout=layout)


@pytest.fixture(scope="module")
def book(brief: Brief) -> CutBook:
    return cut_book(_worked(brief, side_square=Inches.parse(13), corner_square=Inches.parse(7)))


def test_the_worked_case_fits_a_fat_eighth_with_its_spare(book: CutBook) -> None:
    # Worked case, common practice: a 5 in and a 2 1/2 in strip leave 1 in of 8 1/2 in; four
    # slices of 5 in and eight of 2 1/2 in take 20 1/4 in of length after squaring up.
    for cloth in book.cloths[:-1]:
        assert cloth.verdict == "fits"
        assert cloth.spare == Inches.parse(1)
        strips = {(str(p.width), str(p.height)) for p in book.pieces if p.fabric == cloth.fabric}
        assert strips == {("20 1/4", "5"), ("20 1/4", "2 1/2")}
    slices = {(s.slices, str(s.sub_cut)) for s in book.strip_sets}
    assert slices == {(4, "5"), (8, "2 1/2")}


def test_four_small_squares_each_are_short_by_an_inch_of_the_cloth_as_sold(brief: Brief) -> None:
    # Worked case: 10 in of strips on a 9 in piece.
    four = replace(UNEVEN, patches=("F B F", "B F B", "F B F"))
    short = cut_book(_worked(brief, four))
    assert short.cloths[0].verdict == "short"
    assert short.cloths[0].short == Inches.parse("1 1/2")
    assert short.cloths[0].sold_short == Inches.parse(1)
    # Two pieces of 8 1/2 in hold three strips of 2 1/2, 5 and 2 1/2 in.
    assert short.cloths[0].enough == 2
    assert len(short.problems) == 18
    (line,) = problem_lines(_worked(brief, four), short)
    assert "9 in x 21 in as sold: short by 1 in" in line
    assert line.startswith("Each of 18 fabrics (Fabric 0, Fabric 1, ")
    assert line.endswith("2 fat eighths suffice.")


def test_the_worked_case_is_told_in_words(brief: Brief, book: CutBook) -> None:
    plan = _worked(brief, side_square=Inches.parse(13), corner_square=Inches.parse(7))
    text = cutting_text(plan, book)
    for said in (
        "cut 6 squares of 13 in",  # her own; derived: 22 sides, four from a square
        "cut 2 squares of 7 in",
        "13.2279 in",
        "6.8640 in",
        "Side triangles from 13 in squares blunt the block points by 0.114 in",
        "blocks up to 8 13/16 in unfinished",
        "Corner triangles from 7 in squares clear the block points",
        "Fits a fat eighth with 1 in of height to spare",
        "rotary cutter",
    ):
        assert said in text


def test_every_cutting_plan_passes_the_judge(book: CutBook) -> None:
    for cloth in book.cloths:
        pieces = tuple(p for p in book.pieces if p.fabric == cloth.fabric)
        anonymous = tuple(replace(p, fabric="") for p in pieces)
        assert judge_cutting(anonymous, cloth) == ()


def test_areas_of_pieces_cover_the_quilt(book: CutBook) -> None:
    # What is cut is more than what is seen: finished area of blocks and triangles is 72.125 x
    # 84.146 in, derived; each fabric's four blocks hold F patches of 4.5 x 4.5 and 2 of 2 x 2 in.
    area = sum(float(p.width) * float(p.height) * p.count for p in book.pieces)
    assert area > 72.1249 * 84.1457


def test_a_directional_print_is_never_turned(brief: Brief) -> None:
    plan = _worked(brief)
    swatches = tuple(replace(s, directional=True) for s in plan.brief.swatches)
    directed = replace(plan, brief=replace(plan.brief, swatches=swatches))
    book = cut_book(directed)
    assert not any(c.turned for cloth in book.cloths[:-1] for c in cloth.cuts)
    assert book.pressing.turn == 0


def test_own_cloth_as_measured_is_taken(brief: Brief) -> None:
    own = OwnCloth("f0", "fat eighth", height=Inches.parse("7 1/2"))
    book = cut_book(_worked(brief, cloths=(own,)))
    first = next(cloth for cloth in book.cloths if cloth.fabric == "f0")
    assert first.verdict == "fits"
    assert first.spare == Inches.parse(0)


def test_the_book_is_json_and_the_plan_with_sewing_round_trips(brief: Brief, book: CutBook) -> None:
    data = json.loads(book_json(book))
    assert (data["setting"][0]["cut"], data["own"][0]["cut"]) == ("13", "13")
    plan = _worked(brief, side_square=Inches.parse(13))
    assert from_json(to_json(plan)).brief == plan.brief


def test_cutting_drawings_are_whole_in_both_forms(book: CutBook) -> None:
    cloth = book.cloths[-1]
    drawing = cutting_drawing(cloth, ("Linen </svg>", "It fits.", "40 in usable"), Lab(94, 0, 6))
    root = ET.fromstring(cutting_svg(drawing))
    pieces = sum(entry.kind == "piece" for entry in cloth.cuts)
    kept = sum(box.ink == "cloth" for box in drawing.boxes)
    assert kept == pieces
    assert len(root.findall("{http://www.w3.org/2000/svg}rect")) == len(drawing.boxes)
    with Image.open(BytesIO(cutting_png(drawing, 800))) as picture:
        assert picture.width == 800


def test_a_small_quilt_carries_the_caution_for_cribs(brief: Brief) -> None:
    small = make(replace(brief, setting=Setting("straight", 4, 4, Inches.parse(9))))
    assert any("crib" in line for line in cautions(small))
    assert not any("crib" in line for line in cautions(_worked(brief)))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"layout": None}, "no layout"),
        ({"background": ""}, "no background"),
    ],
)
def test_a_plan_that_can_t_be_cut_says_why(
    brief: Brief, change: dict[str, object], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        cut_book(replace(_worked(brief), **change))  # type: ignore[arg-type]


def test_a_block_larger_than_its_cloth_is_told_with_both_sizes(brief: Brief) -> None:
    plan = _worked(brief)
    setting = replace(plan.brief.setting, block_size=Inches.parse(60))
    large = replace(plan, brief=replace(plan.brief, setting=setting, own_block=None))
    layout = Layout(setting, plan.layout.fabrics)  # type: ignore[union-attr]
    book = cut_book(replace(large, layout=layout))
    assert {entry.verdict for entry in book.problems} == {"too large"}
    said = problem_lines(replace(large, layout=layout), book)
    assert len(said) == 2  # the fabrics' and the background's
    assert "8 1/2 in x 20 1/2 in usable" in said[0]


def test_an_unknown_form_of_cloth_is_refused_with_those_there_are(brief: Brief) -> None:
    with pytest.raises(ValueError, match="fat quarter"):
        cut_book(_worked(brief, cloths=(OwnCloth("f0", "slim quarter"),)))


BANDS = (Band(Inches.parse("1 1/2"), "f1"), Band(Inches.parse("4 1/2"), "f2"))


@pytest.mark.parametrize("corner", ["butted", "mitred"])
@pytest.mark.parametrize("grain", ["straight", "bias"])
def test_each_border_is_measured_round_the_one_before_and_cut_from_its_own_cloth(
    brief: Brief, corner: str, grain: str
) -> None:
    plan = _worked(brief, corner=corner, grain=grain)
    plan = replace(plan, brief=replace(plan.brief, borders=BANDS, binding_fabric="f3"))
    book = cut_book(plan)
    inner, outer = book.borders
    # 6 x 7 blocks of 8 1/2 in on point: 72.1249 x 84.1457 in (derived).
    assert inner.width == pytest.approx(72.1249 + 3, abs=1e-4)
    assert outer.height == pytest.approx(84.1457 + 12, abs=1e-4)
    # Derived: butted sides are as long as what they enclose and two seams; mitred strips reach
    # the outer corners and 2q(1 + sqrt 2) more.
    sides = 84.1457 + 3 + 0.5 if corner == "butted" else 84.1457 + 12 + 0.5 * (1 + 2**0.5)
    assert outer.sides == pytest.approx(sides, abs=1e-4)
    assert (inner.fabric, outer.fabric, book.binding_fabric) == ("f1", "f2", "f3")
    cut_from = {piece.fabric: piece for piece in book.pieces if piece.kind is PieceKind.BORDER}
    assert {name: str(piece.height) for name, piece in cut_from.items()} == {"f1": "2", "f2": "5"}
    assert {cloth.fabric for cloth in book.cloths if cloth.buy} >= {"f1", "f2", "f3"}
    for cloth in book.cloths:
        assert judge_cutting(book.asked_of(cloth), cloth) == ()
    text = cutting_text(plan, book)
    assert f"Inner border of Fabric 1, {corner}: cut 2 in wide" in text
    assert ("on the bias: 1 square of" in text) is (grain == "bias")
    assert from_json(to_json(plan)).brief == plan.brief


def test_more_shrinkage_takes_more_cloth_and_none_takes_the_least(brief: Brief) -> None:
    bought = []
    for shrinkage in (0.0, 3.0, 10.0):
        book = cut_book(_worked(brief, shrinkage=shrinkage))
        ground = book.cloths[-1]
        assert ground.buy is not None
        # What is left after washing and squaring both ends up by 1/4 in is enough.
        assert float(ground.buy) * (1 - shrinkage / 100) - 0.5 >= float(ground.used)
        assert float(ground.cloth.form.width) <= 42 * (1 - shrinkage / 100)
        bought.append(ground.buy)
    assert bought == sorted(bought)
    assert bought[0] < bought[-1]


def test_the_backings_cloth_is_named_and_takes_its_measured_width(brief: Brief) -> None:
    # Published how-to: of cloth 42 in wide a 72 x 90 quilt takes two lengths; wide cloth of
    # 108 in (common practice) takes one.
    wide = OwnCloth("f4", "yardage", width=Inches.parse(108))
    plan = _worked(brief, cloths=(wide,))
    plan = replace(plan, brief=replace(plan.brief, backing_fabric="f4"))
    book = cut_book(plan)
    assert (book.backing_fabric, book.backing[0].panels) == ("f4", 1)
    assert "Backing of Fabric 4, in one piece: 1 length of" in cutting_text(plan, book)


def test_shrinkage_beyond_all_cloth_is_told() -> None:
    with pytest.raises(ValueError, match="shrinks by 0 to 20 per cent, not 30"):
        Sewing(shrinkage=30)


def _metric(brief: Brief, block: str, side: str) -> Plan:
    sewing = Sewing(form="fat quarter").in_units("metric")
    setting = Setting("on point", 3, 4, Inches.parse(side))
    made = replace(brief, block=block, setting=setting, units="metric", sewing=sewing,
                   borders=(Band(Inches.parse("100 mm")),))  # fmt: skip
    names = [swatch.fabric.id for swatch in made.swatches]
    layout = Layout(setting, tuple(names[cell % 3] for cell in range(18)))
    return replace(look(made), layout=layout)


def test_usual_metric_terms_keep_to_the_ruler(brief: Brief) -> None:
    # Common practice: 7.5 mm seams; with a block of 210 mm in thirds all pieces are whole mm.
    plan = _metric(brief, "nine-patch", "210 mm")
    book = cut_book(plan)
    for piece in book.pieces:
        assert (piece.width.mm % 5, piece.height.mm % 5) == (0, 0)
    text = cutting_text(plan, book)
    assert re.findall(r"\d\.\d{2,} cm(?!\))", text) == []
    assert "metric" not in text
    # By hand: 85 mm slices, six of them and 10 mm for squaring up.
    assert "5 strips of 8.5 cm x 53.5 cm for strip sets" in text


def test_terms_go_over_to_other_units_and_back_and_what_is_hers_stays() -> None:
    hers = Sewing(seam=Inches.parse("3/8"), side_square=Inches.parse(13))
    metric = hers.in_units("metric")
    assert (metric.seam, metric.side_square) == (hers.seam, hers.side_square)
    assert (metric.binding.mm, metric.squaring.mm, metric.margin.mm) == (65, 10, 100)
    assert Sewing().in_units("metric").seam.mm == 7.5
    assert metric.in_units("inches") == hers


def test_a_second_way_to_piece_the_backing_is_told_by_what_it_takes_more(brief: Brief) -> None:
    plan = _worked(brief)
    runner = replace(plan.brief, setting=Setting("straight", 2, 6, Inches.parse(6)),
                     borders=(Band(Inches.parse(1)),))  # fmt: skip
    layout = Layout(runner.setting, ("f0",) * 12)
    plan = replace(plan, brief=runner, layout=layout)
    text = cutting_text(plan, cut_book(plan))
    # By hand: 22 x 46 in with the margin. In one piece 46 in, 46.5 / 0.97 = 47.9: 1 3/8 yd; two
    # lengths of 22 in are 44 in, 44.5 / 0.97 = 45.9: 1 3/8 yd too.
    assert "Backing, in one piece: 1 length of 46 in; buy 1 3/8 yd." in text
    assert "Backing, or seam level: 2 lengths of 22 in; buy 1 3/8 yd, as much." in text
    # 72.125 x 84.146 and 2 x 4 in of border and margin: 88.1 x 100.1 in; of cloth 40 in wide
    # three lengths of 100 1/8 in, or three of 88 1/8 in.
    worked = _worked(brief)
    told = [line for line in cutting_text(worked, cut_book(worked)).splitlines()
            if line.startswith("- Backing")]  # fmt: skip
    assert "seams level" in told[0]
    assert told[1].endswith("1 yd more.")


def test_a_plan_with_a_goose_of_another_shape_opens_and_is_not_cut(brief: Brief) -> None:
    square = OwnBlock("Odd geese", ("1",), ("1",), ("vBF",))
    plan = from_json(to_json(_worked(brief, square)))
    with pytest.raises(ValueError, match="Odd geese can't be cut: a flying goose must be twice"):
        cut_book(plan)


def _uneven(brief: Brief, *, alike: bool = True) -> Plan:
    """Return the worked plan with fourteen fabrics of five blocks and one of two."""
    plan = _worked(brief, replace(UNEVEN, patches=("F B B", "B B B", "B B F")), alike=alike)
    assert plan.choice is not None
    names = tuple(f"f{cell // 5}" for cell in range(72))
    copies = tuple(Copies(name, names.count(name)) for name in dict.fromkeys(names))
    kept = replace(plan.choice, kept=tuple(dict.fromkeys(names)))
    layout = Layout(plan.brief.setting, names)
    made = replace(plan, brief=replace(plan.brief, copies=copies), choice=kept)
    return replace(made, layout=with_turns(made, layout))


def test_the_largest_count_serves_all_and_what_is_over_is_told(brief: Brief) -> None:
    # By hand: five blocks take 10 slices of 2 1/2 in, two sets; two blocks take 4, one set of
    # 10 1/4 in: a strip is over.
    plan = _uneven(brief)
    book = cut_book(plan)
    assert check(plan, book) == ()
    *full, last = book.cloths[:-1]
    assert {cloth.like for cloth in full} == {""}
    assert (last.like, last.cuts) == ("f0", full[0].cuts)
    assert [(str(piece.height), count) for piece, count in last.surplus] == [("2 1/2", 1)]
    assert "over from Fabric 14." in cutting_text(plan, book)


def test_each_fabric_has_its_own_plan_where_she_asks(brief: Brief) -> None:
    plan = _uneven(brief, alike=False)
    book = cut_book(plan)
    assert check(plan, book) == ()
    assert not any(cloth.like or cloth.surplus for cloth in book.cloths)
    assert "The same for all" not in cutting_text(plan, book)
    unasked = replace(book, cloths=cut_book(_uneven(brief)).cloths)
    assert "like unasked" in {found.kind for found in check(plan, unasked)}
