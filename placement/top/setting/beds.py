"""Beds, and the quilt that covers one: sizes, drop, blocks across and down.

Mattress sizes are nominal trade sizes; the crib's is that of the federal
safety standard for full-size cribs (16 CFR 1508.3, interior 28 x 52 3/8 in).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

from placement.inches import Inches
from placement.top.setting.setting import Setting


@dataclass(frozen=True, slots=True)
class Bed:
    """A mattress."""

    name: str
    """What the trade calls it."""
    width: Inches
    """Its width."""
    length: Inches
    """Its length."""


def _beds(rows: dict[str, tuple[str, str]]) -> dict[str, Bed]:
    return {
        name: Bed(name, Inches.parse(width), Inches.parse(length))
        for name, (width, length) in rows.items()
    }


BEDS = _beds(
    {
        "crib": ("28", "52"),
        "twin": ("39", "75"),
        "long twin": ("39", "80"),
        "full": ("54", "75"),
        "queen": ("60", "80"),
        "king": ("76", "80"),
        "California king": ("72", "84"),
    }
)
"""North American mattresses in inches."""

METRIC_BEDS = _beds(
    {
        "UK single": ("90 cm", "190 cm"),
        "UK double": ("135 cm", "190 cm"),
        "UK king": ("150 cm", "200 cm"),
        "UK super king": ("180 cm", "200 cm"),
        "EU 90": ("90 cm", "200 cm"),
        "EU 140": ("140 cm", "200 cm"),
        "EU 160": ("160 cm", "200 cm"),
        "EU 180": ("180 cm", "200 cm"),
    }
)
"""Mattresses in centimetres."""


def quilt_size(bed: Bed, drop: float, tuck: float = 0.0) -> tuple[float, float]:
    """Return the quilt that covers a bed, in inches: (w + 2 drop) x (l + drop + tuck).

    Raises
    ------
    ValueError
        If drop or tuck is below zero.
    """
    for name, value in (("drop", drop), ("tuck", tuck)):
        if value < 0:
            raise ValueError(f"a {name} can't be negative: {value:g} in")
    return float(bed.width) + 2 * drop, float(bed.length) + drop + tuck


@dataclass(frozen=True, slots=True)
class Fitting:
    """Blocks and border that come nearest to a wanted size from below."""

    setting: Setting
    """Blocks across and down."""
    border: tuple[float, float]
    """Border still missing a side: left and right, top and bottom; finished inches."""


def fit_bed(like: Setting, size: tuple[float, float], least: float = 0.0) -> Fitting:
    """Return the most blocks that leave room for a border of at least ``least`` a side.

    Blocks, sashing and plain alternate blocks are those of ``like``.

    Raises
    ------
    ValueError
        If not even one block fits.
    """
    one = replace(like, across=1, down=1)
    unit = float(one.pitch) * (sqrt(2) if one.kind == "on point" else 1)
    # The frame's last strip in a straight setting; on point a row is all pitches.
    last = one.width - unit
    across, down = (int((side - 2 * least - last) / unit + 1e-9) for side in size)
    if across < 1 or down < 1:
        raise ValueError(
            f"a block of {like.block_size} in with a border of {least:g} in does not fit a quilt "
            f"of {size[0]:g} x {size[1]:g} in; choose a smaller block"
        )
    setting = replace(one, across=across, down=down)
    return Fitting(setting, ((size[0] - setting.width) / 2, (size[1] - setting.height) / 2))
