"""What seams look like, for every form of drawing alike.

A seam is three strokes of black over the cloth, centred on it: a thin line
where two pieces meet, and two wide faint ones, because cloth dips towards a seam.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from api.drawing.scene import View


class Stroke(NamedTuple):
    """One line along every seam."""

    width: float
    """Inches."""
    opacity: float
    """Of black, 0 to 1."""


_LINE = Stroke(0.045, 0.14)

STROKES: dict[View, tuple[Stroke, ...]] = {
    "cloth": (Stroke(0.6, 0.03), Stroke(0.24, 0.05), Stroke(0.05, 0.17)),
    "flat": (_LINE,),
    "grey": (_LINE,),
    "protan": (_LINE,),
    "deutan": (_LINE,),
    "tritan": (_LINE,),
}
"""Widest first, by view."""
