"""Beds, and the quilt that covers one: sizes, drop, blocks across and down.

Mattress sizes are nominal trade sizes; the crib's is that of the federal
safety standard for full-size cribs (16 CFR 1508.3, interior 28 x 52 3/8 in).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from itertools import product
from math import ceil, floor, sqrt

from placement.inches import Inches
from placement.sizes import NOISE, round_up
from placement.top.setting.setting import NONE, Setting

QUARTER = Inches(Fraction(1, 4))
"""Step of a border made wider; a planning default of ours."""


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


class Way(StrEnum):
    """From which side a count of blocks comes near a wanted size."""

    FEWER = "fewer"
    """No more blocks than fit inside it; the borders grow until they cover it."""
    MORE = "more"
    """So many blocks that it is covered with the borders as they are."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """Blocks and border that cover a wanted size."""

    way: Way
    """Whether blocks or borders make it large enough."""
    setting: Setting
    """Blocks across and down."""
    border: Inches
    """Finished width of all borders together, the same on every side."""


def fit_bed(
    like: Setting, size: tuple[float, float], least: Inches = NONE, step: Inches = QUARTER
) -> tuple[Fitting, ...]:
    """Return the quilts nearest to a size that cover it: with fewer blocks, and with more.

    Blocks, sashing and plain alternate blocks are those of ``like``. With fewer blocks (in one
    direction at least) borders grow by ``step``; of those, the one that covers least beyond the
    size. There is one answer only where blocks and borders as they are cover it to a thread.

    Parameters
    ----------
    like : Setting
        Blocks and sashing; its counts do not matter.
    size : (float, float)
        Width and height to cover, inches.
    least : Inches
        Finished width that all borders together have at least.
    step : Inches
        To what a wider border is rounded up.

    Raises
    ------
    ValueError
        If not even one block fits inside.
    """
    inside, beyond = (tuple(_count(like, side - 2 * float(least), up) for side in size)
                      for up in (False, True))  # fmt: skip
    if min(inside) < 1:
        raise ValueError(
            f"a block of {like.block_size} in with a border of {least} in does not fit a quilt "
            f"of {size[0]:g} x {size[1]:g} in; choose a smaller block"
        )
    fewer = [
        _covering(like, blocks, size, least, step)
        for blocks in product(*zip(inside, beyond, strict=True))
        if blocks != beyond
    ]
    more = Fitting(Way.MORE, replace(like, across=beyond[0], down=beyond[1]), least)
    return (*(min(fewer, key=_area) for _ in fewer[:1]), more)


def _count(like: Setting, room: float, up: bool) -> int:
    """Return how many blocks in a row fit a length, or are needed to fill it."""
    one = replace(like, across=1, down=1)
    unit = float(one.pitch) * (sqrt(2) if one.kind == "on point" else 1)
    # The frame's last strip in a straight setting; on point a row is all pitches.
    rows = (room - (one.width - unit)) / unit
    return ceil(rows - NOISE) if up else floor(rows + NOISE)


def _covering(
    like: Setting, blocks: tuple[int, ...], size: tuple[float, float], least: Inches, step: Inches
) -> Fitting:
    setting = replace(like, across=blocks[0], down=blocks[1])
    missing = max(size[0] - setting.width, size[1] - setting.height) / 2
    enough = missing <= float(least) + NOISE
    return Fitting(Way.FEWER, setting, least if enough else round_up(missing, step))


def _area(fitting: Fitting) -> float:
    edge = 2 * float(fitting.border)
    return (fitting.setting.width + edge) * (fitting.setting.height + edge)
