"""A plan and its cut book as the judge of the print reads them, and how lengths are written."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.booklet.lengths import as_sold, finished, sold, to_buy, to_cut
from api.pattern.alternates import chosen_forms
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from fractions import Fraction

    from api.booklet.edition import Edition
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.alternates import Alternate
    from placement.cloth.cutting import CuttingPlan
    from placement.top.setting.layout import Layout

_GEESE = "v<^>"
UNIT_NAMES = {
    "goose": ("flying goose", "flying geese"),
    "half": ("half-square triangle unit",),
    "quarter": ("quarter-square triangle unit",),
    "rectangle": ("half-rectangle unit",),
}
"""What the words call one unit and several, by how it is made."""

Size = tuple[str, ...]
"""Both sides of a piece as they are written, in the order that sorts first; one of a square."""


class PrintFacts:
    """A plan and its cut book, and how their lengths are written."""

    def __init__(
        self, plan: Plan, book: CutBook, edition: Edition, told: CutBook | None = None
    ) -> None:
        if plan.layout is None:
            raise ValueError("this plan has no layout yet; arrange it before printing it")
        self.plan, self.book, self.edition, self.told = plan, book, edition, told
        self.layout: Layout = plan.layout
        self.metric = plan.brief.units == "metric"
        laid = Counter(name for name in self.layout.fabrics if name)
        self.blocks = {s.fabric.id: laid[s.fabric.id] for s in plan.brief.swatches
                       if laid[s.fabric.id]}  # fmt: skip
        self.numbers = {name: number for number, name in enumerate(self.blocks, 1)}

    def name(self, fabric: str) -> str:
        """Return a fabric's name."""
        return self.plan.swatch(fabric).fabric.name

    def cut(self, length: Inches | float) -> str:
        """Write a size to cut."""
        exact = length.value if isinstance(length, Inches) else length
        return to_cut(exact, metric=self.metric)

    def fin(self, length: Inches | float) -> str:
        """Write a finished measure."""
        return finished(float(length), metric=self.metric)

    def by(self, sides: Iterable[Inches | float]) -> str:
        """Write finished measures."""
        return " × ".join(self.fin(side) for side in sides)

    def amount(self, cloth: CuttingPlan) -> str:
        """Write how much cloth is needed."""
        form = cloth.cloth.form
        if cloth.buy is not None:
            return sold(cloth.buy.value, metric=self.metric)
        if form.nominal_height is None:
            shrunk = self.plan.brief.sewing.shrunk
            bought = to_buy(float(cloth.used), shrunk, metric=self.metric)
            return sold(bought, metric=self.metric)
        sides = [form.nominal_height, form.nominal_width]
        return ", " + " × ".join(self.as_sold(side) for side in sides)

    def as_sold(self, side: Inches) -> str:
        """Write a side of a form of cloth as it is sold."""
        return as_sold(side.value, metric=self.metric)

    def size(self, width: Inches, height: Inches) -> Size:
        """Write both sides of a piece."""
        return tuple(sorted({self.cut(width), self.cut(height)}))


def several(count: int, noun: str, plural: str = "") -> str:
    """Return how many of what there are: '1 block', '2 blocks'."""
    return f"{count} {noun if count == 1 else plural or noun + 's'}"


def second_fabric(facts: PrintFacts) -> str:
    """Return the id of the second feature where the block has one; else ''."""
    has = any("S" in patch.roles for patch in facts.plan.brief.pattern().patches)
    return facts.plan.brief.second_fabric if has else ""


def units(facts: PrintFacts) -> Counter[tuple[str, Fraction, Fraction, str]]:
    """Count the triangle units of a block by how they are made, their size and roles."""
    found: Counter[tuple[str, Fraction, Fraction, str]] = Counter()
    for patch in facts.plan.brief.pattern().patches:
        if not patch.cut:
            continue
        kind, roles = "half" if patch.width == patch.height else "rectangle", patch.roles
        sides = patch.width, patch.height
        if patch.cut in _GEESE:
            kind, roles, sides = "goose", roles[:2], (max(sides), min(sides))
        elif patch.cut == "x":
            kind, roles = "quarter", min(roles[turn:] + roles[:turn] for turn in range(4))
        else:
            roles = "".join(sorted(roles))
        found[kind, *sides, roles] += 1
    return found


def scantness(facts: PrintFacts) -> float:
    """Return what squares of her own that are too small take from every side, inches."""
    return max(0.0, -float(beyond_points(facts)))


def beyond_points(facts: PrintFacts) -> Inches | float:
    """Return how far the edge lies beyond the blocks' points; below 0 it cuts them."""
    setting, asked = facts.layout.setting, facts.plan.brief.sewing.floating
    if setting.kind == "straight":
        return 0.0
    there = {squares.kind for squares in facts.book.setting}
    reach = [-own.loss for own in facts.book.own if own.kind in there]
    most = 0.0 if setting.sashing.value else asked
    return most if not reach or float(most) <= min(reach) else min(reach)


def centre(facts: PrintFacts) -> tuple[float, float]:
    """Return both finished sides of the blocks sewn together."""
    setting, more = facts.layout.setting, 2 * float(beyond_points(facts))
    return setting.width + more, setting.height + more


_WIDE = {False: (108.0, 106.0), True: (2700 / 25.4, 2650 / 25.4)}
"""Width of wide backing as it is sold and as it can be used, inches; by whether work is metric."""


def seamless(facts: PrintFacts) -> Iterator[str]:
    """Yield how much wide cloth makes the backing in one piece, where others need a seam."""
    sold_as, usable = _WIDE[facts.metric]
    margin = 2 * float(facts.plan.brief.sewing.margin)
    first, second = (float(side) + margin for side in quilt(facts))
    along = [one for one, other in ((first, second), (second, first)) if other <= usable]
    if facts.book.backing[0].panels > 1 and along:
        buy = to_buy(min(along), facts.plan.brief.sewing.shrunk, metric=facts.metric)
        yield f"{sold(buy, metric=facts.metric)} 1 length of cloth {facts.fin(sold_as)} wide"


def sewn(facts: PrintFacts) -> tuple[float, float]:
    """Return both sides of the blocks sewn together, seam allowance included."""
    around = 2 * float(facts.plan.brief.sewing.seam)
    wide, high = centre(facts)
    return wide + around, high + around


def quilt(facts: PrintFacts) -> tuple[float, float]:
    """Return both finished sides of the quilt, its borders included."""
    around = 2 * sum(float(band.width) for band in facts.plan.brief.borders)
    wide, high = centre(facts)
    return wide + around, high + around


def told_once(facts: PrintFacts) -> list[CuttingPlan]:
    """Return one cloth of each group that is cut alike: such fabrics are told once."""
    # The first whose own plan it is stands for those that are cut like it.
    found: dict[object, CuttingPlan] = {}
    for cloth in sorted(facts.book.cloths, key=lambda cloth: bool(cloth.like)):
        found.setdefault((cloth.cloth.form, cloth.cloth.count, cloth.cuts), cloth)
    return list(found.values())


def cut_strips(cloth: CuttingPlan) -> Iterator[Inches]:
    """Yield the heights of all strips that are not whole pre-cuts."""
    form = cloth.cloth.form
    whole = {cut.inside for cut in cloth.cuts if cut.use
             and (cut.width, cut.height) == (form.width, form.height)}  # fmt: skip
    yield from (cut.height for cut in cloth.cuts if cut.kind == "strip" and cut.number not in whole)


def others(facts: PrintFacts) -> tuple[Alternate, ...]:
    """Return the other forms of cloth that the pattern is printed for."""
    return chosen_forms(facts.plan, facts.book)


def other_cuts(facts: PrintFacts) -> list[CuttingPlan]:
    """Return every other way of cutting that alternates bring, once."""
    plans = [told.share.plan for told in others(facts) if told.share and not told.same]
    return list({plan.cuts: plan for plan in plans}.values())
