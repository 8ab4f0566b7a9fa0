"""What tells variants of a plan apart, in figures and in words."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from api.pattern.lookalikes import near
from api.pattern.plan import Plan
from api.wording.plan import length, number


def near_pairs(plan: Plan) -> int:
    """Return how many pairs of blocks with a common edge differ by less than ``limits.clear``.

    The difference is CIEDE2000 between what two fabrics read as; 0 without a layout.
    """
    if plan.layout is None:
        return 0
    touching = near(plan, len(plan.layout.fabrics) ** 2)
    clear = plan.brief.limits.clear
    return sum(pair.touch == "edge" and pair.difference < clear for pair in touching)


def finished(plan: Plan) -> str:
    """Write a plan's finished size."""
    return " x ".join(length(side, plan.brief.units) for side in plan.brief.size())


def facts(plan: Plan, near: int) -> Iterator[str]:
    """Yield what tells a plan from its variants.

    Parameters
    ----------
    near
        Pairs of neighbours that look alike (see ``near_pairs``).
    """
    fabrics = number(len(plan.choice.kept) if plan.choice else 0, "fabric")
    yield f"{fabrics} on {plan.swatch(plan.background).fabric.name}" if plan.background else fabrics
    yield finished(plan)
    if not plan.quality:
        yield "not laid out yet"
        return
    closest, reach = plan.quality.closest, plan.quality.reach
    yield f"neighbours differ by {closest:.1f} or more; {reach:.1f} can be reached"
    yield f"{number(near, 'pair') if near else 'no pair'} of neighbours nearly alike"
    if plan.quality.copies_apart:
        yield f"one fabric comes again after {plan.quality.copies_apart:.1f} blocks"


def next_title(title: str, taken: Collection[str]) -> str:
    """Name a variant of a plan after it, with the next number that is free.

    >>> next_title('Orchard', ['Orchard'])
    'Orchard 2'
    >>> next_title('Orchard 2', ['Orchard', 'Orchard 2'])
    'Orchard 3'
    """
    stem = re.sub(r" \d{1,3}$", "", title)
    stem = stem if stem in taken else title
    number = 2
    while f"{stem} {number}" in taken:
        number += 1
    return f"{stem} {number}"
