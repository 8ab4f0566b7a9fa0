"""What you need, by what it is for, and the key of the fabrics."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.booklet.figures import photos
from api.booklet.parts import Chapter, Gallery, Heading, Part, Table, Words
from api.pattern.bed_sizes import bed_sizes
from api.pattern.threads import threads
from api.wording import english
from api.wording.finishing import backing_amount as told_amount
from api.wording.pieces import cloth_count
from api.wording.shopping import purpose as told_purpose
from api.wording.shopping import shopping_rows
from api.wording.sizes import bed_name
from api.wording.threads import judged
from placement.cloth.yardage import shop_step, to_buy
from placement.top.setting.finishing import WIDE_BACKING, Backing, backing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source
    from api.pattern.bed_sizes import BedSize
    from placement.cloth.cutting import CuttingPlan
    from placement.inches import Inches

_SWATCH = 0.7
"""Side of a swatch in the key, inches of paper."""


def amount(source: Source, cloth: CuttingPlan) -> str:
    """Say how much of a fabric is needed and in what form."""
    form = cloth.cloth.form
    if cloth.buy is not None:
        return source.lengths.bought(cloth.buy, form.units)
    if form.open_ended:
        # Cloth that the designer has at hand: a maker buys it.
        buy = to_buy(cloth.used, shop_step(form), source.plan.brief.sewing.shrunk)
        return source.lengths.bought(buy, form.units)
    return f"{cloth_count(cloth.cloth)}, {source.lengths.sold(form)}"


def purpose(source: Source, fabric: str, cloth: CuttingPlan | None = None) -> str:
    """Say what a fabric is for, or one of its cloths."""
    return told_purpose(source.plan, source.book, fabric, cloth)


def needs(source: Source) -> Chapter:
    """Return the chapter with the amounts of everything."""
    widths = {
        source.lengths.sold(cloth.cloth.form)
        for cloth in source.book.cloths
        if cloth.buy is not None
    }
    opening = (
        f"Amounts of yardage allow for cloth {english.listed(sorted(widths))}, "
        f"for squaring up{_washed(source)}."
    )
    parts: list[Part] = [
        Table(("Cloth", "Amount", "For"), (*_rows(source), *_back(source)), (0, 1, 2), across=True),
        *([Words((opening,))] if widths else []),
    ]
    parts += _thread(source)
    parts += _key(source)
    parts += _missing(source)
    if source.edition.drop is not None:
        parts += _beds(source, source.edition.drop)
    return Chapter("What you need", tuple(parts))


def _in_order(source: Source) -> list[CuttingPlan]:
    """Return the cloths by their numbers; those that lie in no block follow."""
    after = len(source.numbers) + 1
    used = [cloth for cloth in source.book.cloths if cloth.cuts]
    return sorted(used, key=lambda cloth: source.numbers.get(cloth.fabric, after))


def _washed(source: Source) -> str:
    lost = source.plan.brief.sewing.shrinkage
    return f" and for shrinking by {lost:g} % in the wash before it is cut" if lost else ""


def _rows(source: Source) -> Iterator[tuple[str, ...]]:
    """Yield what is needed; fabrics of the blocks of which the same is needed share a row."""
    alike: dict[tuple[str, str], list[CuttingPlan]] = {}
    for cloth in _in_order(source):
        key = amount(source, cloth), purpose(source, cloth.fabric, cloth)
        alike.setdefault(key, []).append(cloth)
    for (much, why), cloths in alike.items():
        numbers = sorted(source.numbers[c.fabric] for c in cloths if c.fabric in source.numbers)
        if len(cloths) == len(numbers) > 1:
            yield f"Fabrics {english.ranges(numbers)}", f"{much}, of each", f"{why} of each"
        else:
            for cloth in cloths:
                yield _called(source, cloth.fabric), much, why


def _called(source: Source, fabric: str) -> str:
    """Return a fabric's name, after its number if it has one."""
    number = source.numbers.get(fabric)
    return f"Fabric {number}, {source.name(fabric)}" if number else source.name(fabric)


def backing_amount(source: Source) -> str:
    """Say how much backing to buy."""
    return told_amount(source.book.backing[0], source.plan.brief, source.hand)


def _back(source: Source) -> Iterator[tuple[str, ...]]:
    way = source.book.backing[0]
    lengths = f"{english.number(way.panels, 'length')} of {source.finished(way.panel_length)}"
    fabric = source.book.backing_fabric
    name = f"Backing, {source.name(fabric)}" if fabric else "Backing"
    yield name, backing_amount(source), lengths
    whole = _in_one_piece(source)
    if whole is not None:
        sold = source.finished(float(WIDE_BACKING[source.units][0]))
        much = told_amount(whole, source.plan.brief, source.hand)
        yield "or backing without a seam", much, f"1 length of cloth {sold} wide"
    wide, high = (source.finished(side) for side in source.book.batting)
    yield "Batting", "1 piece", f"{wide} × {high}"


def _in_one_piece(source: Source) -> Backing | None:
    """Return how the backing is cut from wide cloth, if that saves its seams."""
    if source.book.backing[0].panels == 1:
        return None
    brief = source.plan.brief
    _, usable = WIDE_BACKING[source.units]
    ways = backing(*brief.size(), usable, float(brief.sewing.margin))
    whole = [way for way in ways if way.panels == 1]
    return min(whole, key=lambda way: way.cloth, default=None)


def _missing(source: Source) -> Iterator[Part]:
    """Yield what the designer still has to buy, where she says what she has."""
    if source.missing is None:
        return
    rows = shopping_rows(source.plan_told, source.missing, source.hand)
    yield Heading("Still to buy")
    told = "Beside what the designer has; the amounts above are what the quilt takes in all."
    yield Words((told,))
    columns = ("Fabric", "Needed", "At hand", "To buy")
    cells = tuple((english.clean(r.what), r.needed, r.owned, r.buy) for r in rows if r.buy)
    yield Table(columns, cells, (0, 1, 2, 3))


def _thread(source: Source) -> Iterator[Part]:
    chosen = threads(source.plan).of(source.plan.brief.thread)
    if chosen is not None:
        name = english.clean(chosen.thread.name)
        yield Heading("Thread")
        yield Words((f"To quilt with: {name}. {judged(chosen)}",))


def _beds(source: Source, drop: Inches) -> Iterator[Part]:
    brief = source.plan.brief
    fabrics = len(source.numbers)
    yield Heading("For other beds")
    told = (
        f"Covers the mattress with a drop of {source.finished(float(drop))} at both sides and the "
        "foot: with fewer blocks in wider borders, or with more blocks."
    )
    yield Words((told,))
    rows = []
    for row in bed_sizes(brief, float(drop), fabrics):
        width, height = (source.finished(side) for side in row.size)
        ground = next(c for c in row.book.cloths if c.fabric == row.plan.background)
        most = max(_in_blocks(row), key=lambda cloth: (cloth.cloth.count, cloth.used.value))
        each = amount(source, most) if most.cloth.form.open_ended else cloth_count(most.cloth)
        rows.append(
            (
                bed_name(row),
                f"{width} × {height}",
                f"{row.blocks} blocks, {row.across}\u00a0×\u00a0{row.down}",
                source.finished(float(row.border)),
                each,
                amount(source, ground),
                told_amount(row.book.backing[0], row.plan.brief, source.hand),
            )
        )
    columns = ("Bed", "Quilt", "Blocks", "Border", "Each fabric", "Background", "Backing")
    yield Table(columns, tuple(rows), (0, 2), across=True)


def _in_blocks(row: BedSize) -> Iterator[CuttingPlan]:
    """Yield the cloths of the fabrics that share the blocks of a bed's quilt, as many as do."""
    laid = row.plan.layout.counts() if row.plan.layout else {}
    for told in row.book.cloths:
        if told.fabric in laid and told.cuts:
            pieces = replace(told.cloth, count=told.enough or told.cloth.count)
            yield replace(told, cloth=pieces)


def _key(source: Source) -> Iterator[Part]:
    """Yield the key: every fabric with its number and how many blocks it makes."""
    counts = source.layout.counts()
    swatches = [
        replace(
            photos.swatch(source, fabric, _SWATCH),
            caption=f"{number}  {source.name(fabric)}, {english.number(counts[fabric], 'block')}",
        )
        for fabric, number in source.numbers.items()
    ]
    ground = source.plan.background
    captions = {
        cloth.fabric: f"{source.name(cloth.fabric)}, {purpose(source, cloth.fabric).lower()}"
        for cloth in source.book.cloths
        if cloth.fabric not in source.numbers
    }
    captions[ground] = f"B  {source.name(ground)}, background"
    swatches += [
        replace(photos.swatch(source, fabric, _SWATCH), caption=caption)
        for fabric, caption in captions.items()
    ]
    yield Heading("Fabric key")
    yield Words(("The numbers stand on the blocks in the drawing of the layout.",))
    yield Gallery(tuple(swatches))
