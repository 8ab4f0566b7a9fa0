"""A pattern as one value: the brief that was given and the plan made of it.

What is kept of a plan has one JSON form that round-trips (see api.pattern.stored).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.pattern.brief import Brief
from palette.picking.choice import Choice, Contrast
from placement.top.request import Problem, Quality
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from api.pattern.swatch import Swatch


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything one pattern is. A plan that cannot be made lists its problems."""

    brief: Brief
    """What was asked."""
    background: str
    """Id of the background in use; '' if there is none."""
    contrasts: tuple[Contrast, ...]
    """Every fabric against every candidate background."""
    choice: Choice | None
    """Which fabrics are used; None without fabrics."""
    layout: Layout | None
    """Which fabric lies where; None if nothing could be arranged."""
    quality: Quality | None
    """How good the layout is."""
    problems: tuple[Problem, ...] = ()
    """What leaves no layout; the choice has problems of its own."""
    by_hand: bool = False
    """Whether cells were changed by hand after arranging."""

    def swatch(self, fabric: str) -> Swatch:
        """Return the swatch of a fabric, background or thread by its id; KeyError without one."""
        for swatch in self.brief.everything():
            if swatch.fabric.id == fabric:
                return swatch
        raise KeyError(fabric)

    @property
    def border_fabrics(self) -> tuple[str, ...]:
        """Ids of the fabrics that the borders are cut from, from the centre outward."""
        return tuple(band.fabric or self.background for band in self.brief.borders)

    @property
    def binding_fabric(self) -> str:
        """Id of the fabric that the binding is cut from."""
        return self.brief.binding_fabric or (self.background, *self.border_fabrics)[-1]

    @property
    def directional(self) -> bool:
        """Whether a chosen fabric's print has an up and a down, so that no block is turned."""
        kept = self.choice.kept if self.choice else ()
        return any(self.swatch(fabric).directional for fabric in kept)

    @property
    def sashing_fabric(self) -> str:
        """Id of the fabric that sashing is cut from; '' without sashing or background."""
        if not self.brief.setting.sashing.value:
            return ""
        return self.brief.sashing_fabric or self.background

    @property
    def cornerstone_fabric(self) -> str:
        """Id of the fabric that cornerstones are cut from; '' without cornerstones."""
        if not self.brief.setting.cornerstones or not self.sashing_fabric:
            return ""
        return self.brief.cornerstone_fabric or self.sashing_fabric

    def contrast(self, fabric: str) -> Contrast | None:
        """Return how a fabric stands on the background in use; None without one."""
        for entry in self.contrasts:
            if (entry.fabric, entry.background) == (fabric, self.background):
                return entry
        return None
