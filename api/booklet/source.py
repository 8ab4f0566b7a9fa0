"""A plan made ready for its booklet: enough cloth for everything, and names for all of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from api.booklet.edition import Edition
from api.pattern.checking import approved
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.plan import Plan
from api.pattern.sewing import OwnCloth
from api.pattern.turning import second_blocks, with_turns
from api.wording import english
from api.wording.cutting import problem_lines
from api.wording.pieces import Hand, hand
from palette.colour import Lab, to_hex
from placement.cloth.cutting import CuttingPlan, Fit
from placement.cloth.forms import FormKind
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from api.pattern.swatch import Swatch
    from api.wording.lengths import Lengths
    from placement.block import Block
    from placement.inches import Inches, Units


@dataclass(frozen=True, slots=True)
class Source:
    """Everything the chapters are written from."""

    plan: Plan
    """The plan, with as many pieces of cloth as it takes."""
    layout: Layout
    """Its layout, turned as the pressing asks."""
    book: CutBook
    """What is cut, bought and pressed."""
    pictures: Mapping[str, bytes]
    """JPEG bytes by name."""
    edition: Edition
    """The designer's own."""
    numbers: Mapping[str, int]
    """Number of each fabric that lies in a block, from 1."""
    plan_told: Plan
    """The plan with the cloth that is told to be at hand, and no more."""
    book_told: CutBook
    """What is cut from that."""

    @property
    def missing(self) -> CutBook | None:
        """What is cut from cloth at hand, if any is told; None prints no list."""
        return self.book_told if self.plan_told.brief.sewing.cloths else None

    @property
    def units(self) -> Units:
        """Inches or metric."""
        return self.plan.brief.units

    @property
    def block(self) -> Block:
        """The block in every cell."""
        return self.plan.brief.pattern()

    @property
    def black(self) -> bool:
        """Whether ink is saved."""
        return self.edition.ink == "black"

    @property
    def seam(self) -> Inches:
        """The seam allowance."""
        return self.plan.brief.sewing.seam

    @property
    def hand(self) -> Hand:
        """How cutting is written in print."""
        return hand(self.plan, self.book, printed=True)

    @property
    def lengths(self) -> Lengths:
        """How lengths are written in print."""
        return self.hand.lengths

    def swatch(self, fabric: str) -> Swatch:
        """Return a fabric's swatch."""
        return self.plan.swatch(fabric)

    def name(self, fabric: str) -> str:
        """Return a fabric's name, on one line."""
        return english.clean(self.swatch(fabric).fabric.name)

    def label(self, fabric: str) -> str:
        """Return what stands on a fabric's square: its number, B for the background, or nothing."""
        return "B" if fabric == self.plan.background else str(self.numbers.get(fabric, ""))

    def cut(self, length: Inches | float) -> str:
        """Write a size to cut or to trim to."""
        return self.lengths.cut(length)

    def sides(self, width: Inches, height: Inches) -> str:
        """Write a size to cut of two sides; one side alone for a square."""
        return self.lengths.sides(width, height)

    def finished(self, inches: float) -> str:
        """Write a finished measure."""
        return self.lengths.finished(inches)

    def colour(self, fabric: str) -> str:
        """Return what a fabric is drawn in: its colour, or white or light grey in black ink."""
        if self.black:
            return "#ffffff" if fabric == self.plan.background else "#e2e2e2"
        return to_hex(self.swatch(fabric).fabric.reads_as)

    def fill(self, role: str) -> str:
        """Return what a role is drawn in: the first fabric for features."""
        return self.colour(self.fixed.get(role) or next(iter(self.numbers)))

    @property
    def fixed(self) -> dict[str, str]:
        """Fabrics of the roles that are the same in every block."""
        second = self.plan.brief.second_fabric
        return {"B": self.plan.background} | ({"S": second} if second else {})

    def role(self, letter: str) -> str:
        """Name a role in words."""
        names = {"B": "background", "S": "second feature"}
        return names[letter] if letter in self.fixed else "feature"

    def ink_on(self, fabric: str) -> str:
        """Return black or white, whichever reads on a fabric."""
        dark = not self.black and self.swatch(fabric).fabric.reads_as.lightness < 58
        return "#ffffff" if dark else "#1c1c1c"

    def marked(self) -> frozenset[int]:
        """Return the cells of the second colour of the checkerboard: turned, or pressed anew."""
        pressing = self.book.pressing
        second = pressing.turn or len(pressing.plans) == 2
        return frozenset(second_blocks(self.layout)) if second else frozenset()


def paper_white() -> Lab:
    """Return the colour that cloth is drawn in to save ink."""
    return Lab(100.0, 0.0, 0.0)


def source(plan: Plan, pictures: Mapping[str, bytes], edition: Edition) -> Source:
    """Make a plan ready for its booklet.

    Raises
    ------
    ValueError
        If the plan has no layout or background, or something can't be cut.
    FaultsError
        If a judge finds fault with what would be printed.
    """
    told, told_book = plan, cut_book(plan)
    plan, book = _with_enough_cloth(plan, told_book)
    if book.problems:
        raise ValueError(" ".join(problem_lines(plan, book)))
    layout = plan.layout
    if layout is None:  # cut_book has refused such a plan already
        raise ValueError("this plan has no layout yet; arrange it before printing it")
    layout = with_turns(plan, layout)
    plan = replace(plan, layout=layout)
    approved(plan, book)
    counts = layout.counts()
    used = [s.fabric.id for s in plan.brief.swatches if s.fabric.id in counts]
    numbers = {fabric: number for number, fabric in enumerate(used, 1)}
    return Source(plan, layout, book, pictures, edition, numbers, told, told_book)


def _with_enough_cloth(plan: Plan, book: CutBook) -> tuple[Plan, CutBook]:
    """Take as many pieces of a pre-cut as suffice, and yardage of any length."""
    helped = [entry for entry in book.problems if _can_grow(entry)]
    if not helped:
        return plan, book
    plan = _with(plan, helped)
    return plan, cut_book(plan)


def _can_grow(cloth: CuttingPlan) -> bool:
    """Whether more of a cloth would do."""
    return cloth.enough is not None or (
        cloth.cloth.form.open_ended and cloth.verdict is not Fit.TOO_LARGE
    )


def _with(plan: Plan, short: list[CuttingPlan]) -> Plan:
    given = list(plan.brief.sewing.cloths)
    for plan_of in short:
        form, enough = plan_of.cloth.form, plan_of.enough or 1
        # What finds no place on one cloth goes on to the next: the last one is short.
        at = max((n for n, own in enumerate(given) if own.fabric == plan_of.fabric), default=None)
        if at is None:
            given.append(OwnCloth(plan_of.fabric, form.kind, enough, units=form.units))
            given += _yardage_beside(plan, plan_of)
        else:
            given[at] = replace(given[at], count=enough, length=None)
    sewing = replace(plan.brief.sewing, cloths=tuple(given))
    return replace(plan, brief=replace(plan.brief, sewing=sewing))


def _yardage_beside(plan: Plan, short: CuttingPlan) -> list[OwnCloth]:
    """Return the yardage that a fabric of the blocks is besides, for borders and the like."""
    around = (*plan.border_fabrics, plan.binding_fabric, plan.sashing_fabric,
              plan.cornerstone_fabric)  # fmt: skip
    if short.cloth.form.open_ended or short.fabric not in around:
        return []
    return [OwnCloth(short.fabric, FormKind.YARDAGE)]
