"""Plans written in earlier forms, brought to the present one so that nothing is lost.

One function a form takes the object of a plan from that form to the next. What has no
place any more follows from the rest (see api.pattern.stored).

1 : one border, its width as ``border`` ('0' for none), its fabric as ``border_fabric``.
2 : a setting's block size as ``block``; a fabric's family as ``cells``; contrasts,
    background, problems and the measure of the layout written down; metric forms of cloth
    by a name of their own.
3 : limits of near-twins at a distance and close by; reasons for near-twins with two parts
    of their difference; what neighbours can be told apart by, in what they read as alone.
4 : the present one.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

Given = dict[str, Any]
"""The object of a plan, as JSON has it."""

FORMAT = 4
"""The present form."""


def brought_up(data: Given) -> Given:
    """Return the object of a plan in the present form; what is no plan as it is.

    Raises
    ------
    ValueError
        If it was written by a newer program, or names no form.
    """
    written = data.get("format", 1)
    if isinstance(written, bool) or not isinstance(written, int) or written < 1:
        raise ValueError(f"this is not a Spreadwell plan: format: {written!r} is no form of a plan")
    if written > FORMAT:
        raise ValueError(
            f"this plan was written by a newer version (form {written}; this one knows {FORMAT}); "
            "update the program"
        )
    if not isinstance(data.get("brief"), dict):
        return data
    for form in range(written, FORMAT):
        for step in _STEPS[form]:
            data = step(data)
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
    """Call what is a size and what is a family so."""
    brief = _facts_of_photos(_named_size(data["brief"]))
    if isinstance(brief.get("families"), list):
        brief["families"] = [_renamed(entry, "cells", "family") for entry in brief["families"]]
    layout = data.get("layout")
    return {
        **data,
        "brief": brief,
        "layout": _named_size(layout) if isinstance(layout, dict) else layout,
    }


def _facts_of_photos(brief: Given) -> Given:
    """Keep what was told of photos in sentences alone as what an earlier version told."""
    found = {name: brief[name] for name in ("swatches", "backgrounds", "threads") if name in brief}
    return brief | {name: _each(swatches, _told) for name, swatches in found.items()}


def _told(swatch: Any) -> Any:
    if not isinstance(swatch, dict) or not isinstance(swatch.get("fabric"), dict):
        return swatch
    fabric = swatch["fabric"]
    warnings = _each(fabric.get("warnings", []), lambda text: {"fault": "earlier", "told": text})
    return {**swatch, "fabric": {**fabric, "warnings": warnings}}


def _each(entries: Any, change: Callable[[Any], Any]) -> Any:
    return [change(entry) for entry in entries] if isinstance(entries, list) else entries


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


def _cloths_of_its_own(data: Given) -> Given:
    """Leave out the cloth of fabrics that were removed: it was kept then."""
    brief, sewing = data["brief"], data["brief"].get("sewing")
    if not isinstance(sewing, dict) or not isinstance(sewing.get("cloths"), list):
        return data
    lists = [brief.get(name) for name in ("swatches", "backgrounds")]
    there = {_id_of(swatch) for part in lists if isinstance(part, list) for swatch in part}
    kept = [c for c in sewing["cloths"] if not isinstance(c, dict) or c.get("fabric") in there]
    return {**data, "brief": {**brief, "sewing": {**sewing, "cloths": kept}}}


def _id_of(swatch: Any) -> Any:
    fabric = swatch.get("fabric") if isinstance(swatch, dict) else None
    return fabric.get("id") if isinstance(fabric, dict) else None


_METRIC_FORMS = {
    "metric yardage": "yardage",
    "metric fat quarter": "fat quarter",
    "metric fat eighth": "fat eighth",
}
"""Names that forms of cloth sold in metric sizes had."""


def _forms_by_kind(data: Given) -> Given:
    """Say of a form of cloth what it is, and of one sold in metric sizes that it is."""
    brief, sewing = data["brief"], data["brief"].get("sewing")
    if not isinstance(sewing, dict):
        return data
    sewing = _by_kind(sewing, "form_units")
    if isinstance(sewing.get("cloths"), list):
        sewing["cloths"] = _each(sewing["cloths"], lambda cloth: _by_kind(cloth, "units"))
    return {**data, "brief": {**brief, "sewing": sewing}}


def _by_kind(part: Any, units: str) -> Any:
    if not isinstance(part, dict) or not isinstance(part.get("form"), str):
        return {**part} if isinstance(part, dict) else part
    kind = _METRIC_FORMS.get(part["form"])
    return {**part, "form": kind, units: "metric"} if kind else {**part}


_FOUND = ("wanted", "reach", "bound", "proved")


def _what_follows_left_out(data: Given) -> Given:
    """Keep the brief, the choice, the layout and what the search found out."""
    choice, quality = data.get("choice"), data.get("quality")
    found = {name: quality.get(name) for name in _FOUND} if isinstance(quality, dict) else None
    return {
        "brief": data["brief"],
        "choice": _without_sentences(choice),
        "layout": data.get("layout"),
        "found": found,
        "by_hand": data.get("by_hand", False),
    }


def _without_sentences(choice: Any) -> Any:
    """Leave out what was told in words alone; it is worked out again (see api.pattern.stored)."""
    if not isinstance(choice, dict):
        return choice
    return {name: choice[name] for name in choice if name not in ("problems", "relax", "doubts")}


def _one_limit_of_twins(data: Given) -> Given:
    """Let twins be told by one difference; limits of one's own keep their strictness."""
    brief = data["brief"]
    limits = brief.get("limits")
    if not isinstance(limits, dict):
        return data
    far, close = limits.get("twin_far", 4.0), limits.get("twin_close", 8.0)
    kept = {name: value for name, value in limits.items() if not name.startswith("twin_")}
    numbers = all(isinstance(limit, int | float) for limit in (far, close))
    if numbers and (far, close) != (4.0, 8.0):
        # As the difference weighs them where prints are alike.
        kept["twin"] = round(sqrt((far**2 + close**2) / 2), 1) if far and close else 0.0
    return {**data, "brief": {**brief, "limits": kept}}


def _measured_anew(data: Given) -> Given:
    """Keep which fabrics were chosen; how different they are is measured otherwise now."""
    choice = data.get("choice")
    if isinstance(choice, dict):
        bare: Given = {"left_out": [], "closest": None, "closest_pair": None, "proved": False}
        choice = {**bare, "kept": choice.get("kept")}
    return {**data, "choice": choice, "found": None}


_STEPS: dict[int, tuple[Callable[[Given], Given], ...]] = {
    1: (_several_borders,),
    2: (_own_names, _cloths_of_its_own, _forms_by_kind, _what_follows_left_out),
    3: (_one_limit_of_twins, _measured_anew),
}
"""What takes a form to the next, in order."""
