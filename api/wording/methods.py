"""How units are made, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import capital, listed, plural_of
from api.wording.names import all_called
from placement.cloth.cutting import Then
from placement.cloth.methods import Geese, Quarters, Reason
from placement.inches import Inches
from placement.units import UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from api.wording.pieces import Hand
    from placement.cloth.pieces import Note
    from placement.units import Unit

UNITS = {
    UnitKind.GOOSE: "flying goose",
    UnitKind.HALF: "half-square triangle unit",
    UnitKind.QUARTER: "quarter-square triangle unit",
    UnitKind.HALF_RECTANGLE: "half-rectangle unit",
}
"""What a unit is called."""

WAYS = {
    Then.CUT_ONCE: "from single triangles",
    Then.TWO: "two at a time",
    Then.FOUR: "four at a time",
    Then.EIGHT: "eight at a time",
    Then.STRIP_PAIR: "from strips",
    Then.CORNERS: "from a rectangle and two squares",
    Then.CUT_TWICE: "from squares cut twice",
    Then.HALVES: "from two half-square units",
}
"""How units are made, by what happens to the pieces."""

METHODS: dict[UnitKind, dict[str, str]] = {
    UnitKind.HALF: {
        "one": WAYS[Then.CUT_ONCE],
        "two": WAYS[Then.TWO],
        "four": WAYS[Then.FOUR],
        "eight": WAYS[Then.EIGHT],
        "strips": WAYS[Then.STRIP_PAIR],
    },
    UnitKind.GOOSE: {
        Geese.FOUR: WAYS[Then.FOUR],
        Geese.CORNERS: WAYS[Then.CORNERS],
    },
    UnitKind.QUARTER: {
        Quarters.CUT_TWICE: WAYS[Then.CUT_TWICE],
        Quarters.HALVES: WAYS[Then.HALVES],
    },
}
"""What each method is called, by the kind of unit and the designer's choice."""

_USUAL = {
    UnitKind.HALF: Then.TWO,
    UnitKind.GOOSE: Then.CORNERS,
    UnitKind.QUARTER: Then.CUT_TWICE,
}
"""What is done instead of a method that does not serve."""

_REASONS = {
    Reason.ONE_WAY: "{way} would turn a print that has an up",
    Reason.MIRRORED: "{way} half of them would be mirror images, or a half be of one cloth",
    Reason.SHORT_STRIPS: "no strip is long enough for two",
}


def asked_way(plan: Plan, unit: UnitKind) -> str:
    """Say how units of a kind are asked to be made."""
    sewing = plan.brief.sewing
    asked: dict[UnitKind, str] = {
        UnitKind.HALF: sewing.triangles,
        UnitKind.GOOSE: sewing.geese,
        UnitKind.QUARTER: sewing.quarters,
    }
    return METHODS[unit][asked[unit]]


def made_otherwise(plan: Plan, note: Note) -> str:
    """Say of which fabrics' blocks units are made in another way than asked, and why."""
    if note.unit is None or note.reason is None:
        return ""
    units = capital(plural_of(UNITS[note.unit]))
    why = _REASONS[note.reason].format(way=asked_way(plan, note.unit))
    whose = "" if "" in note.fabrics else f" for blocks of {all_called(plan, note.fabrics)}"
    return f"{units}{whose} are made {WAYS[_USUAL[note.unit]]}: {why}."


def unit_lines(plan: Plan, book: CutBook, told: Hand) -> Iterator[str]:
    """Yield how many units of each kind and size are made in which way, and what is left over."""
    made: dict[Unit, dict[Then, int]] = {}
    for making in book.makings:
        ways = made.setdefault(making.unit, {})
        ways[making.then] = ways.get(making.then, 0) + sum(units for _, units in making.made)
    blocks = sum(plan.layout.counts().values()) if plan.layout else 0
    counts = take_down(plan.brief.pattern()).units
    side, seams = plan.brief.setting.block_size.value, 2 * plan.brief.sewing.seam.value
    for unit, ways in made.items():
        over = sum(ways.values()) - counts[unit] * blocks
        size = told.lengths.sides(
            Inches(unit.width * side + seams), Inches(unit.height * side + seams)
        )
        left = f", {over} left over" if over > 0 else ""
        name = capital(plural_of(UNITS[unit.kind]))
        yield f"{name}, {size} with seam allowance: {ways_listed(ways)}{left}."


def ways_listed(made: dict[Then, int]) -> str:
    """Say how many units are made in which way.

    >>> ways_listed({Then.EIGHT: 8, Then.TWO: 4})
    '8 eight at a time and 4 two at a time'
    """
    return listed(f"{count} {WAYS[then]}" for then, count in made.items())
