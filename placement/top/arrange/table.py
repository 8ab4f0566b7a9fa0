"""The gains of all swaps of a walk at once, and what counted things make of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import numpy as np

from placement.top.arrange.walk import Walk

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.top.arrange.objective import Objective
    from placement.top.reach.task import Bools, Ints
    from placement.top.request import Floats


class Counted(Protocol):
    """Something counted in a layout, with what a swap would change."""

    @property
    def laying(self) -> Floats:
        """What is added if a fabric is laid in a cell, shape (K, n)."""

    @property
    def lifting(self) -> Floats:
        """What is taken away if a cell's fabric is lifted, shape (n,)."""

    @property
    def shared(self) -> Floats | None:
        """What each of two cells gets too much, shape (n, n); None if that is not known."""

    def swap(self, one: int, other: int, layout: Ints) -> None:
        """Follow a swap; the layout is the one after it."""


class Table:
    """The gains of all swaps of a walk, whose cells also rest."""

    def __init__(
        self,
        objective: Objective,
        layout: Ints,
        together: Bools,
        counted: Sequence[Counted] = (),
    ) -> None:
        self.walk = Walk(objective, layout)
        self.counted = counted
        self.barred = np.where(together, np.inf, 0.0)
        mixing = self.walk.mixing[:, layout][:, :, layout]
        self.between = np.einsum("kij,kij->ij", self.walk.pairs.values, mixing)
        self.between += self.barred[np.ix_(layout, layout)]

    def best(
        self, resting: Bools, priced: Sequence[tuple[Counted, float]] = ()
    ) -> tuple[int, int, float]:
        """Return the swap with the least gain, what is priced counted with it."""
        walk = self.walk
        field, now = walk.field, walk.now
        for thing, price in priced:
            field = field + price * thing.laying
            now = now + price * thing.lifting
        one_way = field[walk.layout] - np.where(resting, -np.inf, now)
        for thing, price in priced:
            if thing.shared is not None:
                one_way -= price * thing.shared
        table = one_way + one_way.T
        table += self.between
        one, other = divmod(int(table.argmin()), len(now))
        return one, other, float(table[one, other])

    def swap(self, one: int, other: int) -> None:
        """Exchange the fabrics of two cells."""
        walk = self.walk
        layout, field, now = walk.layout, walk.field, walk.now
        gain = field[layout[other], one] + field[layout[one], other] - now[one] - now[other]
        walk.swap(one, other, float(gain + self.between[one, other]))
        both = [one, other]
        mixing = walk.mixing[:, layout[both]][:, :, layout]
        rows = np.einsum("krj,krj->rj", walk.pairs.values[:, both], mixing)
        rows += self.barred[layout[both]][:, layout]
        self.between[both] = rows
        self.between[:, both] = rows.T
        for thing in self.counted:
            thing.swap(one, other, layout)
