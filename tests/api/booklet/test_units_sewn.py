"""Units sewn on paper from the printed steps alone: all sizes are read off the words."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from api.booklet.chapters.units import unit_parts
from api.booklet.edition import Edition
from api.booklet.parts import Steps, Table, Words
from api.booklet.source import source
from api.pattern.brief import OwnBlock
from api.pattern.sewing import _METRIC_SEWING, Sewing
from placement.block import GEESE, Patch
from placement.checks import paper
from placement.checks.paper import Wanted, Work

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan

_LENGTH = r'(\d+ \d+/\d+"|\d+/\d+"|\d+"|[\d.]+ [mc]m)'


def length(text: str) -> float:
    """Read a length as it is printed, in inches."""
    if text.endswith("m"):
        number, unit = text.split()
        return float(number) / {"mm": 25.4, "cm": 2.54}[unit]
    parts = (part.split("/") for part in text.removesuffix('"').split())
    return sum(float(part[0]) / float((*part[1:], 1)[0]) for part in parts)


def lengths(line: str) -> list[float]:
    return [length(found) for found in re.findall(_LENGTH, line)]


class Bench:
    """A sewing table: does what a step says, as far as it says it."""

    def __init__(self) -> None:
        self.over: list[float] = []
        self.under: list[float] = []
        self.q = 0.0
        self.works: list[Work] = []
        self.done = ""

    def follow(self, line: str) -> None:
        """Do one step; what is not known is pressed or looked at."""
        for pattern, act in _STEPS:
            if re.search(pattern, line):
                act(self, lengths(line), line)
                return
        assert re.search(r"^(Press|Of each|Lay out|Trim)", line), f"not understood: {line}"


def _mark(at: Bench, found: list[float], _: str) -> None:
    if found:
        at.over = found


def _lay(at: Bench, found: list[float], _: str) -> None:
    at.under = found or at.over


def _sew(at: Bench, found: list[float], _: str) -> None:
    at.q = found[0]


def _cut_two(at: Bench, _: list[float], line: str) -> None:
    if at.works and "units" in line:
        at.works = paper.quarters_of_halves("FBFB", at.over[0], at.q)
        return
    (over,), (under,) = at.over, at.under
    assert over == under
    at.works = paper.halves("FB", over, at.q)


def _cut_geese(at: Bench, *_: object) -> None:
    (small,), (large,) = at.over, at.under
    at.works = paper.geese_four("FB", large, small, at.q)


def _cut_eight(at: Bench, *_: object) -> None:
    at.works = paper.halves_eight("FB", at.over[0], at.q)


def _cut_round(at: Bench, *_: object) -> None:
    at.works = paper.halves_round("FB", at.under[0], at.q)


def _corners(at: Bench, *_: object) -> None:
    (small,), (wide, high) = at.over, at.under
    at.works = paper.goose_of_corners("FB", (wide, high, small), "^")


def _slant(at: Bench, found: list[float], _: str) -> None:
    blunt, reach = found
    (high,) = at.under
    # Marks on both edges and 45 degrees between them agree.
    assert reach - blunt == pytest.approx(high)
    at.over = [reach]


def _straight(at: Bench, found: list[float], _: str) -> None:
    assert found == at.over


def _slanted_edge(at: Bench, found: list[float], _: str) -> None:
    at.works = paper.halves_from_strips("FB", at.over[0], at.under[0], found[0])


def _triangles(at: Bench, found: list[float], _: str) -> None:
    at.under = found


def _long_edges(at: Bench, found: list[float], line: str) -> None:
    if "pairs" in line:
        at.works = paper.quarters_cut_twice("FBFB", at.under[0], found[0])
    else:
        at.works = paper.halves("FB", at.under[0], found[0])


_STEPS: tuple[tuple[str, Callable[[Bench, list[float], str], None]], ...] = (
    (r"^Draw a line from corner to corner across", lambda *_: None),
    (r"^Draw (a line|both diagonals).* on the back of", _mark),
    (r"^Lay two half-square units", lambda *_: None),
    (r"^Lay a small square on the free corner", lambda *_: None),
    (r"^Lay (it|two of them|one|two squares|a .* strip)", _lay),
    (r"^Sew all round", _sew),
    (r"^Sew \S+( \S+)? from (the|each) line", _sew),
    (r"^Sew on the line", lambda *_: None),
    (r"^Cut off the corner", _sew),
    (r"^Sew, cut and press the other square", _corners),
    (r"^Cut along the line: (two|two half-square) units", _cut_two),
    (r"^Cut along the line: four geese", _cut_geese),
    (r"^Cut along the line\.", lambda *_: None),
    (r"^Cut through the middle", lambda *_: None),
    (r"^Cut along the drawn lines: eight", _cut_eight),
    (r"^Cut along both diagonals: four", _cut_round),
    (r"^Measure from that end", _slant),
    (r"^From the point of the slanted end", _straight),
    (r"^Go on so by turns", lambda *_: None),
    (r"^Sew each pair as it lies", _slanted_edge),
    (r"^Take the triangles", _triangles),
    (r"^Sew (the|the pairs together along the) long edges|^Sew the pairs", _long_edges),
    (r"^Sew them in two pairs", lambda *_: None),
    (r"^Lay a triangle of each", lambda *_: None),
)
"""What a step does."""


def units_of(plan: Plan) -> tuple[list[tuple[str, ...]], list[str], list[Table]]:
    """Return the steps of every way to make units, the words beside them, and the tables."""
    steps, words, tables = [], [], []
    for part in unit_parts(source(plan, {}, Edition())):
        if isinstance(part, Steps):
            steps.append(tuple(line.replace("\u00a0", " ") for line in part.lines))
        elif isinstance(part, Words):
            words += part.lines
        elif isinstance(part, Table):
            tables.append(part)
    return steps, words, tables


CASES: dict[str, tuple[str, dict[str, Any]]] = {
    "two": ("pinwheel", {"triangles": "two"}),
    "one": ("friendship-star", {"triangles": "one"}),
    "four": ("pinwheel", {"triangles": "four"}),
    "eight": ("shoo-fly", {"triangles": "eight"}),
    "strips": ("churn-dash", {"triangles": "strips"}),
    "geese": ("sawtooth-star", {}),
    "corners": ("dutchmans-puzzle", {"geese": "rectangle and squares"}),
    "cut twice": ("ohio-star", {}),
    "halves": ("ohio-star", {"quarters": "two half squares"}),
}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("case", "units"),
    [*((case, "inches") for case in CASES), ("strips", "metric"), ("corners", "metric")],
)
def test_the_printed_steps_sewn_on_paper_make_the_unit(
    plan_of: Callable[..., Plan], case: str, units: str
) -> None:
    block, chosen = CASES[case]
    sewing = replace(_METRIC_SEWING, **chosen) if units == "metric" else Sewing(**chosen)
    side = "240 mm" if units == "metric" else "9"
    plan = plan_of(("Rose", "Moss"), "straight", 2, 3, side, block, units=units, sewing=sewing,
                   border="0")  # fmt: skip
    steps, _, _ = units_of(plan)
    for lines in steps:
        table = Bench()
        for line in lines:
            table.follow(line)
        wide, high = (*lengths(lines[-1])[:2], 0.0)[:2]
        q = float(plan.brief.sewing.seam)
        if "half-rectangle" in " ".join(lines):
            continue
        goose = "beyond the point" in lines[-1]
        high = high if goose else wide
        patch = next(p for p in plan.brief.pattern().patches if p.cut and
                     (p.cut in GEESE) == goose and (not goose or p.width > p.height))  # fmt: skip
        wanted = Wanted((_plain(patch),), wide - 2 * q, high - 2 * q, q)
        assert table.works, lines
        assert all(paper.upright(table.works, wanted, frozenset())), lines


def test_mirror_images_of_half_rectangles_are_told(plan_of: Callable[..., Plan]) -> None:
    roof = OwnBlock("Roof", ("1", "1"), ("1", "3"), ("B/F B\\F", "F B"))
    plan = plan_of(("Rose", "Moss"), "straight", 2, 3, "8", own_block=roof, border="0")
    (steps,), _, _ = units_of(plan)
    assert any("of every 2 units 1 come from rectangles cut from" in line for line in steps)


def _plain(patch: Patch) -> Patch:
    """Return a patch with the roles that the table sews with."""
    return replace(patch, roles={2: "FB", 3: "FBB", 4: "FBFB"}[len(patch.roles)])


def test_a_step_that_is_wrong_makes_no_unit() -> None:
    """Plant a fault: a square an eighth too small in an else sound text."""
    for side, sound in (('3 7/8"', True), ('3 3/4"', False)):
        table = Bench()
        for line in (f"Draw a line from corner to corner on the back of a square, {side}.",
                     "Lay it on a feature fabric square, faces together.",
                     'Sew 1/4" from the line on both sides of it.',
                     "Cut along the line: two units."):  # fmt: skip
            table.follow(line)
        wanted = Wanted((_half(),), 3.0, 3.0, 0.25)
        assert all(paper.upright(table.works, wanted, frozenset())) == sound


def _half() -> Patch:
    from placement.block import load_block

    return next(p for p in load_block("pinwheel").patches if p.roles == "FB")


@pytest.mark.parametrize(
    ("block", "chosen", "said"),
    [
        ("pinwheel", {}, "Of the lines for each block 1 rises to the right and 1 falls."),
        ("shoo-fly", {"triangles": "one"}, "of the cuts in each cloth for a block 1 rises"),
        ("sawtooth-star", {}, "of every four geese one points each way"),
        ("ohio-star", {}, "Use each triangle on the side of the unit on which it lay"),
        ("dutchmans-puzzle", {"geese": "rectangle and squares"},
         "Rectangles that stand upright are for geese that point to a side"),
        ("pinwheel", {"triangles": "eight"}, "Use each unit where its print stands upright"),
    ],
)  # fmt: skip
def test_how_a_print_with_an_up_is_laid_is_printed(
    plan_of: Callable[..., Plan], block: str, chosen: dict[str, Any], said: str
) -> None:
    plan = plan_of(("Rose", "Moss"), "straight", 2, 2, "8", block, directional=True,
                   sewing=Sewing(**chosen), border="0")  # fmt: skip
    _, words, _ = units_of(plan)
    told = next(line for line in words if "print with an up" in line)
    assert told.startswith("Rose and Moss have a print with an up.")
    assert said in told


RISING, FALLING = -1, 1
"""How a piece is laid before it is turned over, so that its top then points right, or left."""

LAID: dict[str, tuple[list[Work], dict[int, complex]]] = {
    # What is sewn, and how each piece is laid by the printed rule: the lower one with its top
    # away, the upper one by its line.
    "two, rising": (paper.halves("FB", 3.875, 0.25), {0: 1j, 1: RISING}),
    "two, falling": (paper.halves("FB", 3.875, 0.25, rising=False), {0: 1j, 1: FALLING}),
    "four geese": (
        paper.geese_four("FB", 5.25, 2.875, 0.25),
        {0: 1j, 1: FALLING, 2: FALLING, 3: RISING, 4: RISING},
    ),
    "one goose": (
        paper.goose_of_corners("FB", (4.5, 2.5, 2.5), "^"), {0: 1j, 1: RISING, 2: FALLING},
    ),
    "quarters": (paper.quarters_of_halves("FBFB", 4.25, 0.25), {0: 1j, 1: RISING}),
    "cut twice": (paper.quarters_cut_twice("FBFB", 4.25, 0.25), dict.fromkeys(range(4), 1j)),
}  # fmt: skip


@pytest.mark.parametrize("case", LAID)
def test_the_printed_rule_keeps_every_print_upright(case: str) -> None:
    works, laid = LAID[case]
    for sheet in (sheet for work in works for sheet in work):
        assert sheet.way(laid[sheet.source]) == pytest.approx(1j)


def test_units_made_in_two_ways_are_told_apart(plan_of: Callable[..., Plan]) -> None:
    """Of twelve units of a fabric eight are made at once, four two at a time."""
    plan = plan_of(("Rose", "Moss"), "straight", 2, 3, "8", "pinwheel", border="0",
                   sewing=Sewing(triangles="eight"))  # fmt: skip
    _, words, (table,) = units_of(plan)
    assert "Eight at a time:" in words
    assert "Two at a time:" in words
    assert table.rows == (
        ("1 and 2", "3 blocks", "12 half-square triangle units",
         "8 eight at a time and 4 two at a time"),
    )  # fmt: skip
