"""Plans written in earlier forms, brought to the present one so that nothing is lost."""

from __future__ import annotations

from typing import Any


def brought_up(data: dict[str, Any]) -> dict[str, Any]:
    """Return the object of a plan in the present form.

    Form 1 had one border: its width as ``border``, '0' for none, and its fabric
    as ``border_fabric``.
    """
    brief = data.get("brief")
    if data.get("format", 1) != 1 or not isinstance(brief, dict) or "borders" in brief:
        return data
    kept = {name: value for name, value in brief.items() if not name.startswith("border")}
    return {**data, "format": 2, "brief": {**kept, **_borders(brief)}}


def _borders(brief: dict[str, Any]) -> dict[str, Any]:
    width = brief.get("border")
    if width is None:
        return {}
    band = {"width": width, "fabric": brief.get("border_fabric", "")}
    return {"borders": [] if _nothing(width) else [band]}


def _nothing(width: object) -> bool:
    """Whether a width is 0 in any unit; what is no length is told when it is read."""
    return str(width).strip().removesuffix("mm").removesuffix("cm").strip() in ("0", "0.0")
