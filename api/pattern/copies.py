"""How many blocks each chosen fabric is asked to fill."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from api.pattern.brief import Brief


def copies_asked(brief: Brief, kept: tuple[str, ...]) -> dict[str, int] | None:
    """Return how many blocks each chosen fabric is to fill; None for even shares of all.

    What is left over by those that are told is shared evenly among those that are not; what
    was told of one that is not chosen is missing then, so that it is not passed over.
    """
    told = {share.fabric: share.cells for share in brief.copies}
    if not told:
        return None
    holes = sum(not entry.fabric for entry in brief.pins)
    others = [name for name in kept if name not in told]
    free = len(brief.setting.cells()) - holes - sum(told.values())
    each, over = divmod(max(free, 0), max(len(others), 1))
    return {name: told.get(name, 0) for name in kept} | {
        name: each + (at < over) for at, name in enumerate(others)
    }
