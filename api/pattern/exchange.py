"""A chosen fabric exchanged for a left-out one by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from api.pattern.brief import Brief, Copies, Family, Pin
from api.pattern.edits import with_changed_swatch
from palette.picking import substitutes as palette_substitutes

if TYPE_CHECKING:
    from api.pattern.plan import Plan
    from palette.picking.choice import Choice


def tries(plan: Plan, out: str) -> tuple[palette_substitutes.Substitute, ...]:
    """Return what each left-out fabric would do in the place of a chosen one, best first.

    Raises
    ------
    ValueError
        If that fabric is not among the chosen ones.
    """
    return palette_substitutes.substitutes(
        [swatch.fabric for swatch in plan.brief.swatches],
        [entry for entry in plan.contrasts if entry.background == plan.background],
        _chosen(plan, out),
        out,
        [swatch.fabric.id for swatch in plan.brief.swatches if swatch.must_use],
        plan.brief.limits,
    )


def exchanged(plan: Plan, out: str, into: str, *, keep: bool = False) -> Brief:
    """Return the brief in which one fabric must be used and another is left out.

    What was decided on the one that goes, its locked blocks, its copies and its
    family, passes to the one that comes. The rest is picked and proved as ever, or
    must be used as it is when it is to be kept.

    Raises
    ------
    ValueError
        If the one is not among the chosen ones, or the other is not left out.
    """
    choice = _chosen(plan, out)
    if into not in {entry.fabric for entry in choice.left_out}:
        raise ValueError(f"there is no left-out fabric {into!r} to take its place; choose one")
    brief = with_changed_swatch(plan.brief, out, {"leave_out": True})
    for fabric in (into, *(choice.kept if keep else ())):
        if fabric != out:
            brief = with_changed_swatch(brief, fabric, {"must_use": True})
    pins = (Pin(pin.cell, into) if pin.fabric == out else pin for pin in brief.pins)
    return replace(
        brief,
        pins=tuple(pins),
        copies=_passed_on(brief.copies, out, into),
        families=_passed_on(brief.families, out, into),
    )


def _chosen(plan: Plan, out: str) -> Choice:
    if plan.choice is None or out not in plan.choice.kept:
        raise ValueError(f"fabric {out!r} is not among the picks, so nothing can take its place")
    return plan.choice


_Own = TypeVar("_Own", Copies, Family)


def _passed_on(shares: tuple[_Own, ...], out: str, into: str) -> tuple[_Own, ...]:
    """Return what fabrics have when one has what another had."""
    if not any(share.fabric == out for share in shares):
        return shares
    kept = (share for share in shares if share.fabric != into)
    return tuple(replace(s, fabric=into) if s.fabric == out else s for s in kept)
