"""Kinds of paper and cards that colours are corrected by."""

from __future__ import annotations

from enum import StrEnum

from palette.colour import Lab


class PaperKind(StrEnum):
    """What people lay beside cloth to have its colours corrected."""

    OFFICE = "office"
    DRAWING = "drawing"
    CREAM = "cream"
    GREY_CARD = "grey-card"


PAPERS = {
    PaperKind.OFFICE: Lab(87.0, 1.0, -6.0),
    PaperKind.DRAWING: Lab(95.0, 0.0, 0.0),
    PaperKind.CREAM: Lab(90.0, 1.0, 10.0),
    PaperKind.GREY_CARD: Lab(49.5, 0.0, 0.0),
}
"""The colour each kind has in a photo whose colours are right.

Office paper: what makes the patches of a chart lying on it come out right in photos of two
phones by a window and under lamps; brighteners make it bluish, and phones lift mid greys, so
that it is darker than a meter says. Drawing paper has no brighteners (L* 93 to 96; common
practice), old or natural paper is cream (from memory), and a grey card reflects 18 % (L* 49.5).
"""
PAPER = PAPERS[PaperKind.OFFICE]
"""White paper unless told otherwise."""
