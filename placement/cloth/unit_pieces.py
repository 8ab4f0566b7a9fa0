"""The pieces that triangle units are made from, gathered while fabrics are gone through."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import ceil, hypot
from typing import TYPE_CHECKING, Protocol

from placement import sizes
from placement.cloth import methods
from placement.cloth.cutting import PieceKind, Then
from placement.cloth.methods import Geese, Job, Made, Making, Quarters, Reason
from placement.inches import Inches
from placement.units import Lie, Unit, UnitKind

if TYPE_CHECKING:
    from fractions import Fraction

    from placement.cloth.pieces import Terms

Key = tuple[str, PieceKind, Inches, Inches, Then]
"""Pieces that are counted together: fabric, what they become, size, what happens to them."""

_ASKED: dict[str, tuple[int, Then | None]] = {
    "four": (4, Then.FOUR), "eight": (8, Then.EIGHT), "strips": (2, Then.STRIP_PAIR),
    Geese.FOUR: (1, Then.FOUR),
}  # fmt: skip
"""Fewest units that are made at once by a method, and what happens to its pieces."""


class Maker(Protocol):
    """What gathers all pieces of a quilt top."""

    side: Inches
    terms: Terms
    one_way: frozenset[str]
    tally: Counter[Key]

    def cloth(self, role: str, fabric: str) -> str:
        """Return the fabric of a role."""

    def width(self, fabric: str) -> Inches:
        """Return the usable width of a fabric's cloth."""

    def on_a_mark(self, length: Fraction, usable: Inches) -> Inches:
        """Round the length of a strip up to the ruler's next mark."""

    def want(self, fabric: str, kind: PieceKind, size: tuple[Inches, Inches], count: int,
             then: Then = Then.SEWN) -> None:  # fmt: skip
        """Ask for pieces."""


class UnitPieces:
    """Asks a maker of cutting lists for the pieces of units, by the methods chosen."""

    def __init__(self, maker: Maker) -> None:
        self.maker = maker
        self.loose: dict[Key, Counter[str]] = {}
        self.found: dict[Making, Counter[str]] = {}
        self.otherwise: dict[tuple[UnitKind, Reason], list[str]] = {}

    def add(self, unit: Unit, lies: Counter[Lie], fabric: str) -> None:
        """Add what the triangle units of one fabric are made from."""
        job = self._job(unit, lies, fabric)
        if unit.kind is UnitKind.HALF_RECTANGLE:
            self._add_half_rectangles(job, fabric)
        elif unit.kind is UnitKind.QUARTER:
            self._add_quarters(job, fabric)
        else:
            self._add_made_at_once(job, fabric)

    def _job(self, unit: Unit, lies: Counter[Lie], fabric: str) -> Job:
        maker, terms = self.maker, self.maker.terms
        roles = {role: maker.cloth(role, fabric) for role in unit.roles}
        one_way = frozenset(role for role, cloth in roles.items() if cloth in maker.one_way)

        def strip(along: Fraction) -> Inches | None:
            usable = min(maker.width(cloth) for cloth in roles.values())
            length = along + terms.squaring.value
            return maker.on_a_mark(length, usable) if length <= usable.value else None

        width = Inches(unit.width * maker.side.value)
        return Job(unit, lies, width, terms.seam, terms.step, one_way, strip)

    def _add_made_at_once(self, job: Job, fabric: str) -> None:
        """Geese and half squares, as they are asked for; noted where none is made so."""
        terms = self.maker.terms
        if job.unit.kind is UnitKind.GOOSE:
            method: str = terms.geese
            ways: tuple[Made, ...] = (methods.geese(job, terms.geese),)
        else:
            method = terms.triangles
            ways = tuple(methods.half_squares(job, terms.triangles))
        least, asked = _ASKED.get(method, (0, None))
        if asked and job.count >= least and not any(made.then is asked for made in ways):
            reason = Reason.ONE_WAY if job.one_way else Reason.SHORT_STRIPS
            self.otherwise.setdefault((job.unit.kind, reason), []).append(fabric)
        for made in ways:
            self._add_made(job.unit, made, fabric)

    def _add_made(self, unit: Unit, made: Made, fabric: str) -> None:
        self._make(Making(unit, made.then, made.sizes), fabric, made.units)
        for part in made.parts:
            cloth = self.maker.cloth(part.role, fabric)
            self.maker.want(cloth, part.kind, part.size, part.count, made.then)

    def _add_quarters(self, job: Job, fabric: str) -> None:
        """From half squares if that is asked and can be; else four triangles from a square."""
        if self.maker.terms.quarters is Quarters.HALVES:
            made = methods.quarter_squares(job)
            if made:
                self._add_made(job.unit, made, fabric)
                return
            reason = methods.halves_forbidden(job) or Reason.MIRRORED
            self.otherwise.setdefault((job.unit.kind, reason), []).append(fabric)
        size = job.square(sizes.quarter_square)
        self._make(Making(job.unit, Then.CUT_TWICE, (size,)), fabric, job.count)
        for role in dict.fromkeys(job.unit.roles):
            sides = methods.loose_triangles(job, role)
            key = (self.maker.cloth(role, fabric), PieceKind.QUARTER_SQUARE, *size, Then.CUT_TWICE)
            self._want_triangles(key, sides)

    def _add_half_rectangles(self, job: Job, fabric: str) -> None:
        """Cut once on the diagonal; legs grow by 1 + q over the triangle's inradius.

        A rectangle gives two triangles of one handedness, so mirror images are told apart.
        """
        terms, side, unit = self.maker.terms, self.maker.side.value, job.unit
        hands: Counter[str] = Counter()
        for lie, count in job.lies.items():
            hands[lie.cut] += count
        width, height = float(unit.width * side), float(unit.height * side)
        grown = 1 + 2 * float(terms.seam) / (width + height - hypot(width, height))
        size = (
            sizes.round_up(width * grown, terms.step), sizes.round_up(height * grown, terms.step)
        )  # fmt: skip
        self._make(Making(unit, Then.CUT_ONCE, (size,)), fabric, job.count)
        for role in unit.roles:
            key = (self.maker.cloth(role, fabric), PieceKind.HALF_RECTANGLE, *size, Then.CUT_ONCE)
            self._want_triangles(key, hands)

    def _want_triangles(self, key: Key, sides: Counter[str]) -> None:
        """Ask for triangles that are cut singly: squares are counted when all are known.

        Those of a one-way print are told by the side of the square that they must lie on, those
        of rectangles by the way the rectangle is cut.
        """
        # Its place in the list is that of the first triangles asked for.
        self.maker.tally[key] += 0
        self.loose.setdefault(key, Counter()).update(sides)

    def _make(self, making: Making, fabric: str, units: int) -> None:
        """Note a way in which units are made, and how many of a fabric's are."""
        self.found.setdefault(making, Counter())[fabric] += units

    def count_loose(self) -> None:
        """Count the squares of triangles that are cut singly."""
        for key, sides in self.loose.items():
            if key[1] is PieceKind.HALF_RECTANGLE:
                self.maker.tally[key] += sum(ceil(count / 2) for count in sides.values())
                continue
            each, alike = 4 if key[-1] is Then.CUT_TWICE else 2, sides.pop("", 0)
            # A square gives one triangle for every side; those without an up fill what is left.
            most = max(sides.values(), default=0)
            self.maker.tally[key] += max(most, ceil((sides.total() + alike) / each))

    def makings(self) -> tuple[Making, ...]:
        """Return the ways in which units are made."""
        return tuple(
            replace(making, made=tuple(made.items())) for making, made in self.found.items()
        )
