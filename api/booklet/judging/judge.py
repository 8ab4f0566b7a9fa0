"""Holds the words of a booklet against the plan and its cut book, number by number.

Two questions are asked: does everything that the cut book says stand in the text, and
does every length in the text stand in the cut book? The words are read as a maker reads
them; nothing that wrote them is called.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.judging.facts import PrintFacts
from api.booklet.judging.rows import rows_misread
from api.booklet.judging.steps import (
    cuts_misread,
    folds_misread,
    pieces_misread,
    surplus_misread,
    totals_misread,
)
from api.booklet.judging.unknown import unknown_lengths
from api.booklet.judging.unsaid import unsaid
from api.booklet.lengths import flat, tight

if TYPE_CHECKING:
    from api.booklet.edition import Edition
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.checks.fault import Fault


def judge_print(
    text: str, plan: Plan, book: CutBook, edition: Edition, told: CutBook | None = None
) -> tuple[Fault, ...]:
    """List every way in which a booklet's words and its cut book disagree.

    Parameters
    ----------
    text : str
        The booklet's words.
    plan : Plan
        The plan it was made of, with as much cloth as it takes.
    book : CutBook
        What is cut, bought and pressed for it.
    edition : Edition
        The edition it was made in: its own words may hold any number.
    told : CutBook
        What is cut from the cloth that the designer says she has, where she says so.
    """
    facts = PrintFacts(plan, book, edition, told)
    text = flat(text)
    return tuple(
        dict.fromkeys((
            *unsaid(facts, text),
            *totals_misread(facts, text),
            *rows_misread(facts, tight(text)),
            *cuts_misread(facts, text),
            *surplus_misread(facts, text),
            *folds_misread(facts, text),
            *pieces_misread(facts, text),
            *unknown_lengths(facts, text),
        ))
    )  # fmt: skip
