"""Cutting, fabric by fabric, with drawings to scale and numbered cuts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from api.booklet.chapters.needs import amount
from api.booklet.parts import Chapter, Figure, Gallery, Heading, Part, Steps, Words
from api.booklet.source import Source, paper_white
from api.drawing.cutting import EDGE, CuttingDrawing, Label, cutting_drawing, cutting_svg
from api.wording import english
from api.wording.cut_lines import (
    cut_lines,
    layers_lines,
    owners,
    same_strips,
    slack_line,
    then_lines,
)
from api.wording.cuts import leader, pieces_of, same_for_all
from api.wording.cutting import captions
from api.wording.faults import CHECKED
from api.wording.pieces import forms, unit_word
from api.wording.verdict import beside
from placement.cloth.whole import nothing_cut
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from placement.cloth.cutting import Cut, CuttingPlan, Piece

_TYPE = 7.2
"""Points; the type of all drawings. Words that find no room are left out: the steps say them."""
_MARGIN = 0.31
"""Beside the cloth, for the heights of strips, inches of paper."""

_WIDEST, _HIGHEST = 3.3, 3.6
"""Of a cutting drawing on paper, inches."""

_PRE_CUT = 2.4
"""Height of the drawing of one piece of a pre-cut form, inches of paper: much of it may be bare."""


def cutting(source: Source) -> Chapter:
    """Return the chapter on cutting; fabrics that are cut alike share one drawing."""
    parts: list[Part] = [
        Words(
            (
                (
                    "Square up each piece of cloth, then cut strips across it from edge to edge, "
                    "then the pieces from the strips. Numbers in the drawings are the order of the "
                    "cuts; the strips come first. "
                    f"All sizes include the seam allowance of {source.cut(source.seam)}."
                ),
                CHECKED,
            )
        )
    ]
    for group in _alike(source):
        parts += _group(source, group)
    return Chapter("Cutting", tuple(parts), new_page=False)


def _alike(source: Source) -> Iterator[list[CuttingPlan]]:
    """Gather the fabrics that are cut alike, background last."""
    found: dict[object, list[CuttingPlan]] = {}
    for plan in source.book.cloths:
        key = (plan.cloth.form, plan.cloth.count, plan.cuts)
        if plan.cuts:
            found.setdefault(key, []).append(plan)
    yield from found.values()


def _group(source: Source, group: list[CuttingPlan]) -> Iterator[Part]:
    first = leader(group)
    if not first.cuts:
        return
    yield Heading(_title(source, group))
    how = amount(source, first)
    total = english.listed(list(_total(source, first)))
    get = "take" if nothing_cut(first) else "cut"
    if len(group) > 1:
        form, count = first.cloth.form, first.cloth.count * len(group)
        all_of_it = "" if form.open_ended else f", {forms(form.kind, count)}"
        line = f"Fabrics {_fabrics(source, group)}{all_of_it}. From each ({how}) {get} {total}."
        yield Words((line,))
    else:
        yield Words((f"From {how} {get} {total}.",))
    if lines := tuple(_beside(source, group)):
        yield Words(lines)
    yield Steps(tuple(cut_steps(source, first, pieces_of(source.book, first))))
    if not nothing_cut(first):
        yield Gallery(tuple(drawings(source, first, _title(source, group))))


def _beside(source: Source, group: list[CuttingPlan]) -> Iterator[str]:
    """Say what is cut at once, what is over, and what the other aim would take."""
    first, hand = leader(group), source.hand
    yield from layers_lines(first, len(group), source.plan.brief.sewing.layers)
    yield from slack_line(first, pieces_of(source.book, first))
    yield from same_for_all(group, hand, lambda fabrics: _called(source, fabrics))
    yield from beside(first, hand)


def _fabrics(source: Source, group: list[CuttingPlan]) -> str:
    return _numbered(source, [plan.fabric for plan in group])


def _called(source: Source, fabrics: list[str]) -> str:
    return f"{'fabric' if len(fabrics) == 1 else 'fabrics'} {_numbered(source, fabrics)}"


def _numbered(source: Source, fabrics: list[str]) -> str:
    """List fabrics by their numbers, those that lie in no block by their names."""
    names = {fabric: source.numbers.get(fabric) for fabric in fabrics}
    numbers = english.ranges(sorted(number for number in names.values() if number))
    others = [source.name(fabric) for fabric, number in names.items() if not number]
    return english.listed([*([numbers] if numbers else []), *others])


def _total(source: Source, plan: CuttingPlan) -> Iterator[str]:
    """Say how many pieces one fabric gives in all."""
    for piece in pieces_of(source.book, plan):
        yield source.hand.piece(piece)


def _title(source: Source, group: list[CuttingPlan]) -> str:
    if len(group) == 1:
        number = source.numbers.get(group[0].fabric)
        name = source.name(group[0].fabric)
        return f"Fabric {number}, {name}" if number else name
    return f"Each of {len(group)} fabrics"


def drawings(source: Source, plan: CuttingPlan, name: str) -> Iterator[Figure]:
    """Yield the drawings of a cloth; a long one is drawn in parts, one strip of each kind."""
    if not plan.cloth.form.open_ended:
        for each, which in _pieces(plan):
            yield _drawn(source, name + which, each, [])
        return
    kinds = [strips for strips, _ in same_strips(plan)]
    scale = (_WIDEST - 2 * _MARGIN) / float(plan.cloth.form.width)
    room = (_HIGHEST - 1.5 * _MARGIN) / scale
    while kinds:
        taken = [kinds.pop(0)]
        while kinds and sum(float(k[0].height) for k in (*taken, kinds[0])) <= room:
            taken.append(kinds.pop(0))
        yield _drawn(source, name, _each_once(plan, taken), taken)


def _pieces(plan: CuttingPlan) -> Iterator[tuple[CuttingPlan, str]]:
    """Yield each piece of a pre-cut form by itself, with its number; those cut alike once."""
    alike: dict[object, list[int]] = {}
    for sheet in sorted({cut.sheet for cut in plan.cuts}):
        here = [cut for cut in plan.cuts if cut.sheet == sheet]
        key = tuple((c.kind, c.x, c.y, c.width, c.height, c.use) for c in here)
        alike.setdefault(key, []).append(sheet)
    for sheets in alike.values():
        cuts = tuple(replace(c, sheet=0) for c in plan.cuts if c.sheet == sheets[0])
        one = replace(plan, cuts=cuts, cloth=replace(plan.cloth, count=1))
        numbers = english.ranges([sheet + 1 for sheet in sheets])
        which = f", {'piece' if len(sheets) == 1 else 'pieces'} {numbers}"
        yield one, which if plan.cloth.count > 1 else ""


def _drawn(source: Source, name: str, plan: CuttingPlan, kinds: list[list[Cut]]) -> Figure:
    swatch = source.swatch(plan.fabric).fabric
    colour = paper_white() if source.black else swatch.reads_as
    _, verdict, across = captions(source.plan, source.book, plan)
    metric = source.units == "metric"
    highest = _HIGHEST if kinds else _PRE_CUT
    form = plan.cloth.form
    wide, high = float(form.width), float(form.height or plan.used)
    scale = min((_WIDEST - 2 * _MARGIN) / wide, (highest - 1.5 * _MARGIN) / high)
    edge = _MARGIN / scale
    drawing = cutting_drawing(
        plan, (name, verdict, across), colour, metric=metric, larger=edge / EDGE
    )
    labels = (*drawing.labels, *_how_many(kinds, drawing.width, edge))
    readable = tuple(_of_one_size(labels, drawing, scale))
    alt = f"Cutting drawing of {name}: the cloth with every strip and piece, numbered."
    caption = f"{name}: to scale, sizes in {unit_word(source.units)}"
    if kinds:
        caption += "; on the right, how many strips like this"
    return Figure(
        cutting_svg(replace(drawing, labels=readable)),
        drawing.width * scale,
        drawing.height * scale,
        alt,
        caption,
    )


def _each_once(plan: CuttingPlan, kinds: list[list[Cut]]) -> CuttingPlan:
    """Return a plan with one strip of each of some kinds, from the top of the cloth."""
    owner = owners(plan.cuts)
    members: dict[int, list[Cut]] = {}
    for cut in plan.cuts:
        members.setdefault(owner[cut.number], []).append(cut)
    cuts: list[Cut] = []
    top = Inches(Fraction(0))
    for strip, *_ in kinds:
        for cut in members[strip.number]:
            y = Inches(top.value + cut.y.value - strip.y.value)
            cuts.append(replace(cut, y=y, sheet=0))
        top = Inches(top.value + strip.height.value)
    form = replace(plan.cloth.form, height=None, nominal_height=None)
    cloth = replace(plan.cloth, form=form)
    return replace(plan, cuts=tuple(cuts), used=top, cloth=cloth)


def _of_one_size(labels: Iterable[Label], drawing: CuttingDrawing, scale: float) -> Iterator[Label]:
    """Set all words in one size of type; yield those that find room."""
    size = _TYPE / 72 / scale
    for label in labels:
        cloth = [box for box in drawing.boxes if box.ink == "cloth" and box.holds(label)]
        # Figures of this typeface are a little wider than half their height.
        needed = 0.56 * size * len(label.text)
        room = all(needed <= box.width and 1.1 * size <= box.height for box in cloth)
        if room and (cloth or label.size * 3 >= size):
            yield replace(label, size=size)


def _how_many(kinds: list[list[Cut]], width: float, edge: float) -> Iterator[Label]:
    """Yield how often each strip is cut, in the right margin of its drawing."""
    top = edge
    for strips in kinds:
        high = float(strips[0].height)
        yield Label(width - edge / 2, top + high / 2, f"{len(strips)}×", 0.3 * edge, "quiet")
        top += high


def cut_steps(source: Source, plan: CuttingPlan, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield the steps of cutting one fabric, each with the numbers of its cuts."""
    for line in cut_lines(plan, source.hand):
        yield f"{line.words} ({_span(line.numbers)}){line.where}."
    yield from then_lines(pieces, source.hand)


def _span(numbers: Sequence[int]) -> str:
    return f"cuts {min(numbers)}–{max(numbers)}" if len(numbers) > 1 else f"cut {numbers[0]}"
