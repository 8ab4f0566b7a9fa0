"""What each way of making units does, in words, before one is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from api.wording.english import capital, listed, number, plural_of
from api.wording.methods import METHODS, UNITS, made_otherwise
from api.wording.names import name_of
from api.wording.pieces import Hand, forms
from placement.cloth.handwork import Handwork
from placement.cloth.methods import Geese, Quarters
from placement.cloth.pieces import NoteKind
from placement.inches import Inches
from placement.units import UnitKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from api.pattern.cut_book import CutBook
    from api.pattern.methods import Effect
    from api.pattern.plan import Plan
    from placement.cloth.cutting import CuttingPlan
    from placement.cloth.forms import FormKind

_SPECIAL: dict[UnitKind, dict[str, str]] = {
    UnitKind.HALF: {
        "one": "Long edges are bias until they are sewn",
        "two": "Sewn before it is cut: no bias edge is handled",
        "four": "All four edges of each unit are bias: handle gently; prints run at 45°",
        "eight": "Sewn before it is cut; long seams, few squares, more trimming",
        "strips": "Strips as wide as other patches of that size; two layers cut with the 45° line, "
        "the sewn edge is bias",
    },
    UnitKind.GOOSE: {
        Geese.FOUR: "No cloth is cut off; sizes in eighths, a little to trim",
        Geese.CORNERS: "Sizes of other patches, no bias edge; the corners cut off are waste",
    },
    UnitKind.QUARTER: {
        Quarters.CUT_TWICE: "Short edges are bias until they are sewn; any order of fabrics",
        Quarters.HALVES: "Sewn before it is cut: no bias edge is handled; seams nest by themselves",
    },
}
"""What a maker should know of a method; common practice."""


_MANY = 4
"""So many fabrics of which the same is said are counted, not named."""


@dataclass(frozen=True, slots=True)
class EffectWords:
    """One way of making units, beside the others."""

    unit: str
    """What the units are, several."""
    name: str
    """How they are made."""
    work: str
    """Pieces cut, units that come of them, cuts for the quilt."""
    cloth: str
    """What the quilt takes, fabric by fabric and in all."""
    change: str
    """What that is more or less than now; '' for the way in use."""
    special: str
    """What a maker should know, and which fabrics are made otherwise."""


def effect_words(each: Effect, now: CutBook, told: Hand) -> EffectWords:
    """Say what one way of making units does.

    Parameters
    ----------
    each : Effect
        What it does.
    now : CutBook
        What is cut the way that is in use.
    told : Hand
        How it is written.
    """
    plan, book = each.plan, each.book
    special = _SPECIAL[each.unit][each.method] + "."
    others = [made_otherwise(plan, note) for note in book.notes
              if note.kind is NoteKind.OTHER_METHOD and note.unit is each.unit]  # fmt: skip
    same = book is now
    return EffectWords(
        capital(plural_of(UNITS[each.unit])),
        METHODS[each.unit][each.method],
        _work(each),
        "; ".join(_cloth(plan, book, told)),
        "" if same else _change(plan, now, book, told),
        " ".join([special, *others]),
    )


def _work(each: Effect) -> str:
    over = each.made - each.units
    left = f", {over} left over" if over else ""
    cuts = sum((cloth.handwork for cloth in each.book.cloths), Handwork.NONE).cuts
    return (
        f"{number(each.pieces, 'piece')} for {number(each.units, 'unit')}{left}; "
        f"{each.shown:.0%} of their cloth shows; {number(cuts, 'cut')} for the quilt"
    )


def _cloth(plan: Plan, book: CutBook, told: Hand) -> Iterator[str]:
    """Yield pre-cuts by their form, yardage by fabric, and all yardage if it is several."""
    pieces: dict[FormKind, int] = {}
    bought: list[Fraction] = []
    short = False
    for cloth in book.cloths:
        kind = cloth.cloth.form.kind
        if cloth.buy is not None:
            bought.append(cloth.buy.value)
            amount = told.lengths.bought(cloth.buy, cloth.cloth.form.units)
            yield f"{name_of(plan, cloth.fabric)} {amount}"
        elif not cloth.cloth.form.open_ended:
            pieces[kind] = pieces.get(kind, 0) + _count(cloth)
        short = short or not (cloth.verdict.fits or cloth.enough)
    yield from (forms(kind, count) for kind, count in pieces.items())
    if len(bought) > 1:
        yield f"{told.lengths.bought(Inches(sum(bought, Fraction(0))))} of yardage in all"
    if short:
        yield "some cloth does not suffice"


def _count(cloth: CuttingPlan) -> int:
    """Return how many pieces of a pre-cut are needed."""
    return cloth.cloth.count if cloth.verdict.fits else cloth.enough or cloth.cloth.count


def _change(plan: Plan, now: CutBook, then: CutBook, told: Hand) -> str:
    """Say what a fabric takes more or less than now."""
    changed: dict[str, list[str]] = {}
    for before, after in zip(now.cloths, then.cloths, strict=True):
        form = after.cloth.form
        if before.buy is not None and after.buy is not None:
            more = after.buy.value - before.buy.value
            amount = told.lengths.bought(Inches(abs(more)), form.units)
        else:
            pieces = _count(after) - _count(before)
            more, amount = Fraction(pieces), forms(form.kind, abs(pieces))
        if more:
            words = f"{amount} {'more' if more > 0 else 'less'} of"
            changed.setdefault(words, []).append(name_of(plan, after.fabric))
    found = [f"{words} {_whose(names)}" for words, names in changed.items()]
    return "; ".join(found) or "as much of every fabric as now"


def _whose(names: list[str]) -> str:
    return listed(names) if len(names) < _MANY else f"each of {number(len(names), 'fabric')}"


def effects_text(told: Iterable[Effect], now: CutBook, hand: Hand) -> str:
    """Return what every way does as text: those in use first, each kind of unit apart."""
    lines: list[str] = []
    heading = ""
    for each in told:
        words = effect_words(each, now, hand)
        if words.unit != heading:
            lines += ["", words.unit] if lines else [words.unit]
            heading = words.unit
        use = " (as now)" if each.book is now else ""
        parts = (words.work, words.cloth, words.change)
        lines.append(f"- {capital(words.name)}{use}: {'; '.join(part for part in parts if part)}. "
                     f"{words.special}")  # fmt: skip
    if not lines:
        lines = ["This block has no units that are made in several ways."]
    return "\n".join(lines) + "\n"
