"""Sizes that suit, in words: what one piece of cloth holds, and a pattern for every bed."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.wording.english import capital, number
from api.wording.finishing import backing
from api.wording.lengths import Lengths
from api.wording.pieces import form_name, hand
from api.wording.verdict import sentence
from placement.sizes import EIGHTH, FIVE_MM, round_down
from placement.top.setting.beds import Way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.bed_sizes import BedSize
    from placement.cloth.forms import Form
    from placement.cloth.inverse import Holding, WhatIf
    from placement.inches import Units


_WAYS = {Way.FEWER: "fewer blocks", Way.MORE: "more blocks"}


def bed_name(row: BedSize) -> str:
    """Return what a row is called: the bed, and how the quilt is made large enough for it."""
    return f"{capital(row.bed.name)}, {_WAYS[row.way]}"


def sizes_text(rows: tuple[BedSize, ...]) -> str:
    """Return the table of bed sizes as text, ending in a newline."""
    lines = []
    for row in rows:
        lengths = Lengths(row.plan.brief.units)
        size, wanted = (
            lengths.by(*(lengths.finished(side) for side in sides))
            for sides in (row.size, row.wanted)
        )
        lines.append(
            f"{bed_name(row)}: {size}, at least {wanted}; {row.across} across and {row.down} down, "
            f"{number(row.blocks, 'block')}, borders {lengths.finished(float(row.border))} a side"
        )
        lines.extend(f"  {line}" for line in (*shopping(row), _asked(row)))
    return "\n".join(lines) + "\n"


def _asked(row: BedSize) -> str:
    """Return the options that make a plan of that size."""
    borders = " ".join(
        f"--border '{band.width}{f'={band.fabric}' if band.fabric else ''}'"
        for band in row.plan.brief.borders
    )
    return f"To make it: --across {row.across} --down {row.down} {borders or '--border none'}"


def shopping(row: BedSize) -> Iterator[str]:
    """Yield what is bought for one size, a line a kind of cloth."""
    book, told = row.book, hand(row.plan, row.book)
    alike = Counter(
        (form_name(cloth.cloth.form.kind), sentence(cloth, told))
        for cloth in book.cloths
        if cloth.buy is None
    )
    for (form, said), count in alike.items():
        yield f"{number(count, 'fabric')}, a {form} each: {said}"
    for cloth in book.cloths:
        if cloth.buy is not None:
            much = told.lengths.bought(cloth.buy, cloth.cloth.form.units)
            yield f"{row.plan.swatch(cloth.fabric).fabric.name}: {much}"
    yield f"Backing{backing(book.backing[0], row.plan.brief, told)}."


def what_if_text(block: str, form: Form, rows: tuple[WhatIf, ...], units: Units) -> str:
    """Return what one piece of a form of cloth holds for each size, as text.

    A star marks sizes that use the cloth to the last thread; sizes whose pieces
    fall between the ruler's marks say so.
    """
    lengths = Lengths(units)
    head = (
        f"{block} from one {form_name(form.kind)}: {lengths.sold(form)} as sold, "
        f"{lengths.usable(form)} usable"
    )
    lines = [head, "", f"{'finished':>9}  {'as sold':<54}  usable"]
    lines += [
        f"{lengths.cut(row.finished):>9}  {held(row.nominal, lengths):<54}  "
        f"{held(row.usable, lengths)}{'' if row.on_ruler else '; parts between the ruler marks'}"
        for row in rows
    ]
    return "\n".join(lines) + "\n"


def held(holding: Holding, lengths: Lengths) -> str:
    """Say what one piece of cloth holds."""
    if not holding.blocks:
        return "none"
    star = " *" if holding.whole else ""
    step = FIVE_MM if lengths.units == "metric" else EIGHTH
    spare = lengths.cut(round_down(float(holding.spare), step))
    left = f"{spare} of height" if holding.spare.value else "nothing"
    waste = f"{round(100 * holding.waste)} % waste"
    return f"{number(holding.blocks, 'block')}, {left} to spare, {waste}{star}"
