"""Triangle units step by step: flying geese, half squares, quarter squares, half rectangles."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from api.booklet.figures import triangles
from api.booklet.parts import Figure, Heading, Part, Steps, Table, Words
from api.wording import english
from placement.block import GEESE, Patch
from placement.cloth.cutting import Then
from placement.inches import Inches
from placement.units import Unit, UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from api.booklet.source import Source
    from placement.cloth.methods import Making

_NAMES = {
    UnitKind.GOOSE: "flying goose",
    UnitKind.HALF: "half-square triangle unit",
    UnitKind.QUARTER: "quarter-square triangle unit",
    UnitKind.HALF_RECTANGLE: "half-rectangle unit",
}
"""What a unit is called."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of unit of the block."""

    unit: Unit
    """As the block is taken apart."""
    patch: Patch
    """The first of its kind in the block."""
    count: int
    """How many a block takes."""

    def name(self, count: int) -> str:
        """Say how many units."""
        return english.number(count, _NAMES[self.unit.kind])

    def trimmed(self, source: Source) -> str:
        """Return the size to trim to."""
        block, seam = source.layout.setting.block_size, source.seam
        width, height = (
            Inches(part * block.value + 2 * seam.value)
            for part in (self.unit.width, self.unit.height)
        )
        return source.sides(width, height)


def kinds(source: Source) -> tuple[Kind, ...]:
    """Return the kinds of triangle units of the block."""
    return tuple(
        Kind(unit, next(p for p in source.block.patches if _is(unit, p)), count)
        for unit, count in take_down(source.block).units.items()
    )


def _is(unit: Unit, patch: Patch) -> bool:
    cuts = {UnitKind.GOOSE: GEESE, UnitKind.QUARTER: ("x",)}.get(unit.kind, ("/", "\\"))
    same_size = {patch.width, patch.height} == {unit.width, unit.height}
    roles = patch.roles[:2] if patch.cut in GEESE else patch.roles
    same_roles = Counter(roles) == Counter(unit.roles)
    return patch.cut in cuts and same_size and same_roles


def unit_parts(source: Source) -> Iterator[Part]:
    """Yield how every kind of unit is made."""
    for kind in kinds(source):
        yield Heading(english.capital(english.plural_of(_NAMES[kind.unit.kind])))
        yield Words((_opening(source, kind),))
        for making in makings(source, kind):
            yield from _WAYS[kind.unit.kind, making.then](source, kind, making)
        yield from _tally(source, kind)


def _opening(source: Source, kind: Kind) -> str:
    return (
        f"Make {kind.name(kind.count)} for each block, {kind.trimmed(source)} with seam allowance."
    )


def makings(source: Source, kind: Kind) -> tuple[Making, ...]:
    """Return the ways a kind of unit is made; more than one if a count leaves a rest."""
    return tuple(making for making in source.book.makings if making.unit == kind.unit)


def role(source: Source, letter: str) -> str:
    """Name the cloth of a role in words."""
    name = source.role(letter)
    return name if name == "background" else f"{name} fabric"


def pressed(source: Source, kind: Kind) -> str:
    """Say which way the seams of a kind of unit are pressed, and of how many in a block."""
    plans = [
        Counter(_toward(source, patch, plan) for patch in _like(source, kind))
        for plan in range(len(source.book.pressing.plans))
    ]
    toward = plans[0]
    if any("" in plan for plan in plans):
        return (
            "Press the seam allowance to one side. The drawing of the block shows the side on "
            "which it nests in each place."
        )
    if all(len(plan) == 1 for plan in plans):
        ways = [role(source, *plan) for plan in plans]
        if len(set(ways)) == 1:
            return f"Press the seam allowance toward the {ways[0]}."
        return (
            f"Press the seam allowance toward the {ways[0]} for blocks of the first pressing, "
            f"toward the {ways[1]} for those of the second; Blocks of each fabric lists how many."
        )
    several = english.listed(
        [f"{count} toward the {role(source, way)}" for way, count in toward.items()]
    )
    return f"Of each {kind.count} press {several}, as the drawing of the block shows."


def _like(source: Source, kind: Kind) -> list[Patch]:
    return [patch for patch in source.block.patches if _is(kind.unit, patch)]


def _toward(source: Source, patch: Patch, plan: int = 0) -> str:
    """Return the role that all seams of one unit are pressed to; '' if there is no one role."""
    pressing = source.book.pressing
    toward = {
        seam.roles[choice]
        for seam, choice in zip(pressing.seams, pressing.plans[plan], strict=True)
        if not seam.straight and _inside(seam.start, seam.end, patch)
    }
    return toward.pop() if len(toward) == 1 and len(set(patch.roles)) > 1 else ""


def _inside(start: tuple[object, ...], end: tuple[object, ...], patch: Patch) -> bool:
    xs = patch.left, patch.left + patch.width
    ys = patch.top, patch.top + patch.height
    return all(xs[0] <= x <= xs[1] and ys[0] <= y <= ys[1] for x, y in (start, end))  # type: ignore[operator]


def _trim(source: Source, kind: Kind) -> str:
    return f"Trim to {kind.trimmed(source)}."


def _side(source: Source, making: Making) -> str:
    """Return the side of the squares that units are made from."""
    return source.cut(making.sizes[0][0])


def _finished(source: Source, kind: Kind) -> Figure:
    return triangles.unit(source, kind.patch, f"Trim to {kind.trimmed(source)}")


def _geese(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    (large, _), (small, _) = making.sizes
    part = float(small) / float(large)
    roles = kind.unit.roles
    q = source.cut(source.seam)
    yield Steps(
        (
            (
                "Draw a line from corner to corner on the back of four small "
                f"{role(source, roles[1])} squares, {source.cut(small)}."
            ),
            (
                f"Lay two of them on opposite corners of a large {role(source, roles[0])} square, "
                f"{source.cut(large)}, faces together, so that the two lines make one."
            ),
            f"Sew {q} from the line on both sides of it.",
            "Cut along the line.",
            _halves_open(source, kind),
            "Lay a small square on the free corner of each half, its line pointing to the middle.",
            f"Sew {q} from the line on both sides of it.",
            "Cut along the line: four geese.",
            pressed(source, kind),
            f"Trim each to {kind.trimmed(source)}, with {q} left beyond the point.",
        ),
        (
            triangles.geese_first(source, roles, part, "Two small squares on a large one"),
            triangles.geese_second(source, roles, part, "The third, on the free corner"),
            _finished(source, kind),
        ),
    )


def _halves_open(source: Source, kind: Kind) -> str:
    """Say how the first two small triangles of four geese are pressed; the last two follow."""
    plans = range(len(source.book.pressing.plans))
    ways = [{_toward(source, patch, plan) for patch in _like(source, kind)} for plan in plans]
    outward = "Press the small triangles outward"
    if any("" in way for way in ways):
        return f"{outward}, seam allowance to either side."
    if any(len(way) > 1 for way in ways):
        return (
            f"{outward}: on one half with the seam allowance toward them, on the other toward the "
            "large triangle."
        )
    if len(set(map(frozenset, ways))) > 1:
        return f"{outward}, seam allowance to the side that step 9 names."
    large = ways[0].pop() == kind.unit.roles[0]
    return f"{outward}, seam allowance toward {'the large triangle' if large else 'them'}."


def _two_halves(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square = _side(source, making)
    q = source.cut(source.seam)
    letter = kind.unit.roles[0]
    yield Steps(
        (
            (
                f"Draw a line from corner to corner on the back of a {role(source, letter)} "
                f"square, {square}."
            ),
            f"Lay it on a {role(source, kind.unit.roles[1])} square, faces together.",
            f"Sew {q} from the line on both sides of it.",
            "Cut along the line: two units.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, letter, (triangles.UP,), (), "Sew on both sides"),
            _finished(source, kind),
        ),
    )


def _one_half(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square = _side(source, making)
    letter = kind.unit.roles[0]
    yield Steps(
        (
            f"Take the triangles that were cut from squares of {square}.",
            "Lay a triangle of each fabric on the other, faces together.",
            f"Sew the long edges with a {source.cut(source.seam)} seam.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, letter, (), (triangles.UP,), "Cut on the diagonal"),
            _finished(source, kind),
        ),
    )


def _four_halves(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square = _side(source, making)
    yield Steps(
        (
            f"Lay two squares of {square}, one of each fabric, faces together.",
            f"Sew all round, {source.cut(source.seam)} from the edge.",
            "Cut along both diagonals: four units. Their edges are bias: do not pull.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.sewn_round(source, kind.unit.roles[0], "Sew round, then cut"),
            _finished(source, kind),
        ),
    )


def _eight_halves(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square = _side(source, making)
    q = source.cut(source.seam)
    letter = kind.unit.roles[0]
    lines = (triangles.DOWN, triangles.UP)
    cuts = (triangles.ACROSS, triangles.UPRIGHT)
    yield Steps(
        (
            f"Draw both diagonals on the back of a {role(source, letter)} square, {square}.",
            f"Lay it on a {role(source, kind.unit.roles[1])} square, faces together.",
            f"Sew {q} from each line on both sides of it.",
            "Cut through the middle, across and upright.",
            "Cut along the drawn lines: eight units.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, letter, lines, cuts, "Sew, then cut four ways"),
            _finished(source, kind),
        ),
    )


def _quarters(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square = _side(source, making)
    lines = (triangles.DOWN, triangles.UP)
    q = source.cut(source.seam)
    yield Steps(
        (
            f"Take the triangles that were cut from squares of {square}.",
            "Lay out four triangles as drawn.",
            f"Sew them in two pairs along the short edges with a {q} seam.",
            "Press the two pairs in opposite directions.",
            f"Sew the pairs together along the long edges with a {q} seam.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, kind.unit.roles[0], (), lines, "Cut on both diagonals"),
            _finished(source, kind),
        ),
    )


def _half_rectangles(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    size = source.sides(*making.sizes[0])
    yield Steps(
        (
            (
                f"Take the triangles that were cut from rectangles of {size}; the drawing of the "
                "block shows which way their long edges run."
            ),
            "Lay a triangle of each fabric on the other, faces together, the long edges even.",
            f"Sew the long edges with a {source.cut(source.seam)} seam.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.rectangle(source, kind.unit.roles[0], kind.patch, "Cut on the diagonal"),
            _finished(source, kind),
        ),
    )


_WAYS: dict[tuple[UnitKind, Then], Callable[[Source, Kind, Making], Iterator[Part]]] = {
    (UnitKind.GOOSE, Then.FOUR): _geese,
    (UnitKind.HALF, Then.TWO): _two_halves,
    (UnitKind.HALF, Then.CUT_ONCE): _one_half,
    (UnitKind.HALF, Then.FOUR): _four_halves,
    (UnitKind.HALF, Then.EIGHT): _eight_halves,
    (UnitKind.QUARTER, Then.CUT_TWICE): _quarters,
    (UnitKind.HALF_RECTANGLE, Then.CUT_ONCE): _half_rectangles,
}
"""How a kind of unit is made, by kind and by what happens to its pieces."""


def _tally(source: Source, kind: Kind) -> Iterator[Part]:
    """Yield how many units each fabric makes; one row for fabrics that make as many."""
    groups: dict[int, list[int]] = {}
    for fabric, blocks in source.layout.counts().items():
        groups.setdefault(blocks, []).append(source.numbers[fabric])
    rows = []
    for blocks, numbers in sorted(groups.items(), reverse=True):
        count = blocks * kind.count
        made = kind.name(count)
        if kind.unit.kind is UnitKind.GOOSE and count % 4:
            made += f" ({4 * ceil(count / 4) - count} left over)"
        fabrics = english.ranges(sorted(numbers))
        rows.append((fabrics, english.number(blocks, "block"), made))
    yield Table(("Fabric", "Each makes", "From each"), tuple(rows), (0,))
