"""The result of arranging: which fabric lies in which cell, and which blocks are turned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from placement.top.setting.setting import Setting

EMPTY = ""
"""In place of a fabric's id: a cell left as plain background."""


@dataclass(frozen=True, slots=True)
class Layout:
    """A finished arrangement.

    Cells are named by their index into ``setting.cells()``.

    Raises
    ------
    ValueError
        If there is not exactly one fabric a cell, or a pinned or turned cell
        does not exist.
    """

    setting: Setting
    """The cells and who touches whom."""
    fabrics: tuple[str, ...]
    """A fabric id a cell, EMPTY for a cell left plain."""
    pinned: tuple[int, ...] = ()
    """Cells that re-arranging must not change, ascending."""
    turned: tuple[int, ...] = ()
    """Cells whose block is turned, ascending."""
    turn: Literal[90, 180] = 180
    """Degrees clockwise by which those are turned."""

    def __post_init__(self) -> None:
        count = len(self.setting.cells())
        if len(self.fabrics) != count:
            raise ValueError(f"{len(self.fabrics)} fabrics for {count} cells; one each is needed")
        for name, cells in (("pinned", self.pinned), ("turned", self.turned)):
            for cell in cells:
                if not 0 <= cell < count:
                    raise ValueError(f"{name} cell {cell} does not exist; there are {count} cells")

    def counts(self) -> dict[str, int]:
        """Return how many cells each fabric fills, in order of first appearance."""
        tally: dict[str, int] = {}
        for fabric in self.fabrics:
            if fabric != EMPTY:
                tally[fabric] = tally.get(fabric, 0) + 1
        return tally
