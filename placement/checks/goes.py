"""What comes of one go of a method, how it may lie in the block, and whether that serves.

Words used here
---------------
go : the least that is made at once: two units from two squares, one goose from a rectangle.
choice : a way to go about it, such as the diagonal that a line is drawn on.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

from placement.checks import paper
from placement.cloth.cutting import Then

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.checks.paper import Wanted, Work

Lies = Counter[frozenset[str]]
"""How many units may lie in the same ways."""

Works = tuple[frozenset[str], ...]
"""How each unit of a go may lie."""


METHODS = {
    "half": {"one": Then.CUT_ONCE, "two": Then.TWO, "four": Then.FOUR, "eight": Then.EIGHT,
             "strips": Then.STRIP_PAIR},
    "goose": {"four at a time": Then.FOUR, "rectangle and squares": Then.CORNERS},
    "quarter": {"cut twice": Then.CUT_TWICE, "two half squares": Then.HALVES},
}  # fmt: skip
"""What happens to the pieces of a method."""


@dataclass(frozen=True, slots=True)
class Goes:
    """Units that are made in one way."""

    choices: tuple[Works, ...]
    """What one go gives, for each way to go about it."""
    number: int
    """How many goes there are."""
    units: int
    """How many units come of them."""


@lru_cache(maxsize=512)
def go(
    kind: str, roles: str, then: Then, sizes: tuple[float, ...], wanted: Wanted,
    one_way: frozenset[str],
) -> tuple[Works, ...]:  # fmt: skip
    """Return what one go gives, for each way to go about it: how every unit may lie.

    Nothing if units of that kind can't be made so.
    """
    q = wanted.q
    if min(sizes) <= 2 * q:
        return ((frozenset(),),)
    ways: dict[tuple[str, Then], list[list[Work]]] = {}
    if kind == "half":
        ways = _half_ways(roles, then, sizes, q)
    elif kind == "goose" and then is Then.FOUR:
        ways = {(kind, then): [paper.geese_four(roles, sizes[0], sizes[1], q)]}
    elif kind == "goose" and then is Then.CORNERS:
        ways = {(kind, then): [paper.goose_of_corners(roles, sizes, patch.cut)
                               for patch in wanted.lies]}  # fmt: skip
    elif kind == "quarter" and then is Then.CUT_TWICE:
        ways = {(kind, then): [paper.quarters_cut_twice(patch.roles, sizes[0], q)
                               for patch in wanted.lies]}  # fmt: skip
    elif kind == "quarter" and then is Then.HALVES:
        turned = roles if roles[1] == roles[3] else roles[1:] + roles[:1]
        ways = {(kind, then): [paper.quarters_of_halves(turned, sizes[0], q)]}
    found = ways.get((kind, then), [])
    return tuple(tuple(paper.upright(works, wanted, one_way)) for works in found)


def _half_ways(
    roles: str, then: Then, sizes: tuple[float, ...], q: float
) -> dict[tuple[str, Then], list[list[Work]]]:
    lines = (True, False)
    makers = {
        Then.TWO: lambda: [paper.halves(roles, sizes[0], q, rising=r) for r in lines],
        Then.CUT_ONCE: lambda: [paper.halves(roles, sizes[0], q, rising=r) for r in lines],
        Then.FOUR: lambda: [paper.halves_round(roles, sizes[0], q)],
        Then.EIGHT: lambda: [paper.halves_eight(roles, sizes[0], q)],
        Then.STRIP_PAIR: lambda: [
            paper.halves_from_strips(roles, sizes[0], sizes[1], q, rising=r) for r in lines
        ],
    }
    return {("half", then): makers[then]()} if then in makers else {}


def serves(need: Counter[str], goes: Sequence[Goes], *, one_way: bool) -> bool:
    """Whether the units of some goes fill every place of the blocks.

    Parameters
    ----------
    need : Counter
        How many units lie in each way.
    goes : sequence of Goes
        What is made.
    one_way : bool
        Whether it matters how they lie.
    """
    if sum(made.units for made in goes) < sum(need.values()):
        return False
    return not one_way or any(_fills(need, supply) for supply in _supplies(goes))


def _supplies(goes: Sequence[Goes]) -> Iterator[Lies]:
    """Yield the units that come of goes, however they are shared out over the ways."""
    if not goes:
        yield Counter()
        return
    first_goes, *rest = goes
    choices, number = first_goes.choices, first_goes.number
    for supply in _supplies(rest):
        if len(choices) < 3:
            for first in range(number + 1) if len(choices) > 1 else (number,):
                shares = (first, number - first)
                yield supply + _times(choices, shares)
        else:
            # A way for each place: whatever is needed can be made.
            yield supply + Counter({frozenset().union(*sum(choices, ())): number})


def _times(choices: Sequence[Sequence[frozenset[str]]], shares: Sequence[int]) -> Lies:
    found: Lies = Counter()
    for works, times in zip(choices, shares, strict=False):
        for lies in works:
            found[lies] += times
    return found


def _fills(lies: Counter[str], supply: Lies) -> bool:
    """Whether places can be filled, by Hall's theorem: some places, the units that fit there."""
    return all(
        sum(lies[way] for way in some) <= sum(n for can, n in supply.items() if can & set(some))
        for size in range(1, len(lies) + 1)
        for some in combinations(lies, size)
    )
