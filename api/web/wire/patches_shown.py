"""What patches cut from prints show, as it goes over the wire."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import BaseModel, Field

from api.pattern.patches import patches_shown, patches_that_sink
from api.wording.patches import in_patches

if TYPE_CHECKING:
    from api.pattern.plan import Plan


class PatchesOut(BaseModel):
    """What the patches cut from a print show, and where they sink."""

    known: bool = Field(
        description="Whether the width that its photo shows was told; otherwise it is assumed."
    )
    least: float = Field(
        description="Finished size of the smallest patch of the block: side of a square as large, "
        "in inches."
    )
    most: float = Field(description="The same of the largest.")
    leads: list[float] = Field(
        description="Part of the patches in which each main colour covers most, in the order of "
        "the fabric's colours."
    )
    apart: float = Field(description="How much two of them differ on average, CIEDE2000.")
    sink: dict[str, float] = Field(
        description="Part of them that sinks though the fabric as a whole does not, by background "
        "id; only where it is worth telling."
    )
    sentence: str = Field(description="The same in words; empty if there is nothing to tell.")


def patches_out(plan: Plan) -> dict[str, PatchesOut]:
    """Return what the patches of every print in the bundle show, by fabric id."""
    sink: dict[str, dict[str, float]] = {}
    for entry in plan.contrasts:
        share = patches_that_sink(plan, entry)
        if share:
            sink.setdefault(entry.fabric, {})[entry.background] = round(share, 3)
    shown = (patches_shown(plan, swatch.fabric.id) for swatch in plan.brief.swatches)
    return {
        one.fabric: PatchesOut(
            known=one.known,
            least=round(one.least, 3),
            most=round(one.most, 3),
            leads=[round(share, 3) for share in one.leads],
            apart=round(one.apart, 1),
            sink=sink.get(one.fabric, {}),
            sentence=in_patches(plan, one.fabric),
        )
        for one in shown
        if one is not None
    }
