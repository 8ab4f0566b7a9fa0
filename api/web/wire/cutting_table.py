"""The cutting table: what fits, what is short and what to buy, in words, as the page shows it."""

from __future__ import annotations

from collections.abc import Iterator

from api.pattern.brief import Brief
from api.pattern.cut_book import CutBook, cloth_form, enough
from api.pattern.plan import Plan
from api.web.wire.responses import Amount, Arrow, ClothRow, CutStep, CuttingTable, FormChoice
from api.wording.cutting import (
    bought,
    cautions,
    cut_steps,
    finishing,
    sashing,
    setting,
    strip_sets,
)
from api.wording.english import measure, number
from api.wording.faults import verdict as checked
from placement.cloth.cutting import Cloth, CuttingPlan, Verdict
from placement.cloth.forms import FORMS, Form
from placement.cloth.verdict import cloth_words, pieces_words
from placement.top.sewing.pressing import Pressing

_FIRST: tuple[Verdict, ...] = ("short", "undecided")
"""Verdicts that ask for something to be done; their fabrics come first."""


def cutting_table(plan: Plan, book: CutBook, revision: int) -> CuttingTable:
    """Return a plan's cut book in words."""
    rows = [_row(plan, book, cloth) for cloth in book.cloths]
    wanting = [row for row in rows if row.verdict in _FIRST]
    return CuttingTable(
        revision=revision,
        verdict=_verdict(wanting),
        checked=checked(book),
        forms=[*_forms(plan.brief)],
        cloths=[*wanting, *(row for row in rows if row.verdict not in _FIRST)],
        amounts=[*_amounts(plan, book)],
        setting=[*sashing(plan, book), *setting(plan, book)],
        strip_sets=[*strip_sets(plan, book.strip_sets)],
        notes=[*book.notes],
        pressing=book.pressing.sentence,
        arrows=_arrows(book.pressing),
        care=[*cautions(plan)],
    )


def _verdict(wanting: list[ClothRow]) -> str:
    if not wanting:
        return "Everything fits."
    short = sum(row.verdict == "short" for row in wanting)
    doubt = len(wanting) - short
    parts = [f"{number(short, 'fabric')} {'is' if short == 1 else 'are'} short"] if short else []
    parts += [f"{number(doubt, 'fabric')} may not suffice"] if doubt else []
    return f"{', '.join(parts)}."


def _forms(brief: Brief) -> Iterator[FormChoice]:
    """Yield the forms of cloth, each in the unit of the plan."""
    for name in FORMS:
        if not name.startswith("metric "):
            form = cloth_form(name, brief)
            size = _size(form, brief.units, sold=True)
            yield FormChoice(
                name=name, form=form.name, label=f"{name[0].upper()}{name[1:]}, {size}"
            )


def _size(form: Form, units: str, *, sold: bool) -> str:
    width, height = (form.nominal_width, form.nominal_height) if sold else (form.width, form.height)
    wide = measure(width, units)
    if height is None:
        return f"{wide} wide"
    return f"{measure(height, units).rpartition(' ')[0]} x {wide}"


def _row(plan: Plan, book: CutBook, cut: CuttingPlan) -> ClothRow:
    units, form = plan.brief.units, cut.cloth.form
    return ClothRow(
        fabric=cut.fabric,
        name=plan.swatch(cut.fabric).fabric.name,
        form=form.name.removeprefix("metric "),
        cloth=cloth_words(cut.cloth).removeprefix("a "),
        own=any(entry.fabric == cut.fabric for entry in plan.brief.sewing.cloths),
        size=f"{_size(form, units, sold=False)} usable",
        verdict=cut.verdict,
        brief=_brief(cut, units),
        enough=enough(plan, book.pieces, cut),
        sentences=[cut.sentence, *_proof(cut, units)],
        cuts=[CutStep(numbers=of, words=words) for of, words in cut_steps(cut, units)],
    )


def _brief(cut: CuttingPlan, units: str) -> str:
    """Say the verdict in a few words."""
    if cut.verdict == "undecided":
        return "may not suffice"
    if cut.verdict == "short":
        return _short(cut, units)
    if cut.buy is not None:
        return f"buy {bought(cut.buy, units)}"
    how = "off-cuts stacked, " if cut.verdict == "fits with stacking" else ""
    return f"{how}{measure(cut.spare, units) if cut.spare.value else 'nothing'} to spare"


def _short(cut: CuttingPlan, units: str) -> str:
    if cut.cloth.count > 1 and cut.missing:
        return f"short of {pieces_words(cut.missing)}"
    return f"short by {measure(cut.short, units)}"


def _proof(cut: CuttingPlan, units: str) -> Iterator[str]:
    """Say how far from the least length the plan for yardage can be."""
    if cut.buy is None:
        return
    if cut.bound >= cut.used:
        yield "No plan takes less: that is proved."
    else:
        yield f"No plan takes less than {measure(cut.bound, units)}: that is proved."


def _amounts(plan: Plan, book: CutBook) -> Iterator[Amount]:
    """Yield the cloth by its form, then what goes around the blocks."""
    units = plan.brief.units
    tally: dict[str, tuple[Cloth, int]] = {}
    for cut in book.cloths:
        cloth = cut.cloth
        if cut.buy is not None:
            name = plan.swatch(cut.fabric).fabric.name
            yield Amount(what=name, much=bought(cut.buy, units))
        elif not cloth.form.open_ended:
            _, count = tally.get(cloth.form.name, (cloth, 0))
            tally[cloth.form.name] = cloth, count + cloth.count
    for cloth, count in tally.values():
        form = cloth.form.name.removeprefix("metric ")
        yield Amount(what=f"{form[0].upper()}{form[1:]}s", much=str(count))
    for line in finishing(plan, book):
        what, _, much = line.partition(": ")
        yield Amount(what=what, much=much)


def _arrows(pressing: Pressing) -> list[list[Arrow]]:
    """Return an arrow a seam for each way the blocks are pressed."""
    return [
        [
            Arrow(
                x=float(seam.start[0] + seam.end[0]) / 2,
                y=float(seam.start[1] + seam.end[1]) / 2,
                dx=seam.normal[0] * (1 if choice else -1),
                dy=seam.normal[1] * (1 if choice else -1),
            )
            for seam, choice in zip(pressing.seams, choices, strict=True)
        ]
        for choices in pressing.plans
    ]
