"""Which way each seam is pressed, and which blocks turn, so that every junction nests.

A plan is one choice of sides for all seams of a block; blocks of the two colours
of the checkerboard share a plan, or have one each. For seams, junctions and ties
see placement.top.sewing.seams.

Every junction is an exclusive or between two choices, so a block is a graph to
be coloured with two colours; each connected component takes the cheaper of its
two colourings, where a seam pressed toward the lighter cloth costs its length.
Rows of blocks are pressed in alternate directions, which makes the corners of
blocks nest always.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from placement.top.sewing.seams import Junction, Place, Seam, Turn, between, block_seams, ties

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from placement.block import Block


@dataclass(frozen=True, slots=True)
class Pressing:
    """How the blocks are pressed and turned."""

    seams: tuple[Seam, ...]
    """Seams of the block."""
    plans: tuple[tuple[int, ...], ...]
    """A choice a seam; one plan for all blocks, or two for the checkerboard's colours."""
    turn: Turn
    """Degrees by which blocks of the second colour are turned, clockwise."""
    failing: tuple[Place, ...]
    """Junctions that can't nest, each by its place."""
    toward_dark: float
    """Share of the seams' length, between cloths of different lightness, pressed to the darker."""
    alone: bool
    """Whether no block touches another, so that none turns and all are pressed alike."""
    kindness: int = 2
    """2 if all triangle units made alike are pressed alike, 1 if the seams of each goose
    are, 0 if some goose has one seam pressed each way."""


def press(
    block: Block,
    lightness: Mapping[str, float],
    *,
    directional: bool = False,
    alone: bool = False,
) -> Pressing:
    """Choose a side for every seam, and a turn or a second plan for every other block.

    Parameters
    ----------
    block : Block
        The block.
    lightness : mapping
        L* of the cloth of each role.
    directional : bool
        Whether a print has an up and a down, which forbids turning.
    alone : bool
        Whether no block touches another (a single block, or plain ones or sashing between).

    Returns
    -------
    Pressing
        With the fewest junctions that fail; among those both seams of every goose
        pressed alike, one plan with a turn before two plans, units made alike
        pressed alike, and the most length pressed toward the darker cloth.
    """
    seams, inside = block_seams(block)
    alone = alone or not seams
    looks = () if directional or alone else block.same_when_turned()
    ways: list[tuple[Turn, bool]] = [(turn, False) for turn in (180, 90) if turn in looks]
    ways.append((0, not alone))
    tied: dict[int, tuple[Junction, ...]] = {
        2: ties(block, across=True),
        1: ties(block, across=False),
        0: (),
    }
    tries = [
        _solve(seams, inside, alike, lightness, turn, two=two, alone=alone, kindness=kindness)
        for turn, two in ways
        for kindness, alike in tied.items()
    ]
    return max(
        tries,
        key=lambda found: (
            -len(found.failing),
            found.kindness > 0,
            len(found.plans) == 1,
            found.kindness,
            round(found.toward_dark, 9),
        ),
    )


def _solve(
    seams: tuple[Seam, ...],
    inside: tuple[Junction, ...],
    alike: tuple[Junction, ...],
    lightness: Mapping[str, float],
    turn: Turn,
    *,
    two: bool,
    alone: bool,
    kindness: int,
) -> Pressing:
    count = len(seams)
    shift = count if two else 0
    junctions = [*inside, *(_moved(inside, shift) if two else ())]
    if not alone:
        junctions += between(seams, turn, shift)
    colouring = _Colouring(count * (2 if two else 1))
    for tie in (*alike, *(_moved(alike, shift) if two else ())):
        colouring.oppose(tie.first, tie.second, tie.differ)
    failing = tuple(
        dict.fromkeys(
            j.place for j in junctions if not colouring.oppose(j.first, j.second, j.differ)
        )
    )
    costs = [_cost(seam, lightness) for seam in seams] * (2 if two else 1)
    choices = colouring.cheapest(costs)
    plans = (choices[:count], choices[count:]) if two else (choices,)
    total = sum(abs(cost) for cost in costs)
    lost = sum(
        max(0.0, -cost if choice else cost) for cost, choice in zip(costs, choices, strict=True)
    )
    dark = 1 - lost / total if total else 1.0
    return Pressing(seams, plans, turn, failing, dark, alone, kindness)


def _moved(junctions: tuple[Junction, ...], shift: int) -> tuple[Junction, ...]:
    """Return junctions of the first plan as those of the second."""
    return tuple(Junction(j.first + shift, j.second + shift, j.differ, j.place) for j in junctions)


def _cost(seam: Seam, lightness: Mapping[str, float]) -> float:
    """Return what choice 0 costs more than choice 1: the length, if its side is the lighter."""
    first, second = (lightness.get(role) for role in seam.roles)
    if first is None or second is None or first == second:
        return 0.0
    return seam.length if first > second else -seam.length


class _Colouring:
    """Two-colouring by union-find with parity: each set knows how its members relate."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))
        self.parity = [0] * count

    def find(self, item: int) -> tuple[int, int]:
        parity = 0
        while self.parent[item] != item:
            parity ^= self.parity[item]
            item = self.parent[item]
        return item, parity

    def oppose(self, first: int, second: int, differ: bool) -> bool:
        """Ask two choices to differ (or be equal); return whether that is possible."""
        (root, one), (root2, two) = self.find(first), self.find(second)
        if root == root2:
            return (one ^ two) == int(differ)
        self.parent[root2] = root
        self.parity[root2] = one ^ two ^ int(differ)
        return True

    def cheapest(self, costs: Sequence[float]) -> tuple[int, ...]:
        """Return a choice each; every set takes the cheaper of its two colourings.

        ``costs[i]`` is what choice 0 costs more than choice 1.
        """
        balance: dict[int, float] = {}
        for item, cost in enumerate(costs):
            root, parity = self.find(item)
            balance[root] = balance.get(root, 0.0) + (-cost if parity else cost)
        return tuple(
            int(balance[root] > 0) ^ parity for root, parity in map(self.find, range(len(costs)))
        )
