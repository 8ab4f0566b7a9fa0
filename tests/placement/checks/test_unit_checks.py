"""Units of all blocks by every method are sewn on paper without a fault; planted ones are found."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from placement import sizes
from placement.block import Block, Patch, block_names, load_block, parse_block
from placement.checks import paper
from placement.checks.fault import FaultKind as Kind
from placement.checks.paper import Wanted
from placement.checks.pieces import Top, judge_pieces
from placement.checks.units import judge_units
from placement.cloth.cutting import Piece, PieceKind, Then
from placement.cloth.methods import Geese, Making, Quarters
from placement.cloth.pieces import CuttingList, Terms, cutting_list
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable

METHODS: dict[str, tuple[str, tuple[str, ...]]] = {
    "half": ("triangles", ("one", "two", "four", "eight", "strips")),
    "goose": ("geese", tuple(Geese)),
    "quarter": ("quarters", tuple(Quarters)),
}
CUTS = {"/": "half", "\\": "half", "x": "quarter", "v": "goose", "^": "goose", "<": "goose",
        ">": "goose"}  # fmt: skip
OWN = (
    parse_block({"name": "Slope", "columns": [1, 1], "rows": [1, 1],
                 "patches": ["F/B F/B", "F\\B B/F"]}),
    parse_block({"name": "Flock", "columns": [1, 1], "rows": [1, 1],
                 "patches": ["^FB <", "vFB <"]}),
    parse_block({"name": "Kites", "columns": [1, 1], "rows": [1, 1],
                 "patches": ["xFBSB xBSBF", "xFBBS F"]}),
)  # fmt: skip
"""Units that lie unevenly, of three cloths, and mirror images."""

BLOCKS = [*(load_block(name) for name in block_names()), *OWN]
ONE_WAY = ((), ("f",), ("g", "s"), ("f", "h", "g", "s"))
LENGTHS = {"inches": ("1/4", "1/8", "1/4", "8 1/2"),
           "metric": ("7.5 mm", "5 mm", "10 mm", "210 mm")}  # fmt: skip


def _made(
    block: Block, one_way: tuple[str, ...] = (), units: str = "inches", **terms: Any
) -> tuple[Top, dict[str, str], CuttingList]:
    seam, step, squaring, side = (Inches.parse(text) for text in LENGTHS[units])
    layout = Layout(Setting("straight", 5, 3, side), (*"fgh" * 5,))
    layout = replace(layout, fabrics=tuple("h" if name != "f" else name for name in layout.fabrics))
    widths = {"f": Inches.parse("20 1/2"), **dict.fromkeys("hgs", Inches.parse(40))}
    chosen = Terms(seam, step, squaring=squaring, **terms)
    made = cutting_list(layout, block, "g", widths, chosen, "s", one_way=one_way)
    asked = {"half": chosen.triangles, "goose": chosen.geese, "quarter": chosen.quarters}
    top = Top(layout, block, seam, squaring, step, widths, "g", "s", one_way=frozenset(one_way))
    return top, asked, made


def _kinds(top: Top, asked: dict[str, str], made: CuttingList) -> list[Kind]:
    faults = judge_units(top, asked, made.makings, made.pieces, made.notes)
    return [found.kind for found in faults]


@pytest.mark.slow
@pytest.mark.parametrize("units", LENGTHS)
@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.name)
def test_every_block_by_every_method_has_no_fault(block: Block, units: str) -> None:
    for kind in sorted({CUTS[patch.cut] for patch in block.patches if patch.cut}):
        name, ways = METHODS[kind]
        for way in ways:
            for one_way in ONE_WAY:
                top, asked, made = _made(block, one_way, units, **{name: way})
                assert _kinds(top, asked, made) == [], (way, one_way)
                assert judge_pieces(top, made.pieces, made.strip_sets) == (), (way, one_way)


def _sized(field: int, by: str, *, less: bool = False) -> Callable[[CuttingList], CuttingList]:
    """Return what makes the told size of the first making larger or smaller."""

    def plant(made: CuttingList) -> CuttingList:
        making = made.makings[0]
        step = Inches.parse(by).value * (-1 if less else 1)
        flat = [side for size in making.sizes for side in size]
        flat[field] = Inches(flat[field].value + step)
        square = making.sizes[0][0] == making.sizes[0][1]
        if square:
            flat[field + 1] = flat[field]
        told = tuple(zip(flat[::2], flat[1::2], strict=True))
        return replace(made, makings=(replace(making, sizes=told), *made.makings[1:]))

    return plant


def _making(**change: Any) -> Callable[[CuttingList], CuttingList]:
    def plant(made: CuttingList) -> CuttingList:
        return replace(made, makings=(replace(made.makings[0], **change), *made.makings[1:]))

    return plant


def _units(more: int) -> Callable[[CuttingList], CuttingList]:
    def plant(made: CuttingList) -> CuttingList:
        (fabric, units), *rest = made.makings[0].made
        return _making(made=((fabric, units + more), *rest))(made)

    return plant


def _pieces(kind: PieceKind, more: int) -> Callable[[CuttingList], CuttingList]:
    def plant(made: CuttingList) -> CuttingList:
        at = next(n for n, piece in enumerate(made.pieces) if piece.kind is kind)
        piece: Piece = replace(made.pieces[at], count=made.pieces[at].count + more)
        return replace(made, pieces=(*made.pieces[:at], piece, *made.pieces[at + 1 :]))

    return plant


def _mute(made: CuttingList) -> CuttingList:
    return replace(made, notes=())


def _twice(made: CuttingList) -> CuttingList:
    """Tell a making of a unit that the block does not hold."""
    making: Making = made.makings[0]
    other = replace(making, unit=replace(making.unit, width=making.unit.width / 2))
    return replace(made, makings=(*made.makings, other))


FLY, STAR = load_block("shoo-fly"), load_block("sawtooth-star")
OHIO, FLOCK = load_block("ohio-star"), OWN[1]
FAULTS: dict[str, tuple[Block, tuple[str, ...], dict[str, Any], Any, Kind]] = {
    # Block, prints with an up, method, what is planted, by what it must be found.
    "two at a time too small": (FLY, (), {}, _sized(0, "1/8", less=True), Kind.UNIT_SMALL),
    "two at a time too large": (FLY, (), {}, _sized(0, "1/8"), Kind.UNIT_LARGE),
    "four at a time too small": (FLY, (), {"triangles": "four"}, _sized(0, "1/8", less=True),
                                 Kind.UNIT_SMALL),
    "eight at a time too small": (FLY, (), {"triangles": "eight"}, _sized(0, "1/8", less=True),
                                  Kind.UNIT_SMALL),
    "eight at a time too large": (FLY, (), {"triangles": "eight"}, _sized(0, "1/8"),
                                  Kind.UNIT_LARGE),
    "a triangle of strip too short": (FLY, (), {"triangles": "strips"},
                                      _sized(0, "1/8", less=True), Kind.UNIT_SMALL),
    "a strip too narrow": (FLY, (), {"triangles": "strips"}, _sized(1, "1/8", less=True),
                           Kind.UNIT_SMALL),
    "strips too few": (FLY, (), {"triangles": "strips"}, _pieces(PieceKind.HALF_SQUARE_STRIP, -1),
                       Kind.UNIT_PIECES),
    "a large square too small": (STAR, (), {}, _sized(0, "1/8", less=True), Kind.UNIT_SMALL),
    "a small square too small": (STAR, (), {}, _sized(2, "1/8", less=True), Kind.UNIT_SMALL),
    "a small square too large": (STAR, (), {}, _sized(2, "1/8"), Kind.UNIT_LARGE),
    "a rectangle too short": (STAR, (), {"geese": Geese.CORNERS}, _sized(0, "1/8", less=True),
                              Kind.UNIT_SMALL),
    "a rectangle too low": (STAR, (), {"geese": Geese.CORNERS}, _sized(1, "1/8", less=True),
                            Kind.UNIT_SMALL),
    "its squares too small": (STAR, (), {"geese": Geese.CORNERS}, _sized(2, "1/8", less=True),
                              Kind.UNIT_SMALL),
    "a square too few": (STAR, (), {"geese": Geese.CORNERS}, _pieces(PieceKind.SMALL_GOOSE, -1),
                         Kind.UNIT_PIECES),
    "a quarter too small": (OHIO, (), {}, _sized(0, "1/8", less=True), Kind.UNIT_SMALL),
    "half squares too small": (OHIO, (), {"quarters": Quarters.HALVES},
                               _sized(0, "1/8", less=True), Kind.UNIT_SMALL),
    "half squares too large": (OHIO, (), {"quarters": Quarters.HALVES}, _sized(0, "1/8"),
                               Kind.UNIT_LARGE),
    "a unit too few": (OHIO, (), {"quarters": Quarters.HALVES}, _units(-2), Kind.UNIT_COUNT),
    "a pair too many": (FLY, (), {}, _units(2), Kind.UNIT_COUNT),
    "half a pair": (FLY, (), {}, _units(-1), Kind.UNIT_COUNT),
    "a goose's square too many": (STAR, (), {}, _pieces(PieceKind.LARGE_GOOSE, 1),
                                  Kind.UNIT_PIECES),
    "one way, sewn all round": (FLY, ("f",), {}, _making(then=Then.FOUR), Kind.UNIT_SMALL),
    "not as asked": (STAR, (), {"geese": Geese.CORNERS}, _making(then=Then.FOUR),
                     Kind.UNIT_METHOD),
    "untold": (FLOCK, ("f",), {}, _mute, Kind.UNIT_METHOD),
    "of no block": (FLY, (), {}, _twice, Kind.UNIT_UNKNOWN),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_of_a_unit_is_found(name: str) -> None:
    block, one_way, terms, plant, kind = FAULTS[name]
    top, asked, made = _made(block, one_way, **terms)
    assert kind in _kinds(top, asked, plant(made))


@pytest.mark.parametrize(
    ("block", "one_way", "terms"),
    [
        (FLOCK, ("f",), {}),
        (FLOCK, ("g",), {}),
        (FLY, ("f",), {"triangles": "four"}),
        (FLY, ("f", "h", "g"), {"triangles": "eight"}),
        (FLY, ("f", "h", "g"), {"triangles": "strips"}),
        (OWN[0], ("h",), {"triangles": "two"}),
        (load_block("hourglass"), ("f",), {"quarters": Quarters.HALVES}),
    ],
)
def test_a_list_that_does_not_know_of_a_one_way_print_is_found(
    block: Block, one_way: tuple[str, ...], terms: dict[str, Any]
) -> None:
    """What is cut as if no print had an up turns one: the judge says which units."""
    top, asked, made = _made(block, (), **terms)
    assert _kinds(top, asked, made) == []
    assert Kind.UNIT_TURNED in _kinds(replace(top, one_way=frozenset(one_way)), asked, made)


def _patches(*texts: str) -> tuple[Patch, ...]:
    grid = {"name": "one", "columns": [1], "rows": [1]}
    return tuple(parse_block(grid | {"patches": [text]}).patches[0] for text in texts)


def test_paper_tells_of_eight_at_a_time_what_a_maker_finds() -> None:
    """Two with the print in each corner; of two prints half have one upside down (by hand)."""
    wanted = Wanted(_patches("F/B", "B/F", "F\\B", "B\\F"), 3.0, 3.0, 0.25)
    works = paper.halves_eight("FB", 7.75, 0.25)
    one = paper.upright(works, wanted, frozenset("F"))
    assert sorted(map(sorted, one)) == sorted([["/FB"], ["/BF"], ["\\FB"], ["\\BF"]] * 2)
    both = paper.upright(works, wanted, frozenset("FB"))
    assert sum(map(bool, both)) == 4
    assert not any(paper.upright(paper.halves_round("FB", 5.5, 0.25), wanted, frozenset("F")))


def test_sizes_that_paper_needs_are_the_closed_forms() -> None:
    """An eighth of a thousandth below them nothing comes of it: forms are exact, not generous."""
    q, wanted = 0.25, Wanted(_patches("F/B", "B/F"), 3.0, 3.0, 0.25)
    for exact, make in (
        (sizes.half_square(3, q), lambda side: paper.halves("FB", side, q)),
        (sizes.eight_at_a_time(3, q), lambda side: paper.halves_eight("FB", side, q)),
        (sizes.four_at_a_time(3, q), lambda side: paper.halves_round("FB", side, q)),
    ):
        assert all(paper.upright(make(exact + 1e-6), wanted, frozenset()))
        assert not any(paper.upright(make(exact - 1e-3), wanted, frozenset()))
