"""The same pattern for every bed: blocks, fabrics, border and yardage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from api.pattern.brief import Band, Brief
from api.pattern.checking import checked_book
from api.pattern.cut_book import CutBook
from api.pattern.faulty import FaultsError
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from api.pattern.turning import with_turns
from palette.colour import Lab
from palette.fabric import Fabric, Share
from placement.checks.beds import BedAsked, BedTold, judge_bed
from placement.inches import Inches
from placement.top.setting.beds import (
    BEDS,
    METRIC_BEDS,
    QUARTER,
    Bed,
    Fitting,
    Way,
    fit_bed,
    quilt_size,
)
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from collections.abc import Iterator


STEPS = {"inches": QUARTER, "metric": Inches.parse("5 mm")}
"""To what a border is made wider; planning defaults of ours."""

_GROUND = "any:background"
"""Id of the stand-in; no fabric's own id has a colon in it."""


@dataclass(frozen=True, slots=True)
class BedSize:
    """One row of the table."""

    bed: Bed
    """The mattress."""
    way: Way
    """Whether fewer blocks in wider borders cover it, or more blocks in the borders as they are."""
    wanted: tuple[float, float]
    """Width and height that cover it with the drop asked for, inches."""
    size: tuple[float, float]
    """Width and height of the quilt, no smaller than wanted, inches."""
    across: int
    """Blocks across."""
    down: int
    """Blocks down."""
    blocks: int
    """Blocks in all."""
    border: Inches
    """Finished width of all borders together."""
    plan: Plan
    """Its pattern in stand-in fabrics."""
    book: CutBook
    """What is cut and bought for it."""


def bed_sizes(brief: Brief, drop: float, fabrics: int) -> tuple[BedSize, ...]:
    """Return the table for every bed, smallest first: with fewer blocks, and with more.

    Every quilt covers the mattress with the drop at both sides and the foot. Beds that are
    smaller than a block in its borders are left out.

    Parameters
    ----------
    brief : Brief
        Block, setting, least borders, units and sewing terms; blocks across and down and the
        fabrics in the blocks do not matter.
    drop : float
        How far the quilt hangs down beside and at the foot of the mattress, inches.
    fabrics : int
        Fabrics that share the blocks.

    Raises
    ------
    ValueError
        If the drop is negative, or the block fits no bed.
    FaultsError
        If a judge finds fault with a size or with what is cut for it.
    """
    beds = METRIC_BEDS if brief.units == "metric" else BEDS
    rows = tuple(_rows(brief, drop, fabrics, tuple(beds.values())))
    if not rows:
        raise ValueError(
            f"a block of {brief.setting.block_size} in fits none of the beds; choose a smaller one "
            "or narrower borders"
        )
    return rows


def _rows(brief: Brief, drop: float, fabrics: int, beds: tuple[Bed, ...]) -> Iterator[BedSize]:
    least = Inches(sum((band.width.value for band in brief.borders), Fraction(0)))
    step = STEPS[brief.units]
    for bed in beds:
        wanted = quilt_size(bed, drop)
        centre = (wanted[0] - 2 * brief.beyond, wanted[1] - 2 * brief.beyond)
        try:
            fittings = fit_bed(brief.setting, centre, least, step)
        except ValueError:
            continue
        for fitting in fittings:
            row = _row(brief, bed, wanted, fitting, fabrics)
            mattress = float(bed.width), float(bed.length)
            asked = BedAsked(mattress, drop, brief.setting, least, step, brief.beyond)
            found = judge_bed(asked, BedTold(fitting.setting, fitting.border, wanted, row.size))
            if found:
                raise FaultsError(row.plan, found)
            yield row


def _row(
    brief: Brief, bed: Bed, wanted: tuple[float, float], fitting: Fitting, fabrics: int
) -> BedSize:
    setting, border = fitting.setting, fitting.border
    made = replace(brief, setting=setting, borders=_widened(brief.borders, border))
    plan = _plan(made, fabrics)
    return BedSize(
        bed, fitting.way, wanted, made.size(), setting.across, setting.down, setting.block_count,
        border, plan, checked_book(plan),
    )  # fmt: skip


def _widened(bands: tuple[Band, ...], total: Inches) -> tuple[Band, ...]:
    """Give the outermost border what is missing to a total width; inner ones stay."""
    if not bands:
        return (Band(total),) if total.value else ()
    *inner, outer = bands
    rest = total.value - sum(band.width.value for band in inner)
    return (*inner, replace(outer, width=Inches(rest)))


def _plan(brief: Brief, fabrics: int) -> Plan:
    """Make a plan of stand-in fabrics that share the blocks evenly."""
    # Pins, bans and copies speak of cells and fabrics of another quilt.
    brief = replace(brief, pins=(), bans=(), copies=())
    cells = len(brief.setting.cells())
    names = [f"any:{number + 1}" for number in range(min(fabrics, cells))]
    layout = Layout(brief.setting, tuple(names[cell % len(names)] for cell in range(cells)))
    stand_in = replace(
        brief,
        swatches=(
            *brief.swatches,
            *(_swatch(name, name.replace("any:", "fabric "), 40.0) for name in names),
        ),
        backgrounds=(*brief.backgrounds, _swatch(_GROUND, "background", 90.0)),
    )
    plan = Plan(stand_in, _GROUND, (), None, layout, None)
    return replace(plan, layout=with_turns(plan, layout))


def _swatch(label: str, name: str, lightness: float) -> Swatch:
    grey = Lab(lightness, 0.0, 0.0)
    return Swatch(Fabric(label, name, grey, (Share(grey, 1.0),)), "")
