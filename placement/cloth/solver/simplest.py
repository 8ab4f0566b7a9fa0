"""The simplest strips: fewest instructions, then ruler settings, then cuts, within some height.

Every want is cut from one kind of strip, or from strips of its own, cut full, and a
rest that shares another kind (see batches). All ways to part the wants into groups
are gone through, group by group, each group with every offer; of what is
reached by several ways, all is kept that is lower or takes fewer ruler settings than
everything simpler. So the answer is exact for plans of this form.

Where no plan of this form is low enough, or simple enough, lower pieces may add
strips to those of the highest; where that does not do either, one or two wants are
parted beforehand besides, into what full strips give and the rest, each a want of
its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import combinations, product
from typing import TYPE_CHECKING

from placement.cloth.handwork import Handwork
from placement.cloth.solver.batches import Batch, Cutter, Offer, Want, offers, simpler_or_lower

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_SHARING = {8: 4, 10: 3, 14: 2}
"""Most wants of a list, and how many of them may then share a batch."""
_SPLIT = 2
"""Most wants that are parted beforehand."""
_SPLIT_WANTS = 9
"""Longest list of which wants are parted beforehand."""


@dataclass(frozen=True, slots=True)
class Simple:
    """Strips that give every piece wanted."""

    batches: tuple[Batch, ...]
    """One for each instruction."""
    handwork: Handwork
    """What they ask of the cutter."""
    height: int
    """Height of all strips, units."""


@dataclass(frozen=True, slots=True)
class _Reached:
    """One way to give some of the wants."""

    handwork: Handwork
    """So far."""
    height: int
    """So far, units."""
    last: Offer | None = None
    """The offer taken last; None at the start."""
    before: _Reached | None = None
    """What was reached before it."""

    def batches(self) -> tuple[Batch, ...]:
        if self.last is None or self.before is None:
            return ()
        return (*self.before.batches(), *self.last.batches)


@dataclass(frozen=True, slots=True)
class Limits:
    """What a plan may take at most."""

    height: int
    """Of all strips together, units."""
    settings: int = 10**6
    """Ruler settings."""
    instructions: int = 10**6
    """Instructions."""

    def hold(self, work: Handwork) -> bool:
        """Whether so much handwork is within them."""
        return work.settings <= self.settings and work.instructions <= self.instructions


def simplest(
    wants: Sequence[Want], cutter: Cutter, limits: Limits, *, lavish: bool = False
) -> tuple[Simple, ...]:
    """Return plans within limits, the simplest first; each further one is lower or sets less.

    Parameters
    ----------
    wants : sequence of Want
        What is wanted, each with at least one way.
    cutter : Cutter
        The cloth's width and how many strips are cut at once.
    limits : Limits
        What a plan may take.
    lavish : bool
        Whether lower pieces may add strips to those of the highest.
    """
    return tuple(_Partition(wants, cutter, limits, lavish=lavish).run())


def simplest_parted(wants: Sequence[Want], cutter: Cutter, limits: Limits) -> tuple[Simple, ...]:
    """Return lavish plans with one or two wants parted beforehand into full strips and the rest."""
    if len(wants) > _SPLIT_WANTS:
        return ()
    found: list[Simple] = []
    for number in range(1, _SPLIT + 1):
        for chosen in combinations(range(len(wants)), number):
            found += _split(wants, chosen, cutter, limits)
        if found:
            break
    return tuple(simpler_or_lower(found))


def _split(
    wants: Sequence[Want], chosen: Sequence[int], cutter: Cutter, limits: Limits
) -> Iterator[Simple]:
    for ways in product(*(wants[at].ways for at in chosen)):
        parted, origin = list(wants), list(range(len(wants)))
        for at, way in zip(chosen, ways, strict=True):
            each = cutter.width // way.width
            full = wants[at].count // each * each
            full -= 0 if full < wants[at].count else each
            if not full:
                break
            parted[at] = Want(full, (way,))
            parted.append(Want(wants[at].count - full, (way,)))
            origin.append(at)
        else:
            for simple in _Partition(parted, cutter, limits, lavish=True).run():
                yield replace(simple, batches=tuple(_renamed(simple.batches, origin)))


def _renamed(batches: Sequence[Batch], origin: Sequence[int]) -> Iterator[Batch]:
    for batch in batches:
        parts = tuple(replace(part, want=origin[part.want]) for part in batch.parts)
        yield replace(batch, parts=parts)


class _Partition:
    """Goes through all ways to part wants into groups, each group with every offer."""

    def __init__(
        self, wants: Sequence[Want], cutter: Cutter, limits: Limits, *, lavish: bool = False
    ) -> None:
        self.areas = [want.area for want in wants]
        self.width = cutter.width
        self.limits = limits
        room = limits.height * cutter.width - sum(self.areas)
        sharing = next((most for longest, most in _SHARING.items() if len(wants) <= longest), 1)
        self.by_first: list[list[Offer]] = [[] for _ in wants]
        for offer in offers(wants, cutter, room, min(sharing, len(wants)), lavish=lavish):
            self.by_first[offer.wants[0]].append(offer)
        # By the set of wants that are given, as bits.
        self.reached: dict[int, list[_Reached]] = {0: [_Reached(Handwork.NONE, 0)]}

    def run(self) -> Iterator[Simple]:
        """Yield plans of the module's first form."""
        full = (1 << len(self.areas)) - 1
        # A set is only ever left for one with more in it, which is a greater number.
        waiting = [0]
        while waiting and waiting[0] != full:
            given = heappop(waiting)
            for after in self.extend(given, simpler_or_lower(self.reached.pop(given))):
                heappush(waiting, after)
        for line in simpler_or_lower(self.reached.get(full, [])):
            yield Simple(line.batches(), line.handwork, line.height)

    def extend(self, given: int, lines: Sequence[_Reached]) -> Iterator[int]:
        """Add every offer for the first want still missing; yield the sets that are new."""
        first = next(at for at in range(len(self.areas)) if not given >> at & 1)
        for offer in self.by_first[first]:
            taken = sum(1 << at for at in offer.wants)
            further = [] if given & taken else [*self.within(given | taken, offer, lines)]
            if further:
                if given | taken not in self.reached:
                    yield given | taken
                self.reached.setdefault(given | taken, []).extend(further)

    def within(self, after: int, offer: Offer, lines: Sequence[_Reached]) -> Iterator[_Reached]:
        """Yield what an offer leads to within the limits."""
        rest = sum(area for at, area in enumerate(self.areas) if not after >> at & 1)
        most = self.limits.height - -(-rest // self.width)
        for line in lines:
            height, work = line.height + offer.height, line.handwork + offer.handwork
            if height <= most and self.limits.hold(work):
                yield _Reached(work, height, offer, line)
