"""Plans as files and by their links, in words."""

from __future__ import annotations

from api.wording.english import number

NOTHING_TO_SEE = "There is no pattern to see here"
"""Heading of the page for a link that leads to no pattern."""
UNREADABLE = "A plan that can't be read"
"""In place of the title of a plan in a damaged file."""


def lacking(pictures: int) -> str:
    """Say that a plan's file lacks pictures, and what to do; nothing if it lacks none."""
    if not pictures:
        return ""
    return (
        f"This file lacks {number(pictures, 'picture')}, so those fabrics are shown as plain cloth "
        "in their colours. To see the cloth, photograph them again, or open the plan's .zip file."
    )


def shortened(changes: int) -> str:
    """Say that the oldest changes of a plan are not in its file; nothing if all are.

    >>> shortened(1)
    'This file lacks the oldest change of the plan: there was no room for more.'
    """
    if not changes:
        return ""
    which = "change" if changes == 1 else f"{number(changes, 'change')}"
    return f"This file lacks the oldest {which} of the plan: there was no room for more."
