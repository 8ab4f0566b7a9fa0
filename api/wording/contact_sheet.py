"""The words of the contact sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.apart import how_far
from api.wording.contrasts import STANDS, tally
from api.wording.english import number, tenths
from api.wording.picks import most_alike
from api.wording.plan import problems

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.plan import Plan

BACKGROUND = "Background"
CHOSEN = "Chosen"
LEFT_OUT = "Left out"
UNTITLED = "Untitled quilt"

CHOSEN_NOTE = (
    "Each with its main colours by area, the colour it reads as from across the room, "
    "that colour's grey, and how it stands on the background."
)
LEFT_OUT_NOTE = "The small picture is the fabric that one is too like."


def introduction(plan: Plan) -> Iterator[str]:
    """Say in sentences what was picked; problems follow."""
    choice = plan.choice
    if choice is not None:
        total = len(choice.kept) + len(choice.left_out)
        yield f"{len(choice.kept)} of {number(total, 'fabric')} picked."
        if choice.closest is not None:
            yield most_alike(plan)
    yield from problems(plan)


def on_it(plan: Plan) -> str:
    """Say how the bundle stands on the background; '' for no bundle."""
    counted = tally(plan)
    return f"Of the bundle on it: {counted}." if counted else ""


def stands(plan: Plan, fabric: str) -> list[str]:
    """Say in short lines how a fabric stands; its lightness where there is no background."""
    contrast = plan.contrast(fabric)
    if contrast is None:
        return [f"lightness {plan.swatch(fabric).fabric.reads_as.lightness:.0f}"]
    far = contrast.difference
    return [STANDS[contrast.verdict], f"differs by {tenths(far)}, {how_far(far)}"]
