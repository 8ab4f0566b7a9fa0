"""How units are made, step by step and drawn: a function for every method."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.chapters.kinds import Kind, like, pairs_pressed, pressed, role, toward
from api.booklet.figures import triangles
from api.booklet.parts import Figure, Part, Steps
from api.wording import english
from placement.cloth.cutting import Then
from placement.inches import Inches
from placement.units import UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from api.booklet.source import Source
    from placement.cloth.methods import Making


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
    ways = [{toward(source, patch, plan) for patch in like(source, kind)} for plan in plans]
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
            f"Press both pairs {pairs_pressed(source, kind)}: their seams then oppose.",
            f"Sew the pairs together along the long edges with a {q} seam.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, kind.unit.roles[0], (), lines, "Cut on both diagonals"),
            _finished(source, kind),
        ),
    )


def _corners(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    (wide, high), (small, _) = making.sizes
    roles = kind.unit.roles
    q, overlap = source.cut(source.seam), "to beyond the middle of the opposite long edge"
    yield Steps(
        (
            (
                "Draw a line from corner to corner on the back of two small "
                f"{role(source, roles[1])} squares, {source.cut(small)}."
            ),
            (
                f"Lay one on an end of a {role(source, roles[0])} rectangle, "
                f"{source.sides(wide, high)}, faces together and edges even; its line runs from a "
                f"corner of the rectangle {overlap}."
            ),
            "Sew on the line.",
            f"Cut off the corner outside the line, both layers, {q} from the stitches.",
            pressed(source, kind),
            (
                "Sew, cut and press the other square on the other end in the same way; the "
                "stitches cross: one goose."
            ),
            f"Trim to {kind.trimmed(source)}, with {q} left beyond the point.",
        ),
        (
            triangles.corner_first(source, roles, "Sew on the line, cut off the corner"),
            triangles.corner_second(source, roles, "The other end; the stitches cross"),
            _finished(source, kind),
        ),
    )


def _strips(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    reach, high = making.sizes[0]
    blunt = Inches(reach.value - high.value)
    part = float(reach) / float(high)
    lower, upper = kind.unit.roles[1], kind.unit.roles[0]
    yield Steps(
        (
            (
                f"Lay a {role(source, upper)} strip on a {role(source, lower)} strip, each "
                f"{source.cut(high)} wide, faces together, and square up one end."
            ),
            (
                f"Measure from that end {source.cut(blunt)} along one long edge and "
                f"{source.cut(reach)} along the other. Cut from mark to mark, at 45° to the "
                "edges: a pair of triangles, each with one blunt point."
            ),
            (
                f"From the point of the slanted end measure {source.cut(reach)} along the edge "
                "and cut straight across: the next pair."
            ),
            "Go on so by turns, a slanted cut and a straight one. " + _from_each(source, making),
            (
                f"Sew each pair as it lies along its slanted edge with a {source.cut(source.seam)} "
                "seam. This edge is bias: do not pull."
            ),
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.strip_pair(source, upper, part, "Cut two layers by turns"),
            _finished(source, kind),
        ),
    )


def _from_each(source: Source, making: Making) -> str:
    """Say how many units come of two strips of each length."""
    reach, high = making.sizes[0]
    squaring = source.plan.brief.sewing.squaring.value
    lengths = {p.width for p in source.book.pieces
               if p.then is Then.STRIP_PAIR and p.height == high}  # fmt: skip
    told = []
    for length in sorted(lengths, reverse=True):
        pairs, rest = divmod(length.value - squaring, 2 * reach.value - high.value)
        units = 2 * int(pairs) + (rest >= reach.value)
        told.append(f"two strips {source.cut(length)} long give {english.number(units, 'unit')}")
    return english.capital(english.listed(told)) + "."


def _quarters_of_halves(source: Source, kind: Kind, making: Making) -> Iterator[Part]:
    square, q = _side(source, making), source.cut(source.seam)
    roles = kind.unit.roles
    first, second, third, _ = tuple(roles if roles[1] == roles[3] else roles[1:] + roles[:1])
    one, two = role(source, first), role(source, second)
    others = "" if first == third else (
        f" Make as many of {role(source, third)} and {two} squares."
    )  # fmt: skip
    across = "each fabric on the other one" if first == third else (
        f"one of each kind, the {two} of one on the other fabric of the other"
    )  # fmt: skip
    yield Steps(
        (
            f"Draw a line from corner to corner on the back of a {one} square, {square}.",
            f"Lay it on a {two} square of that size, faces together.",
            f"Sew {q} from the line on both sides of it.",
            f"Cut along the line: two half-square units.{others}",
            f"Press the seam allowances of all of them {pairs_pressed(source, kind)}.",
            f"Lay two half-square units on each other, faces together, {across}; the seams nest.",
            "Draw a line from corner to corner across the seam.",
            f"Sew {q} from the line on both sides of it.",
            "Cut along the line: two units.",
            pressed(source, kind),
            _trim(source, kind),
        ),
        (
            triangles.marked_square(source, first, (triangles.UP,), (), "Sew on both sides"),
            triangles.crossed_halves(source, first + second, "Across the seam, sew on both sides"),
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
            *_handed(source, kind),
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


def _handed(source: Source, kind: Kind) -> Iterator[str]:
    """Say how many rectangles are cut which way, where units are mirror images of each other."""
    lies = take_down(source.plan.brief.pattern()).lies[kind.unit]
    rising, falling = (
        sum(count for lie, count in lies.items() if lie.cut == cut) for cut in ("/", "\\")
    )
    if rising and falling:
        yield (
            f"Some are mirror images of the others: of every {rising + falling} units {rising} "
            "come from rectangles cut from the lower left to the upper right corner and "
            f"{falling} from the upper left to the lower right, the cloth right side up."
        )


WAYS: dict[tuple[UnitKind, Then], Callable[[Source, Kind, Making], Iterator[Part]]] = {
    (UnitKind.GOOSE, Then.FOUR): _geese,
    (UnitKind.GOOSE, Then.CORNERS): _corners,
    (UnitKind.HALF, Then.TWO): _two_halves,
    (UnitKind.HALF, Then.CUT_ONCE): _one_half,
    (UnitKind.HALF, Then.FOUR): _four_halves,
    (UnitKind.HALF, Then.EIGHT): _eight_halves,
    (UnitKind.HALF, Then.STRIP_PAIR): _strips,
    (UnitKind.QUARTER, Then.CUT_TWICE): _quarters,
    (UnitKind.QUARTER, Then.HALVES): _quarters_of_halves,
    (UnitKind.HALF_RECTANGLE, Then.CUT_ONCE): _half_rectangles,
}
"""How a kind of unit is made, by kind and by what happens to its pieces."""
