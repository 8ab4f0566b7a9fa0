"""The cut book in words: a text to print and take to the cutting table."""

from __future__ import annotations

import re
from collections import Counter
from itertools import groupby
from typing import TYPE_CHECKING

from api.pattern.cut_book import CutBook, border_names
from api.wording.english import length, measure, number
from api.wording.faults import verdict
from placement.cloth.yardage import EIGHTH_YARD, TEN_CENTIMETRES, to_buy, yards
from placement.inches import Inches
from placement.sizes import round_down, round_up

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.bed_sizes import BedSize
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from placement.cloth.cutting import Cut, CuttingPlan
    from placement.cloth.forms import Form
    from placement.cloth.inverse import Holding, WhatIf
    from placement.cloth.pieces import StripSet
    from placement.top.setting.finishing import Backing, Binding, OwnSquare, SettingSquares

CAUTIONS = (
    (
        "Close the rotary cutter after every cut, cut away from your body, keep fingers off the "
        "ruler's edge, wear shoes, and change a dull blade."
    ),
    "Stand the iron upright, keep hands clear of steam, and unplug it when done.",
    "Keep fingers clear of the needle and never sew over pins.",
    "Test reds and darks for bleeding; wash all of the fabrics or none. Small pre-cuts may fray.",
    (
        "Young people cut and press with an adult beside them. Follow your tools' instructions and "
        "the rules that hold where you are."
    ),
)
"""Common practice; a crib quilt adds its own (see cautions)."""

CRIB_SIDE = 54.0
"""A quilt no longer than this may end in a crib, inches."""

CRIB = (
    "A quilt of this size may end in a crib: no soft bedding belongs in a crib with an infant "
    "under 12 months (CPSC, 8 April 1999)."
)


def cautions(plan: Plan) -> tuple[str, ...]:
    """Return the cautions that belong beside the cutting of this plan."""
    return (*CAUTIONS, CRIB) if max(plan.brief.size()) <= CRIB_SIDE else CAUTIONS


def _headed(heading: str, lines: Iterator[str]) -> Iterator[str]:
    """Put a heading over lines, if there are any."""
    for count, line in enumerate(lines):
        if not count:
            yield heading
        yield f"- {line}"


def cutting_text(plan: Plan, book: CutBook) -> str:
    """Return the whole cut book as text, ending in a newline."""
    parts = [
        [plan.brief.title, "=" * len(plan.brief.title), *book.problems, *book.notes],
        [verdict(book)],
        ["Before you cut", *(f"- {line}" for line in cautions(plan))],
        *_cloths(plan, book.cloths),
        list(_headed("Strip sets", strip_sets(plan, book.strip_sets))),
        list(_headed("Sashing", sashing(plan, book))),
        list(_headed("Setting triangles", setting(plan, book))),
        list(_headed("Around the blocks", finishing(plan, book))),
        ["Pressing", book.pressing.sentence],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _name(plan: Plan, fabric: str) -> str:
    return plan.swatch(fabric).fabric.name


def _cloths(plan: Plan, cloths: tuple[CuttingPlan, ...]) -> Iterator[list[str]]:
    """Yield a part for each fabric; fabrics that are cut alike share one."""
    alike: dict[tuple[str, ...], list[CuttingPlan]] = {}
    for cloth in cloths:
        alike.setdefault(tuple(cut_lines(cloth, plan.brief.units)), []).append(cloth)
    for cuts, group in alike.items():
        names = [_name(plan, cloth.fabric) for cloth in group]
        form = group[0].cloth.form.name.removeprefix("metric ")
        if len(names) == 1:
            heading = f"{names[0]}, {form}"
        else:
            heading = f"Each of {len(names)} fabrics, {form}: {', '.join(names)}"
        yield [heading, group[0].sentence, *(f"- {cut}" for cut in cuts)]


def cut_lines(cloth: CuttingPlan, units: str) -> Iterator[str]:
    """Yield the cuts of one fabric, a line for strips that are cut alike."""
    for _, line in cut_steps(cloth, units):
        yield line


def cut_steps(cloth: CuttingPlan, units: str) -> Iterator[tuple[str, str]]:
    """Yield the same lines, each with the numbers its pieces have in the drawing."""
    by_number = {entry.number: entry for entry in cloth.cuts}
    inside: dict[int, list[Cut]] = {}
    for entry in cloth.cuts:
        if entry.kind == "piece":
            strip = by_number[entry.inside]
            while strip.kind != "strip":
                strip = by_number[strip.inside]
            inside.setdefault(strip.number, []).append(entry)

    def alike(strip: Cut) -> tuple[Inches, str]:
        return strip.height, _contents(inside.get(strip.number, []), units)

    strips = (entry for entry in cloth.cuts if entry.kind == "strip")
    for (height, contents), group in groupby(strips, alike):
        same = list(group)
        numbers = [cut.number for strip in same for cut in inside.get(strip.number, [])]
        each = "from it" if len(same) == 1 else "from each"
        yield (
            _span(numbers),
            f"Cut {number(len(same), 'strip')} {measure(height, units)} high; {each} {contents}.",
        )


def _span(numbers: list[int]) -> str:
    """Write the numbers of cuts that follow each other: '5 to 8'."""
    if len(numbers) < 2:
        return "".join(str(each) for each in numbers)
    return f"{min(numbers)} to {max(numbers)}"


def _contents(cuts: list[Cut], units: str) -> str:
    tally = Counter((entry.piece, entry.width, entry.height) for entry in cuts)
    return ", ".join(counted(*piece, count, units) for piece, count in tally.items())


_HEADS = re.compile("square|rectangle|block|strip|cornerstone")


def counted(name: str, width: Inches, height: Inches, count: int, units: str) -> str:
    """Say how many pieces of what size.

    >>> counted('square for side triangles', Inches.parse(9), Inches.parse(9), 2, 'inches')
    '2 squares of 9 in for side triangles'
    """
    head, _, purpose = name.partition(" for ")
    if count > 1:
        head = _HEADS.sub(lambda found: found[0] + "s", head, count=1)
    size = measure(width, units)
    if width != height:
        size += f" x {measure(height, units)}"
    return f"{count} {head} of {size}" + (f" for {purpose}" if purpose else "")


def strip_sets(plan: Plan, sets: tuple[StripSet, ...]) -> Iterator[str]:
    """Yield a line for each kind of strip set; fabrics whose sets are alike share one."""
    alike: dict[tuple[str, str], list[str]] = {}
    for entry in sets:
        features = sorted({fabric for fabric, _ in entry.strips} - {plan.background})
        stand_in = dict.fromkeys(features, "fabric") if len(features) == 1 else {}
        key = _sewn(plan, entry, stand_in), _sewn(plan, entry, {})
        alike.setdefault((key[0], "") if stand_in else key, []).append(key[1])
    for (general, _), each in alike.items():
        several = len(each) > 1
        yield f"For each of {len(each)} fabrics: {general}" if several else each[0]


def _sewn(plan: Plan, entry: StripSet, stand_in: dict[str, str]) -> str:
    units = plan.brief.units
    strips = " + ".join(
        f"{stand_in.get(fabric) or _name(plan, fabric)} {measure(width, units)}"
        for fabric, width in entry.strips
    )
    slices = number(entry.slices, "slice")
    return (
        f"sew {number(len(entry.sets), 'set')} of {strips}; cut {slices} of "
        f"{measure(entry.sub_cut, units)}."
    )


def sashing(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of strip and cornerstone, and how they are pressed."""
    found, units = book.sashing, plan.brief.units
    if found is None:
        return
    wide = found.cut[1]
    yield f"{counted('sashing strip', *found.cut, found.strips, units)}, one block long."
    if found.long:
        lengths = ", ".join(f"{count} of {measure(long, units)}" for long, count in found.long)
        pointed = plan.brief.setting.kind == "on point"
        trimmed = ", and trim them with the quilt's edges" * pointed
        yield (
            f"Long sashing strips between the rows: {lengths}; join strips where the cloth is "
            f"not as wide{trimmed}."
        )
    if found.cornerstones:
        yield f"{counted('cornerstone', wide, wide, found.cornerstones, units)}."
    if found.half_cornerstones:
        square = found.half_square
        name = "square for half cornerstones"
        yield (
            f"{number(found.half_cornerstones, 'half cornerstone')} at the quilt's edge: cut "
            f"{counted(name, square, square, found.half_squares, units)}, each twice on the "
            "diagonals, which puts the straight grain on the quilt's edge."
        )
    if found.cornerstones or found.half_cornerstones:
        yield "Press toward the strips, in the rows of blocks and between them; all seams nest."
    else:
        yield "Press toward the strips."


def setting(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of setting square, and for each one of her own size."""
    for squares in book.setting:
        yield setting_sentence(squares, plan.brief.units)
    for own in book.own:
        yield own_sentence(own, plan.brief.units)


def setting_sentence(squares: SettingSquares, units: str) -> str:
    """Say what to cut for side or corner triangles, beside the exact value and the rule."""
    cut = measure(squares.cut, units)
    how = "twice" if squares.kind == "side" else "once"
    exact = f"{squares.exact * 25.4:.1f} mm" if units == "metric" else f"{squares.exact:.4f} in"
    grain = "the quilt's edge" if squares.kind == "side" else "the corner's two edges"
    line = (
        f"{number(squares.triangles, f'{squares.kind} triangle')}: cut "
        f"{number(squares.squares, 'square')} of {cut}, each {how} on the diagonal, which puts the "
        f"straight grain on {grain} (exact: {exact}"
    )
    rule = "" if units == "metric" else f"; rule of thumb: {squares.rule:.3f} in"
    return f"{line}{rule})."


def own_sentence(own: OwnSquare, units: str) -> str:
    """Say what a square of one's own size does to the points of the blocks."""
    cut = measure(own.cut, units)
    much = f"{abs(own.loss) * 25.4:.1f} mm" if units == "metric" else f"{abs(own.loss):.3f} in"
    suits = measure(own.largest_unfinished, units)
    if own.loss > 0:
        return (
            f"{own.kind.capitalize()} triangles from {cut} squares blunt the block points by "
            f"{much}; they suit blocks up to {suits} unfinished. Measure a sewn block first."
        )
    return f"{own.kind.capitalize()} triangles from {cut} squares clear the block points by {much}."


def finishing(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each thing that goes around the blocks: what it is, a colon, how much."""
    units = plan.brief.units
    for name, frame in zip(border_names(len(book.borders)), book.borders, strict=True):
        sides, ends = (measure(side, units) for side in (frame.sides, frame.ends))
        first = " first, then " if frame.corner == "butted" else ", "
        yield (
            f"{name.capitalize()} of {_name(plan, frame.fabric)}, {frame.corner}: cut "
            f"{measure(frame.cut, units)} wide; two sides of {sides}{first}top and bottom "
            f"of {ends}. Measure your top through the middle before cutting to length."
        )
    yield f"Binding of {_name(plan, book.binding_fabric)}{_binding(book.binding, units)}."
    back = f"Backing of {_name(plan, book.backing_fabric)}" if book.backing_fabric else "Backing"
    yield _backing(book.backing[0], plan.brief, back)
    for way in book.backing[1:]:
        yield _other_backing(way, book.backing[0], plan.brief, back)
    wide, high = (measure(side, units) for side in book.batting)
    yield f"Batting: {wide} x {high}."


def bought(length: Inches, units: str) -> str:
    """Say a length to buy as shops do."""
    return yards(length, metric=units == "metric")


def _bought(exact: float, brief: Brief) -> Inches:
    """Return what to buy for a length of cloth in inches."""
    step = TEN_CENTIMETRES if brief.units == "metric" else EIGHTH_YARD
    return to_buy(round_up(exact), step, brief.sewing.shrunk)


def _binding(bound: Binding, units: str) -> str:
    """Say what a binding is cut from, after its name."""
    wide, long = measure(bound.cut, units), measure(bound.length, units)
    if bound.square is None:
        return f": {number(bound.strips, 'strip')} of {wide} for {long}"
    squares = counted("square", bound.square, bound.square, bound.strips, units)
    return f", on the bias: {squares}, made into one strip {wide} wide for {long}"


def _other_backing(way: Backing, first: Backing, brief: Brief, name: str) -> str:
    """Say the other way to piece a backing, and how much more or less cloth it takes."""
    line = _backing(way, brief, f"{name}, or").replace(", or, ", ", or ", 1)
    more = _bought(way.cloth, brief).value - _bought(first.cloth, brief).value
    if not more:
        return f"{line[:-1]}, as much."
    much = bought(Inches(abs(more)), brief.units)
    return f"{line[:-1]}, {much} {'more' if more > 0 else 'less'}."


def _seams(way: Backing) -> str:
    """Say how the seams of a backing lie: 'in one piece', 'seam upright', 'seams level'."""
    if way.seams == "none":
        return "in one piece"
    return f"{'seam' if way.panels == 2 else 'seams'} {way.seams}"


def _backing(way: Backing, brief: Brief, name: str = "Backing") -> str:
    units = brief.units
    line = (
        f"{name}, {_seams(way)}: {number(way.panels, 'length')} of "
        f"{measure(way.panel_length, units)}; buy {bought(_bought(way.cloth, brief), units)}"
    )
    if way.saving_margin is not None:
        line += f"; a margin of {measure(way.saving_margin, units)} a side would save a length"
    return line + "."


def sizes_text(rows: tuple[BedSize, ...]) -> str:
    """Return the table of bed sizes as text, ending in a newline."""
    lines = []
    for row in rows:
        units = row.plan.brief.units
        wide, high = (length(side, units) for side in row.size)
        lines.append(
            f"{row.bed.name}: {wide} x {high}; {row.across} across and {row.down} down, "
            f"{number(row.blocks, 'block')}, borders {length(float(row.border), units)} a side"
        )
        lines.extend(f"  {line}" for line in shopping(row))
    return "\n".join(lines) + "\n"


def shopping(row: BedSize) -> Iterator[str]:
    """Yield what is bought for one size, a line a kind of cloth."""
    book, brief = row.book, row.plan.brief
    alike = Counter(
        (cloth.cloth.form.name, cloth.sentence) for cloth in book.cloths if cloth.buy is None
    )
    for (form, sentence), count in alike.items():
        name = form.removeprefix("metric ")
        yield f"{number(count, 'fabric')}, a {name} each: {sentence}"
    for cloth in book.cloths:
        if cloth.buy is not None:
            yield f"{_name(row.plan, cloth.fabric)}: {bought(cloth.buy, brief.units)}"
    yield _backing(book.backing[0], brief)


def what_if_text(block: str, form: Form, rows: tuple[WhatIf, ...]) -> str:
    """Return what one piece of a form of cloth holds for each size, as text.

    A star marks sizes that use the cloth to the last thread; sizes whose pieces
    fall between the ruler's marks are named below the table.
    """
    head = f"{block} from one {form.name}: {form.nominal()} as sold, {form.size()} squared up"
    lines = [head, "", f"{'finished':>9}  {'as sold':<40}  squared up"]
    lines.extend(
        f"{row.finished!s:>9}  {held(row.nominal):<40}  {held(row.usable)}"
        f"{'' if row.on_ruler else '  (off the ruler)'}"
        for row in rows
    )
    return "\n".join(lines) + "\n"


def held(holding: Holding) -> str:
    """Say what one piece of cloth holds."""
    if not holding.blocks:
        return "none"
    star = " *" if holding.whole else ""
    spare = round_down(float(holding.spare))
    return f"{number(holding.blocks, 'block')}, {spare} in spare, {holding.waste:.0%} waste{star}"
