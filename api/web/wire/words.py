"""What is known of a plan, in sentences, as it goes over the wire."""

from __future__ import annotations

from api.pattern.plan import Plan
from api.web.wire.responses import PlanWords
from api.wording.contrasts import stands
from api.wording.photos import photo_warning
from api.wording.picks import left_out, most_alike, obstacle, relaxation
from api.wording.plan import gist, neighbours, problems


def plan_words(plan: Plan) -> PlanWords:
    """Return the sentences on a plan's fabrics, picks and layout."""
    choice, quality = plan.choice, plan.quality if plan.layout else None
    on: dict[str, dict[str, str]] = {}
    for entry in plan.contrasts:
        on.setdefault(entry.background, {})[entry.fabric] = stands(plan, entry)
    return PlanWords(
        stands=on,
        left_out={e.fabric: left_out(plan, e) for e in choice.left_out} if choice else {},
        closest=most_alike(choice) if choice else "",
        picks=[obstacle(plan, entry) for entry in choice.problems] if choice else [],
        relax=[relaxation(plan, way) for way in choice.relax] if choice else [],
        neighbours=neighbours(plan, quality) if quality else [],
        gist=gist(quality) if quality else "",
        problems=problems(plan),
        warnings={
            swatch.fabric.id: [photo_warning(each) for each in swatch.fabric.warnings]
            for swatch in plan.brief.everything()
            if swatch.fabric.warnings
        },
    )
