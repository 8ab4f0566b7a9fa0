"""What the patches of a plan's block show of each print, and how many sink."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

from palette.picking.choice import FAILED
from palette.picking.patches import patches, sinking_patches

if TYPE_CHECKING:
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.pattern.swatch import Swatch
    from palette.picking.choice import Contrast
    from placement.block import Block

DIFFERENT = 5.0
"""Difference (CIEDE2000) from which on two patches of one fabric do not look alike: that of
near-twins (`palette.picking.choice.Limits.twin`)."""
FEW_SINK = 0.1
"""Part of the patches that is told from here on: less is within what 24 squares tell."""


@dataclass(frozen=True, slots=True)
class PatchesShown:
    """What the patches cut from a print show."""

    fabric: str
    """Its id."""
    known: bool
    """Whether the real size of what its photo shows was told; otherwise it is assumed."""
    least: float
    """Finished size of the smallest patch: side of a square as large, inches."""
    most: float
    """The same of the largest."""
    leads: tuple[float, ...]
    """Part of the patches in which each main colour covers most, in the fabric's order."""
    apart: float
    """How much two patches differ on average, CIEDE2000 of what they read as."""

    @property
    def vary(self) -> bool:
        """Whether patches look different from each other."""
        return self.apart >= DIFFERENT


def patches_shown(plan: Plan, fabric: str) -> PatchesShown | None:
    """Return what the patches cut from a print show.

    Parameters
    ----------
    plan : Plan
        Its block tells how large they are.
    fabric : str
        Id of a fabric.

    Returns
    -------
    PatchesShown or None
        The mean over the patches of one block; None of a solid, of a fabric whose photo was not
        looked at that way, and of a block without patches of it.
    """
    swatch, sides = plan.swatch(fabric), feature_sides(plan.brief)
    if len(swatch.fabric.colours) == 1 or not sides:
        return None
    found = [patches(swatch.fabric, part) for part in _parts(swatch, sides)]
    each = [one for one in found if one is not None]
    if not each:
        return None
    many = len(each)
    leads = [sum(share) / many for share in zip(*(one.leads for one in each), strict=True)]
    return PatchesShown(
        fabric,
        swatch.shows_given,
        min(sides),
        max(sides),
        tuple(leads),
        sum(one.apart for one in each) / many,
    )


def patches_that_sink(plan: Plan, contrast: Contrast) -> float:
    """Return what part of a fabric's patches sinks though the fabric as a whole does not.

    Parameters
    ----------
    plan : Plan
        Its block tells how large they are.
    contrast : Contrast
        How the fabric stands on one of the plan's backgrounds.

    Returns
    -------
    float
        0 where it sinks as a whole, where that is not known, and where no more than a few do.
    """
    swatch = plan.swatch(contrast.fabric)
    shown = None if contrast.verdict in FAILED else patches_shown(plan, contrast.fabric)
    if shown is None or not shown.known:
        return 0.0
    ground = plan.swatch(contrast.background).fabric
    found = [
        sinking_patches(swatch.fabric, ground, part, plan.brief.limits) or 0.0
        for part in _parts(swatch, feature_sides(plan.brief))
    ]
    share = sum(found) / len(found)
    return share if share >= FEW_SINK else 0.0


def feature_sides(brief: Brief) -> tuple[float, ...]:
    """Return the finished size of each patch of the feature in one block, smallest first.

    Of each the side of a square as large, in inches.
    """
    roles = "F" if brief.second_fabric else "FS"
    return _sides(brief.pattern(), roles, float(brief.setting.block_size))


@lru_cache(maxsize=32)
def _sides(block: Block, roles: str, size: float) -> tuple[float, ...]:
    areas = (
        abs(_area([(float(x), float(y)) for x, y in corners]))
        for patch in block.patches
        for role, corners in patch.parts()
        if role in roles
    )
    return tuple(sorted(size * sqrt(area) for area in areas))


def _area(corners: list[tuple[float, float]]) -> float:
    """Return the area inside corners (the shoelace formula)."""
    following = corners[1:] + corners[:1]
    return sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True)) / 2


def _parts(swatch: Swatch, sides: tuple[float, ...]) -> list[float]:
    return [side / float(swatch.shows) for side in sides]
