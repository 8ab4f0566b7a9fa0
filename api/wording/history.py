"""What was changed, as the history of a plan tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.brief import Brief
from api.pattern.decision import decisions
from api.wording.english import listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from api.pattern.decision import Changes, Decided


def changed(changes: Changes, owner: type = Brief) -> str:
    """Say which decisions of a brief (or of another owner of decisions) were changed.

    >>> changed({'seed': 4, 'block': 'nine-patch', 'setting': {'across': 3}})
    'Changed the blocks across, the block and the seed'
    """
    words = [*_words(changes, decisions(owner))]
    return f"Changed {listed(words)}" if words else "Changed nothing"


def _words(changes: Changes, known: Iterable[Decided]) -> Iterator[str]:
    for decided in known:
        if decided.name not in changes:
            continue
        if decided.decision.words:
            yield decided.decision.words
        else:
            yield from _words(changes[decided.name], decided.parts)
