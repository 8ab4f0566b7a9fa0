"""What tells variants of a plan apart, in figures, and what they are called."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from api.pattern.lookalikes import Touch, near

if TYPE_CHECKING:
    from api.pattern.plan import Plan

if TYPE_CHECKING:
    from collections.abc import Collection

    from api.pattern.plan import Plan


def near_pairs(plan: Plan) -> int:
    """Return how many pairs of blocks with a common edge differ by less than ``limits.clear``.

    The difference is CIEDE2000 between what two fabrics read as; 0 without a layout.
    """
    if plan.layout is None:
        return 0
    touching = near(plan, len(plan.layout.fabrics) ** 2)
    clear = plan.brief.limits.clear
    return sum(pair.touch == Touch.EDGE and pair.difference < clear for pair in touching)


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
