"""JSON, text, the page's table and the printed pattern tell the same pieces; damage is found."""

from __future__ import annotations

import json
import re
from collections import Counter
from functools import cache
from typing import TYPE_CHECKING

import pytest

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.judging.judge import judge_print
from api.booklet.judging.words import text_of
from api.booklet.lengths import LENGTHS, to_cut
from api.booklet.source import source
from api.pattern.cut_book import CutBook, book_json, cut_book
from api.web.wire.cutting_table import cutting_table
from api.wording.cutting import cutting_text
from api.wording.faults import sentences
from placement.inches import Inches
from tests.api.varied import PLANS, plan_named

if TYPE_CHECKING:
    from api.booklet.source import Source
    from api.pattern.plan import Plan

Sizes = Counter[frozenset[str]]
"""Pieces by both their sides, as the trade writes them."""

SIDE = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?: in| mm| cm)"
STEP = re.compile(r"Cut (\d+) strips? .+? across the (?:width|cloth); from (?:it|each) (.+)\.")
TOGETHER = re.compile(
    r"(?:Use|Cut) .+(?:halve (?:it|all) at the fold|used whole|as they come, uncut): (.+)\."
)
PIECE = re.compile(rf"(\d+) [a-z][a-z -]*? of ({SIDE})(?: x ({SIDE}))?")


WITH_BEDS = ("pinwheel 1", "friendship-star 1", "square-in-a-square 1")
"""Plans whose bed sizes are printed, too: all of each size is cut for them."""


@cache
def _made(name: str) -> tuple[Plan, CutBook]:
    plan = plan_named(name)
    return plan, cut_book(plan)


def _read(lines: list[str]) -> Sizes:
    """Add up the pieces of cutting steps."""
    found: Sizes = Counter()
    for line in lines:
        step, together = STEP.fullmatch(line), TOGETHER.fullmatch(line)
        assert step or together, line
        strips, told = (int(step[1]), step[2]) if step else (1, together[1] if together else "")
        for count, one, two in PIECE.findall(told):
            found[frozenset({one, two or one})] += strips * int(count)
    return found


def _written(book: CutBook, units: str) -> list[tuple[str, Sizes]]:
    """Return the pieces that each fabric's cuts give, from the values themselves."""
    metric = units == "metric"

    def write(side: Inches) -> str:
        return to_cut(side.value, metric=metric).replace('"', " in")

    return [
        (cloth.fabric, Counter(
            frozenset({write(cut.width), write(cut.height)}) for cut in cloth.cuts if cut.use
        ))
        for cloth in book.cloths
    ]  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANS)
def test_json_text_and_table_tell_the_same_pieces(name: str) -> None:
    plan, book = _made(name)
    wanted = _written(book, plan.brief.units)
    table = cutting_table(plan, book, 1)
    # One fabric may have several cloths: each has a row, in the order of the book.
    read = [(row.fabric, _read([step.words for step in row.cuts])) for row in table.cloths]
    for fabric in plan.brief.everything():
        id_ = fabric.fabric.id
        assert [s for name, s in read if name == id_] == [s for name, s in wanted if name == id_]
    data = json.loads(book_json(book))
    for (_, sizes), cloth in zip(wanted, data["cloths"], strict=True):
        assert sum(cut["kind"] == "piece" for cut in cloth["cuts"]) == sum(sizes.values())
    # Fabrics that are cut alike share their lines in the text.
    lines = [line[2:] for line in cutting_text(plan, book).splitlines()]
    told = {line for line in lines if STEP.fullmatch(line) or TOGETHER.fullmatch(line)}
    assert told == {step.words for row in table.cloths for step in row.cuts}


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANS)
def test_the_printed_pattern_tells_the_same_pieces(name: str) -> None:
    """The judge of the print compares number by number; it is asked before a booklet is given."""
    plan, book = _made(name)
    ready, text = _printed(name)
    assert (
        sentences(plan, judge_print(text, ready.plan, ready.book, ready.edition, ready.missing))
        == ()
    )
    if not book.problems:
        assert ready.book == book


@cache
def _printed(name: str) -> tuple[Source, str]:
    edition = Edition(drop=Inches.parse(12) if name in WITH_BEDS else None)
    plan = plan_named(name)
    return source(plan, {}, edition), text_of(booklet(plan, {}, edition))


@pytest.mark.slow
def test_a_length_changed_anywhere_in_the_print_is_found() -> None:
    """An eighth or a millimetre more, at every length of a pattern one after the other."""
    ready, text = _printed("nine-patch side by side")
    for found in LENGTHS.finditer(text):
        wrong = f"{text[: found.start()]}777{text[found.start() :]}"
        assert judge_print(wrong, ready.plan, ready.book, ready.edition, ready.missing), found[0]


COUNTS = re.compile(r"(?<![\d/.–])(\d+) (?:[a-z][a-z -]*? of \d|strips?|slices|sets?|fat )")


@pytest.mark.slow
def test_a_count_changed_in_the_cutting_is_found() -> None:
    ready, text = _printed("shoo-fly 1")
    start, end = text.index("Square up each piece"), text.index("Half-square triangle units")
    counts = [m for m in COUNTS.finditer(text) if start < m.start(1) < end]
    assert len(counts) > 50
    # Every second one: neighbours in a line are found by the same rule.
    for found in counts[::2]:
        wrong = f"{text[: found.start(1)]}{int(found[1]) + 1}{text[found.end(1) :]}"
        said = text[found.start(1) - 20 : found.end() + 20]
        if "From 2 fat" not in said:  # told beside the name, where it is judged
            assert judge_print(wrong, ready.plan, ready.book, ready.edition, ready.missing), said
