"""Lengths that stand in the words and not in the cut book."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from api.booklet.judging.facts import (
    PrintFacts,
    beyond_points,
    other_cuts,
    others,
    quilt,
    scantness,
    seamless,
    sewn,
)
from api.booklet.judging.still_to_buy import bought_lengths
from api.booklet.lengths import LENGTHS, flat, sold, to_buy
from api.pattern.bed_sizes import bed_sizes
from placement.checks.fault import Fault, FaultKind, fault
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from placement.cloth.cutting import CuttingPlan


def unknown_lengths(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Name every length of the text that the plan does not know."""
    for own in _own_words(facts):
        # Whole words alone: a title '3' is no part of '356 1/2'.
        text = re.sub(rf"(?<![\w/]){re.escape(own)}(?![\w/])", " ", text)
    known = {flat(length) for length in _known(facts)}
    for length in LENGTHS.findall(text):
        if length not in known:
            yield fault(FaultKind.UNKNOWN_LENGTH, words=length)


def _own_words(facts: PrintFacts) -> list[str]:
    """Return the designer's words and names, the longest first: they may hold any length.

    What is a number alone holds none.
    """
    edition, brief = facts.edition, facts.plan.brief
    own = [edition.title, edition.designer, brief.title, brief.pattern().name]
    own += [*edition.introduction.splitlines(), *edition.notes.splitlines()]
    own += [swatch.fabric.name for swatch in brief.everything()]
    found = {flat(words) for words in own if words.strip(" 0123456789/")}
    return sorted(found, key=len, reverse=True)


def _known(facts: PrintFacts) -> Iterator[str]:
    """Yield every length of the plan as it is written."""
    yield from (facts.cut(length) for length in _cut_lengths(facts))
    yield from (facts.fin(length) for length in _finished_lengths(facts))
    for cloth in facts.book.cloths:
        yield facts.as_sold(cloth.cloth.form.nominal_width)
        yield from LENGTHS.findall(facts.amount(cloth))
        for other in (cloth.otherwise, cloth.wider):
            if other is not None and other.buy is not None:
                yield sold(other.buy.value, metric=facts.metric)
    sewing, way = facts.plan.brief.sewing, facts.book.backing[0]
    yield sold(to_buy(way.cloth, sewing.shrunk, metric=facts.metric), metric=facts.metric)
    # Wide backing is judged word by word where it must be said; here it may be named.
    yield from (length for phrase in seamless(facts) for length in LENGTHS.findall(phrase))
    yield from _beds(facts)
    yield from _other_lengths(facts)
    if facts.told is not None:
        yield from bought_lengths(facts.told.shopping, metric=facts.metric)
        yield from (facts.cut(side) for side in facts.book.batting)
        yield facts.cut(way.panel_length)


def _cut_lengths(facts: PrintFacts) -> Iterator[Inches | float]:
    book, setting, seam = facts.book, facts.layout.setting, facts.plan.brief.sewing.seam
    yield seam
    for piece in book.pieces:
        yield from (piece.width, piece.height)
    for cloth in book.cloths:
        yield from (cut.height for cut in cloth.cuts if cut.kind == "strip")
        # Strips of sets keep their slack: they are longer than asked for.
        yield from (cut.width for cut in cloth.cuts if cut.kind == "piece")
        form = cloth.cloth.form
        yield from (form.nominal_width, form.width)
        yield from _beside(cloth)
    for entry in book.strip_sets:
        yield entry.sub_cut
    for (long, high), *_ in (m.sizes for m in book.makings if m.then == "strip pair"):
        # Triangles of strips are measured along both edges.
        yield from (long, Inches(long.value - high.value))
    if book.sashing:
        yield from (length for length, _ in book.sashing.long)
    for part in _parts_of_block(facts):
        yield Inches(part * setting.block_size.value + 2 * seam.value)
    yield from sewn(facts)
    beyond = beyond_points(facts)
    yield beyond
    if isinstance(beyond, Inches):
        yield Inches(beyond.value + seam.value)
    yield float(beyond) + float(seam)
    yield from (book.binding.cut, book.binding.length, setting.block_size)
    for frame in book.borders:
        yield from (frame.cut, frame.sides, frame.ends)
    yield from _near_blocks(facts)


def _beside(cloth: CuttingPlan) -> Iterator[Inches]:
    """Yield what is told of the other aim and of wider cloth."""
    yield cloth.used
    if cloth.otherwise is not None:
        yield cloth.otherwise.used
        yield Inches(abs(cloth.otherwise.used.value - cloth.used.value))
    if cloth.wider is not None:
        yield from (cloth.wider.width, cloth.wider.used)


def _parts_of_block(facts: PrintFacts) -> set[Fraction]:
    """Return every distance between two seam lines of a block, in parts of its side."""
    patches = facts.plan.brief.pattern().patches
    found: set[Fraction] = set()
    ways: tuple[Callable[[object], tuple[Fraction, Fraction]], ...] = (
        lambda p: (p.left, p.left + p.width),  # type: ignore[attr-defined]
        lambda p: (p.top, p.top + p.height),  # type: ignore[attr-defined]
    )
    for ends in ways:
        lines = {line for patch in patches for line in ends(patch)}
        found |= {abs(one - other) for one in lines for other in lines}
    return found


def _near_blocks(facts: PrintFacts) -> Iterator[Inches]:
    """Yield the nearest sizes of the block whose parts fall on the ruler's marks."""
    step = Fraction(50, 254) if facts.metric else Fraction(1, 4)
    side = facts.layout.setting.block_size.value
    parts = {size for patch in facts.plan.brief.pattern().patches
             for size in (patch.width, patch.height)}  # fmt: skip
    for way in (-1, 1):
        near = side // step * step if way < 0 else side // step * step + step
        while near > 0 and any((part * near / step).denominator > 1 for part in parts):
            near += way * step
        yield Inches(near)


def _finished_lengths(facts: PrintFacts) -> Iterator[Inches | float]:
    book, setting = facts.book, facts.layout.setting
    yield from quilt(facts)
    yield from (setting.block_size, setting.sashing)
    for cloth in book.cloths:
        form = cloth.cloth.form
        yield from (side for side in (form.nominal_width, form.nominal_height) if side)
    for frame in book.borders:
        yield from (frame.finished, frame.width, frame.height)
    yield from book.batting
    yield book.backing[0].panel_length
    # What too small squares take, and the least that is told.
    yield from (scantness(facts), 5 / 25.4 if facts.metric else 1 / 8)


def _beds(facts: PrintFacts) -> Iterator[str]:
    """Yield the lengths in a table of bed sizes."""
    drop = facts.edition.drop
    if drop is None:
        return
    yield facts.fin(drop)
    for row in bed_sizes(facts.plan.brief, float(drop), len(facts.numbers)):
        yield from (facts.fin(side) for side in (*row.size, row.border))
        for cloth in row.book.cloths:
            yield from LENGTHS.findall(facts.amount(cloth))
        shrunk, back = facts.plan.brief.sewing.shrunk, row.book.backing[0].cloth
        yield sold(to_buy(back, shrunk, metric=facts.metric), metric=facts.metric)


def _other_lengths(facts: PrintFacts) -> Iterator[str]:
    """Yield the lengths that alternates bring."""
    for told in others(facts):
        sides = (told.form.nominal_width, told.form.nominal_height)
        yield from (facts.as_sold(side) for side in sides if side)
        if told.each is not None:
            yield facts.cut(told.each.plan.spare)
        if told.share and told.share.plan.buy is not None:
            yield sold(told.share.plan.buy.value, metric=facts.metric)
    for plan in other_cuts(facts):
        for cut in plan.cuts:
            yield from (facts.cut(cut.width), facts.cut(cut.height))
