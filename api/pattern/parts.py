"""Decisions on values that live in rooms below and know of no words."""

from __future__ import annotations

from api.pattern.decision import Decision
from api.pattern.swatch import LONGEST_NAME

LARGEST_BLOCK = 120
"""Inches; more than the widest bed, for a quilt of one block."""
MOST_BLOCKS = 50
"""Blocks across or down."""

SETTING = {
    "kind": Decision(
        about="Whether blocks stand on their points or in straight rows.",
        words="the kind of setting",
        option="setting",
    ),
    "across": Decision(
        about="Blocks across; on point, in a main row.",
        words="the blocks across",
        least=1,
        most=MOST_BLOCKS,
    ),
    "down": Decision(
        about="Blocks down; on point, in a main column.",
        words="the blocks down",
        least=1,
        most=MOST_BLOCKS,
    ),
    "block_size": Decision(
        about="Finished side of a block.",
        words="the block's size",
        least=0,
        above=True,
        most=LARGEST_BLOCK,
        examples=("8 1/2", "220 mm"),
    ),
    "alternate": Decision(
        about="Whether every other block is a plain one of background.",
        words="the plain blocks",
    ),
    "sashing": Decision(
        about="Finished width of the strips round every block; 0 for none.",
        words="the sashing",
        examples=("1 1/2",),
    ),
    "cornerstones": Decision(
        about="Whether squares lie where the strips of sashing meet.", words="the cornerstones"
    ),
}
"""Of placement.top.setting.setting.Setting."""


def _difference(about: str, words: str) -> Decision:
    return Decision(about=about, words=words, least=0, most=100)


def _share(about: str, words: str) -> Decision:
    return Decision(about=about, words=words, least=0, most=1)


LIMITS = {
    "lost": _difference(
        "Below this difference from the background a fabric is lost, if enough of its area is.",
        "the limit of lost fabrics",
    ),
    "clear": _difference(
        "From this difference from the background on a fabric is clear.",
        "the limit of clear fabrics",
    ),
    "lightness": _difference(
        "Below this difference in lightness a fabric is soft at most.", "the limit of lightness"
    ),
    "camouflage": _share(
        "From this share of its area near the background on a fabric is left out.",
        "the limit of camouflage",
    ),
    "camouflage_warn": _share(
        "From this share of its area near the background on a fabric is soft at most.",
        "the limit of soft camouflage",
    ),
    "near": _difference(
        "Below this difference a colour is near the background.", "the limit of near colours"
    ),
    "twin": _difference(
        "Fabrics that differ by this or more, from across the room, close up and in their print, "
        "are no near-twins.",
        "the limit of near-twins",
    ),
    "lightness_alone": _difference(
        "From this difference in lightness on a fabric is clear whatever its colour.",
        "the limit of lightness alone",
    ),
}
"""Of palette.picking.choice.Limits; differences are CIEDE2000, lightness is L*."""

SWATCH = {
    "shows": Decision(
        about="Width of cloth the photo shows.",
        words="the width that a photo shows",
        least=0.25,
        most=400,
        examples=("10",),
    ),
    "must_use": Decision(about="Always among the chosen fabrics.", words="a mark 'must use'"),
    "leave_out": Decision(about="Never among the chosen fabrics.", words="a mark 'leave out'"),
    "directional": Decision(
        about="Whether the print has an up and a down.", words="a print's direction"
    ),
}
"""Of api.pattern.swatch.Swatch."""

FABRIC = {
    "name": Decision(
        about="What people call the fabric.",
        words="the name",
        longest=LONGEST_NAME,
        examples=("Quince dots",),
    )
}
"""Of palette.fabric.Fabric: the one of its fields that is decided."""
