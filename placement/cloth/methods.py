"""How triangle units are made, and what is cut for so many of them.

Words used here
---------------
method : what the designer chooses for a kind of unit.
go : the least that is made at once: eight half-squares from two squares, one goose from
    a rectangle and two squares.
one-way : of a print with an up, which must end upright in every place of the block.

A method that would turn a one-way print gives way to one that keeps it upright. Which way
a print ends follows from the square that a triangle is cut from and, of the cloth that lies
face down, from the seam that it is opened over. Two at a time both can lie upright, half of
the units as they come from a line in either direction; eight at a time only one of two can;
four at a time, sewn all round, every print ends at 45 degrees. Of four geese made at a time
one points each way.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Literal, get_args

from placement import sizes
from placement.cloth.cutting import PieceKind, Then
from placement.inches import Inches
from placement.units import Lie, Unit, UnitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

Method = Literal["one", "two", "four", "eight", "strips"]
"""How half-square units are made: one, two, four or eight at a time, or from strips."""

Size = tuple[Inches, Inches]
"""Width and height to cut."""


class Geese(StrEnum):
    """How flying geese are made."""

    FOUR = "four at a time"
    """From one large square and four small ones, without waste."""
    CORNERS = "rectangle and squares"
    """One at a time from a rectangle and two squares, whose outer corners are cut off."""


class Quarters(StrEnum):
    """How quarter-square units are made."""

    CUT_TWICE = "cut twice"
    """From triangles of squares that are cut on both diagonals."""
    HALVES = "two half squares"
    """From two half-square units laid face to face."""


METHODS: dict[UnitKind, tuple[str, ...]] = {
    UnitKind.HALF: get_args(Method),
    UnitKind.GOOSE: tuple(Geese),
    UnitKind.QUARTER: tuple(Quarters),
}
"""The methods of each kind of unit that has several."""


class Reason(StrEnum):
    """Why units are made in another way than was asked."""

    ONE_WAY = "one-way print"
    """It would turn a print that has an up."""
    MIRRORED = "mirror images"
    """Half of the units would be mirror images, or be pieced where one cloth serves."""
    SHORT_STRIPS = "short strips"
    """No strip is long enough for two of them."""


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces of one role that are cut for units."""

    role: str
    """The role."""
    kind: PieceKind
    """What they become."""
    size: Size
    """Their size."""
    count: int
    """How many."""


@dataclass(frozen=True, slots=True)
class Made:
    """Units made in one way."""

    then: Then
    """What happens to the pieces."""
    parts: tuple[Part, ...]
    """The pieces."""
    units: int
    """How many come of them."""
    sizes: tuple[Size, ...]
    """Sizes to cut; of the large and the small part of a goose, else of every part."""


@dataclass(frozen=True, slots=True)
class Making:
    """One way in which triangle units of one kind are made, and what is cut for it."""

    unit: Unit
    """The unit."""
    then: Then
    """What is done with the pieces."""
    sizes: tuple[tuple[Inches, Inches], ...]
    """Width and height to cut: of the large and the small part of a goose, else of every part;
    of triangles from strips how far one reaches along the strip, and the strip's height."""
    made: tuple[tuple[str, int], ...] = ()
    """Fabric of the blocks, and the units that come of it so; '' for those that all share."""


@dataclass(frozen=True, slots=True)
class Job:
    """Units of one kind to be made of one set of cloths."""

    unit: Unit
    """The unit."""
    lies: Counter[Lie]
    """How they lie in the blocks, and how many so."""
    width: Inches
    """Finished width."""
    seam: Inches
    """Seam allowance."""
    step: Inches
    """Squares for triangles are rounded up to this."""
    one_way: frozenset[str]
    """Roles whose cloth has an up."""
    strip: Callable[[Fraction], Inches | None]
    """Return how long a strip is cut that must give so much; None where no cloth is as long."""

    @property
    def count(self) -> int:
        """How many units are needed."""
        return self.lies.total()

    def square(self, exact: Callable[[float, float], float]) -> Size:
        """Return a square of a closed form, rounded up."""
        side = sizes.round_up(exact(float(self.width), float(self.seam)), self.step)
        return side, side

    def whole(self, finished: Fraction) -> Inches:
        """Return the size to cut a side that is whole."""
        return Inches(finished + 2 * self.seam.value)

    def of_each(self, kind: PieceKind, size: Size, count: int) -> tuple[Part, ...]:
        """Return the same pieces of every part of the unit."""
        return tuple(Part(role, kind, size, count) for role in self.unit.roles)


def half_squares(job: Job, method: Method) -> Iterator[Made]:
    """Yield how half-square units are made: what a method leaves over is made two at a time."""
    goes = _goes(job, method)
    if method == "strips":
        made = tuple(_from_strips(job))
        if made:
            yield from made
            return
    then, size, each = {
        "eight": (Then.EIGHT, job.square(sizes.eight_at_a_time), 8),
        "four": (Then.FOUR, job.square(sizes.four_at_a_time), 4),
    }.get(method, (Then.TWO, job.square(sizes.half_square), 2))
    if goes:
        yield Made(then, job.of_each(PieceKind.HALF_SQUARE, size, goes), each * goes, (size,))
    pairs = _pairs(job, goes, each)
    if pairs:
        size = job.square(sizes.half_square)
        then = Then.CUT_ONCE if method == "one" else Then.TWO
        yield Made(then, job.of_each(PieceKind.HALF_SQUARE, size, pairs), 2 * pairs, (size,))


def _goes(job: Job, method: Method) -> int:
    """Return how often eight or four units are made at once."""
    each = {"eight": 8, "four": 4}.get(method, 0)
    if not each or not job.one_way:
        return job.count // each if each else 0
    if method == "four" or len(job.one_way) > 1:
        return 0
    # Two of each: with the first cloth in any of the four corners.
    return min(_corners(job)) // 2


def _corners(job: Job) -> tuple[int, int, int, int]:
    """Return how many units have their first cloth in each corner; along each diagonal two."""
    first = job.unit.roles[0]
    found = Counter((lie.cut, lie.roles[0] == first) for lie in job.lies.elements())
    cuts = ("/", True), ("/", False), ("\\", True), ("\\", False)
    one, two, three, four = (found[cut] for cut in cuts)
    return one, two, three, four


def _pairs(job: Job, goes: int, each: int) -> int:
    """Return the pairs of squares for the units that are left.

    Of a one-way print a pair gives one unit with its first cloth in a corner and one with it
    in the opposite one.
    """
    if not job.one_way:
        return ceil((job.count - goes * each) / 2)
    one, two, three, four = (corner - goes * each // 4 for corner in _corners(job))
    return max(one, two) + max(three, four)


def _from_strips(job: Job) -> Iterator[Made]:
    """Yield triangles cut from two layers of strips: nothing if no strip holds two.

    The strip is as wide as the unit is cut, F + 2q, so that each triangle has one blunt
    point: what would stick out beyond the unit is not there.
    """
    if len(job.one_way) > 1:
        return
    high = job.whole(job.width.value)
    reach = sizes.round_up(sizes.half_square(float(job.width), float(job.seam)), job.step)
    count = 2 * _pairs(job, 0, 0) if job.one_way else job.count
    most = _most(job, lambda units: _along(units, reach, high))
    if most < 2:
        return
    sets, rest = divmod(count, most)
    for units, times in ((most, sets), (rest, 1)):
        length = job.strip(_along(units, reach, high)) if units else None
        if times and length is not None:
            size = length, high
            parts = job.of_each(PieceKind.HALF_SQUARE_STRIP, size, times)
            yield Made(Then.STRIP_PAIR, parts, units * times, ((reach, high),))


def _along(units: int, reach: Inches, high: Inches) -> Fraction:
    """Return how much of a strip so many triangles take: point by blunt point."""
    pairs, odd = divmod(units, 2)
    return pairs * (2 * reach.value - high.value) + odd * reach.value


def _most(job: Job, along: Callable[[int], Fraction]) -> int:
    units = 0
    while job.strip(along(units + 1)) is not None:
        units += 1
    return units


def geese(job: Job, method: Geese) -> Made:
    """Return how flying geese are made."""
    large, small = job.unit.roles[0], job.unit.roles[1]
    ways = [sum(n for lie, n in job.lies.items() if lie.cut == cut) for cut in "v<^>"]
    level = not job.one_way or len(set(ways)) == 1
    if method is Geese.FOUR and level:
        big = job.square(sizes.geese_large)
        # The small squares have to reach the middle of the large one as it is cut, by a seam:
        # what that is rounded up by, half of it is missing from them.
        reach = float(big[0]) / 2 + float(job.seam)
        least = max(sizes.geese_small(float(job.width), float(job.seam)), reach)
        little = (sizes.round_up(least, job.step),) * 2
        rounds = ceil(job.count / 4)
        parts = (
            Part(large, PieceKind.LARGE_GOOSE, big, rounds),
            Part(small, PieceKind.SMALL_GOOSE, little, 4 * rounds),
        )
        return Made(Then.FOUR, parts, 4 * rounds, (big, little))
    across, down = job.whole(job.width.value), job.whole(job.width.value / 2)
    upended = sum(ways[1::2]) if large in job.one_way else 0
    pieces = (
        *_some(Part(large, PieceKind.LARGE_GOOSE, (across, down), job.count - upended)),
        *_some(Part(large, PieceKind.LARGE_GOOSE, (down, across), upended)),
        Part(small, PieceKind.SMALL_GOOSE, (down, down), 2 * job.count),
    )
    return Made(Then.CORNERS, pieces, job.count, ((across, down), (down, down)))


def _some(part: Part) -> Iterator[Part]:
    if part.count:
        yield part


def quarter_squares(job: Job) -> Made | None:
    """Return how quarter-square units are made of half squares; None where they can't be."""
    if halves_forbidden(job):
        return None
    one, two, three, four = tuple(_halves_first(job.unit.roles))
    size = job.square(sizes.quarter_square)
    if (one, two) == (three, four):
        # Half of the units that come of a go lie across, half of them upright.
        across = sum(n for lie, n in job.lies.items() if lie.roles[0] == one)
        goes = max(across, job.count - across) if job.one_way else ceil(job.count / 2)
        parts = tuple(Part(role, PieceKind.QUARTER_SQUARE, size, goes) for role in (one, two))
        return Made(Then.HALVES, parts, 2 * goes, (size,))
    goes = ceil(job.count / 4)
    parts = tuple(
        Part(role, PieceKind.QUARTER_SQUARE, size, count)
        for role, count in ((one, goes), (two, 2 * goes), (three, goes))
    )
    return Made(Then.HALVES, parts, 4 * goes, (size,))


def halves_forbidden(job: Job) -> Reason | None:
    """Return why quarter squares can't be made of half squares; None if they can.

    Both units of a go are alike only where two opposite triangles are of one cloth, and the
    halves are pieced only where no cloth lies beside itself.
    """
    one, two, three, four = tuple(_halves_first(job.unit.roles))
    if two != four or len({one, two}) < 2 or three == two:
        return Reason.MIRRORED
    return Reason.ONE_WAY if job.one_way and one != three else None


def _halves_first(roles: str) -> str:
    """Return the roles going round, from one of two opposite ones that may differ."""
    return roles if roles[1] == roles[3] else roles[1:] + roles[:1]


def loose_triangles(job: Job, role: str) -> Counter[str]:
    """Return how many triangles of a role lie on each side of their squares, if it has an up.

    A square cut twice gives one for each side; without an up they are all alike.
    """
    sides: Counter[str] = Counter()
    for lie, count in job.lies.items():
        for side, mine in zip("trbl", lie.roles, strict=True):
            if mine == role:
                sides[side if role in job.one_way else ""] += count
    return sides
