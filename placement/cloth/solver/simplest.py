"""The simplest strips: fewest instructions, then ruler settings, then cuts, within some height.

Every want is cut from one kind of strip, or from strips of its own, cut full, and a
rest that shares another kind (see batches). All ways to part the wants into groups
are gone through, group by group, each group with every offer; what is reached by
several ways is kept once for each handwork and height that no other is better
in both. So the answer is exact for plans of this form.

Where no plan of this form is low enough, or simple enough, one or two wants are
parted beforehand into what full strips give and the rest, each a want of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, product
from typing import TYPE_CHECKING

from placement.cloth.handwork import Handwork
from placement.cloth.solver.batches import Batch, Cutter, Offer, Want, offers

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


def simplest(wants: Sequence[Want], cutter: Cutter, limit: int) -> tuple[Simple, ...]:
    """Return plans no higher than ``limit``, the simplest first; each further one is lower.

    Parameters
    ----------
    wants : sequence of Want
        What is wanted, each with at least one way.
    cutter : Cutter
        The cloth's width and how many strips are cut at once.
    limit : int
        Height of all strips together at most, units.
    """
    return tuple(_partition(wants, cutter, limit))


def simplest_parted(wants: Sequence[Want], cutter: Cutter, limit: int) -> tuple[Simple, ...]:
    """Return the same with one or two wants parted beforehand into full strips and the rest."""
    if len(wants) > _SPLIT_WANTS:
        return ()
    found: list[Simple] = []
    for number in range(1, _SPLIT + 1):
        for chosen in combinations(range(len(wants)), number):
            found += _split(wants, chosen, cutter, limit)
        if found:
            break
    return _undominated(found)


def _split(
    wants: Sequence[Want], chosen: Sequence[int], cutter: Cutter, limit: int
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
            for simple in _partition(parted, cutter, limit):
                yield replace(simple, batches=tuple(_renamed(simple.batches, origin)))


def _renamed(batches: Sequence[Batch], origin: Sequence[int]) -> Iterator[Batch]:
    for batch in batches:
        parts = tuple(replace(part, want=origin[part.want]) for part in batch.parts)
        yield replace(batch, parts=parts)


def _undominated(found: Sequence[Simple]) -> tuple[Simple, ...]:
    kept: list[Simple] = []
    for simple in sorted(found, key=lambda each: (each.handwork, each.height)):
        if not kept or simple.height < kept[-1].height:
            kept.append(simple)
    return tuple(kept)


def _partition(wants: Sequence[Want], cutter: Cutter, limit: int) -> Iterator[Simple]:
    """Yield the plans of the module's first form."""
    room = limit * cutter.width - sum(want.area for want in wants)
    sharing = next((most for longest, most in _SHARING.items() if len(wants) <= longest), 1)
    by_first: list[list[Offer]] = [[] for _ in wants]
    for offer in offers(wants, cutter, room, min(sharing, len(wants))):
        by_first[offer.wants[0]].append(offer)
    full = (1 << len(wants)) - 1
    reached: dict[int, list[_Reached]] = {0: [_Reached(Handwork.NONE, 0)]}
    # A set of wants is only ever left for one with more in it, which is a greater number.
    for given in range(full):
        if given in reached:
            lines = _best(reached.pop(given))
            first = next(at for at in range(len(wants)) if not given >> at & 1)
            _extend(reached, given, lines, by_first[first], wants, cutter, limit)
    for line in _best(reached.get(full, [])):
        yield Simple(line.batches(), line.handwork, line.height)


def _best(lines: list[_Reached]) -> list[_Reached]:
    """Keep what is lower than all that is simpler."""
    kept: list[_Reached] = []
    for line in sorted(lines, key=lambda line: (line.handwork, line.height)):
        if not kept or line.height < kept[-1].height:
            kept.append(line)
    return kept


def _extend(
    reached: dict[int, list[_Reached]],
    given: int,
    lines: Sequence[_Reached],
    offered: Sequence[Offer],
    wants: Sequence[Want],
    cutter: Cutter,
    limit: int,
) -> None:
    """Add every offer for the first want that is still missing."""
    for offer in offered:
        taken = sum(1 << at for at in offer.wants)
        if given & taken:
            continue
        after = given | taken
        rest = sum(want.area for at, want in enumerate(wants) if not after >> at & 1)
        most = limit - offer.height - -(-rest // cutter.width)
        for line in lines:
            if line.height <= most:
                reached.setdefault(after, []).append(
                    _Reached(
                        line.handwork + offer.handwork, line.height + offer.height, offer, line
                    )
                )
