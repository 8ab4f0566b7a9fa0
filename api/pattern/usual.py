"""What a plan begins with where nothing is decided yet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from api.pattern.brief import DEFAULT_SETTING, Band, Brief
from api.pattern.sewing import Sewing
from placement.cloth.pieces import ruler_sizes
from placement.inches import Inches

if TYPE_CHECKING:
    from placement.inches import Units

_USUAL: dict[Units, tuple[str, str]] = {"inches": ("8 1/2", "4"), "metric": ("220 mm", "100 mm")}
"""What blocks and borders finish at unless it is decided."""


def usual_brief(units: Units = "inches") -> Brief:
    """Return the brief that work in those units begins with."""
    block, border = map(Inches.parse, _USUAL[units])
    return Brief(
        setting=replace(DEFAULT_SETTING, block_size=block),
        borders=(Band(border),),
        sewing=Sewing().in_units(units),
        units=units,
    )


def with_easy_size(brief: Brief) -> Brief:
    """Return a brief whose block, of a size nobody asked for, is cut along the ruler's marks."""
    setting = brief.setting
    near = ruler_sizes(brief.pattern(), setting.block_size, metric=brief.units == "metric")
    size = min(near, key=lambda each: abs(each.value - setting.block_size.value))
    return replace(brief, setting=replace(setting, block_size=size))
