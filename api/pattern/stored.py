"""A plan as it is kept: the brief, the choice and the layout; what follows is worked out.

Contrasts, the background in use, the measure of the layout and the problems follow
from the rest by the same functions that made them, so they are not written down.
Only what a search found out is: how different neighbours can be made takes long to find.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from functools import lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Any

from cachetools import LRUCache
from pydantic import TypeAdapter, ValidationError

from api.pattern.brief import Brief
from api.pattern.customs import told
from api.pattern.migrations import FORMAT, brought_up
from palette.picking.choice import Choice
from placement.top.request import Problem, Quality, Reach
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.pattern.plan import Plan

_AT_HAND = 24
"""Plans that are kept in memory; one of 300 fabrics takes some megabytes."""


@dataclass(frozen=True, slots=True)
class Found:
    """What the search found out when a layout was made; its fields are those of Quality."""

    wanted: float
    """The least neighbour difference asked for, CIEDE2000."""
    reach: float
    """The largest least difference known to be reachable."""
    bound: float
    """The proved upper bound on it."""
    proved: bool
    """Whether reach equals the bound."""

    @classmethod
    def of(cls, quality: Quality) -> Found:
        """Return the part of a layout's measure that can't be measured again at once."""
        return cls(quality.wanted, quality.reach, quality.bound, quality.proved)

    def known(self) -> Reach:
        """Return it as a measure takes it."""
        return Reach(self.reach, self.bound, self.proved, None, ())


@dataclass(frozen=True, slots=True)
class StoredPlan:
    """A plan as it is kept."""

    brief: Brief
    """What was asked."""
    choice: Choice | None = None
    """Which fabrics are used; None without fabrics."""
    layout: Layout | None = None
    """Which fabric lies where; None if nothing could be arranged."""
    found: Found | None = None
    """What the search found out about the layout; None without one."""
    obstacles: tuple[Problem, ...] = ()
    """What stood in the way of a layout."""
    by_hand: bool = False
    """Whether cells were changed by hand after arranging."""
    format: int = FORMAT
    """Version of this form (see api.pattern.migrations for earlier ones)."""

    @classmethod
    def of(cls, plan: Plan) -> StoredPlan:
        """Return the part of a plan that is kept."""
        return cls(
            plan.brief,
            plan.choice,
            plan.layout,
            Found.of(plan.quality) if plan.quality else None,
            plan.problems,
            plan.by_hand,
        )


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[StoredPlan]:
    return TypeAdapter(StoredPlan)


_plans: LRUCache[str | bytes, Plan] = LRUCache(_AT_HAND)
_lock = Lock()


def to_json(plan: Plan) -> str:
    """Return the plan's one JSON form, in one line that ends in a newline."""
    return written(StoredPlan.of(plan))


def written(kept: StoredPlan) -> str:
    """Return what is kept of a plan as JSON, in one line that ends in a newline."""
    return _adapter().dump_json(kept).decode() + "\n"


def from_json(text: str | bytes) -> Plan:
    """Read a plan back; one that was read or written not long ago is at hand.

    Raises
    ------
    ValueError
        Saying which field is wrong and why, if the text is not a plan.
    """
    with _lock:
        known = _plans.get(text)
    if known is not None:
        return known
    plan = whole(stored(text))
    remember(text, plan)
    return plan


def remember(text: str | bytes, plan: Plan) -> None:
    """Keep a plan at hand under its text, so that it need not be worked out from it."""
    with _lock:
        _plans[text] = plan


def stored(text: str | bytes, *, closed: bool = False) -> StoredPlan:
    """Read what is kept of a plan; of an earlier form the choice alone is worked out again.

    Parameters
    ----------
    text : str | bytes
        Its JSON form.
    closed : bool
        Whether what no plan has is a fault: from elsewhere it may be a slip of the pen.

    Raises
    ------
    ValueError
        Saying which field is wrong and why, if the text is not a plan.
    """
    try:
        given = _given(text)
        written = given.get("format", 1) if isinstance(given, dict) else FORMAT
        if written == FORMAT:
            return _adapter().validate_json(text, extra="forbid" if closed else None)
        kept = _adapter().validate_python(brought_up(given))
        return _known_again(kept, bool(given.get("problems")))
    except ValidationError as error:
        faults = told(
            f"{'.'.join(map(str, fault['loc']))[:120] or 'the text'}: {_message(fault)}"
            for fault in error.errors(include_url=False, include_context=False, include_input=False)
        )
        raise ValueError(f"this is not a Spreadwell plan: {faults}") from None


def _message(fault: Mapping[str, Any]) -> str:
    """Return what is wrong with a field, in words that need no library to be understood."""
    if fault["type"] == "unexpected_keyword_argument":
        return "no plan has this; take it out, or update the program if a newer one wrote it"
    return str(fault["msg"])


def _known_again(kept: StoredPlan, hindered: bool) -> StoredPlan:
    """Work out again what earlier forms told in sentences alone, or by another difference."""
    from api.pattern.planner import completed, hindrances, picked, retold

    if kept.choice is None or not kept.brief.swatches:
        return kept
    judged = completed(kept.brief, None)
    again = picked(kept.brief, judged)
    same = again.kept == kept.choice.kept
    choice = again if same else retold(judged, kept.choice.kept)
    unmade = kept.layout is None and hindered and choice.kept
    obstacles = hindrances(kept.brief, choice) if unmade else kept.obstacles
    return replace(kept, choice=choice, obstacles=obstacles)


def _given(text: str | bytes) -> Any:
    """Read JSON; what is none is left to the adapter, which tells where it goes wrong."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def whole(kept: StoredPlan) -> Plan:
    """Work out what follows from what is kept of a plan.

    Raises
    ------
    ValueError
        If the layout does not fit the brief and the choice.
    """
    from api.pattern.planner import completed, measured

    plan = completed(kept.brief, kept.choice, kept.obstacles)
    if kept.layout is None:
        return plan
    laid = replace(plan, layout=kept.layout, by_hand=kept.by_hand)
    if kept.found is None:
        return replace(laid, quality=measured(laid))
    return replace(laid, quality=measured(laid, kept.found.known(), kept.found.wanted))
