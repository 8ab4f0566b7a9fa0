"""A plan that somebody else may have written, read with care.

What it says must be possible, and hold together, before anything is made of it.
"""

from __future__ import annotations

import re
from dataclasses import fields
from typing import TYPE_CHECKING, Any

from api.pattern.customs import CustomsError, excesses, read_json, told
from api.pattern.decision import faults
from api.pattern.migrations import brought_up
from api.pattern.parts import FABRIC, SWATCH
from api.pattern.stored import stored, whole
from api.pattern.swatch import Swatch
from palette.colour import parse_hex
from palette.photo.box import Box
from placement.top.setting.layout import EMPTY

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.pattern.stored import StoredPlan
    from api.pattern.swatch import Taken

_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")
_PICTURE = re.compile(r"[0-9a-f]{64}")
_MOST_LAB = 200
"""More in a* and b* than any colour has."""
_EXACT = 1e-6
"""CIEDE2000 below which two differences are one."""
_NEEDED = ("swatches", "backgrounds", "setting")


class VettingError(ValueError):
    """A text that can't be taken as a plan; the message says why and what to do."""


def swatches_of(brief: Brief) -> Iterator[tuple[str, Swatch]]:
    """Yield every swatch of a brief with the name of the list it is in."""
    for part in fields(brief):
        value = getattr(brief, part.name)
        if isinstance(value, tuple):
            yield from ((part.name, entry) for entry in value if isinstance(entry, Swatch))


def vetted(text: bytes) -> Plan:
    """Read a plan from text of any origin.

    Raises
    ------
    VettingError
        If it is no plan, holds a value no plan can have, or contradicts itself.
    """
    from api.pattern.planner import look

    given = _json(text)
    _refuse(excesses(given), "the plan in this file is larger than any plan")
    try:
        _check_parts(brought_up(given))
        kept = stored(text, closed=True)
        _refuse(faults(kept.brief), "the plan in this file holds a value no plan can have")
        _refuse(_faults(kept), _CONTRADICTS)
        plan = whole(kept)
        look(plan.brief)
    except VettingError:
        raise
    except ValueError as fault:
        raise VettingError(f"the plan in this file can't be used: {fault}") from fault
    _refuse(_measure_faults(plan), _CONTRADICTS)
    return plan


_CONTRADICTS = "the plan in this file contradicts itself"


def _refuse(faults: Iterator[str], why: str) -> None:
    every = told(faults)
    if every:
        raise VettingError(f"{why}: {every}")


def _json(text: bytes) -> dict[str, Any]:
    """Read JSON that can be a plan."""
    try:
        given = read_json(text)
    except CustomsError as fault:
        raise VettingError(f"this file is no plan: {fault}") from None
    except ValueError:
        given = None
    if not isinstance(given, dict) or not isinstance(given.get("brief"), dict):
        raise VettingError(
            "this file is damaged or no plan; choose a .zip or .json file that this program made"
        )
    return given


def _check_parts(given: Mapping[str, Any]) -> None:
    """Hold what is written to what a plan must say."""
    brief, layout = given["brief"], given.get("layout")
    for name in _NEEDED:
        if name not in brief:
            raise VettingError(f"the plan in this file is damaged: it has no {name}")
    if isinstance(layout, dict) and layout.get("setting") != brief["setting"]:
        raise VettingError("the plan in this file is damaged: its layout is of another setting")


def _faults(plan: StoredPlan) -> Iterator[str]:
    """Yield what does not hold together in a plan, and what could not be shown."""
    swatches = [swatch for _, swatch in swatches_of(plan.brief)]
    ids = [swatch.fabric.id for swatch in swatches]
    if len(set(ids)) < len(ids):
        yield "two fabrics have one id"
    for swatch in swatches:
        yield from _swatch_faults(swatch)
    for unknown in sorted(_mentioned(plan) - {*ids}):
        yield f"there is no fabric {unknown[:40]!r}"


def _mentioned(plan: StoredPlan) -> set[str]:
    """Return the ids of all fabrics that the made part of a plan speaks of."""
    found = {*plan.layout.fabrics} - {EMPTY} if plan.layout else set()
    if plan.choice:
        found |= {*plan.choice.kept, *(entry.fabric for entry in plan.choice.left_out)}
    return found


def _measure_faults(plan: Plan) -> Iterator[str]:
    """Yield what the search is said to have found and can't have."""
    quality = plan.quality
    if quality and not quality.closest <= quality.reach + _EXACT <= quality.bound + 2 * _EXACT:
        yield "its neighbours differ by more than it says can be reached"


def _swatch_faults(swatch: Swatch) -> Iterator[str]:
    fabric = swatch.fabric
    if not _ID.fullmatch(fabric.id):
        yield f"{fabric.id[:40]!r} can't be a fabric's id"
    if not _PICTURE.fullmatch(swatch.picture):
        yield f"{swatch.picture[:40]!r} can't be a picture's name"
    yield from faults(fabric, FABRIC)
    yield from faults(swatch, SWATCH)
    if swatch.taken:
        yield from _taking_faults(swatch.taken)
    if not fabric.name.isprintable():
        yield f"{fabric.name[:40]!r} can't be a fabric's name"
    labs = (fabric.reads_as, *(part.colour for part in fabric.colours))
    if not all(
        0 <= lab.lightness <= 100 and max(abs(lab.a), abs(lab.b)) <= _MOST_LAB for lab in labs
    ):
        yield f"{fabric.name!r} has a colour that can't be"


def _taking_faults(taken: Taken) -> Iterator[str]:
    if not _PICTURE.fullmatch(taken.photo):
        yield f"{taken.photo[:40]!r} can't be a photo's name"
    if not 0 < taken.across <= 1:
        yield f"a picture can't show {taken.across:g} of its cloth's width"
    try:
        if taken.white not in ("auto", "none"):
            Box.parse(taken.white)
        if taken.colour:
            parse_hex(taken.colour)
    except ValueError as fault:
        yield str(fault)
