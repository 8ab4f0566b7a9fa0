"""What was changed, as the history of a plan tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.brief import Brief
from api.pattern.decision import decisions
from api.wording.english import listed, number, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from api.pattern.decision import Changes, Decided
    from api.pattern.swatch import Role

BEGAN = "Began the plan"
BEGAN_WITH_PATTERN = "Began with a pattern"
BEGAN_WITH_SAMPLE = "Began with the sample"
OPENED = "Opened a plan's file"
ARRANGED = "Arranged the blocks"
LOOKED_FURTHER = "Looked further for a better layout"
SWAPPED_BLOCKS = "Swapped two blocks"
SWAPPED_PICKS = "Swapped a fabric for another"
LOCKED = "Locked a block"
UNLOCKED = "Unlocked a block"
CHANGED_FABRIC = "Changed a fabric"
REMOVED_FABRIC = "Removed a fabric"
PUT_RIGHT = "Put a fabric right by hand"
RETOOK_PHOTO = "Took a new photo of a fabric"


def changed(changes: Changes, owner: type = Brief) -> str:
    """Say which decisions of a brief (or of another owner of decisions) were changed.

    >>> changed({'seed': 4, 'block': 'nine-patch', 'setting': {'across': 3}})
    'Changed the blocks across, the block and the seed'
    """
    words = [*_words(changes, decisions(owner))]
    return f"Changed {listed(words)}" if words else "Changed nothing"


def changed_fabrics(told: Iterable[Decided]) -> str:
    """Say what was decided on single fabrics: their names, marks, what photos show."""
    words = [each.decision.words or each.name.replace("_", " ") for each in told]
    return f"Changed {listed(words)} of single fabrics"


def _words(changes: Changes, known: Iterable[Decided]) -> Iterator[str]:
    for decided in known:
        if decided.name not in changes:
            continue
        if decided.decision.words:
            yield decided.decision.words
        else:
            yield from _words(changes[decided.name], decided.parts)


def began_as_variant(title: str) -> str:
    """Say what a plan is a variant of.

    >>> began_as_variant('Orchard')
    "Began as a variant of 'Orchard'"
    """
    return f"Began as a variant of {quoted(title)}"


def added(count: int, role: Role) -> str:
    """Say how many fabrics, backgrounds or threads were added.

    >>> added(1, 'background'), added(3, 'fabric')
    ('Added 1 background', 'Added 3 fabrics')
    """
    return f"Added {number(count, role)}"


def added_from_bundle(count: int, role: Role) -> str:
    """Say how many were added from the photo of a whole bundle."""
    return f"{added(count, role)} from one photo"
