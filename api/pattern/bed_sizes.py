"""The same pattern for every bed: blocks, fabrics, border and yardage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from api.pattern.brief import Band, Brief
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from palette.colour import Lab
from palette.fabric import Fabric, Share
from placement.inches import Inches
from placement.sizes import round_down
from placement.top.setting.beds import BEDS, METRIC_BEDS, Bed, fit_bed, quilt_size
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from collections.abc import Iterator

_GROUND = "the background"
"""Id of the stand-in; no fabric's own id has a blank in it."""


@dataclass(frozen=True, slots=True)
class BedSize:
    """One row of the table."""

    bed: Bed
    """The mattress."""
    wanted: tuple[float, float]
    """Width and height that cover it with the drop asked for, inches."""
    size: tuple[float, float]
    """Width and height of the quilt that comes nearest from below, inches."""
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
    """Return the table for every bed, smallest first; beds that are too small are left out.

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
    for bed in beds:
        wanted = quilt_size(bed, drop)
        try:
            fitting = fit_bed(brief.setting, wanted, brief.edge)
        except ValueError:
            continue
        border = round_down(min(fitting.border), Inches.parse("1/4"))
        made = replace(brief, setting=fitting.setting, borders=_widened(brief.borders, border))
        plan = _plan(made, fabrics)
        yield BedSize(
            bed,
            wanted,
            made.size(),
            fitting.setting.across,
            fitting.setting.down,
            fitting.setting.block_count,
            Inches(sum((band.width.value for band in made.borders), Fraction(0))),
            plan,
            cut_book(plan),
        )


def _widened(bands: tuple[Band, ...], total: Inches) -> tuple[Band, ...]:
    """Give the outermost border what is missing to a total width; inner ones stay."""
    if not bands:
        return (Band(total),) if total.value else ()
    *inner, outer = bands
    rest = total.value - sum(band.width.value for band in inner)
    # Rounded down, the total may lie a little below the least; then nothing is added.
    return (*inner, replace(outer, width=max(outer.width, Inches(max(rest, Fraction(0))))))


def _plan(brief: Brief, fabrics: int) -> Plan:
    """Make a plan of stand-in fabrics that share the blocks evenly."""
    cells = len(brief.setting.cells())
    names = [f"fabric {number + 1}" for number in range(min(fabrics, cells))]
    layout = Layout(brief.setting, tuple(names[cell % len(names)] for cell in range(cells)))
    stand_in = replace(
        brief,
        swatches=(*brief.swatches, *(_swatch(name, name, 40.0) for name in names)),
        backgrounds=(*brief.backgrounds, _swatch(_GROUND, "background", 90.0)),
    )
    return Plan(stand_in, _GROUND, (), None, layout, None)


def _swatch(label: str, name: str, lightness: float) -> Swatch:
    grey = Lab(lightness, 0.0, 0.0)
    return Swatch(Fabric(label, name, grey, (Share(grey, 1.0),)), "")
