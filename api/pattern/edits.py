"""Changes of a brief as pure functions: what each decision entails for the others."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from api.pattern.brief import FABRIC_USES, Ban, Brief

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from api.pattern.swatch import Role, Swatch

MOST_FABRICS = 300
"""Fabrics and backgrounds a plan takes."""

_WORDS = {
    "title": "the title",
    "background": "the background",
    "thread": "the thread",
    "count": "the number of fabrics",
    "limits": "the limits",
    "setting": "the setting",
    "sashing_fabric": "the sashing's fabric",
    "cornerstone_fabric": "the cornerstones' fabric",
    "block": "the block",
    "own_block": "the block of her own",
    "sewing": "cutting and finishing",
    "borders": "the borders",
    "binding_fabric": "the binding's fabric",
    "backing_fabric": "the backing's fabric",
    "second_fabric": "the second feature",
    "style": "the arranging rule",
    "apart": "how much neighbours differ",
    "copies": "the copies of fabrics",
    "families": "the colour families",
    "pins": "the locked blocks",
    "bans": "what lies where",
    "turn": "the turning of blocks",
    "seed": "the seed",
    "units": "the units",
}
"""Every decision in words."""


def _unnamed(brief: Brief, fabrics: Collection[str]) -> Brief:
    """Return a brief in which no use names one of these fabrics."""
    bands = (replace(band, fabric="") if band.fabric in fabrics else band for band in brief.borders)
    gone: dict[str, Any] = {field: "" for field in FABRIC_USES if getattr(brief, field) in fabrics}
    return replace(brief, borders=tuple(bands), **gone)


def changed(names: Collection[str]) -> str:
    """Say which decisions of a brief were changed.

    >>> changed({'block', 'seed', 'title'})
    'Changed the title, the block and the seed'
    """
    words = [text for name, text in _WORDS.items() if name in names]
    if not words:
        return "Changed nothing"
    *front, last = words
    return f"Changed {', '.join(front)} and {last}" if front else f"Changed {last}"


def change_brief(brief: Brief, fields: Mapping[str, Any]) -> Brief:
    """Return a brief with other values in some fields.

    When the setting gets other cells, pins and bans lose their meaning and are
    dropped, unless new ones are among the fields.

    Raises
    ------
    ValueError
        If a pin or ban names a block that the setting does not have.
    """
    other = replace(brief, **fields)
    if other.setting.cells() != brief.setting.cells():
        dropped: dict[str, Any] = {name: () for name in ("pins", "bans") if name not in fields}
        other = replace(other, **dropped)
    count = len(other.setting.cells())
    for cell in (*(pin.cell for pin in other.pins), *(ban.cell for ban in other.bans)):
        if cell >= count:
            raise ValueError(f"there is no block {cell}; this setting has 0 to {count - 1}")
    if len({pin.cell for pin in other.pins}) < len(other.pins):
        raise ValueError("a block is locked twice; lock it once")
    return other


def pattern_only(brief: Brief) -> Brief:
    """Return a brief without its fabrics: the pattern, to be tried with others."""
    return replace(
        _unnamed(brief, {fabric for fabric, _ in brief.named()}),
        swatches=(),
        backgrounds=(),
        background="",
        threads=(),
        thread="",
        copies=(),
        families=(),
        pins=(),
        bans=(),
        sewing=replace(brief.sewing, cloths=()),
    )


def with_swatch(brief: Brief, swatch: Swatch, role: Role = "fabric") -> Brief:
    """Return a brief with one more fabric, background or thread, under an id of its own.

    Raises
    ------
    ValueError
        If the plan is full.
    """
    taken = {entry.fabric.id for entry in brief.everything()}
    if len(taken) >= MOST_FABRICS:
        raise ValueError(f"a plan takes {MOST_FABRICS} fabrics; remove some to add others")
    fabric = replace(swatch.fabric, id=new_id(swatch.fabric.name, taken))
    own = replace(swatch, fabric=fabric)
    if role == "fabric":
        return replace(brief, swatches=(*brief.swatches, own))
    if role == "background":
        return replace(brief, backgrounds=(*brief.backgrounds, own))
    return replace(brief, threads=(*brief.threads, own))


def with_changed_swatch(brief: Brief, fabric: str, fields: Mapping[str, Any]) -> Brief:
    """Return a brief with other values for one fabric, background or thread.

    Raises
    ------
    ValueError
        If both marks are set at once.
    """
    return _each(brief, fabric, lambda swatch: _changed(swatch, fields))


def with_new_photo(brief: Brief, fabric: str, taken: Swatch, *, shows_given: bool) -> Brief:
    """Return a brief in which a swatch has another photo: its colours, picture and warnings.

    Its id, name, marks and place stay, and so does the width that its photo shows
    unless the new one is given, or it had no photo before.
    """

    def retaken(swatch: Swatch) -> Swatch:
        own = replace(taken.fabric, id=swatch.fabric.id, name=swatch.fabric.name)
        bare = replace(swatch, fabric=own, picture=taken.picture, reference=taken.reference)
        if shows_given or not swatch.fabric.photo:
            return replace(bare, shows=taken.shows, shows_given=taken.shows_given)
        return bare

    return _each(brief, fabric, retaken)


def without_fabric(brief: Brief, fabric: str) -> Brief:
    """Return a brief without a fabric, background or thread, and any mention of it."""

    def others(swatches: tuple[Swatch, ...]) -> tuple[Swatch, ...]:
        return tuple(swatch for swatch in swatches if swatch.fabric.id != fabric)

    bans = (
        Ban(ban.cell, tuple(name for name in ban.fabrics if name != fabric)) for ban in brief.bans
    )
    return replace(
        _unnamed(brief, {fabric}),
        swatches=others(brief.swatches),
        backgrounds=others(brief.backgrounds),
        background="" if brief.background == fabric else brief.background,
        threads=others(brief.threads),
        thread="" if brief.thread == fabric else brief.thread,
        copies=tuple(share for share in brief.copies if share.fabric != fabric),
        families=tuple(share for share in brief.families if share.fabric != fabric),
        pins=tuple(pin for pin in brief.pins if pin.fabric != fabric),
        bans=tuple(ban for ban in bans if ban.fabrics),
    )


def _each(brief: Brief, fabric: str, edit: Callable[[Swatch], Swatch]) -> Brief:
    """Return a brief with one swatch edited, whatever its role."""

    def each(swatches: tuple[Swatch, ...]) -> tuple[Swatch, ...]:
        return tuple(edit(s) if s.fabric.id == fabric else s for s in swatches)

    return replace(
        brief,
        swatches=each(brief.swatches),
        backgrounds=each(brief.backgrounds),
        threads=each(brief.threads),
    )


def _changed(swatch: Swatch, fields: Mapping[str, Any]) -> Swatch:
    values = dict(fields)
    if "name" in values:
        values["fabric"] = replace(swatch.fabric, name=values.pop("name"))
    if "shows" in values:
        values["shows_given"] = True
    for mark, other in (("must_use", "leave_out"), ("leave_out", "must_use")):
        if values.get(mark):
            values.setdefault(other, False)
    return replace(swatch, **values)


def new_id(name: str, taken: Collection[str]) -> str:
    """Make an id of lower-case letters, digits and hyphens that is not taken yet.

    >>> new_id('Quince dots', {'quince-dots'})
    'quince-dots-2'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "fabric"
    number, candidate = 1, slug
    while candidate in taken:
        number += 1
        candidate = f"{slug}-{number}"
    return candidate
