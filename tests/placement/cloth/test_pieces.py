"""Pieces to cut: worked by hand and by handbook rules, counted, and refused."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement import sizes
from placement.block import block_names, load_block, parse_block
from placement.cloth.cutting import PieceKind, Then
from placement.cloth.pieces import CuttingList, Note, NoteKind, Terms, cutting_list
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

FAT = Inches.parse("20 1/2")
BOLT = Inches.parse(40)


def _list(
    name: str, side: str, fabrics: int = 18, terms: Terms | None = None, **setting: object
) -> CuttingList:
    shape = {"kind": "on point", "across": 6, "down": 7, **setting}
    made = Setting(block_size=Inches.parse(side), **shape)  # type: ignore[arg-type]
    cells = len(made.cells())
    layout = Layout(made, tuple(f"f{index % fabrics}" for index in range(cells)))
    widths = {f"f{index}": FAT for index in range(fabrics)} | {"ground": BOLT}
    return cutting_list(layout, load_block(name), "ground", widths, terms)


def _cut(made: CuttingList, fabric: str) -> dict[str, int]:
    tally: dict[str, int] = {}
    for piece in made.pieces:
        if piece.fabric == fabric:
            key = f"{piece.width} x {piece.height}"
            tally[key] = tally.get(key, 0) + piece.count
    return tally


def test_a_sawtooth_star_by_the_handbook() -> None:
    # 8 in star: centre 4 1/2; corners 2 1/2; geese 4 x 2 from 5 1/4 and 2 7/8
    # (a practitioner's page on no-waste geese).
    made = _list("sawtooth-star", "8")
    assert _cut(made, "f0") == {"4 1/2 x 4 1/2": 4, "2 7/8 x 2 7/8": 16}
    ground = _cut(made, "ground")
    assert ground["2 1/2 x 2 1/2"] == 4 * 72
    assert ground["5 1/4 x 5 1/4"] == 72


def test_setting_triangles_are_part_of_the_background() -> None:
    # 6 x 7 on point, F 8 1/2: six 13 1/4 in squares and two 6 7/8 in squares, derived.
    ground = _cut(_list("plain-square", "8 1/2"), "ground")
    assert ground == {"13 1/4 x 13 1/4": 6, "6 7/8 x 6 7/8": 2}


def _sashed(name: str, side: str, **setting: object) -> dict[str, dict[str, int]]:
    made = Setting(block_size=Inches.parse(side), sashing=Inches.parse("1 1/2"), **setting)  # type: ignore[arg-type]
    layout = Layout(made, ("f0",) * len(made.cells()))
    widths = dict.fromkeys(("f0", "ground", "strips", "stones"), BOLT)
    cloths = {"sashing_fabric": "strips", "cornerstone_fabric": "stones"}
    listed = cutting_list(layout, load_block(name), "ground", widths, **cloths)
    return {fabric: _cut(listed, fabric) for fabric in widths}


def test_four_by_five_framed_takes_forty_nine_strips_and_thirty_cornerstones() -> None:
    # A practitioner's page on sashing; 9 in blocks and 1 1/2 in strips, each with two seams.
    shape = {"kind": "straight", "across": 4, "down": 5}
    cut = _sashed("plain-square", "9", cornerstones=True, **shape)
    assert cut["strips"] == {"9 1/2 x 2": 49}
    assert cut["stones"] == {"2 x 2": 30}
    assert cut["ground"] == {}


def test_sashing_on_point_is_cut_with_whole_and_half_cornerstones() -> None:
    # 4 x 5: 4ab strips, 2ab - a - b whole and 2(a + b) half, four of these from a square.
    shape = {"kind": "on point", "across": 4, "down": 5}
    cut = _sashed("plain-square", "8 1/2", cornerstones=True, **shape)
    assert cut["strips"] == {"9 x 2": 80}
    assert cut["stones"] == {"2 x 2": 31, "3 3/8 x 3 3/8": 5}
    assert cut["ground"] == {"13 1/4 x 13 1/4": 4, "6 7/8 x 6 7/8": 2}


def test_strips_longer_than_the_cloth_is_wide_are_joined() -> None:
    # 4 x 5 straight: (a+1)b = 25 short; six of 4 x 10 1/2 + 1 1/2 + 1/2 = 44 in, 264 in in all
    # from 40 in strips that lose 1/2 in a join: ceil(263.5 / 39.5) = 7.
    shape = {"kind": "straight", "across": 4, "down": 5}
    assert _sashed("plain-square", "9", **shape)["strips"] == {"9 1/2 x 2": 25, "40 x 2": 7}
    shape = {"kind": "straight", "across": 3, "down": 2}
    assert _sashed("plain-square", "9", **shape)["strips"] == {"9 1/2 x 2": 8, "33 1/2 x 2": 3}


def test_a_nine_patch_is_cut_in_strips() -> None:
    # Nine patch of 9 in: 3 1/2 in strips; 8 and 4 slices a fabric; 20 1/2 in hold five of them.
    made = _list("nine-patch", "9")
    assert [(s.slices, s.sets) for s in made.strip_sets[:2]] == [(8, (5, 3)), (4, (4,))]
    assert {s.sub_cut for s in made.strip_sets} == {Inches.parse("3 1/2")}


def test_forty_inches_give_fifteen_slices_of_two_and_a_half() -> None:
    # trade rule: squaring up costs 1/4 in, so 15 and not 16.
    setting = Setting("straight", 1, 20, Inches.parse(6))
    layout = Layout(setting, ("f",) * 20)
    block = parse_block(
        {"name": "Rail", "columns": [1, 1, 1], "rows": [1, 1, 1],
         "patches": ["F B F", "F B F", "F B F"]}
    )  # fmt: skip
    made = cutting_list(layout, block, "ground", {"f": BOLT, "ground": BOLT})
    assert made.strip_sets[0].sub_cut == Inches.parse("2 1/2")
    assert made.strip_sets[0].sets == (15, 15, 15, 15)


@pytest.mark.parametrize(
    ("method", "size", "count"),
    [("one", "3 7/8", 8), ("two", "3 7/8", 8), ("eight", "7 3/4", 2)],
)
def test_half_square_units_by_each_method(method: str, size: str, count: int) -> None:
    # Shoo fly of 9 in: 16 units of 3 in a fabric; +7/8 for two, 7 3/4 for eight (common practice).
    made = _list("shoo-fly", "9", terms=Terms(triangles=method))  # type: ignore[arg-type]
    assert _cut(made, "f0")[f"{size} x {size}"] == count


def test_plain_alternate_blocks_and_plain_cells_are_background() -> None:
    setting = Setting("straight", 3, 3, Inches.parse(6), alternate=True)
    layout = Layout(setting, ("f", "f", "", "f", "f"))
    made = cutting_list(layout, load_block("nine-patch"), "g", {"f": FAT, "g": BOLT})
    assert sum(p.count for p in made.pieces if p.kind is PieceKind.PLAIN_BLOCK) == 5


@given(
    st.sampled_from(block_names()),
    st.integers(4, 16),
    st.integers(1, 6),
    st.integers(1, 6),
    st.booleans(),
)
def test_strips_never_outgrow_their_cloth(
    name: str, side: int, across: int, down: int, straight: bool
) -> None:
    kind = "straight" if straight else "on point"
    made = _list(name, str(side), 3, across=across, down=down, kind=kind)
    for piece in made.pieces:
        if piece.then is Then.STRIP_SET:
            assert piece.width <= FAT
    for entry in made.strip_sets:
        assert sum(entry.sets) == entry.slices


def test_sizes_between_the_rulers_marks_are_told() -> None:
    (note,) = _list("nine-patch", "8 1/2").notes
    assert note == Note(NoteKind.BLOCK_OFF_RULER, (Inches.parse("8 1/4"), Inches.parse(9)))
    assert _list("nine-patch", "9").notes == ()


def test_cloth_without_a_width_is_refused() -> None:
    layout = Layout(Setting("straight", 3, 3, Inches.parse(30)), ("f",) * 9)
    with pytest.raises(ValueError, match="no width"):
        cutting_list(layout, load_block("nine-patch"), "g", {"f": FAT})


def _slices(width: str, blocks: int) -> tuple[tuple[int, ...], int]:
    """Return slices by set, and slices cut singly, of rails of 6 in: slices of 6 1/2 in."""
    setting = Setting("straight", 1, blocks, Inches.parse(6))
    block = parse_block({"name": "Rail", "columns": [1], "rows": [1, 1], "patches": ["F", "B"]})
    widths = {"f": Inches.parse(width), "g": Inches.parse(width)}
    made = cutting_list(Layout(setting, ("f",) * blocks), block, "g", widths)
    singly = sum(p.count for p in made.pieces if p.kind == "patch" and p.fabric == "f")
    return tuple(n for entry in made.strip_sets for n in entry.sets), singly


@pytest.mark.parametrize(
    ("width", "blocks", "sets", "singly"),
    [
        # 40 in hold six slices of 6 1/2 in and 1/4 in to square up; 20 1/2 in three.
        ("40", 12, (6, 6), 0), ("40", 9, (6, 3), 0),
        # One or two left over are taken in by the set before them.
        ("40", 7, (4, 3), 0), ("40", 14, (6, 5, 3), 0),
        # Where that set has none to spare, they are cut singly.
        ("20 1/2", 7, (3, 3), 1), ("20 1/2", 3, (3,), 0), ("20 1/2", 2, (), 2),
        # Cloth too narrow for three slices: no sets at all, and none are asked of ten-inch squares.
        ("19 1/2", 12, (), 12), ("10", 12, (), 12), ("6", 4, (), 4),
    ],
)  # fmt: skip
def test_no_strip_set_is_sewn_for_fewer_than_three_slices(
    width: str, blocks: int, sets: tuple[int, ...], singly: int
) -> None:
    # Common practice: a set of one or two slices is more work than patches cut singly.
    assert _slices(width, blocks) == (sets, singly)


@pytest.mark.parametrize("seam", ["0"])
def test_a_seam_of_nothing_is_refused(seam: str) -> None:
    with pytest.raises(ValueError, match="above 0"):
        Terms(seam=Inches.parse(seam))


def test_a_second_feature_is_cut_for_all_blocks_at_once() -> None:
    # Shoo-fly: one square of the second feature a block. Rows of background, second feature and
    # background are the same in every block, so they come from common sets of strips.
    setting = Setting("straight", 3, 4, Inches.parse(9))
    layout = Layout(setting, ("f", "g") * 6)
    widths = dict.fromkeys(("f", "g", "b", "s"), BOLT)
    made = cutting_list(layout, load_block("shoo-fly"), "b", widths, second="s")
    seconds = [piece for piece in made.pieces if piece.fabric == "s"]
    (strips,) = [entry for entry in made.strip_sets if ("s", Inches.parse("3 1/2")) in entry.strips]
    assert strips.slices == 12
    assert {piece.height for piece in seconds} == {Inches.parse("3 1/2")}
    assert {piece.then for piece in made.pieces if piece.fabric in ("f", "g")} == {"two at a time"}
    plain = cutting_list(layout, load_block("shoo-fly"), "b", widths)
    assert sum(entry.slices for entry in plain.strip_sets) == 12
    assert all("s" not in dict(entry.strips) for entry in plain.strip_sets)


METRIC = Terms(Inches.parse("7.5 mm"), sizes.FIVE_MM, squaring=Inches.parse("10 mm"))


def test_metric_sizes_between_millimetres_are_told_with_blocks_near_by() -> None:
    # By hand: a quarter of 210 mm is 52.5 mm, and of 200 and 220 mm 50 and 55 mm.
    (note,) = _list("sawtooth-star", "210 mm", terms=METRIC).notes
    assert _list("sawtooth-star", "220 mm", terms=METRIC).notes == ()
    assert [size.mm for size in note.near] == [200, 220]
    assert _list("nine-patch", "210 mm", terms=METRIC).notes == ()
    quarter = replace(METRIC, seam=Inches.parse("1/4"))
    (note,) = _list("nine-patch", "210 mm", terms=quarter).notes
    assert note == Note(NoteKind.SEAM_OFF_RULER)


def test_strips_for_slices_end_on_a_mark_of_the_ruler_or_at_the_cloths_edge() -> None:
    # By hand: slices of a nine patch of 8 1/2 in are 3 1/3 in; three and 1/4 in are 10 1/4 in.
    # Four are 13 7/12 in, on the next eighth 13 5/8; six, 20 1/4 of 20 1/2.
    made = _list("nine-patch", "8 1/2", 12)
    lengths = {piece.width for piece in made.pieces if piece.then is Then.STRIP_SET}
    assert all((length.value * 8).denominator == 1 for length in lengths)
    for entry in made.strip_sets:
        for slices in entry.sets:
            least = slices * entry.sub_cut.value + Fraction(1, 4)
            assert any(0 <= length.value - least < Fraction(1, 8) for length in lengths)


def test_parts_of_halves_and_thirds_ask_for_sixths() -> None:
    # Halves across and thirds down: both end on a quarter inch in blocks of 1 1/2 in steps.
    block = parse_block(
        {"name": "Bars", "columns": [1, 1], "rows": [1, 1, 1], "patches": ["F B", "B F", "F B"]}
    )
    layout = Layout(Setting("straight", 2, 2, Inches.parse(8)), ("f",) * 4)
    (note,) = cutting_list(layout, block, "g", {"f": FAT, "g": BOLT}).notes
    assert [str(size) for size in note.near] == ["7 1/2", "9"]
