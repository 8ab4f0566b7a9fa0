"""Booklets of many kinds say what their plans say, and the judge can say no."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pikepdf
import pytest

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.judging.judge import judge_print
from api.booklet.judging.words import text_of
from api.booklet.lengths import sold
from api.booklet.output.pages import booklet_pdf
from api.booklet.source import source
from api.pattern.brief import Band, Copies, OwnBlock
from api.pattern.sewing import OwnCloth, Sewing
from placement.inches import Inches
from tests.api.booklet.reading import judge, read_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan

HOSTILE = (
    '#import "@preview/x:1.0.0"',
    "$x^2$ \\ _a_ *b*",
    "abc\u202edef",
    "</svg><script>alert(1)</script>",
    '9" of nothing & <b>',
    '#read("/etc/passwd")',
)
SCRIPTS = ("Лён и мох", "μπλε ύφασμα", "שלום ורוד", "قطن أزرق", "Crème brûlée", "Ősz")
METRIC = Sewing(seam=Inches.parse("7.5 mm"), binding=Inches.parse("60 mm"))
PINWHEEL = OwnBlock("Corner wheel", ("1", "1"), ("1", "1"), ("B\\F F/B", "B/F B\\F"))

FRAMED = "two borders, binding and second feature of their own"
SCANT = "squares of her own, too small"
SASHED = "sashing and cornerstones on point"

CASES: dict[str, dict[str, Any]] = {
    "on point in inches": {},
    "straight nine patch": {"kind": "straight", "pattern": "nine-patch", "block": "6"},
    "metric on point": {"units": "metric", "block": "210 mm", "sewing": METRIC, "border": "100 mm"},
    "metric straight": {
        "units": "metric", "kind": "straight", "block": "240 mm", "sewing": METRIC,
        "pattern": "churn-dash", "border": "80 mm",
    },
    "a chosen thread": {"thread": "plain:gold", "names": ("Rose", "Moss")},
    "one fabric": {
        "title": "1", "names": ("Only",), "across": 2, "down": 2, "pattern": "shoo-fly",
        "block": "9",
    },
    "forty fabrics": {
        "names": tuple(f"Cotton {n}" for n in range(1, 41)), "across": 6, "down": 7,
        "pattern": "ohio-star", "block": "9",
    },
    "long names": {"names": ("Verylongname" * 6, "a rose is a rose is " * 4, "x" * 80)},
    "other scripts": {"names": SCRIPTS, "title": "Осень", "background": "Λινό"},
    "hostile names": {"names": HOSTILE, "title": "#pagebreak() $ \u202e </svg>"},
    FRAMED: {
        "borders": (Band(Inches.parse("1 1/2"), "fabric-1"), Band(Inches.parse("4 1/4"))),
        "binding_fabric": "fabric-1", "second_fabric": "fabric-0", "pattern": "shoo-fly",
    },
    "bias binding": {"sewing": Sewing(grain="bias", shrinkage=5.0), "backing_fabric": "ground"},
    "second feature in strip sets": {
        "pattern": "shoo-fly", "second_fabric": "fabric-1", "binding_fabric": "fabric-1",
        "kind": "straight",
    },
    "three mitred borders": {
        "borders": (
            Band(Inches.parse("3/4")), Band(Inches.parse(2), "fabric-0"), Band(Inches.parse(5)),
        ),
        "sewing": Sewing(corner="mitred"), "kind": "straight", "backing_fabric": "fabric-1",
    },
    "no border, directional": {"border": "0", "directional": True, "pattern": "friendship-star"},
    "plain blocks and a hole": {"alternate": True, "holes": (2,), "pattern": "nine-patch"},
    "eight at a time": {
        "pattern": "shoo-fly", "block": "6", "kind": "straight", "across": 6, "down": 6,
        "sewing": Sewing(triangles="eight", form="fat eighth", corner="mitred"),
    },
    "one at a time": {"pattern": "friendship-star", "sewing": Sewing(triangles="one")},
    "four at a time": {"pattern": "shoo-fly", "sewing": Sewing(triangles="four"), "block": "9"},
    "block of her own": {"own_block": PINWHEEL, "kind": "straight", "block": "7"},
    "plain squares": {"pattern": "plain-square", "kind": "straight", "block": "5", "turn": False},
    SASHED: {
        "sashing": "1 1/2", "cornerstones": True, "cornerstone_fabric": "fabric-1",
    },
    "sashing alone on point": {"sashing": "2", "pattern": "nine-patch", "block": "9"},
    "sashing and cornerstones, straight": {
        "sashing": "40 mm", "cornerstones": True, "kind": "straight", "units": "metric",
        "block": "240 mm", "sewing": METRIC, "sashing_fabric": "fabric-0", "alternate": True,
    },
    "long sashing, straight": {"sashing": "1", "kind": "straight", "across": 6, "down": 2},
    SCANT: {"sewing": Sewing(side_square=Inches.parse(12), corner_square=Inches.parse("6 3/4"))},
    "squares of her own, a little too small": {
        "sewing": replace(METRIC, side_square=Inches.parse("375 mm")), "units": "metric",
        "block": "240 mm",
    },
    "squares of her own, generous": {"sewing": Sewing(side_square=Inches.parse(14))},
    "one block": {"across": 1, "down": 1, "names": ("Only",)},
    "other forms of cloth": {
        "pattern": "uneven-nine-patch", "block": "7", "names": ("Rose", "Moss", "Slate"),
        "sewing": Sewing(form="fat quarter", alternates=("fat eighth, tall", "quarter yard",
                                                         "yardage", "half yard")),
    },
    "whole squares": {
        "pattern": "nine-patch", "block": "13 1/2", "kind": "straight", "across": 2, "down": 2,
        "border": "0", "binding_fabric": "ground",
        "sewing": Sewing(form="five-inch square", alternates=("ten-inch square",)),
    },
    "cloth given by hand": {
        "sewing": Sewing(cloths=(OwnCloth("fabric-1", "ten-inch square", 1),)),
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def made(plan_of: Callable[..., Plan]) -> Callable[[str], tuple[Plan, bytes]]:
    kept: dict[str, tuple[Plan, bytes]] = {}

    def make(case: str) -> tuple[Plan, bytes]:
        if case not in kept:
            plan = plan_of(**CASES[case])
            kept[case] = plan, booklet_pdf(plan, {})
        return kept[case]

    return make


@pytest.mark.parametrize("case", CASES)
def test_a_booklet_says_what_its_plan_says(
    made: Callable[[str], tuple[Plan, bytes]], case: str
) -> None:
    plan, pdf = made(case)
    assert judge(pdf, plan) == ()


@pytest.mark.parametrize("case", CASES)
def test_a_booklet_is_a_sound_tagged_file(
    made: Callable[[str], tuple[Plan, bytes]], case: str
) -> None:
    """PDF/UA-1: identifier in the metadata (ISO 14289-1, 5), marked, language, title shown."""
    with pikepdf.open(BytesIO(made(case)[1])) as opened:
        assert opened.check_pdf_syntax() == []
        root = opened.Root
        assert bool(root.MarkInfo.Marked)
        assert str(root.Lang) == "en"
        assert bool(root.ViewerPreferences.DisplayDocTitle)
        assert "/Outlines" in root
        assert b"<pdfuaid:part>1</pdfuaid:part>" in root.Metadata.read_bytes()
        assert opened.docinfo["/Title"]


def test_the_judge_finds_numbers_of_another_plan(
    made: Callable[[str], tuple[Plan, bytes]],
) -> None:
    """Plant faults: a plan that is not the one of the booklet, in one number after another."""
    plan, pdf = made("on point in inches")
    brief = plan.brief
    layout = plan.layout
    assert layout is not None
    moved = (layout.fabrics[1], layout.fabrics[0], *layout.fabrics[2:])
    fewer = ("fabric-1", *layout.fabrics[1:])
    planted = {
        "border": replace(plan, brief=replace(brief, borders=(Band(Inches.parse("5")),))),
        "binding": replace(
            plan, brief=replace(brief, sewing=replace(brief.sewing, binding=Inches.parse("2 1/4")))
        ),
        "margin": replace(
            plan, brief=replace(brief, sewing=replace(brief.sewing, margin=Inches.parse(3)))
        ),
        "seam": replace(
            plan, brief=replace(brief, sewing=replace(brief.sewing, seam=Inches.parse("3/8")))
        ),
        "two blocks changed places": replace(plan, layout=replace(layout, fabrics=moved)),
        "one block less of a fabric": replace(
            plan,
            brief=replace(brief, copies=tuple(Copies(f, fewer.count(f)) for f in set(fewer))),
            layout=replace(layout, fabrics=fewer),
        ),
    }
    for fault, other in planted.items():
        assert judge(pdf, other), fault


def test_the_judge_finds_edges_and_sashing_of_another_plan(
    made: Callable[[str], tuple[Plan, bytes]],
) -> None:
    """Plant faults in what lies around the blocks, and in what they are cut from."""
    wider = (Band(Inches.parse("1 1/2"), "fabric-2"), Band(Inches.parse("4 1/4")))
    planted: dict[str, tuple[str, dict[str, Any], dict[str, Any]]] = {
        "fabric of a border": (FRAMED, {"borders": wider}, {}),
        "fabric of the binding": (FRAMED, {"binding_fabric": "fabric-2"}, {}),
        "second feature": (FRAMED, {"second_fabric": "fabric-2"}, {}),
        "cloth for the backing": (FRAMED, {"backing_fabric": "fabric-2"}, {}),
        "thread": (FRAMED, {"thread": "plain:gold"}, {}),
        "corner": (FRAMED, {}, {"corner": "mitred"}),
        "how half squares are made": (FRAMED, {}, {"triangles": "four"}),
        "grain of the binding": (FRAMED, {}, {"grain": "bias"}),
        "shrinkage": (FRAMED, {}, {"shrinkage": 4.0}),
        "alternates": ("other forms of cloth", {}, {"alternates": ("ten-inch square",)}),
        "squares of her own": (SCANT, {}, {"side_square": Inches.parse("12 1/2")}),
        "squares of her own that are large enough": (
            SCANT,
            {},
            {"side_square": None, "corner_square": None},
        ),
        "fabric of the sashing": (SASHED, {"sashing_fabric": "fabric-0"}, {}),
        "fabric of the cornerstones": (SASHED, {"cornerstone_fabric": "fabric-2"}, {}),
    }
    for fault, (case, fields, sewing) in planted.items():
        plan, pdf = made(case)
        other = replace(plan.brief, **fields, sewing=replace(plan.brief.sewing, **sewing))
        assert judge(pdf, replace(plan, brief=other)), fault
    plan, pdf = made(SASHED)
    for wish in ({"sashing": Inches.parse(2)}, {"cornerstones": False}):
        setting = replace(plan.brief.setting, **wish)
        assert plan.layout is not None
        other_plan = replace(plan, brief=replace(plan.brief, setting=setting),
                             layout=replace(plan.layout, setting=setting))  # fmt: skip
        assert judge(pdf, other_plan), wish


def test_the_judge_finds_a_length_that_the_plan_does_not_know(
    plan_of: Callable[..., Plan],
) -> None:
    plan = plan_of()
    edition = Edition(notes='Cut a strip of 17 3/8" too.')
    pdf = booklet_pdf(plan, {}, edition)
    assert judge(pdf, plan, edition) == ()
    assert 'The print says 17 3/8", a length that the plan does not know.' in judge(pdf, plan)


def test_hostile_names_are_printed_as_they_are(
    made: Callable[[str], tuple[Plan, bytes]],
) -> None:
    text = re.sub(r"\s", "", read_text(made("hostile names")[1]))
    assert "<script>alert(1)</script>" in text
    assert '#read("/etc/passwd")' in text
    assert "root:" not in text
    assert "abcdef" in text


def test_what_is_still_to_buy_is_printed_and_judged(
    plan_of: Callable[..., Plan],
) -> None:
    at_hand = OwnCloth("ground", "yardage", length=Inches.parse(20))
    left = OwnCloth("fabric-0", "own measure", height=Inches.parse(5), width=Inches.parse(6))
    plan = plan_of(sewing=Sewing(cloths=(at_hand, left)))
    ready = source(plan, {}, Edition())
    text = text_of(booklet(plan, {}, Edition()))
    assert "Still to buy" in text
    (need,) = (n for n in ready.book_told.shopping.cloths if n.fabric == "ground")
    bought = sold(need.buy.length.value, metric=False)
    assert bought in text
    for right, wrong in ((f" {bought}", " 9 yd"), ("Still to buy", "Still"), ('20"', '21"')):
        damaged = right in text and text.replace(right, wrong)
        assert damaged
        assert judge_print(damaged, ready.plan, ready.book, Edition(), ready.missing), right


def test_each_piece_of_a_pre_cut_is_drawn_and_told_apart(plan_of: Callable[..., Plan]) -> None:
    squares = OwnCloth("fabric-0", "ten-inch square", 9)
    plan = plan_of(sewing=Sewing(cloths=(squares,)))
    ready = source(plan, {}, Edition())
    text = text_of(booklet(plan, {}, Edition()))
    cloth = next(c for c in ready.book.cloths if c.fabric == "fabric-0")
    assert len({cut.sheet for cut in cloth.cuts}) > 1
    said = re.findall(r"\) from (pieces? \d[\d–, and]*)\.", text)
    assert said
    for right in said:
        wrong = text.replace(f") from {right}.", ") from piece 77.", 1)
        assert judge_print(wrong, ready.plan, ready.book, Edition(), ready.missing), right
    assert "piece 1" in text or "pieces 1" in text
