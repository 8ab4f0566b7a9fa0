"""Ways of making units side by side, in words, as the page shows them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict

from api.pattern.cut_book import CutBook
from api.pattern.methods import DECISIONS, asked_methods, checked_methods, kinds_of
from api.pattern.plan import Plan
from api.web.wire.cutting_answers import MethodChoice, MethodOption, MethodRow, MethodsOut
from api.wording.effects import effect_words
from api.wording.english import capital, plural_of
from api.wording.methods import METHODS, UNITS
from api.wording.pieces import hand
from placement.top.request import Progress


def methods_out(plan: Plan, book: CutBook, progress: Progress) -> MethodsOut:
    """Return what every way of making the block's units does, seen by the judges."""
    told, asked = hand(plan, book), asked_methods(plan.brief.sewing)
    rows = [
        MethodRow(
            decision=DECISIONS[each.unit],
            method=each.method,
            usual=asked[each.unit] == each.method,
            **asdict(effect_words(each, book, told)),
        )
        for each in checked_methods(plan, book, progress)
    ]
    return MethodsOut(rows=rows)


def method_choices(plan: Plan) -> Iterator[MethodChoice]:
    """Yield the ways to choose from for every kind of unit of the block."""
    asked = asked_methods(plan.brief.sewing)
    for kind in kinds_of(plan):
        yield MethodChoice(
            decision=DECISIONS[kind],
            label=f"{capital(plural_of(UNITS[kind]))} are made",
            chosen=asked[kind],
            options=[MethodOption(name=name, label=label) for name, label in METHODS[kind].items()],
        )
