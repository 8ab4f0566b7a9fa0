"""The cutting table: what fits, what is short and what to buy, in words, as the page shows it."""

from __future__ import annotations

from collections.abc import Iterator

from api.pattern.brief import Brief
from api.pattern.cut_book import CutBook
from api.pattern.plan import Plan
from api.web.wire.cutting_answers import (
    Amount,
    Arrow,
    ClothRow,
    CutStep,
    CuttingTable,
    FormChoice,
    ShoppingItem,
)
from api.web.wire.methods import method_choices
from api.wording.cuts import cut_steps, strip_sets
from api.wording.cutting import cautions, notes
from api.wording.english import agree, capital, number
from api.wording.faults import verdict as checked
from api.wording.finishing import finishing
from api.wording.lengths import Lengths
from api.wording.pieces import Hand, cloth_count, form_name, hand
from api.wording.pressing import pressing_words
from api.wording.setting import sashing, setting
from api.wording.shopping import shopping_rows, yardage_notes
from api.wording.verdict import aims, beside, in_short, proof, sentence
from placement.cloth.cutting import CuttingPlan, Fit
from placement.cloth.forms import SOLD, FormKind
from placement.top.sewing.pressing import Pressing


def cutting_table(plan: Plan, book: CutBook, revision: int) -> CuttingTable:
    """Return a plan's cut book in words."""
    told = hand(plan, book)
    rows = [_row(plan, book, cloth, told) for cloth in book.cloths]
    wanting = [row for row in rows if not row.fits]
    return CuttingTable(
        revision=revision,
        verdict=_verdict(book),
        checked=checked(book),
        aims=aims(book.cloths, told),
        forms=[*_forms(plan.brief)],
        methods=[*method_choices(plan)],
        cloths=[*wanting, *(row for row in rows if row.fits)],
        shopping=[*_shopping(plan, book, told)],
        amounts=[*_amounts(plan, book, told)],
        setting=[*sashing(plan, book), *setting(plan, book)],
        strip_sets=[*strip_sets(plan, book.strip_sets)],
        notes=[*notes(plan, book, told), *yardage_notes(plan, book, told)],
        pressing=pressing_words(book.pressing),
        arrows=_arrows(book.pressing),
        care=[*cautions(plan)],
    )


def _verdict(book: CutBook) -> str:
    wanting = book.problems
    if not wanting:
        return "Everything fits."
    doubt = sum(cloth.verdict is Fit.UNDECIDED for cloth in wanting)
    short = len(wanting) - doubt
    parts = [f"{number(short, 'fabric')} {agree(short, 'is', 'are')} short"] if short else []
    parts += [f"{number(doubt, 'fabric')} may not suffice"] if doubt else []
    return f"{', '.join(parts)}."


def _forms(brief: Brief) -> Iterator[FormChoice]:
    """Yield the forms of cloth, each in the unit of the plan."""
    lengths = Lengths(brief.units)
    own = (FormKind.OWN,) if brief.sewing.own_measure else ()
    for kind in (*SOLD, *own):
        size = lengths.sold(brief.sewing.form_called(kind, brief.units))
        yield FormChoice(name=kind, label=f"{capital(form_name(kind))}, {size}")


def _row(plan: Plan, book: CutBook, cut: CuttingPlan, told: Hand) -> ClothRow:
    form = cut.cloth.form
    return ClothRow(
        fabric=cut.fabric,
        at=book.which(cut),
        name=plan.swatch(cut.fabric).fabric.name,
        form=form.kind,
        cloth=cloth_count(cut.cloth),
        own=any(entry.fabric == cut.fabric for entry in plan.brief.sewing.cloths),
        size=f"{told.lengths.usable(form)} usable",
        verdict=cut.verdict,
        fits=cut.verdict.fits,
        brief=in_short(cut, told),
        enough=None if cut.verdict.fits else cut.enough,
        sentences=[sentence(cut, told), *proof(cut, told), *beside(cut, told)],
        cuts=[CutStep(numbers=of, words=words) for of, words in cut_steps(cut, told)],
    )


def _amounts(plan: Plan, book: CutBook, told: Hand) -> Iterator[Amount]:
    """Yield the cloth by its form, then what goes around the blocks."""
    tally: dict[FormKind, int] = {}
    for cut in book.cloths:
        form = cut.cloth.form
        if cut.buy is not None:
            name = plan.swatch(cut.fabric).fabric.name
            yield Amount(what=name, much=told.lengths.bought(cut.buy, form.units))
        elif not form.open_ended:
            tally[form.kind] = tally.get(form.kind, 0) + cut.cloth.count
    for kind, count in tally.items():
        yield Amount(what=capital(form_name(kind, 2)), much=str(count))
    for what, much in finishing(plan, book):
        yield Amount(what=what, much=much)


def _shopping(plan: Plan, book: CutBook, told: Hand) -> Iterator[ShoppingItem]:
    """Yield the shopping list."""
    for row in shopping_rows(plan, book, told):
        yield ShoppingItem(what=row.what, purpose=row.purpose, needed=row.needed, owned=row.owned,
                           buy=row.buy, cuts=[*row.cuts])  # fmt: skip


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
