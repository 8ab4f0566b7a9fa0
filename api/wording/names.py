"""What fabrics are called, alone and inside a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import listed, number, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from api.pattern.plan import Plan

_MOST = 8
"""Names in one list; of more the first ones are given."""


def name_of(plan: Plan, fabric: str) -> str:
    """Return the name of a fabric or background as it stands in headings and lists."""
    return plan.swatch(fabric).fabric.name


def called(plan: Plan, fabric: str) -> str:
    """Return the name of a fabric, background or thread in quotation marks."""
    return quoted(name_of(plan, fabric))


def all_called(plan: Plan, fabrics: Iterable[str]) -> str:
    """Join the names of fabrics as a sentence does, at most eight of them.

    Parameters
    ----------
    plan : Plan
        Where they are named.
    fabrics : iterable of str
        Their ids.
    """
    names = [called(plan, fabric) for fabric in fabrics]
    if len(names) > _MOST:
        names = [*names[: _MOST - 1], number(len(names) - _MOST + 1, "other")]
    return listed(names)
