"""The judges of cutting lists, borders, binding, backing and purchases find planted faults."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from placement.block import load_block
from placement.checks.around import (
    Edge,
    judge_backing,
    judge_binding,
    judge_borders,
    judge_purchase,
)
from placement.checks.fault import Fault, fault
from placement.checks.fault import FaultKind as Kind
from placement.checks.pieces import Top, judge_pieces
from placement.cloth.cutting import Cloth, Piece, PieceKind, Then, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.pieces import CuttingList, Terms, cutting_list
from placement.cloth.strips import cut
from placement.inches import Inches
from placement.top.setting.finishing import backing, bias_binding, binding, border
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Sequence

BOLT = Inches.parse(40)
Q = Inches.parse("1/4")


def _inches(text: str | int) -> Inches:
    return Inches.parse(text)


def _made(block: str, setting: Setting, second: str = "") -> tuple[Top, CuttingList]:
    layout = Layout(setting, tuple("fg"[n % 2] for n in range(len(setting.cells()))))
    widths = dict.fromkeys(("f", "g", "ground", "strips", "stones", "second"), BOLT)
    listed = cutting_list(layout, load_block(block), "ground", widths, Terms(), second,
                          sashing_fabric="strips", cornerstone_fabric="stones")  # fmt: skip
    top = Top(layout, load_block(block), Q, Q, _inches("1/8"), widths, "ground", second,
              "strips", "stones")  # fmt: skip
    return top, listed


POINTED = Setting("on point", 3, 4, _inches(8), False, _inches("1 1/2"), cornerstones=True)
STRAIGHT = Setting("straight", 4, 5, _inches(9), False, _inches("1 1/2"))
TOPS = {
    "star": _made("sawtooth-star", POINTED, "second"),
    "nine": _made("nine-patch", STRAIGHT),
    "fly": _made("shoo-fly", replace(STRAIGHT, cornerstones=True), "second"),
    "hour": _made("hourglass", POINTED),
}


@pytest.mark.parametrize("name", TOPS)
def test_a_sound_list_has_no_fault(name: str) -> None:
    top, listed = TOPS[name]
    assert judge_pieces(top, listed.pieces, listed.strip_sets) == ()


def _but(pieces: Sequence[Piece], kind: PieceKind, **change: object) -> list[Piece]:
    """Change the first piece of that kind; a count of 0 leaves it out."""
    found = list(pieces)
    at = next(n for n, p in enumerate(found) if p.kind is kind)
    found[at] = replace(found[at], **change)  # type: ignore[arg-type]
    return [piece for piece in found if piece.count]


STONE, STRIP, SLICED = PieceKind.CORNERSTONE, PieceKind.SASH, PieceKind.SET_STRIP
HALF, LONG = PieceKind.HALF_CORNERSTONE, PieceKind.JOINED_SASH
GOOSE, WING = PieceKind.LARGE_GOOSE, PieceKind.SMALL_GOOSE
SIDE, CORNER, HALVES = PieceKind.SIDE, PieceKind.CORNER, PieceKind.HALF_SQUARE
FAULTS: dict[str, tuple[str, PieceKind, dict[str, object], Kind]] = {
    # What is planted: top, piece, change; the words it must be found by. Counts by hand: 3 x 4 on
    # point has 4ab = 48 sashes, 2ab - a - b = 17 whole and 2(a + b) = 14 half cornerstones.
    "a cornerstone too few": ("star", STONE, {"count": 16}, Kind.PARTS),
    "a cornerstone too many": ("star", STONE, {"count": 18}, Kind.PARTS),
    "no half cornerstones": ("star", HALF, {"count": 0}, Kind.PARTS),
    "their bias on the edge": ("star", HALF, {"then": Then.CUT_ONCE}, Kind.NO_PART),
    "cornerstones as sashing": ("star", STONE, {"fabric": "strips"}, Kind.NO_PART),
    "a sash too few": ("star", STRIP, {"count": 47}, Kind.PARTS),
    "a sash without seams": ("star", STRIP, {"width": _inches(8)}, Kind.NO_PART),
    "a sash a seam too narrow": ("star", STRIP, {"height": _inches("1 3/4")}, Kind.NO_PART),
    "no long sashing": ("nine", LONG, {"count": 0}, Kind.LONG_SHORT),
    "long sashing too short": ("nine", LONG, {"count": 6}, Kind.LONG_SHORT),
    "long sashing too much": ("nine", LONG, {"count": 9}, Kind.LONG_SPARE),
    "long sashing of another": ("nine", LONG, {"fabric": "f"}, Kind.LONG_WIDTH),
    "a side's bias out": ("star", SIDE, {"then": Then.CUT_ONCE}, Kind.NO_PART),
    "side squares too small": ("star", SIDE, {"width": _inches("12 3/8"),
                               "height": _inches("12 3/8")}, Kind.NO_PART),
    "no corner triangles": ("star", CORNER, {"count": 0}, Kind.PARTS),
    "a goose's square too few": ("star", GOOSE, {"count": 8}, Kind.PARTS),
    "geese from small squares": ("star", GOOSE, {"width": _inches("5 1/8"),
                                 "height": _inches("5 1/8")}, Kind.NO_PART),
    "wings too few": ("star", WING, {"count": 30}, Kind.PARTS),
    "wings of another fabric": ("star", WING, {"fabric": "ground"}, Kind.PARTS),
    "too few halves": ("fly", HALVES, {"count": 18}, Kind.PARTS),
    "halves cut twice": ("fly", HALVES, {"then": Then.CUT_TWICE}, Kind.NO_PART),
    "a quarter's grain": ("hour", PieceKind.QUARTER_SQUARE,
                          {"then": Then.CUT_ONCE}, Kind.NO_PART),
    "a strip without squaring up": ("nine", SLICED, {"width": _inches("38 1/2")},
                                    Kind.SET_STRIP_SHORT),
    "a strip missing": ("nine", SLICED, {"count": 1}, Kind.SET_STRIPS),
    "a strip too narrow": ("nine", SLICED, {"height": _inches(3)}, Kind.SET_STRIPS),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_of_the_list_is_found(name: str) -> None:
    which, piece, change, kind = FAULTS[name]
    top, listed = TOPS[which]
    faults = judge_pieces(top, _but(listed.pieces, piece, **change), listed.strip_sets)
    assert kind in _kinds(faults), faults


def _kinds(faults: Sequence[Fault]) -> set[Kind]:
    return {fault.kind for fault in faults}


def test_a_second_feature_cut_from_the_blocks_own_fabric_is_found() -> None:
    top, listed = TOPS["star"]
    wrong = [replace(p, fabric="f") if p.fabric == "second" else p for p in listed.pieces]
    # By hand: 3 x 4 on point are 12 + 6 blocks, a centre of 4 in each.
    faults = judge_pieces(top, wrong, listed.strip_sets)
    missed = fault(Kind.PARTS, fabric="second", shape="whole", one=4.0, two=4.0, wanted=18,
                   found=0)  # fmt: skip
    assert missed in faults


def test_slices_missing_from_a_strip_set_are_found() -> None:
    top, listed = TOPS["nine"]
    first, *others = listed.strip_sets
    fewer = replace(first, slices=first.slices - 1)
    faults = judge_pieces(top, listed.pieces, (fewer, *others))
    assert _kinds(faults) == {Kind.SETS_SHARED, Kind.PARTS}


EDGE = Edge(45.0, 60.0, Q, lost=2.5)
WIDTHS = ((_inches("1 1/2"), "f"), (_inches(4), "g"))


def _framed(corner: str) -> tuple[list[object], list[Piece]]:
    inner = replace(border(45, 60, WIDTHS[0][0], corner), fabric="f")  # type: ignore[arg-type]
    outer = replace(border(inner.width, inner.height, WIDTHS[1][0], corner), fabric="g")  # type: ignore[arg-type]
    # By hand, butted: 2 (60 1/2 + 48 1/2) = 218 in and 2 (63 1/2 + 56 1/2) = 240 in; from 40 in
    # strips that lose 1/2 in a join 6 make 237 1/2 in and 7 make 277. Mitred: a few inches more.
    counts = (6, 7)
    strips = [
        Piece(Use(PieceKind.BORDER, number), fabric, BOLT, Inches(width.value + Fraction(1, 2)),
              count, turn=False)
        for number, (width, fabric), count in zip((1, 2), WIDTHS, counts, strict=True)
    ]  # fmt: skip
    return [inner, outer], strips


@pytest.mark.parametrize("corner", ["butted", "mitred"])
def test_sound_borders_have_no_fault(corner: str) -> None:
    frames, strips = _framed(corner)
    assert judge_borders(EDGE, frames, WIDTHS, strips) == ()  # type: ignore[arg-type]


BORDER_FAULTS: dict[str, tuple[dict[str, object], dict[str, object], Kind]] = {
    # Changes of the outer border, of its strips, and the words.
    "a seam too short": ({"sides": 63.0}, {}, Kind.BORDER_SIDES),
    "ends without the sides' width": ({"ends": 48.5}, {}, Kind.BORDER_ENDS),
    "cut without seams": ({"cut": _inches(4)}, {}, Kind.BORDER_CUT),
    "the inner one forgotten": ({"width": 53.0}, {}, Kind.BORDER_SIZE),
    "another fabric": ({"fabric": "f"}, {}, Kind.BORDER_ASKED),
    "strips of another fabric": ({}, {"fabric": "f"}, Kind.BORDER_STRIPS),
    "strips too narrow": ({}, {"height": _inches(4)}, Kind.BORDER_STRIPS),
    "a strip too few": ({}, {"count": 6}, Kind.BORDER_SHORT),
    "a strip too many": ({}, {"count": 8}, Kind.BORDER_SPARE),
    "off the grain": ({}, {"turn": True}, Kind.BORDER_GRAIN),
}


@pytest.mark.parametrize("corner", ["butted", "mitred"])
@pytest.mark.parametrize("name", BORDER_FAULTS)
def test_a_planted_fault_of_a_border_is_found(name: str, corner: str) -> None:
    frame, piece, kind = BORDER_FAULTS[name]
    frames, strips = _framed(corner)
    wrong = [frames[0], replace(frames[1], **frame)]  # type: ignore[type-var]
    faults = judge_borders(EDGE, wrong, WIDTHS, [strips[0], replace(strips[1], **piece)])  # type: ignore[arg-type]
    assert kind in _kinds(faults), faults


def test_a_mitred_border_of_a_butted_ones_length_is_found() -> None:
    butted, strips = _framed("butted")
    wrong = [replace(frame, corner="mitred") for frame in butted]  # type: ignore[type-var]
    faults = judge_borders(EDGE, wrong, WIDTHS, strips)  # type: ignore[arg-type]
    # Derived: 60 + 2 x 1 1/2 + 2q(1 + sqrt 2) = 64.2071 in.
    (sides,) = (f["wanted"] for f in faults if (f.kind, f["number"]) == (Kind.BORDER_SIDES, 1))
    assert sides == pytest.approx(64.2071, abs=5e-5)


def test_the_strips_of_a_border_that_is_not_cut_are_missed() -> None:
    frames, strips = _framed("butted")
    faults = judge_borders(EDGE, frames, WIDTHS, strips[:1])  # type: ignore[arg-type]
    assert _kinds(faults) == {Kind.BORDER_STRIPS}


STRAIGHT_BINDING = binding(56, 71, _inches("2 1/2"), BOLT)
BIAS_BINDING = bias_binding(56, 71, _inches("2 1/2"), BOLT)
BIAS = Use(PieceKind.BIAS_BINDING)


def _bound(grain: str) -> tuple[object, Piece]:
    if grain == "straight":
        bound = STRAIGHT_BINDING
        return bound, Piece(Use(PieceKind.BINDING), "f", BOLT, bound.cut, bound.strips, turn=False)
    bound, side = BIAS_BINDING, BIAS_BINDING.square
    assert side is not None
    return bound, Piece(BIAS, "f", side, side, bound.strips)


@pytest.mark.parametrize(
    ("grain", "change", "piece", "kind"),
    [
        ("straight", {}, {}, None),
        ("bias", {}, {}, None),
        ("straight", {"length": 254.0}, {}, Kind.BINDING_LENGTH),
        ("straight", {}, {"count": 6}, Kind.BINDING_PIECES),
        ("straight", {}, {"height": _inches("2 1/4")}, Kind.BINDING_SIZE),
        ("straight", {}, {"turn": True}, Kind.BINDING_SIZE),
        ("straight", {"strips": 9}, {"count": 9}, Kind.BINDING_SPARE),
        # The rule of thumb: S x S / c = 266 in for S = 25.8, but 26 in gives 7 x 36.062 = 252.4.
        ("bias", {"square": Inches.parse(26)}, {"width": Inches.parse(26),
         "height": Inches.parse(26)}, Kind.BINDING_SHORT),
        ("bias", {}, {"height": Inches.parse(20)}, Kind.BINDING_SIZE),
        ("bias", {}, {"count": 2}, Kind.BINDING_PIECES),
    ],
)  # fmt: skip
def test_planted_faults_of_a_binding_are_found(
    grain: str, change: dict[str, object], piece: dict[str, object], kind: Kind | None
) -> None:
    bound, cloth = _bound(grain)
    faults = judge_binding(
        EDGE, (56, 71), replace(bound, **change), [replace(cloth, **piece)]  # type: ignore[arg-type, type-var]
    )  # fmt: skip
    assert kind in _kinds(faults) if kind else faults == ()


def test_a_backing_that_does_not_cover_is_found() -> None:
    # 56 x 71 is 64 x 79 with the margin: of 40 in cloth two lengths of 79 in or three of 64.
    ways = backing(56, 71, BOLT)
    assert judge_backing(EDGE, (56, 71), BOLT, ways) == ()
    for wrong in (replace(ways[0], panels=1), replace(ways[0], panel_length=75.0)):
        assert judge_backing(EDGE, (56, 71), BOLT, [wrong])
    assert judge_backing(EDGE, (56, 71), _inches(30), ways)


def test_a_purchase_that_shrinks_below_what_is_used_is_found() -> None:
    square = _inches("4 1/2")
    shrinkage = Fraction(5, 100)
    pieces, bolt = [Piece(Use(PieceKind.PATCH), "", square, square, 40)], form_of(FormKind.YARDAGE)
    plan = cut(pieces, Cloth("", bolt), shrinkage=shrinkage)
    narrow = replace(plan, cloth=Cloth("", replace(bolt, width=_inches(39))))
    assert judge_purchase(narrow, shrinkage) == ()
    # By hand: 42 in less 5 % is 39.9 in.
    (wet,) = judge_purchase(plan, shrinkage)
    assert wet["found"] == pytest.approx(39.9)
    # Bought as used: 5 strips of 4 1/2 in are 22 1/2 in, and 22 1/2 x 0.95 - 1/2 is 20.875.
    (dry,) = judge_purchase(replace(narrow, buy=narrow.used), shrinkage)
    assert (dry.kind, dry["left"]) == (Kind.BOUGHT, 20.875)


@pytest.mark.parametrize("name", TOPS)
def test_any_piece_left_out_or_cut_twice_is_found(name: str) -> None:
    top, listed = TOPS[name]
    for at, piece in enumerate(listed.pieces):
        others = [p for n, p in enumerate(listed.pieces) if n != at]
        assert judge_pieces(top, others, listed.strip_sets), piece
        if piece.count * 2 > 8:
            doubled = [*listed.pieces, piece]
            assert judge_pieces(top, doubled, listed.strip_sets), piece
