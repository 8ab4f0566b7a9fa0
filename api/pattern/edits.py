"""Changes of a brief as pure functions: what each decision entails for the others."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import MISSING, replace
from typing import TYPE_CHECKING, Any, TypeVar

from api.pattern.brief import MOST_FABRICS, Brief
from api.pattern.decision import Decided, decisions, named
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from api.pattern.decision import Changes, Decision
    from api.pattern.swatch import Role, Swatch

_Value = TypeVar("_Value")


def merged(value: _Value, changes: Changes, below: Mapping[str, Decision] | None = None) -> _Value:
    """Return a value in which some decisions, or some of those of its parts, are others.

    Raises
    ------
    ValueError
        If they contradict each other.
    """
    new = {
        decided.name: _decided(decided, getattr(value, decided.name), changes[decided.name])
        for decided in decisions(type(value), below)
        if decided.name in changes
    }
    return replace(value, **new)  # type: ignore[type-var]


def _decided(decided: Decided, old: Any, given: Any) -> Any:
    if given is None:
        return None
    if decided.several:
        return tuple(built(decided, entry) if decided.part else entry for entry in given)
    if decided.part:
        whole = decided.optional or old is None or isinstance(given, decided.kind)
        return built(decided, given) if whole else merged(old, given, decided.decision.parts)
    if decided.optional and isinstance(given, Inches) and not given.value:
        return None
    return given


def built(decided: Decided, given: Any) -> Any:
    """Return a part from its decisions by name; one that is made already stays.

    Raises
    ------
    ValueError
        If there can be no such part.
    """
    if isinstance(given, decided.kind):
        return given
    known = {inner.name: inner for inner in decided.parts}
    part = decided.kind(**{name: _decided(known[name], None, given[name]) for name in given})
    if decided.decision.check:
        decided.decision.check(part)
    return part


def change_brief(brief: Brief, changes: Changes) -> Brief:
    """Return a brief in which some decisions are others, with what they entail.

    Decisions of a part that are left out stay as they are. Other units bring their
    usual terms of sewing, and naming a block takes the designer's own away. When the
    setting gets other cells, pins and bans lose their meaning and are dropped, unless
    new ones are given.

    Raises
    ------
    ValueError
        If they contradict each other, a pin or ban names a block that the setting
        does not have, or a block of one's own can't be cut.
    """
    units = changes.get("units", brief.units)
    if units != brief.units:
        brief = replace(brief, sewing=brief.sewing.in_units(units))
    if "block" in changes and changes.get("own_block") is None:
        changes = {**changes, "own_block": None}
    other = merged(brief, changes)
    if other.setting.cells() != brief.setting.cells():
        dropped: dict[str, Any] = {name: () for name in ("pins", "bans") if name not in changes}
        other = replace(other, **dropped)
    _check_cells(other)
    return other


def _check_cells(brief: Brief) -> None:
    count = len(brief.setting.cells())
    for cell in (*(pin.cell for pin in brief.pins), *(ban.cell for ban in brief.bans)):
        if cell >= count:
            raise ValueError(f"there is no block {cell}; this setting has 0 to {count - 1}")
    if len({pin.cell for pin in brief.pins}) < len(brief.pins):
        raise ValueError("a block is locked twice; lock it once")


def pattern_only(brief: Brief) -> Brief:
    """Return a brief without its fabrics: the pattern, to be tried with others."""
    bare = forgotten(brief, {entry.id for entry in named(brief)})
    return replace(bare, swatches=(), backgrounds=(), threads=())


def forgotten(
    value: _Value, gone: Collection[str], below: Mapping[str, Decision] | None = None
) -> _Value:
    """Return a value whose decisions name none of these fabrics.

    A decision that may name none names none then; a part that must name one goes.
    """
    new: dict[str, Any] = {}
    for decided in decisions(type(value), below):
        old = getattr(value, decided.name)
        if decided.part and decided.several:
            stay = (entry for entry in old if not _needs(decided, entry, gone))
            new[decided.name] = tuple(forgotten(entry, gone) for entry in stay)
        elif decided.part and old is not None:
            new[decided.name] = forgotten(old, gone, decided.decision.parts)
        elif decided.decision.names:
            kept = tuple(one for one in (old if decided.several else (old,)) if one not in gone)
            new[decided.name] = kept if decided.several else "".join(kept)
    return replace(value, **new)  # type: ignore[type-var]


def _needs(decided: Decided, entry: Any, gone: Collection[str]) -> bool:
    """Whether a part names nothing but what is gone, and must name something."""
    for inner in decided.parts:
        if not inner.decision.names or inner.usual is not MISSING:
            continue
        value = getattr(entry, inner.name)
        if (not set(value) - set(gone)) if inner.several else value in gone:
            return True
    return False


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
        bare = replace(swatch, fabric=own, picture=taken.picture, taken=taken.taken)
        bare = replace(bare, reference=taken.reference)
        if shows_given or not swatch.fabric.photo:
            return replace(bare, shows=taken.shows, shows_given=taken.shows_given)
        return bare

    return _each(brief, fabric, retaken)


def without_fabric(brief: Brief, fabric: str) -> Brief:
    """Return a brief without a fabric, background or thread, and any mention of it."""

    def others(swatches: tuple[Swatch, ...]) -> tuple[Swatch, ...]:
        return tuple(swatch for swatch in swatches if swatch.fabric.id != fabric)

    return replace(
        forgotten(brief, {fabric}),
        swatches=others(brief.swatches),
        backgrounds=others(brief.backgrounds),
        threads=others(brief.threads),
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
