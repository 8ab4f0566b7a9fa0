"""The simplest cuts from one cloth: pieces as wants, batches as numbered cuts.

A strip that is sewn into a strip set before it is sub-cut keeps its slack: it is cut
as long as the cloth is wide, or half as long, wherever that takes no more cloth than
is there; and it lies along the strip, so that all of a set have one grain.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from placement.cloth.cutting import Cloth, Cut, Piece, Then
from placement.cloth.missing import kind_of
from placement.cloth.numbered_cuts import places
from placement.cloth.sheets import share_out
from placement.cloth.solver.batches import Batch, Cutter, Part, Want, Way
from placement.cloth.solver.columns import Column, Job, Strip, make_job, size_key, unit_of
from placement.cloth.solver.simplest import Limits, Simple, simplest, simplest_parted
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.cloth.handwork import Handwork

NONE = Inches(Fraction(0))
_SHARED = 40
"""Most plans that are tried on several sheets."""


@dataclass(frozen=True, slots=True)
class SimpleCuts:
    """Cuts that ask little of the cutter."""

    cuts: tuple[Cut, ...]
    """In order."""
    used: Inches
    """Height of all strips."""
    stacked: bool
    """Whether some pieces are cut one above the other."""


@dataclass(frozen=True, slots=True)
class SimpleTerms:
    """How simple cuts may be."""

    layers: int
    """How many strips are sub-cut at once."""
    stacking: bool = True
    """Whether a column of a strip may be cut into pieces one above the other."""
    squaring: Inches = NONE
    """Cut off the end of each strip before its first sub-cut."""


@dataclass(frozen=True, slots=True)
class _Sort:
    """Pieces of one size that may lie alike."""

    pieces: tuple[Piece, ...]
    want: Want
    sizes: tuple[tuple[Fraction, Fraction], ...]
    """True width and height of each way, inches."""


class SimplePlans:
    """Simple plans for pieces from one cloth, the simplest first.

    Each further one is lower or takes fewer ruler settings. Pieces (at least one) are
    cut from a cloth by strips no higher than ``limit`` in all; with several sheets,
    strips are shared out over them. ``known`` is what another plan asks for: no more
    ruler settings are taken, and one looks further for fewer instructions.
    """

    def __init__(
        self,
        pieces: Sequence[Piece],
        cloth: Cloth,
        limit: Inches,
        terms: SimpleTerms,
        known: Handwork | None = None,
    ) -> None:
        across = cloth.form.width.value
        half = across / 2
        self.unit = unit_of(
            [half, *(side.value for piece in pieces for side in (piece.width, piece.height))]
        )
        self.cloth, self.terms = cloth, terms
        self.sorts = _sorts(pieces, cloth, self.unit, terms)
        width = int((across - terms.squaring.value) // self.unit)
        cutter = Cutter(width, int(half / self.unit), terms.layers)
        self.found = self._find(cutter, int(limit.value // self.unit), known)

    def _find(self, cutter: Cutter, height: int, known: Handwork | None) -> tuple[Simple, ...]:
        if any(not sort.want.ways for sort in self.sorts):
            return ()
        wants = [sort.want for sort in self.sorts]
        limits = Limits(height) if known is None else Limits(height, known.settings)
        found = simplest(wants, cutter, limits)
        if known is not None:
            limits = replace(limits, instructions=known.instructions - 1)
        for look in (partial(simplest, lavish=True), simplest_parted):
            if not found or not limits.hold(found[0].handwork):
                found = (*look(wants, cutter, limits), *found)
        return found

    def first(self, limit: Inches | None = None) -> SimpleCuts | None:
        """Return the simplest cuts that the sheets hold and whose strips are within a limit.

        Parameters
        ----------
        limit : Inches
            Height of all strips together at most; None for any height.

        Returns
        -------
        SimpleCuts or None
            None if no plan of the form that is searched is low enough.
        """
        low = [s for s in self.found if limit is None or s.height * self.unit <= limit.value]
        for simple in low[:_SHARED]:
            cuts = _cuts(simple, self.sorts, self.cloth, self.unit, self.terms)
            if cuts is not None:
                return cuts
        return None


def _sorts(
    pieces: Sequence[Piece], cloth: Cloth, unit: Fraction, terms: SimpleTerms
) -> list[_Sort]:
    alike: dict[tuple[object, ...], list[Piece]] = defaultdict(list)
    for piece in pieces:
        alike[*size_key(piece, unit), piece.then is Then.STRIP_SET].append(piece)
    return [_sort(group, cloth, unit, terms) for group in alike.values()]


def _sort(pieces: Sequence[Piece], cloth: Cloth, unit: Fraction, terms: SimpleTerms) -> _Sort:
    across = cloth.form.width.value
    usable = across - terms.squaring.value
    down = cloth.height
    sizes = [
        (wide, high)
        for wide, high in _ways(pieces[0], across)
        if wide <= across and (down is None or high <= down.value)
    ]
    ways = tuple(
        Way(int(min(wide, usable / (across // wide)) // unit), int(high / unit),
            terms.stacking and 2 * wide < across)
        for wide, high in sizes
    )  # fmt: skip
    return _Sort(tuple(pieces), Want(sum(piece.count for piece in pieces), ways), tuple(sizes))


def _ways(piece: Piece, across: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield width and height of every way to lay a piece, those with slack first."""
    wide, high = piece.width.value, piece.height.value
    if piece.then is Then.STRIP_SET:
        if wide <= across:
            yield from ((across / parts, high) for parts in (1, 2) if wide < across / parts)
        yield wide, high
        return
    yield wide, high
    if piece.turn and wide != high:
        yield high, wide


def _cuts(
    simple: Simple, sorts: Sequence[_Sort], cloth: Cloth, unit: Fraction, terms: SimpleTerms
) -> SimpleCuts | None:
    """Lay the batches on the cloth; None if its sheets do not hold them."""
    parts = [part for batch in simple.batches for part in batch.parts]
    laid = tuple(piece for at, sort in enumerate(sorts) for piece in _as_cut(sort, parts, at))
    across = cloth.form.width
    job = make_job(laid, across.value, None, cloth.count, terms.squaring.value)
    ratio = unit / job.unit
    strips = [
        Strip(int(batch.height * ratio), _columns(batch, share, sorts, job))
        for batch in simple.batches
        for share in batch.shares()
    ]
    down = cloth.height
    sheets, left = share_out(strips, None if down is None else int(down.value // job.unit),
                             cloth.count)  # fmt: skip
    if left:
        return None
    stacked = any(len(column) > 1 for strip in strips for column in strip.columns)
    used = Inches(simple.height * unit)
    return SimpleCuts(places(job, sheets, laid, across, terms.squaring), used, stacked)


def _as_cut(sort: _Sort, parts: Sequence[Part], at: int) -> Iterator[Piece]:
    """Yield the pieces as large as they are cut: those with slack are longer than asked for."""
    way = next(part.way for part in parts if part.want == at)
    wide, _ = sort.sizes[sort.want.ways.index(way)]
    for piece in sort.pieces:
        yield _long(piece, wide)


def _long(piece: Piece, wide: Fraction) -> Piece:
    """Return a piece as it is cut, with the slack of a strip for a strip set."""
    if piece.then is not Then.STRIP_SET:
        return piece
    return replace(piece, width=Inches(wide), turn=False)


def _columns(
    batch: Batch, share: Sequence[int], sorts: Sequence[_Sort], job: Job
) -> tuple[Column, ...]:
    columns: list[Column] = []
    for part, count in zip(batch.parts, share, strict=True):
        lay = _lay(sorts[part.want], part.way, job)
        high = part.high(batch.height)
        full, rest = divmod(count, high)
        columns += [(lay,) * high] * full + ([(lay,) * rest] if rest else [])
    return tuple(columns)


def _lay(sort: _Sort, way: Way, job: Job) -> int:
    """Return the index of a way to lie among the lays of a job."""
    wide, high = sort.sizes[sort.want.ways.index(way)]
    kind = kind_of(job, _long(sort.pieces[0], wide))
    size = (min(int(wide / job.unit), job.width), int(high / job.unit))
    return next(
        at
        for at, lay in enumerate(job.lays)
        if lay.kind == kind and (lay.width, lay.height) == size
    )
