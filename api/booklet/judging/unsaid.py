"""What the cut book says and the words do not."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.booklet.judging.facts import (
    UNIT_NAMES,
    PrintFacts,
    beyond_points,
    others,
    quilt,
    scantness,
    seamless,
    second_fabric,
    several,
    sewn,
    units,
)
from api.booklet.judging.still_to_buy import bought_phrases
from api.booklet.lengths import finished, flat, sold, tight, to_buy
from api.pattern.bed_sizes import bed_sizes
from palette.thread import PLAIN
from placement.checks.fault import Fault, FaultKind, fault
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator


def unsaid(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Name everything of the cut book that the text does not say."""
    dense = tight(text)
    for phrase in (
        *_cloth_phrases(facts),
        *_top_phrases(facts),
        *_around_phrases(facts),
        *_other_phrases(facts),
        *_bought_phrases(facts),
    ):
        if tight(phrase) not in dense:
            yield fault(FaultKind.UNSAID, words=flat(phrase))


def _cloth_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield each fabric beside its amount, then what is sewn of strips and triangles."""
    brief, book = facts.plan.brief, facts.book
    yield from _needed(facts)
    for fabric, blocks in facts.blocks.items():
        yield f"{facts.numbers[fabric]} {facts.name(fabric)}, {several(blocks, 'block')}"
        for (kind, *_), each in units(facts).items():
            yield several(each * blocks, *UNIT_NAMES[kind])
    yield from _ways(facts)
    for entry in book.strip_sets:
        yield f"{several(len(entry.sets), 'set')} {several(entry.slices, 'slice')}"
        yield f"each {facts.cut(entry.sub_cut)} wide"
    if brief.sewing.shrinkage and any(cloth.buy is not None for cloth in book.cloths):
        yield f"shrinking by {brief.sewing.shrinkage:g} %"
    for role, fabric in (
        ("background", facts.plan.background),
        ("second feature", second_fabric(facts)),
    ):
        if fabric:
            yield f"{role} is {facts.name(fabric)}"
    if brief.thread:
        own = {swatch.fabric.id: swatch.fabric.name for swatch in brief.threads}
        plain = {label: name for label, (name, _) in PLAIN.items()}
        yield f"To quilt with: {(plain | own)[brief.thread]}"


_BESIDES = frozenset((
    "side", "corner", "plain block", "sash", "long sash", "joined sash", "cornerstone",
    "half cornerstone", "border", "binding", "bias binding",
))  # fmt: skip
"""Kinds of pieces that lie in no block of a fabric."""


def _needed(facts: PrintFacts) -> Iterator[str]:
    """Yield each fabric beside its amount, or the numbers of those that take the same."""
    alike: dict[tuple[str, int, object, int], list[str]] = {}
    for cloth in (each for each in facts.book.cloths if each.cuts):
        count = cloth.cloth.count if cloth.cloth.form.nominal_height else 0
        kinds = {str(piece.kind) for piece in facts.book.asked_of(cloth)}
        # What a fabric makes besides its blocks parts it from others.
        besides = {"binding" if "binding" in kind else kind for kind in kinds & _BESIDES}
        other = frozenset(besides), cloth.fabric == second_fabric(facts)
        blocks = facts.blocks.get(cloth.fabric, 0)
        alike.setdefault((facts.amount(cloth), count, other, blocks), []).append(cloth.fabric)
    for (amount, count, _, blocks), fabrics in alike.items():
        numbers = sorted(facts.numbers[name] for name in fabrics if name in facts.numbers)
        shared = len(fabrics) == len(set(fabrics)) == len(numbers) > 1
        much = f"{count} " if amount.startswith(",") else amount
        if shared:
            yield f"Fabrics {_in_ranges(numbers)} {much}"
            yield several(blocks, "block")
        else:
            yield from (f"{facts.name(fabric)} {much}" for fabric in fabrics)
        yield amount


def _in_ranges(numbers: list[int]) -> str:
    """Write numbers as they are read: three and more that follow each other as one range."""
    starts = [n for n in numbers if n - 1 not in numbers]
    ends = [n for n in numbers if n + 1 not in numbers]
    runs: list[str] = []
    for start, end in zip(starts, ends, strict=True):
        runs += [f"{start}–{end}"] if end - start > 1 else map(str, range(start, end + 1))
    return runs[0] if len(runs) == 1 else f"{', '.join(runs[:-1])} and {runs[-1]}"


_WAYS = {
    "cut once": "from single triangles", "two at a time": "two at a time",
    "four at a time": "four at a time", "eight at a time": "eight at a time",
    "strip pair": "from strips", "corners": "from a rectangle and two squares",
    "cut twice": "from squares cut twice", "half squares first": "from two half-square units",
}  # fmt: skip
"""How units are made, as it is read."""


def _ways(facts: PrintFacts) -> Iterator[str]:
    """Yield how many units are made in which way, where units of one kind are made in several."""
    kinds = Counter(making.unit for making in facts.book.makings)
    for making in facts.book.makings:
        if kinds[making.unit] > 1:
            yield from (f"{units} {_WAYS[making.then]}" for fabric, units in making.made if fabric)


def _top_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield what must be said of the top: its size, blocks, sashing and setting triangles."""
    setting, book = facts.layout.setting, facts.book
    yield f"Finished size {facts.by(quilt(facts))}"
    yield several(sum(facts.blocks.values()), "block")
    yield f"seam allowance of {facts.cut(facts.plan.brief.sewing.seam)}"
    side = Inches(setting.block_size.value + 2 * facts.plan.brief.sewing.seam.value)
    yield f"{facts.fin(setting.block_size)} finished, {facts.cut(side)} with seam allowance"
    for squares in book.setting:
        yield several(squares.triangles, f"{squares.kind} triangle")
    across, down = (facts.cut(edge) for edge in sewn(facts))
    yield f"now measures about {across} × {down}"
    if setting.kind == "on point":
        yield _trim_phrase(facts)
    if book.sashing:
        long, wide = book.sashing.cut
        yield f"sashing strip, {facts.cut(wide)} × {facts.cut(long)}"
        pointed = setting.kind == "on point"
        lines = setting.across + setting.down if pointed else setting.down + 1
        yield f"{several(lines, 'line')} of sashing"
        yield from (f"{count} of {facts.cut(length)}" for length, count in book.sashing.long)
        if book.sashing.half_cornerstones:
            yield several(book.sashing.half_cornerstones, "half cornerstone")


def _trim_phrase(facts: PrintFacts) -> str:
    """Return where the edges are trimmed: beyond the points, or where triangles end short."""
    scant = scantness(facts)
    seam, beyond = facts.plan.brief.sewing.seam, beyond_points(facts)
    if not scant:
        if isinstance(beyond, Inches):
            out: Inches | float = Inches(seam.value + beyond.value)
        else:
            out = float(seam) + beyond if beyond else seam
        floats = f" {facts.cut(beyond)}" if float(beyond) else ""
        return f"straight, {facts.cut(out)} outside the points" + (
            f" of the blocks: they float by{floats}" if floats else ""
        )
    least = finished(scant, metric=facts.metric)
    what = "sashing" if facts.book.sashing else "blocks"
    how = "less than" if least == finished(0.0, metric=facts.metric) else f"about {least}"
    return f"blunt the points of the {what} by {how}"


def _around_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield what must be said of borders, binding, backing and batting."""
    book, sewing = facts.book, facts.plan.brief.sewing
    for number, frame in enumerate(book.borders):
        strips = _border_strips(facts, number)
        yield (
            f"{facts.fin(frame.finished)} finished, {facts.name(frame.fabric)}: {strips} strips of "
            f"{facts.cut(frame.cut)}. Sides {facts.cut(frame.sides)}, top and bottom "
            f"{facts.cut(frame.ends)}; the quilt top is then "
            f"{facts.by((frame.width, frame.height))} finished"
        )
    if book.borders:
        last = book.borders[-1]
        yield f"now {facts.by((last.width, last.height))} finished"
        if last.corner == "mitred":
            yield "sew the mitre"
    bound = book.binding
    if bound.square is None:
        yield f"{several(bound.strips, 'strip')} of {facts.cut(bound.cut)}"
    else:
        yield several(bound.strips, "square") + f" of {facts.cut(bound.square)} for bias binding"
        yield f"lines {facts.cut(bound.cut)} apart"
    yield f", {facts.name(book.binding_fabric)}"
    yield facts.cut(bound.length)
    way = book.backing[0]
    buy = sold(to_buy(way.cloth, sewing.shrunk, metric=facts.metric), metric=facts.metric)
    lengths = f"{several(way.panels, 'length')} of {facts.fin(way.panel_length)}"
    cloth = facts.name(book.backing_fabric) if book.backing_fabric else "backing"
    yield f"{buy} {lengths}"
    yield from seamless(facts)
    yield f"Cut {lengths} from {buy} of {cloth}"
    yield f"batting to {facts.by(book.batting)}"


def _border_strips(facts: PrintFacts, number: int) -> int:
    """Return how many strips are cut for a border, from the cuts as wide as it on its cloth."""
    frame = facts.book.borders[number]
    counts = [p.count for p in facts.book.pieces
              if (p.fabric, p.height) == (frame.fabric, frame.cut) and _is_across(facts, p.width)
              and not p.turn]  # fmt: skip
    # Borders of one fabric and width come in order; so do their strips.
    same = [n for n, other in enumerate(facts.book.borders)
            if (other.fabric, other.cut) == (frame.fabric, frame.cut)]  # fmt: skip
    at = same.index(number)
    return counts[at] if at < len(counts) else 0


def _is_across(facts: PrintFacts, width: Inches) -> bool:
    return any(width == cloth.cloth.form.width for cloth in facts.book.cloths)


def _bought_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield what must be said of cloth still to be bought."""
    if facts.told is not None:
        yield "Still to buy"
        yield from bought_phrases(facts.told.shopping, metric=facts.metric)


def _other_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield how much of every alternate is needed, and what one piece of it gives."""
    for told in others(facts):
        if told.share and told.share.plan.buy is not None:
            yield f"{sold(told.share.plan.buy.value, metric=facts.metric)} of each fabric"
        if told.pieces is not None:
            yield f": {told.pieces} "
        if told.each is not None:
            yield f"{several(told.each.blocks, 'block')} from one"


def _bed_phrases(facts: PrintFacts) -> Iterator[str]:
    """Yield every row of the table of beds: sizes, counts and what is bought."""
    if facts.edition.drop is None:
        return
    shrunk = facts.plan.brief.sewing.shrunk
    for row in bed_sizes(facts.plan.brief, float(facts.edition.drop), len(facts.numbers)):
        ground = next(c for c in row.book.cloths if c.fabric == row.plan.background)
        pieces = [cloth.enough or cloth.cloth.count for cloth in row.book.cloths
                  if cloth.fabric != ground.fabric and cloth.cloth.form.nominal_height]  # fmt: skip
        each = f" {max(pieces)} " if pieces else ""
        back = sold(to_buy(row.book.backing[0].cloth, shrunk, metric=facts.metric),
                    metric=facts.metric)  # fmt: skip
        yield (
            f"{facts.by(row.size)} {row.blocks} blocks, {row.across} × {row.down} "
            f"{facts.fin(row.border)}{each}"
        )
        yield f"{facts.amount(ground)} {back}"
