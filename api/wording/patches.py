"""What patches cut from a print show, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.patches import patches_shown, patches_that_sink
from api.wording.apart import apart
from api.wording.english import length, listed
from api.wording.names import called
from api.wording.naming import plain_name

if TYPE_CHECKING:
    from api.pattern.patches import PatchesShown
    from api.pattern.plan import Plan
    from palette.picking.choice import Contrast

_LEAST = 0.08
"""Part of the patches that a colour leads in at least to be named."""
_MOST = 3
"""Colours and fabrics that are named; of more fabrics the number is told."""


def in_patches(plan: Plan, fabric: str) -> str:
    """Say what the patches cut from a print show; '' of a fabric that has nothing to tell."""
    shown = patches_shown(plan, fabric)
    if shown is None:
        return ""
    if not shown.known:
        unknown = "What its patches show is not known: tell how much cloth its photo shows."
        return unknown if shown.vary else ""
    size = _size(plan, shown)
    if not shown.vary:
        return f"Cut into patches of {size}, all of it looks much alike."
    return (
        f"Cut into patches of {size}, {_leading(plan, shown)}; two of them differ by "
        f"{apart(shown.apart)} on average."
    )


def sinking_in_patches(plan: Plan, contrast: Contrast) -> str:
    """Say how many patches of a fabric sink though the whole does not; '' where none do."""
    share = patches_that_sink(plan, contrast)
    if not share:
        return ""
    ground = called(plan, contrast.background)
    return f"As a whole it does not sink into {ground}, but {_of_ten(share)} of its patches do."


def large_prints(plan: Plan) -> list[str]:
    """Say of which of the chosen fabrics some patches sink into the background in use."""
    kept = plan.choice.kept if plan.choice else ()
    found = [
        (patches_that_sink(plan, entry), entry.fabric)
        for entry in plan.contrasts
        if entry.background == plan.background and entry.fabric in kept
    ]
    sinking = sorted(((share, name) for share, name in found if share), reverse=True)
    if not sinking:
        return []
    named = [f"{called(plan, name)} ({_of_ten(share)})" for share, name in sinking[:_MOST]]
    more = len(sinking) - _MOST
    named += [f"{more} more"] if more > 0 else []
    ground = called(plan, plan.background)
    return [f"Some patches of large prints sink into {ground}: of {listed(named)}."]


def _size(plan: Plan, shown: PatchesShown) -> str:
    least, most = (length(side, plan.brief.units) for side in (shown.least, shown.most))
    return f"about {least}" if least == most else f"about {least} to {most}"


def _leading(plan: Plan, shown: PatchesShown) -> str:
    """Say in how many patches which colour leads; shades of one name count together."""
    parts: dict[str, float] = {}
    for part, share in zip(plan.swatch(shown.fabric).fabric.colours, shown.leads, strict=True):
        name = plain_name(part.colour).lower()
        parts[name] = parts.get(name, 0.0) + share
    told = sorted(((share, name) for name, share in parts.items() if share >= _LEAST), reverse=True)
    (most, first), *others = told[:_MOST]
    rest = [f"{name} in {_of_ten(share)}" for share, name in others]
    return listed([f"{first} leads in {_of_ten(most)}", *rest])


def _of_ten(share: float) -> str:
    """Write a share as people count: of ten.

    >>> _of_ten(0.98), _of_ten(0.62), _of_ten(0.06)
    ('nearly all', 'some 6 of 10', 'some 1 of 10')
    """
    if share >= 0.95:
        return "nearly all"
    return f"some {max(1, round(10 * share))} of 10"
