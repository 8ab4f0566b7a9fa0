"""A plan as a page sees it."""

from __future__ import annotations

from collections import Counter
from typing import Literal

from api.drawing.around import around, plain_blocks
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from api.pattern.threads import threads
from api.storage.store import Saved
from api.web.wire.responses import (
    AroundOut,
    BlockOut,
    CellOut,
    CentreOut,
    PlanView,
    Size,
    ThreadOut,
    Verdicts,
)
from api.web.wire.words import plan_words
from api.wording.plan import summary
from api.wording.provenance import obtained
from api.wording.threads import judged
from palette.colour import to_hex
from palette.picking.choice import Verdict
from palette.thread import Verdict as Line


def view(saved: Saved, plan: Plan) -> PlanView:
    """Return what a page needs to show a plan."""
    swatches = plan.brief.everything()
    fabrics = [swatch.fabric for swatch in swatches]
    return PlanView(
        id=saved.id,
        revision=saved.revision,
        can_undo=saved.can_undo,
        can_redo=saved.can_redo,
        plan=plan,
        colours={swatch.fabric.id: to_hex(swatch.fabric.reads_as) for swatch in swatches},
        pictures={swatch.fabric.id: _address(swatch) for swatch in swatches},
        obtained={fabric.id: obtained(fabric, fabrics) for fabric in fabrics},
        summary=list(summary(plan)),
        words=plan_words(plan),
        size=Size.of(plan.brief.size(), plan.brief.units),
        block=BlockOut.of("" if plan.brief.own_block else plan.brief.block, plan.brief.pattern()),
        cells=_cells(plan),
        around=_around(plan),
        centre=_centre(plan),
        verdicts=_verdicts(plan),
        threads=_threads(plan),
    )


def _address(swatch: Swatch) -> str:
    return f"/api/swatches/{swatch.picture}.jpg"


def _cells(plan: Plan) -> list[CellOut]:
    setting = plan.brief.setting
    kinds = ((setting.cells(), False), (setting.plain_cells(), True))
    found = []
    for cells, plain in kinds:
        for cell in cells:
            x, y = setting.centre(cell)
            found.append(CellOut(x=x, y=y, row=cell.row, column=cell.column, plain=plain))
    return found


def _around(plan: Plan) -> list[AroundOut]:
    inset = plan.brief.edge
    pieces = (*plain_blocks(plan, inset), *around(plan, inset))
    return [
        AroundOut(part=p.role, fabric=p.fabric, points=list(p.points), grain=p.grain)
        for p in pieces
    ]


def _centre(plan: Plan) -> CentreOut:
    setting, inset = plan.brief.setting, plan.brief.edge
    turn: Literal[0, 45] = 45 if setting.kind == "on point" else 0
    return CentreOut(x=inset, y=inset, turn=turn, side=float(setting.block_size))


def _verdicts(plan: Plan) -> dict[str, Verdicts]:
    tally = Counter((entry.background, entry.verdict) for entry in plan.contrasts)
    return {
        swatch.fabric.id: Verdicts(**{kind: tally[swatch.fabric.id, kind] for kind in Verdict})
        for swatch in plan.brief.backgrounds
    }


def _threads(plan: Plan) -> list[ThreadOut]:
    found, own = threads(plan), {swatch.fabric.id for swatch in plan.brief.threads}
    return [
        ThreadOut(
            id=entry.thread.id,
            name=entry.thread.name,
            colour=to_hex(entry.thread.colour),
            own=entry.thread.id in own,
            shows=list(entry.where(Line.SHOWS)),
            soft=list(entry.where(Line.SOFT)),
            vanishes=list(entry.where(Line.VANISHES)),
            calm=entry.thread.id == found.calm,
            showy=entry.thread.id == found.showy,
            sentence=judged(entry),
        )
        for entry in found.judged
    ]
