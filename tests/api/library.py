"""A library of plans as a designer keeps them: varied quilts with pictures, threads and changes.

What a data file holds is told from the file itself, by sqlite3 and zlib alone.
"""

from __future__ import annotations

import sqlite3
import zlib
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from api.pattern.edits import change_brief, without_fabric
from api.pattern.planner import look
from api.pattern.stored import from_json, to_json
from api.pattern.swatch import Swatch
from api.photos.intake import picture_name
from api.storage.kept import Draft
from palette.colour import Lab, to_hex
from palette.fabric import Fabric, Share
from palette.solid import cloth
from tests.api.varied import PLANS, plan_named

if TYPE_CHECKING:
    from pathlib import Path

    from api.pattern.plan import Plan
    from api.storage.store import Store

NAMES = tuple(PLANS)
"""Names of the plans there can be."""


def keep(store: Store, name: str) -> str:
    """Keep a plan with four changes, two of them undone; return its id."""
    plan, pictures = _pictured(plan_named(name))
    saved = store.add(Draft(plan.brief.title, _text(plan), "Began", pictures))
    other = replace(plan, brief=change_brief(plan.brief, {"title": f"{name}: second thoughts"}))
    fewer = look(without_fabric(other.brief, other.brief.swatches[-1].fabric.id))
    for number, state in enumerate((other, fewer, plan, other), 1):
        title = state.brief.title
        draft = Draft(title, _text(state), f"Changed it, {number}", {})
        saved = store.save(saved.id, draft, expected=saved.revision)
    store.undo(saved.id)
    store.undo(saved.id)
    return saved.id


def _text(plan: Plan) -> str:
    """Return a plan as it is kept, measured as one that was arranged."""
    return to_json(from_json(to_json(plan)))


def _pictured(plan: Plan) -> tuple[Plan, dict[str, bytes]]:
    """Return a plan with a thread, whose fabrics have real pictures, and those by name."""
    brief, pictures = plan.brief, {}

    def drawn(swatch: Swatch) -> Swatch:
        data = cloth(to_hex(swatch.fabric.reads_as))
        pictures[picture_name(data)] = data
        return replace(swatch, picture=picture_name(data))

    colour = Lab(45.0, 10.0, -20.0)
    thread = Swatch(Fabric("thread-of-mine", "Thread", colour, (Share(colour, 1.0),)), "0" * 64)
    lists: dict[str, Any] = {
        "swatches": tuple(map(drawn, brief.swatches)),
        "backgrounds": tuple(map(drawn, brief.backgrounds)),
        "threads": (drawn(thread),),
        "thread": "thread-of-mine",
    }
    return replace(plan, brief=replace(brief, **lists)), pictures


def held(data: Path) -> dict[str, Any]:
    """Return what a data file holds of each plan, by the title and the times of its changes."""
    with closing(sqlite3.connect(data)) as link:
        found = {}
        for plan, cursor in link.execute("SELECT id, cursor FROM plans").fetchall():
            changes = [
                (number, made_at, what, title, zlib.decompress(body))
                for number, made_at, what, title, body in link.execute(
                    "SELECT number, made_at, what, title, body FROM revisions WHERE plan = ? "
                    "ORDER BY number",
                    (plan,),
                )
            ]
            pictures = link.execute(
                "SELECT name, data FROM pictures JOIN uses ON picture = name WHERE plan = ? "
                "ORDER BY name",
                (plan,),
            ).fetchall()
            found[str(changes)] = (cursor, changes, pictures)
        return found
