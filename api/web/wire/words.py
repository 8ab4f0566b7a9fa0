"""What is known of a plan, in sentences, as it goes over the wire."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from api.wording.contrasts import stands
from api.wording.eyes import seen_by_eyes
from api.wording.photos import photo_left_out, photo_warning
from api.wording.picks import left_out, most_alike, obstacle, relaxation
from api.wording.plan import gist, neighbours, problems
from palette.fabric import DEALT_WITH

if TYPE_CHECKING:
    from api.pattern.plan import Plan


def fabric_words(plan: Plan) -> dict[str, Any]:
    """Return the sentences on a plan's fabrics and picks, by field of PlanWords."""
    choice = plan.choice
    on: dict[str, dict[str, str]] = {}
    for entry in plan.contrasts:
        on.setdefault(entry.background, {})[entry.fabric] = stands(plan, entry)
    return {
        "stands": on,
        "left_out": {e.fabric: left_out(plan, e) for e in choice.left_out} if choice else {},
        "closest": most_alike(plan),
        "picks": [obstacle(plan, entry) for entry in choice.problems] if choice else [],
        "relax": [relaxation(plan, way) for way in choice.relax] if choice else [],
        "warnings": {
            swatch.fabric.id: [photo_warning(each) for each in swatch.fabric.warnings]
            for swatch in plan.brief.everything()
            if swatch.fabric.warnings
        },
        "see_photo": [
            swatch.fabric.id
            for swatch in plan.brief.everything()
            if any(each.fault not in DEALT_WITH for each in swatch.fabric.warnings)
        ],
        "not_cloth": {
            swatch.fabric.id: [photo_left_out(each) for each in swatch.fabric.left_out]
            for swatch in plan.brief.everything()
            if swatch.fabric.left_out
        },
    }


def layout_words(plan: Plan) -> dict[str, Any]:
    """Return the sentences on a plan's layout and its problems, by field of PlanWords."""
    quality = plan.quality if plan.layout else None
    return {
        "neighbours": neighbours(plan, quality) if quality else [],
        "gist": gist(quality) if quality else "",
        "problems": list(problems(plan)),
        "eyes": seen_by_eyes(plan),
    }
