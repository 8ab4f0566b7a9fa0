"""Strips that are cut alike: what one instruction can give.

Words used here
---------------
want : all pieces of one size, with the ways they may lie; in whole units.
part : pieces of a want that are cut together; the whole of it, or what strips of
    its own, cut full, leave over.
batch : strips of one height that are cut alike, a line of the cutting list: cut so
    many strips so high, from each so many of each size, until there are enough.
offer : batches that give all pieces of some wants, with the handwork they take.

Lower pieces only come from what strips of higher ones leave over: a batch has no
more strips than its highest pieces need by themselves, unless offers are lavish. So
sizes are put together where cloth would lie idle, and at the price of cloth only
where nothing else is simple enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product
from typing import TYPE_CHECKING, Protocol, TypeVar

from placement.cloth.handwork import Handwork

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

_ORIENTATIONS = 16
"""Most ways to lay a group of wants that are tried."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to lay the pieces of a want."""

    width: int
    """Along the strip, units."""
    height: int
    """Across the strip, units."""
    stacks: bool = True
    """Whether several may be cut from a column, one above the other."""


@dataclass(frozen=True, slots=True)
class Want:
    """Pieces of one size."""

    count: int
    """How many."""
    ways: tuple[Way, ...]
    """Every way to lay them that fits the cloth; one of them is used for all."""

    @property
    def area(self) -> int:
        """Least area that they take, square units."""
        return self.count * min(way.width * way.height for way in self.ways)


@dataclass(frozen=True, slots=True)
class Part:
    """What a batch gives of one want."""

    want: int
    """Index of the want."""
    way: Way
    """How they lie."""
    count: int
    """How many in all."""
    each: int
    """How many from one strip at most."""

    def high(self, height: int) -> int:
        """Return how many pieces a column of a strip of that height holds."""
        return height // self.way.height if self.way.stacks else 1

    def columns(self, height: int) -> int:
        """Return how many columns of a full strip they take."""
        return -(-self.each // self.high(height))


@dataclass(frozen=True, slots=True)
class Batch:
    """Strips of one height that are cut alike."""

    height: int
    """Units."""
    strips: int
    """How many."""
    parts: tuple[Part, ...]
    """What they give."""

    def shares(self) -> list[tuple[int, ...]]:
        """Return what each strip gives of each part: as many as it can, until there are enough.

        Every strip gives a piece as high as itself where there is one to give.
        """
        dealt = []
        for part in self.parts:
            least = int(part.way.height == self.height and part.count >= self.strips)
            rest, shares = part.count - least * self.strips, []
            for _ in range(self.strips):
                more = min(part.each - least, rest)
                rest -= more
                shares.append(least + more)
            dealt.append(shares)
        return list(zip(*dealt, strict=True))


@dataclass(frozen=True, slots=True)
class Offer:
    """Batches that give all pieces of some wants."""

    wants: tuple[int, ...]
    """Indices of the wants."""
    batches: tuple[Batch, ...]
    """The shared strips, then strips of one want alone."""
    handwork: Handwork
    """What they ask of the cutter."""
    height: int
    """Height of all their strips, units."""


@dataclass(frozen=True, slots=True)
class Cutter:
    """What batches are cut from and with."""

    width: int
    """Length of a strip that sub-cuts can use, units."""
    fold: int
    """Half the width of the cloth: a piece as wide is cut at the fold, not by the ruler."""
    layers: int
    """How many strips are sub-cut at once."""

    def handwork(self, batch: Batch) -> Handwork:
        """Return what a batch asks of the cutter."""
        lines = {batch.height}
        for part in batch.parts:
            lines |= {part.way.height} | ({part.way.width} - {self.fold, self.width})
        shares = batch.shares()
        passes = sum(self._cuts(batch, share) for share in shares[:: self.layers])
        return Handwork(1, len(lines), batch.strips + passes)

    def _cuts(self, batch: Batch, share: Sequence[int]) -> int:
        """Count the sub-cuts of one strip; a cut at the cloth's own edge is none."""
        cuts, used = 0, 0
        for part, count in zip(batch.parts, share, strict=True):
            high = part.high(batch.height)
            columns = -(-count // high)
            edge = high * part.way.height == batch.height
            cuts += columns + count - (count // high if edge else 0)
            used += columns * part.way.width
        return cuts - (used == self.width)


class _Priced(Protocol):
    """Anything that asks for handwork and takes cloth."""

    @property
    def handwork(self) -> Handwork:
        """What it asks of the cutter."""

    @property
    def height(self) -> int:
        """Height of all its strips, units."""


Plan = TypeVar("Plan", bound=_Priced)


def offers(
    wants: Sequence[Want], cutter: Cutter, spare: int, most: int, *, lavish: bool = False
) -> list[Offer]:
    """Return every offer that leaves at most ``spare`` square units of its cloth unused.

    Parameters
    ----------
    wants : sequence of Want
        What is wanted, each with at least one way.
    cutter : Cutter
        The cloth's width and how many strips are cut at once.
    spare : int
        Area that a whole plan may leave, so that no offer may leave more.
    most : int
        Most wants that share a batch.
    lavish : bool
        Whether lower pieces may add strips to those of the highest.
    """
    found = []
    for size in range(1, most + 1):
        for group in combinations(range(len(wants)), size):
            found += simpler_or_lower(_group(wants, group, cutter, spare, lavish))
    return found


def simpler_or_lower(found: Iterable[Plan]) -> list[Plan]:
    """Keep what is lower, or takes fewer ruler settings, than all that asks for less.

    Sorted by what it asks for, then by height.
    """
    kept: list[Plan] = []
    for each in sorted(found, key=lambda each: (each.handwork, each.height)):
        settings = each.handwork.settings
        if not any(k.height <= each.height and k.handwork.settings <= settings for k in kept):
            kept.append(each)
    return kept


def _group(
    wants: Sequence[Want], group: Sequence[int], cutter: Cutter, spare: int, lavish: bool
) -> Iterator[Offer]:
    area = spare + sum(wants[at].area for at in group)
    laid = product(*(wants[at].ways for at in group))
    for ways, _ in zip(laid, range(_ORIENTATIONS), strict=False):
        height = max(way.height for way in ways)
        choices = [_own(wants[at].count, way, cutter, len(group) > 1)
                   for at, way in zip(group, ways, strict=True)]  # fmt: skip
        for own in product(*choices):
            room = area // cutter.width - sum(
                strips * way.height for strips, way in zip(own, ways, strict=True)
            )
            counts = [wants[at].count - strips * (cutter.width // way.width)
                      for at, way, strips in zip(group, ways, own, strict=True)]  # fmt: skip
            most = room // height
            if lavish:
                most = min(most, *(n for n, way in zip(counts, ways, strict=True)
                                   if way.height == height))  # fmt: skip
            shared = _shared(group, ways, counts, height, cutter.width, most, lavish)
            if shared is not None:
                yield _offer(group, ways, own, shared, cutter)


def _own(count: int, way: Way, cutter: Cutter, shares: bool) -> list[int]:
    """Return how many strips of its own a want may have beside the shared ones."""
    each = cutter.width // way.width
    full = count // each
    if not shares or not full:
        return [0]
    ends = {full, full - 1} if count % each else {full - 1}
    return sorted({0} | ends)


def _shared(
    group: Sequence[int],
    ways: Sequence[Way],
    counts: Sequence[int],
    height: int,
    width: int,
    most: int,
    lavish: bool,
) -> Batch | None:
    """Return the fewest strips that give the counts, if lower pieces may add to them or do not."""
    tall = [at for at, way in enumerate(ways) if way.height == height]
    everything = range(len(ways))

    def batch(strips: int) -> Batch:
        shares = zip(group, ways, counts, strict=True)
        return Batch(
            height, strips, tuple(Part(at, way, n, -(-n // strips)) for at, way, n in shares)
        )

    def fits(strips: int, places: Sequence[int]) -> bool:
        taken = 0
        for at in places:
            way = ways[at]
            high = height // way.height if way.stacks else 1
            taken += -(-counts[at] // (strips * high)) * way.width
        return taken <= width

    strips = 1
    while strips <= most and not fits(strips, everything if lavish else tall):
        strips += 1
    return batch(strips) if strips <= most and fits(strips, everything) else None


def _offer(
    group: Sequence[int], ways: Sequence[Way], own: Sequence[int], shared: Batch, cutter: Cutter
) -> Offer:
    batches = [shared]
    for at, way, strips in zip(group, ways, own, strict=True):
        if strips:
            each = cutter.width // way.width
            batches.append(Batch(way.height, strips, (Part(at, way, strips * each, each),)))
    handwork = sum((cutter.handwork(batch) for batch in batches), Handwork.NONE)
    height = sum(batch.height * batch.strips for batch in batches)
    return Offer(tuple(group), tuple(batches), handwork, height)
