"""Every shipped block tiles its square and turns as its drawing does; faults are all told."""

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement.block import Block, Patch, block_names, check_cuttable, load_block, parse_block

BLOCKS = [load_block(name) for name in block_names()]
GRID = 60
"""Samples a side of the drawings below; divides by 2, 3, 4 and 5, never on a seam."""


def area(points):
    """Area of a polygon by the shoelace formula."""
    corners = list(zip(points, points[1:] + points[:1], strict=True))
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in corners)) / 2


def covers(points, x, y):
    """Whether a convex polygon covers a point that is on no edge."""
    corners = zip(points, points[1:] + points[:1], strict=True)
    sides = [(x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) > 0 for (x1, y1), (x2, y2) in corners]
    return all(sides) or not any(sides)


def samples():
    # Off every diagonal: 1/7 and 3/7 of a sample's width never meet a seam.
    return [Fraction(7 * step + 1, 7 * GRID) for step in range(GRID)], [
        Fraction(7 * step + 3, 7 * GRID) for step in range(GRID)
    ]


def roles_at(block, x, y):
    return [
        role
        for patch in block.patches
        if patch.left < x < patch.left + patch.width and patch.top < y < patch.top + patch.height
        for role, points in patch.parts()
        if covers(points, x, y)
    ]


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.name)
def test_the_parts_of_a_block_add_up_to_its_square(block):
    assert sum(area(points) for patch in block.patches for _, points in patch.parts()) == 1


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.name)
def test_exactly_one_part_covers_every_sampled_point(block):
    xs, ys = samples()
    assert {len(roles_at(block, x, y)) for x in xs[::3] for y in ys[::3]} == {1}


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.name)
def test_turns_that_leave_the_look_alone_leave_the_drawing_alone(block):
    xs, ys = samples()

    def drawn(turn):
        return [roles_at(block, *turn(x, y)) for x in xs[::3] for y in ys[::3]]

    turns = {
        90: lambda x, y: (1 - y, x),
        180: lambda x, y: (1 - x, 1 - y),
        270: lambda x, y: (y, 1 - x),
    }
    upright = drawn(lambda x, y: (x, y))
    assert block.same_when_turned() == tuple(
        d for d, turn in turns.items() if drawn(turn) == upright
    )


@pytest.mark.parametrize(
    ("rows", "same"),
    [
        (["F B", "B F"], (180,)),
        (["F F", "B B"], ()),
        (["F/B F\\B", "F\\B F/B"], ()),
        (["B/F F\\B", "B\\F F/B"], (90, 180, 270)),  # a square on its point
        (["F\\B F/B", "B/F B\\F"], (90, 180, 270)),  # a pinwheel
        (["B/F B\\F", "F\\B F/B"], (180,)),
        (["xFBFB xFBFB", "xFBFB xFBFB"], (180,)),
    ],
)
def test_known_turns(rows, same):
    # Worked by hand from drawings of four patches.
    block = parse_block({"name": "four", "columns": [1, 1], "rows": [1, 1], "patches": rows})
    assert block.same_when_turned() == same


def test_a_merged_patch_spans_its_cells():
    block = parse_block(
        {"name": "rails", "columns": [1, 2, 1], "rows": [1, 1], "patches": ["F < B", "^ ^ S"]}
    )
    first = block.patches[0]
    assert (first.width, first.height) == (Fraction(3, 4), 1)
    assert [patch.roles for patch in block.patches] == ["F", "B", "S"]


def test_every_fault_is_told_at_once():
    with pytest.raises(ValueError, match="needs a name") as refused:
        parse_block({"columns": [1, 0], "rows": "two", "patches": ["F", "B"]})
    assert str(refused.value).splitlines() == [
        "columns must be sizes above zero; 0 is not",
        "rows must be a list of sizes such as [1, 1, 1], not 'two'",
        "the block needs a name",
        "patches must be 0 rows of 2 patches, not ['F', 'B']",
    ]


def test_every_faulty_patch_is_told_at_once():
    with pytest.raises(ValueError, match="is not a patch") as refused:
        parse_block(
            {"name": "no", "columns": [1, 1], "rows": [1, 1], "patches": ["< Q", "F/ xFBF"]}
        )
    assert str(refused.value).splitlines() == [
        "a merge mark at row 1 has nothing to merge with",
        "row 1, patch 2: 'Q' is not a patch",
        "row 2, patch 1: 'F/' is not a patch",
        "row 2, patch 2: 'xFBF' is not a patch",
    ]


def test_merged_cells_that_make_no_rectangle_are_told():
    with pytest.raises(ValueError, match="row 1, patch 1: merged cells must make a rectangle"):
        parse_block({"name": "L", "columns": [1, 1], "rows": [1, 1], "patches": ["F <", "^ B"]})


def test_an_unknown_block_is_refused_with_the_names_there_are():
    with pytest.raises(ValueError, match="choose one of churn-dash, dutchmans-puzzle"):
        load_block("no such block")


@given(
    cut=st.sampled_from([("", "F"), ("/", "FB"), ("\\", "FB"), ("x", "FBSB")]),
    width=st.fractions(min_value="1/8", max_value=1),
    height=st.fractions(min_value="1/8", max_value=1),
)
def test_the_parts_of_any_patch_fill_it(cut, width, height):
    patch = Patch(Fraction(0), Fraction(0), width, height, *cut)
    areas = [area(points) for _, points in patch.parts()]
    assert sum(areas) == width * height
    assert len(Counter(areas)) == 1


def test_left_comes_first_in_a_halved_patch():
    for cut in "/\\":
        (role, left), _ = Patch(
            Fraction(0), Fraction(0), Fraction(1), Fraction(1), cut, "FB"
        ).parts()
        assert role == "F"
        assert sum(x for x, _ in left) < Fraction(3, 2)


def test_a_block_of_nothing_but_its_name_and_patches_is_a_value():
    one, other = load_block("shoo-fly"), load_block("shoo-fly")
    assert one == other
    assert isinstance(one, Block)


def test_triangles_that_no_closed_form_cuts_are_told():
    # Common practice: geese are twice as long as high, quartered patches are squares.
    oblong = {"name": "Odd", "columns": [1, 2], "rows": [1], "patches": ["vBF xFBFB"]}
    with pytest.raises(ValueError, match="quartered") as refused:
        check_cuttable(parse_block(oblong))
    assert str(refused.value).splitlines() == [
        "Odd can't be cut: a flying goose must be twice as long at its base as it is high",
        "Odd can't be cut: a quartered patch must be a square",
    ]
    for name in block_names():
        check_cuttable(load_block(name))
