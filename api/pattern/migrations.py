"""Plans written in earlier forms, brought to the present one so that nothing is lost.

One function a form takes the object of a plan from that form to the next.

1 : one border, its width as ``border`` ('0' for none), its fabric as ``border_fabric``.
2 : a setting's block size as ``block``; a fabric's family as ``cells``.
3 : the present one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

Given = dict[str, Any]
"""The object of a plan, as JSON has it."""

FORMAT = 3
"""The present form."""


def brought_up(data: Given) -> Given:
    """Return the object of a plan in the present form; what is no plan as it is."""
    written = data.get("format", 1)
    if not isinstance(data.get("brief"), dict) or written not in _STEPS:
        return data
    for form in range(written, FORMAT):
        data = _STEPS[form](data)
    return {**data, "format": FORMAT}


def _several_borders(data: Given) -> Given:
    """Take form 1 to form 2."""
    brief = data["brief"]
    if "borders" in brief:
        return data
    kept = {name: value for name, value in brief.items() if not name.startswith("border")}
    return {**data, "brief": {**kept, **_borders(brief)}}


def _borders(brief: Given) -> Given:
    width = brief.get("border")
    if width is None:
        return {}
    band = {"width": width, "fabric": brief.get("border_fabric", "")}
    return {"borders": [] if _nothing(width) else [band]}


def _nothing(width: object) -> bool:
    """Whether a width is 0 in any unit; what is no length is told when it is read."""
    return str(width).strip().removesuffix("mm").removesuffix("cm").strip() in ("0", "0.0")


def _own_names(data: Given) -> Given:
    """Take form 2 to form 3: what is a size and what is a family is called so."""
    brief = _named_size(data["brief"])
    if isinstance(brief.get("families"), list):
        brief["families"] = [_renamed(entry, "cells", "family") for entry in brief["families"]]
    layout = data.get("layout")
    return {**data, "brief": brief, "layout": _named_size(layout) if layout else layout}


def _named_size(holder: Given) -> Given:
    """Return a brief or layout whose setting calls its block size so."""
    if "setting" not in holder:
        return {**holder}
    return {**holder, "setting": _renamed(holder["setting"], "block", "block_size")}


def _renamed(part: Any, old: str, new: str) -> Any:
    """Return an object in which one field has another name."""
    if not isinstance(part, dict) or old not in part:
        return part
    return {new if name == old else name: value for name, value in part.items()}


_STEPS: dict[int, Callable[[Given], Given]] = {1: _several_borders, 2: _own_names}
