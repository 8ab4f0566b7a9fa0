"""Units by every method: sizes and counts of handbooks and by hand, and prints kept upright."""

from __future__ import annotations

import pytest

from placement import sizes
from placement.block import Block, load_block, parse_block
from placement.cloth.cutting import PieceKind, Then
from placement.cloth.methods import Geese, Quarters, Reason
from placement.cloth.pieces import CuttingList, NoteKind, Terms, cutting_list
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

BOLT = Inches.parse(40)
STAR, FLY = load_block("sawtooth-star"), load_block("shoo-fly")
OHIO, HOUR = load_block("ohio-star"), load_block("hourglass")
FLOCK = parse_block({"name": "Flock", "columns": [1, 1], "rows": [1, 1],
                     "patches": ["^FB <", "^FB <"]})  # fmt: skip
"""All geese point up."""


def _list(block: Block, side: str, blocks: int, *one_way: str, **terms: object) -> CuttingList:
    layout = Layout(Setting("straight", blocks, 1, Inches.parse(side)), ("f",) * blocks)
    widths = {"f": BOLT, "g": BOLT}
    made = Terms(**terms)  # type: ignore[arg-type]
    return cutting_list(layout, block, "g", widths, made, one_way=one_way)


def _metric(**terms: object) -> dict[str, object]:
    return {"seam": Inches.parse("7.5 mm"), "step": sizes.FIVE_MM,
            "squaring": Inches.parse("10 mm"), **terms}  # fmt: skip


def _cut(made: CuttingList, fabric: str, *kinds: PieceKind) -> dict[str, int]:
    return {f"{p.width} x {p.height}": p.count for p in made.pieces
            if p.fabric == fabric and p.kind in kinds}  # fmt: skip


GEESE = PieceKind.LARGE_GOOSE, PieceKind.SMALL_GOOSE
HALVES = PieceKind.HALF_SQUARE, PieceKind.HALF_SQUARE_STRIP


def test_geese_of_four_by_two_from_a_rectangle_and_two_squares() -> None:
    # w + 1/2 by h + 1/2 and squares of h + 1/2 (common practice): 4 1/2 x 2 1/2 and 2 1/2; a
    # star takes four rectangles and eight squares.
    made = _list(STAR, "8", 3, geese=Geese.CORNERS)
    assert _cut(made, "g", *GEESE) == {"4 1/2 x 2 1/2": 12}
    assert _cut(made, "f", *GEESE) == {"2 1/2 x 2 1/2": 24}
    # 160 x 80 mm with seams of 7.5 mm.
    metric = _list(STAR, "320 mm", 1, **_metric(geese=Geese.CORNERS))
    assert _cut(metric, "g", *GEESE) == {"175 mm x 95 mm": 4}
    assert _cut(metric, "f", *GEESE) == {"95 mm x 95 mm": 8}


def test_geese_of_four_by_two_four_at_a_time() -> None:
    # 5 1/4 and 2 7/8: a practitioner's page on no-waste geese.
    made = _list(STAR, "8", 3)
    assert _cut(made, "g", *GEESE) == {"5 1/4 x 5 1/4": 3}
    assert _cut(made, "f", *GEESE) == {"2 7/8 x 2 7/8": 12}
    # 160 + 36.2 mm and 80 + 25.6 mm (derived), up to the next 5 mm.
    metric = _list(STAR, "320 mm", 1, **_metric())
    assert _cut(metric, "g", *GEESE) == {"200 mm x 200 mm": 1}
    assert _cut(metric, "f", *GEESE) == {"110 mm x 110 mm": 4}


@pytest.mark.parametrize(
    ("method", "inches", "metric"),
    [
        # F + 7/8 (North Hampshire Quilters, handbook page hblk402b); F + 25.6 mm (derived).
        ("one", {"3 7/8 x 3 7/8": 6}, {"110 mm x 110 mm": 6}),
        ("two", {"3 7/8 x 3 7/8": 6}, {"110 mm x 110 mm": 6}),
        # sqrt 2 (F + 1/2) + 1/2 = 5.45; sqrt 2 (80 + 15) + 15 = 149.35 mm (derived).
        ("four", {"5 1/2 x 5 1/2": 3}, {"150 mm x 150 mm": 3}),
        # 2F + 1 3/4 (common practice); the four units left are made two at a time.
        ("eight", {"7 3/4 x 7 3/4": 1, "3 7/8 x 3 7/8": 2},
         {"215 mm x 215 mm": 1, "110 mm x 110 mm": 2}),
        # Strips as wide as the unit is cut, F + 1/2; a triangle reaches F + 7/8 along it and two
        # take 2 x 3 7/8 - 3 1/2 = 4 1/4 in: six times that and 1/4 in to square up (by hand).
        ("strips", {"25 3/4 x 3 1/2": 1}, {"760 mm x 95 mm": 1}),
    ],
)  # fmt: skip
def test_half_squares_of_three_inches_by_each_method(
    method: str, inches: dict[str, int], metric: dict[str, int]
) -> None:
    made = _list(FLY, "9", 3, triangles=method)
    assert _cut(made, "f", *HALVES) == _cut(made, "g", *HALVES) == inches
    made = _list(FLY, "240 mm", 3, **_metric(triangles=method))
    assert _cut(made, "f", *HALVES) == _cut(made, "g", *HALVES) == metric


def test_strips_are_as_many_as_their_units_take() -> None:
    # 40 in hold nine pairs of 4 1/4 in and 1/4 in to square up, 38 1/2 in, and no half pair of
    # 3 7/8: 18 units. Of 40 units four are left: 2 x 4 1/4 + 1/4 (by hand).
    made = _list(FLY, "9", 10, triangles="strips")
    assert _cut(made, "f", *HALVES) == {"38 1/2 x 3 1/2": 2, "8 3/4 x 3 1/2": 1}
    assert made.makings[0].made == (("f", 40),)


def test_quarter_squares_from_two_half_squares_take_the_same_squares() -> None:
    # F + 1 1/4 (North Hampshire Quilters, handbook page hblk402b) either way: a square of each
    # fabric gives two units of 3 in.
    for method, then in ((Quarters.CUT_TWICE, Then.CUT_TWICE), (Quarters.HALVES, Then.HALVES)):
        made = _list(OHIO, "9", 3, quarters=method)
        for fabric in "fg":
            assert _cut(made, fabric, PieceKind.QUARTER_SQUARE) == {"4 1/4 x 4 1/4": 6}
        assert [making.then for making in made.makings] == [then]
    # 80 + 36.2 mm (derived).
    metric = _list(OHIO, "240 mm", 3, **_metric(quarters=Quarters.HALVES))
    assert _cut(metric, "f", PieceKind.QUARTER_SQUARE) == {"120 mm x 120 mm": 6}


def test_three_cloths_are_made_of_two_kinds_of_half_squares() -> None:
    # F, B, S, B going round: half squares of F and B and as many of S and B; two pairs of
    # squares give four units (by hand).
    block = parse_block({"name": "Kite", "columns": [1], "rows": [1], "patches": ["xFBSB"]})
    layout = Layout(Setting("straight", 6, 1, Inches.parse(3)), ("f",) * 6)
    widths = dict.fromkeys("fgs", BOLT)
    made = cutting_list(layout, block, "g", widths, Terms(quarters=Quarters.HALVES), "s")
    assert {name: _cut(made, name, PieceKind.QUARTER_SQUARE) for name in "fsg"} == {
        "f": {"4 1/4 x 4 1/4": 2}, "s": {"4 1/4 x 4 1/4": 2}, "g": {"4 1/4 x 4 1/4": 4},
    }  # fmt: skip


def test_mirror_images_are_cut_twice() -> None:
    block = parse_block({"name": "Odd", "columns": [1], "rows": [1], "patches": ["xFBBS"]})
    layout = Layout(Setting("straight", 2, 1, Inches.parse(3)), ("f", "f"))
    widths = dict.fromkeys("fgs", BOLT)
    made = cutting_list(layout, block, "g", widths, Terms(quarters=Quarters.HALVES), "s")
    assert [making.then for making in made.makings] == [Then.CUT_TWICE]
    assert [note.reason for note in made.notes] == [Reason.MIRRORED]


def test_small_squares_of_geese_reach_the_middle_of_the_large_one_as_it_is_cut() -> None:
    # Derived: 215.9 mm blocks with seams of 6 mm take large squares of 136.9 mm, cut 140; the
    # small ones, 74.5 mm by formula, must reach 140 / 2 + 6 = 76 mm, so 80 mm is cut.
    made = _list(STAR, "8 1/2", 1, **_metric(seam=Inches.parse("6 mm")))
    assert _cut(made, "g", *GEESE) == {"140 mm x 140 mm": 1}
    assert _cut(made, "f", *GEESE) == {"80 mm x 80 mm": 4}


def test_rectangles_give_two_triangles_of_one_handedness() -> None:
    # A rectangle cut corner to corner gives two triangles that are each other turned by half, so
    # mirror images come from rectangles of their own (common practice).
    rows = {"name": "Roof", "columns": [1, 1], "rows": [1, 3]}
    mirrored = parse_block({**rows, "patches": ["/BF \\BF", "F B"]})
    alike = parse_block({**rows, "patches": ["/BF /BF", "F B"]})
    for block, blocks, count in ((mirrored, 1, 2), (mirrored, 2, 2), (mirrored, 3, 4),
                                 (alike, 1, 1), (alike, 3, 3)):  # fmt: skip
        made = _list(block, "8", blocks)
        for fabric in "fg":
            assert list(_cut(made, fabric, PieceKind.HALF_RECTANGLE).values()) == [count]


@pytest.mark.parametrize(
    ("block", "one_way", "terms", "then", "count"),
    [
        # Of a star's four geese one points each way, as of four made at a time.
        (STAR, "fg", {}, Then.FOUR, 12),
        # All pointing up, three of four would be turned: each from its rectangle.
        (FLOCK, "f", {}, Then.CORNERS, 6),
        (FLOCK, "g", {}, Then.CORNERS, 6),
        (FLOCK, "", {}, Then.FOUR, 2),
        # Sewn all round, the grain of every unit lies along its seam.
        (FLY, "f", {"triangles": "four"}, Then.TWO, 6),
        # Eight at a time serve one such print, not two; strips likewise.
        (FLY, "f", {"triangles": "eight"}, Then.EIGHT, 1),
        (FLY, "fg", {"triangles": "eight"}, Then.TWO, 6),
        (FLY, "g", {"triangles": "strips"}, Then.STRIP_PAIR, 1),
        (FLY, "fg", {"triangles": "strips"}, Then.TWO, 6),
        # An hourglass wants two of the four triangles of a square: twice as many squares.
        (HOUR, "", {}, Then.CUT_TWICE, 2),
        (HOUR, "f", {}, Then.CUT_TWICE, 3),
        (HOUR, "f", {"quarters": Quarters.HALVES}, Then.HALVES, 3),
        # An Ohio star wants all four.
        (OHIO, "f", {}, Then.CUT_TWICE, 6),
    ],
)
def test_a_print_with_an_up_chooses_what_keeps_it_upright(
    block: Block, one_way: str, terms: dict[str, object], then: Then, count: int
) -> None:
    made = _list(block, "9", 3, *one_way, **terms)
    first = next(p for p in made.pieces if p.fabric == "f" and p.kind in (*GEESE, *HALVES,
                 PieceKind.QUARTER_SQUARE))  # fmt: skip
    assert (first.then, first.count) == (then, count)
    told = [note for note in made.notes if note.kind is NoteKind.OTHER_METHOD]
    assert bool(told) == (then in (Then.TWO, Then.CORNERS))
    assert all(note.reason is Reason.ONE_WAY and note.fabrics == ("f",) for note in told)


def test_a_goose_to_the_side_is_cut_from_a_rectangle_that_stands() -> None:
    made = _list(STAR, "8", 1, "g", geese=Geese.CORNERS)
    assert _cut(made, "g", *GEESE) == {"4 1/2 x 2 1/2": 2, "2 1/2 x 4 1/2": 2}


def test_half_squares_that_all_lie_alike_take_twice_the_squares() -> None:
    # Of a pair of squares one unit lies so, the other the opposite way (by hand).
    block = parse_block({"name": "Slope", "columns": [1, 1], "rows": [1, 1],
                         "patches": ["F/B F/B", "F/B F/B"]})  # fmt: skip
    assert _cut(_list(block, "6", 3), "f", *HALVES) == {"3 7/8 x 3 7/8": 6}
    assert _cut(_list(block, "6", 3, "f"), "f", *HALVES) == {"3 7/8 x 3 7/8": 12}
    made = _list(block, "6", 3, "f", triangles="eight")
    assert [note.reason for note in made.notes] == [Reason.ONE_WAY]


def test_cloth_too_short_for_strips_is_told() -> None:
    layout = Layout(Setting("straight", 2, 1, Inches.parse(9)), ("f", "f"))
    widths = {"f": Inches.parse("4 1/4"), "g": BOLT}
    made = cutting_list(layout, FLY, "g", widths, Terms(triangles="strips"))
    assert [making.then for making in made.makings] == [Then.TWO]
    assert [note.reason for note in made.notes] == [Reason.SHORT_STRIPS]


def test_an_unknown_method_is_refused() -> None:
    with pytest.raises(ValueError, match="or from strips, not 'six'"):
        Terms(triangles="six")  # type: ignore[arg-type]
