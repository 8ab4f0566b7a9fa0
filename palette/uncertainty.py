"""How sure a difference is that was read from photos.

Inside one photo, errors are shared and differences are good. Between photos in
one light, exposure comes in; between lights, dyes that look alike in one look
different in the other. A table tells for each case what the true difference is
likely to be; its `source` names the simulation that made it. Before anything is
seen, every true difference is taken to be as likely as any other.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats

if TYPE_CHECKING:
    from palette.fabric import Fabric


class Case(StrEnum):
    """How the photos of two fabrics stand to each other: the rows of the table."""

    ONE_PHOTO = "one photo, corrected"
    SAME_LIGHT = "same light, corrected"
    OTHER_LIGHT = "other light, corrected"
    ONE_PHOTO_AS_TAKEN = "one photo, as taken"
    SAME_LIGHT_AS_TAKEN = "same light, as taken"
    OTHER_LIGHT_AS_TAKEN = "other light, as taken"


@dataclass(frozen=True, slots=True)
class Doubt:
    """What photos leave open."""

    chance: float
    """That it truly is so, 0 to 1."""
    together: bool
    """Whether one photo shows both fabrics, so that only the cloth can tell more."""


SURE = 0.8
"""From this chance on something is said without a doubt; below 1 minus it, it is denied.
Between them it is too close to tell: a judgement, four times out of five."""

_TABLE = Path(__file__).with_name("uncertainty.json")


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    levels: Floats
    """Chances, ascending, shape (q,)."""
    measured: Floats
    """Measured differences, ascending, shape (m,)."""
    truth: dict[str, Floats]
    """For each case the true difference that is not exceeded with each chance, shape (m, q)."""


def case(a: Fabric, b: Fabric) -> Case | None:
    """Tell how the photos of two fabrics stand to each other; None if colours were told."""
    if not (a.photo and b.photo):
        return None
    corrected = "none" not in (a.corrected, b.corrected)
    if a.photo == b.photo:
        return Case.ONE_PHOTO if corrected else Case.ONE_PHOTO_AS_TAKEN
    if a.light and a.light == b.light:
        return Case.SAME_LIGHT if corrected else Case.SAME_LIGHT_AS_TAKEN
    return Case.OTHER_LIGHT if corrected else Case.OTHER_LIGHT_AS_TAKEN


def chance_below(limit: float, measured: float, how: Case | None) -> float:
    """Give the chance that two fabrics truly differ by less than a limit.

    Parameters
    ----------
    limit : float
        CIEDE2000 (kL = 1).
    measured : float
        The difference as read from their photos.
    how : Case | None
        How the photos stand to each other; None takes what was measured for true.
    """
    if how is None:
        return float(measured < limit)
    table = _table()
    # Beyond the table the error grows no more: what is measured is shifted.
    beyond = max(0.0, measured - float(table.measured[-1]))
    rows = table.truth[how]
    truth = [np.interp(measured, table.measured, column) for column in rows.T]
    return float(np.interp(limit - beyond, [0.0, *truth, 2 * truth[-1]], _ends(table.levels)))


def likely(measured: float, how: Case) -> tuple[float, float]:
    """Give the bounds that the true difference keeps eight times out of ten."""
    table = _table()
    rows = table.truth[how]
    low, high = (
        float(np.interp(measured, table.measured, rows[:, int(np.argmin(abs(table.levels - q)))]))
        for q in (0.1, 0.9)
    )
    return low, high


def is_together(how: Case | None) -> bool:
    """Whether one photo shows both fabrics."""
    return how in (Case.ONE_PHOTO, Case.ONE_PHOTO_AS_TAKEN)


def is_open(chance: float) -> bool:
    """Whether a chance is neither good enough to say something nor to deny it."""
    return 1 - SURE < chance < SURE


def _ends(levels: Floats) -> list[float]:
    return [0.0, *levels.tolist(), 1.0]


@lru_cache(maxsize=1)
def _table() -> _Table:
    kept = json.loads(_TABLE.read_text(encoding="utf-8"))
    truth = {name: np.array(rows) for name, rows in kept["truth"].items()}
    return _Table(np.array(kept["levels"]), np.array(kept["measured"]), truth)
