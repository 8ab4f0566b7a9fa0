"""Independent judge of a pick: is every reason true, and every number in it.

A reason that names another fabric names one that is used; what is said to be the best
is held against every single exchange. Differences are measured by
palette.checks.likeness, contrasts by palette.checks.sinking.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations
from typing import TYPE_CHECKING

from palette.checks.likeness import measured
from palette.checks.sinking import colours_apart, how_it_stands
from palette.fabric import Fabric
from palette.picking.choice import Choice, LeftOut, Limits, Reason, WhyKept

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator


Fact = float | str

_SAME = 1e-5
"""Two ways to work out one difference part by less."""


class PickFaultKind(StrEnum):
    """What can be wrong with a pick; the facts of each stand in placement.checks.fault."""

    PARTS = "pick parts"
    WISH = "pick wish"
    TWINS = "pick twins"
    CLOSEST = "pick closest"
    BETTER = "pick better"
    BOUND = "pick bound"
    NOT_USED = "pick not used"
    REASON = "pick reason"
    MEASURE = "pick measure"


@dataclass(frozen=True, slots=True)
class PickFault:
    """Something wrong with a pick."""

    kind: PickFaultKind
    """What."""
    facts: tuple[tuple[str, Fact], ...]
    """What it is about."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What was to be picked."""

    fabrics: Sequence[Fabric]
    """The bundle."""
    background: Fabric | None = None
    """What they are to stand out from; None where none shows."""
    must: frozenset[str] = frozenset()
    """Ids of those that must be used."""
    leave: frozenset[str] = frozenset()
    """Ids of those left out by hand."""
    limits: Limits = field(default_factory=Limits)
    """The limits."""
    mood: Fabric | None = None
    """What the picked ones are to be near; None for far apart."""


def judge_pick(asked: Asked, choice: Choice) -> tuple[PickFault, ...]:
    """List everything wrong with a choice and with the reasons it gives.

    Parameters
    ----------
    asked : Asked
        What was wished.
    choice : Choice
        What is said of it.
    """
    parted = tuple(_parted(asked, choice))
    return parted or tuple(_Judge(asked, choice).faults())


def _fault(kind: PickFaultKind, **facts: Fact) -> PickFault:
    return PickFault(kind, tuple(facts.items()))


def _parted(asked: Asked, choice: Choice) -> Iterator[PickFault]:
    """Hold every fabric to be used or left out, once, as it is marked."""
    gone = [entry.fabric for entry in choice.left_out]
    for fabric in asked.fabrics:
        if [*choice.kept, *gone].count(fabric.id) != 1:
            yield _fault(PickFaultKind.PARTS, fabric=fabric.id)
    for wrong in (asked.must & {*gone}) | (asked.leave & {*choice.kept}):
        yield _fault(PickFaultKind.WISH, fabric=wrong)


class _Judge:
    """One choice, everything about it measured."""

    def __init__(self, asked: Asked, choice: Choice) -> None:
        self.asked, self.choice = asked, choice
        self.kept = choice.kept
        self.fabrics = {fabric.id: fabric for fabric in asked.fabrics}
        pairs = [(a, b) for a in self.fabrics for b in self.kept]
        self.apart = measured(self.fabrics, pairs)
        self.seen = {
            name: how_it_stands(fabric, asked.background, asked.limits)
            for name, fabric in self.fabrics.items()
            if asked.background is not None
        }
        self.off = self._from_mood()
        self.least = self._closest(self.kept, free=True)

    def _from_mood(self) -> dict[str, float]:
        mood = self.asked.mood
        if mood is None or self.choice.off is None:
            return {}
        pulled = [mood.reads_as, *(part.colour for part in mood.colours if part.share >= 0.05)]
        return {
            name: min(colours_apart(fabric.reads_as, colour) for colour in pulled)
            for name, fabric in self.fabrics.items()
        }

    def _closest(self, names: Collection[str], *, free: bool = False) -> float:
        """Return the least difference; `free` leaves out pairs that must both be used."""
        must = self.asked.must if free else frozenset()
        return min(
            (self.apart[a, b] for a, b in combinations(names, 2) if not {a, b} <= must),
            default=float("inf"),
        )

    def faults(self) -> Iterator[PickFault]:
        yield from self._together()
        yield from self._told()
        for entry in self.choice.left_out:
            yield from self._reason(entry)

    def _together(self) -> Iterator[PickFault]:
        for a, b in combinations(self.kept, 2):
            close = self.apart[a, b] < self.asked.limits.twin - _SAME
            if close and not {a, b} <= self.asked.must:
                yield _fault(PickFaultKind.TWINS, fabric=a, other=b, found=self.apart[a, b])
        for name in self.kept:
            if self.asked.must.isdisjoint({name}) and self.seen and self.seen[name].sinks:
                yield _fault(PickFaultKind.REASON, fabric=name, said="used")

    def _told(self) -> Iterator[PickFault]:
        """Judge what is said of the whole: the closest two, the bound, and that none is better."""
        choice, found = self.choice, self._closest(self.kept)
        if len(self.kept) > 1 and abs((choice.closest or 0.0) - found) > _SAME:
            yield _fault(PickFaultKind.CLOSEST, said=choice.closest or 0.0, found=found)
        pair = choice.closest_pair
        if pair is not None and self.apart.get(pair, found + 1) > found + _SAME:
            yield _fault(PickFaultKind.CLOSEST, said=self.apart.get(pair, 0.0), found=found)
        near = sum(self.off[name] for name in self.kept) if self.off else self.least
        if choice.off is not None and abs(choice.off - near) > _SAME * len(self.kept):
            yield _fault(PickFaultKind.CLOSEST, said=choice.off, found=near)
        yield from self._bounded(near)
        if choice.proved:
            yield from self._exchanged(near)

    def _bounded(self, found: float) -> Iterator[PickFault]:
        bound = self.choice.bound
        if bound is None:
            return
        past = bound - found if self.off else found - bound
        if past > _SAME * max(1, len(self.kept)) or (
            self.choice.proved and past < -_SAME * len(self.kept)
        ):
            yield _fault(PickFaultKind.BOUND, said=bound, found=found)

    def _exchanged(self, found: float) -> Iterator[PickFault]:
        """Try each fabric that can be used in the place of each chosen one."""
        gone = {entry.fabric for entry in self.choice.left_out} - self.asked.leave
        for new in sorted(gone):
            if self.seen and self.seen[new].sinks:
                continue
            for old in self.kept:
                if old not in self.asked.must:
                    yield from self._exchange(old, new, found)

    def _exchange(self, old: str, new: str, found: float) -> Iterator[PickFault]:
        rest = [name for name in self.kept if name != old]
        nearest = min((self.apart[new, name] for name in rest), default=float("inf"))
        after = min(nearest, self._closest(rest, free=True))
        if self.off:
            total = found - self.off[old] + self.off[new]
            better = total < found - _SAME and nearest >= self.asked.limits.twin
        else:
            total, better = after, after > found + _SAME
        if better:
            yield _fault(PickFaultKind.BETTER, fabric=new, other=old, found=total)

    def _reason(self, entry: LeftOut) -> Iterator[PickFault]:
        name, reason = entry.fabric, entry.reason
        if reason is Reason.BY_HAND:
            held = name in self.asked.leave
        elif reason in (Reason.LOST, Reason.CAMOUFLAGE):
            yield from self._sinks(entry)
            return
        else:
            held = not (self.seen and self.seen[name].sinks) and name not in self.asked.leave
        if not held:
            yield _fault(PickFaultKind.REASON, fabric=name, said=str(reason))
        elif reason is Reason.TWIN:
            yield from self._twin(entry)
        elif reason is Reason.FARTHER:
            yield from self._farther(entry)
        elif reason is Reason.NOT_NEEDED:
            yield from self._not_needed(entry)

    def _sinks(self, entry: LeftOut) -> Iterator[PickFault]:
        seen = self.seen.get(entry.fabric)
        if seen is None or not seen.sinks or seen.lost != (entry.reason is Reason.LOST):
            yield _fault(PickFaultKind.REASON, fabric=entry.fabric, said=str(entry.reason))
            return
        yield from self._number(entry, entry.measured, seen.apart if seen.lost else seen.near)

    def _number(self, entry: LeftOut, said: float | None, found: float) -> Iterator[PickFault]:
        if said is None or abs(said - found) > _SAME:
            yield _fault(PickFaultKind.MEASURE, fabric=entry.fabric, said=said or 0.0, found=found)

    def _twin(self, entry: LeftOut) -> Iterator[PickFault]:
        name, other = entry.fabric, entry.other or ""
        if other not in self.kept:
            yield _fault(PickFaultKind.NOT_USED, fabric=name, other=other)
            return
        yield from self._number(entry, entry.measured, self.apart[name, other])
        if self.apart[name, other] >= self.asked.limits.twin + _SAME or not self._why(entry, other):
            yield _fault(PickFaultKind.REASON, fabric=name, said=str(entry.kept_for or "twin"))

    def _why(self, entry: LeftOut, other: str) -> bool:
        """Whether it is true why the other one is used."""
        name = entry.fabric
        instead = (
            self._closest(
                [name if each == other else each for each in self.kept if each != name], free=True
            )
            if self._known(name)
            else 0.0
        )
        holds = {
            WhyKept.MUST: other in self.asked.must,
            WhyKept.NEARER: bool(self.off) and self.off[other] < self.off[name] + _SAME,
            WhyKept.FURTHER: instead < self.least + _SAME,
            WhyKept.STANDS_OUT: bool(self.seen) and self._stands_out_more(other, name),
            WhyKept.EITHER: instead > self.least - _SAME,
        }
        return entry.kept_for is not None and holds[entry.kept_for]

    def _known(self, name: str) -> bool:
        return all((name, each) in self.apart for each in self.kept if each != name)

    def _stands_out_more(self, one: str, other: str) -> bool:
        first, second = self.seen[one], self.seen[other]
        return (first.rank, -first.apart) < (second.rank, -second.apart + _SAME)

    def _farther(self, entry: LeftOut) -> Iterator[PickFault]:
        free = (
            [self.off[name] for name in self.kept if name not in self.asked.must]
            if self.off
            else []
        )
        if not free or self.off[entry.fabric] < max(free) - _SAME:
            yield _fault(PickFaultKind.REASON, fabric=entry.fabric, said="farther")
            return
        yield from self._number(entry, entry.measured, self.off[entry.fabric])
        yield from self._number(entry, entry.limit, max(free))

    def _not_needed(self, entry: LeftOut) -> Iterator[PickFault]:
        if entry.other is None:
            if self.kept:
                yield _fault(PickFaultKind.REASON, fabric=entry.fabric, said="not needed")
            return
        if entry.other not in self.kept:
            yield _fault(PickFaultKind.NOT_USED, fabric=entry.fabric, other=entry.other)
            return
        nearest = min(self.apart[entry.fabric, name] for name in self.kept)
        yield from self._number(entry, entry.measured, nearest)
        if nearest < self.asked.limits.twin - _SAME:
            yield _fault(PickFaultKind.REASON, fabric=entry.fabric, said="not needed")
        if entry.limit is not None:
            yield from self._number(entry, entry.limit, self.least)
