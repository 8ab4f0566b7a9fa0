"""Sizes that suit, as they go over the wire: what a form of cloth holds, a quilt for every bed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.web.wire.responses import FormOut, Size
from api.web.wire.size_answers import BandOut, BedRow, BedSizesOut, HoldingOut, WhatIfOut, WhatIfRow
from api.wording.english import length
from api.wording.lengths import Lengths
from placement.cloth.forms import FormKind, form_of
from placement.inches import Inches

if TYPE_CHECKING:
    from api.pattern.bed_sizes import BedSize
    from api.pattern.brief import Brief
    from placement.cloth.inverse import Holding, WhatIf

SIDES = (1.0, 24.0)
"""Finished blocks that are tried on a pre-cut, inches; none holds a larger one."""
DROPS = (0.0, 40.0)
"""How far a quilt may hang down, inches; no bed is higher."""


def suiting(brief: Brief, kind: FormKind, least: str | None, most: str | None) -> WhatIfOut:
    """Tell which finished sizes of a brief's block use a form of cloth well.

    Raises
    ------
    ValueError
        If a length is none, or a size no form of cloth holds.
    """
    from placement.cloth.inverse import tried, what_if

    form = form_of(kind, brief.units)
    pattern = brief.pattern()
    first, last = (
        usual if asked is None else _within(asked, "block", SIDES)
        for asked, usual in zip((least, most), tried(brief.units), strict=True)
    )
    rows = what_if(pattern, form, first, last, brief.sewing.terms(brief.units))
    lengths = Lengths(brief.units)
    told = [_row(row, lengths) for row in rows]
    return WhatIfOut(block=pattern.name, form=FormOut.of(form), rows=told)


def for_beds(brief: Brief, drop: str, fabrics: int) -> BedSizesOut:
    """Tell the same pattern for every bed.

    Raises
    ------
    ValueError
        If the drop is no length, or no bed is so high.
    """
    from api.pattern.bed_sizes import bed_sizes

    hangs = _within(drop, "drop", DROPS)
    rows = bed_sizes(brief, float(hangs), fabrics)
    told = length(float(hangs), brief.units)
    return BedSizesOut(drop=told, fabrics=fabrics, rows=[*map(_bed, rows)])


def _within(text: str, what: str, bounds: tuple[float, float]) -> Inches:
    """Read a length that must lie within bounds, in inches."""
    found = Inches.parse(text)
    least, most = bounds
    if not least <= float(found) <= most:
        raise ValueError(f"a {what} of {text.strip()} is not from {least:g} to {most:g} in")
    return found


def _row(row: WhatIf, lengths: Lengths) -> WhatIfRow:
    return WhatIfRow(
        finished=str(row.finished),
        nominal=_holding(row.nominal, lengths),
        usable=_holding(row.usable, lengths),
        on_ruler=row.on_ruler,
    )


def _holding(holding: Holding, lengths: Lengths) -> HoldingOut:
    from api.wording.sizes import held

    return HoldingOut(
        blocks=holding.blocks,
        spare=str(holding.spare),
        waste=holding.waste,
        whole=holding.whole,
        words=held(holding, lengths),
    )


def _bed(row: BedSize) -> BedRow:
    from api.wording.sizes import bed_name, shopping

    units = row.plan.brief.units
    return BedRow(
        bed=row.bed.name,
        way=row.way,
        words=bed_name(row),
        size=Size.of(row.size, units),
        wanted=Size.of(row.wanted, units).words,
        across=row.across,
        down=row.down,
        blocks=row.blocks,
        border=length(float(row.border), units),
        borders=[
            BandOut(width=str(band.width), fabric=band.fabric) for band in row.plan.brief.borders
        ],
        buy=[*shopping(row)],
    )
