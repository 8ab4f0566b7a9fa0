"""What is kept of plans, as values, and what can't be done with them.

Words used here
---------------
revision : one saved state of a plan. Numbers only grow, so one number always
    means the same content.
cursor : the revision a plan stands at. Undo and redo move it; a new change
    drops the revisions after it and becomes the newest.
body : a plan's JSON text. What it says is no concern of this room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from api.storage.database import StoreError


class MissingError(StoreError):
    """There is no such plan or picture."""


class DamagedError(StoreError):
    """What was kept of a plan can't be read; the others can."""


class ConflictError(StoreError):
    """The plan has changed since the caller last saw it."""


class StuckError(StoreError):
    """There is nothing to undo or redo."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A state of a plan that is to be kept."""

    title: str
    """The plan's title."""
    body: str
    """Its JSON text."""
    what: str
    """What was done, in words."""
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    """Pictures it brings along: bytes under the SHA-256 of the bytes, in hex."""


@dataclass(frozen=True, slots=True)
class Saved:
    """A plan as it stands in the store."""

    id: str
    """The plan's id."""
    revision: int
    """The revision it stands at."""
    body: str
    """Its JSON text."""
    can_undo: bool
    """Whether an earlier revision exists."""
    can_redo: bool
    """Whether an undone revision exists."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list of plans."""

    id: str
    """The plan's id."""
    title: str
    """Its title."""
    revision: int
    """The revision it stands at."""
    saved_at: str
    """When it last changed: UTC, ISO 8601."""
    family: str
    """The family it is of: plans that began as copies of one another share it."""


@dataclass(frozen=True, slots=True)
class Revision:
    """One change of a plan."""

    revision: int
    """Its number."""
    made_at: str
    """When it was made: UTC, ISO 8601."""
    what: str
    """What was done, in words."""
    current: bool
    """Whether the plan stands at it."""


@dataclass(frozen=True, slots=True)
class Step:
    """One state of a plan, with all that was kept of it."""

    number: int
    """Of its revision."""
    made_at: str
    """When it was made: UTC, ISO 8601."""
    what: str
    """What was done, in words."""
    title: str
    """The plan's title by then."""
    body: str
    """Its JSON text."""


@dataclass(frozen=True, slots=True)
class Past:
    """The states of a plan, undone ones too."""

    steps: tuple[Step, ...]
    """Oldest first."""
    at: int
    """The number of the one it stands at."""
    left_out: int = 0
    """Older ones that had no room."""
