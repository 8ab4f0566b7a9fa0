"""A plan as a page sees it."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, get_type_hints

from cachetools import LRUCache
from pydantic import TypeAdapter
from pydantic_core import to_json, to_jsonable_python

from api.drawing.around import around, plain_blocks
from api.pattern.plan import Plan
from api.pattern.threads import threads
from api.web.wire.patch import Operation, difference
from api.web.wire.patches_shown import patches_out
from api.web.wire.responses import (
    AroundOut,
    BlockOut,
    CellOut,
    CentreOut,
    PlanChange,
    Size,
    ThreadOut,
    Verdicts,
)
from api.web.wire.words import fabric_words, layout_words
from api.wording.plan import summary
from api.wording.provenance import obtained
from api.wording.threads import judged
from palette.colour import to_hex
from palette.picking.choice import Verdict
from palette.thread import Verdict as Line

if TYPE_CHECKING:
    from api.storage.kept import Saved


Parts = dict[str, Any]
"""What a page needs to show a plan, by field of PlanView, as JSON has it."""

_AT_HAND = 16
"""Plans whose parts are kept in memory: those that were looked at or changed last."""


@dataclass(frozen=True, slots=True)
class WholeView:
    """The whole view of a plan as an answer."""

    parts: Parts
    """What PlanView describes."""

    @property
    def revision(self) -> int:
        """The revision it shows."""
        return int(self.parts["revision"])

    def model_dump_json(self) -> str:
        """Return it as JSON."""
        return to_json(self.parts).decode()


class Views:
    """What pages see of plans. One that was made from another shares what did not change."""

    def __init__(self) -> None:
        self._held: LRUCache[str, tuple[Plan, Parts]] = LRUCache(_AT_HAND)
        self._lock = threading.Lock()

    def of(self, saved: Saved, plan: Plan, before: Saved | None = None) -> Parts:
        """Return the whole view of a kept plan.

        Parameters
        ----------
        saved : Saved
            The plan as it stands.
        plan : Plan
            The same as a value.
        before : Saved | None
            What it was made from, if that is known.
        """
        with self._lock:
            here = self._held.get(saved.body)
            earlier = self._held.get(before.body) if before else None
        if here is None:
            here = (plan, _parts(plan, earlier))
            with self._lock:
                self._held[saved.body] = here
        return {
            "id": saved.id,
            "revision": saved.revision,
            "can_undo": saved.can_undo,
            "can_redo": saved.can_redo,
            **here[1],
            "note": "",
        }

    def whole(self, saved: Saved, plan: Plan, before: Saved | None = None) -> WholeView:
        """Return the whole view of a kept plan as an answer."""
        return WholeView(self.of(saved, plan, before))

    def change(self, before: Saved, earlier: Plan, saved: Saved, plan: Plan) -> PlanChange:
        """Return what a page that shows one state of a plan has to know of another."""
        shown = self.of(before, earlier)
        steps = difference(shown, self.of(saved, plan, before))
        own = {"/revision", "/can_undo", "/can_redo"}
        return PlanChange(
            id=saved.id,
            base=before.revision,
            revision=saved.revision,
            can_undo=saved.can_undo,
            can_redo=saved.can_redo,
            patch=[Operation.model_construct(**step) for step in steps if step["path"] not in own],
        )


def _parts(plan: Plan, earlier: tuple[Plan, Parts] | None) -> Parts:
    """Return the parts of a view; those that depend on nothing that changed are taken over."""
    found: Parts = {"plan": _plan(plan, earlier), "words": _words(plan, earlier)}
    for name, (make, needs) in _PARTS.items():
        same = earlier and _same(plan, earlier[0], needs)
        found[name] = earlier[1][name] if earlier and same else to_jsonable_python(make(plan))
    return found


def _same(plan: Plan, other: Plan, needs: Iterable[str]) -> bool:
    return all(getattr(plan, name) is getattr(other, name) for name in needs)


def _words(plan: Plan, earlier: tuple[Plan, Parts] | None) -> Parts:
    if earlier and _same(plan, earlier[0], ("brief", "background", "contrasts", "choice")):
        return {**earlier[1]["words"], **layout_words(plan)}
    return fabric_words(plan) | layout_words(plan)


def _plan(plan: Plan, earlier: tuple[Plan, Parts] | None) -> Parts:
    found = {}
    for name, adapter in _adapters().items():
        value = getattr(plan, name)
        if earlier and getattr(earlier[0], name) is value:
            found[name] = earlier[1]["plan"][name]
        else:
            found[name] = adapter.dump_python(value, mode="json")
    return found


@lru_cache(maxsize=1)
def _adapters() -> dict[str, TypeAdapter[Any]]:
    """Return what makes JSON of each field of a plan."""
    return {name: TypeAdapter(kind) for name, kind in get_type_hints(Plan).items()}


def _colours(plan: Plan) -> dict[str, str]:
    return {s.fabric.id: to_hex(s.fabric.reads_as) for s in plan.brief.everything()}


def _pictures(plan: Plan) -> dict[str, str]:
    return {s.fabric.id: f"/api/swatches/{s.picture}.jpg" for s in plan.brief.everything()}


def _obtained(plan: Plan) -> dict[str, str]:
    fabrics = [swatch.fabric for swatch in plan.brief.everything()]
    return {fabric.id: obtained(fabric, fabrics) for fabric in fabrics}


def _size(plan: Plan) -> Size:
    return Size.of(plan.brief.size(), plan.brief.units)


def _block(plan: Plan) -> BlockOut:
    brief = plan.brief
    return BlockOut.of("" if brief.own_block else brief.block, brief.pattern())


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
    inset = plan.brief.inset
    pieces = (*plain_blocks(plan, inset), *around(plan, inset))
    return [
        AroundOut(part=p.role, fabric=p.fabric, points=list(p.points), grain=p.grain)
        for p in pieces
    ]


def _centre(plan: Plan) -> CentreOut:
    setting, inset = plan.brief.setting, plan.brief.inset
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


_BRIEF = ("brief",)
_ALL = tuple(field.name for field in fields(Plan))
_PARTS: dict[str, tuple[Callable[[Plan], object], tuple[str, ...]]] = {
    "colours": (_colours, _BRIEF),
    "pictures": (_pictures, _BRIEF),
    "obtained": (_obtained, _BRIEF),
    "summary": (summary, _ALL),
    "size": (_size, _BRIEF),
    "block": (_block, _BRIEF),
    "cells": (_cells, _BRIEF),
    "around": (_around, ("brief", "background")),
    "centre": (_centre, _BRIEF),
    "verdicts": (_verdicts, ("brief", "contrasts")),
    "patches": (patches_out, ("brief", "contrasts")),
    "threads": (_threads, ("brief", "background", "choice")),
}
"""How each part of a view is made, and which fields of a plan it follows from."""
