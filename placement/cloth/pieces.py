"""A quilt top taken apart into the pieces to cut, fabric by fabric.

Sizes are exact: finished size plus seams, triangles by the closed forms of
placement.sizes rounded up to the step. Strip sets are listed beside the pieces;
their strips are pieces too.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil, lcm
from typing import TYPE_CHECKING, get_args

from placement import sizes
from placement.block import Block, check_cuttable
from placement.cloth.cutting import Piece, PieceKind, Then, Use
from placement.cloth.methods import Geese, Making, Method, Quarters, Reason
from placement.cloth.unit_pieces import Key, UnitPieces
from placement.inches import MM_PER_INCH, Inches
from placement.top.setting.finishing import QUARTER, sashing, strips_joined
from placement.top.setting.layout import EMPTY, Layout
from placement.top.setting.setting import NONE
from placement.top.setting.triangles import Triangle, setting_squares
from placement.units import Segment, Takedown, UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from placement.top.setting.setting import Setting


@dataclass(frozen=True, slots=True)
class Terms:
    """What the designer decides about cutting; every one can be changed."""

    seam: Inches = QUARTER
    """Seam allowance."""
    step: Inches = sizes.EIGHTH
    """Triangle and setting squares are rounded up to this."""
    triangles: Method = "two"
    """How half-square units are made."""
    geese: Geese = Geese.FOUR
    """How flying geese are made."""
    quarters: Quarters = Quarters.CUT_TWICE
    """How quarter-square units are made."""
    least_segments: int = 3
    """No strip set is sewn for fewer slices than this; they are cut singly."""
    squaring: Inches = QUARTER
    """Lost at the end of each strip set when it is squared up."""

    side_square: Inches | None = None
    """Her own size of square for side triangles; None takes the exact one, rounded up."""
    corner_square: Inches | None = None
    """The same for corner triangles."""
    oversize: Inches = NONE
    """How much larger the others are cut, to be trimmed."""
    floating: Inches = NONE
    """How far blocks float: triangles are trimmed so far beyond the points."""

    @property
    def larger(self) -> Inches:
        """How much larger than exact squares are: an edge moved out takes twice as much."""
        return Inches(2 * self.floating.value + self.oversize.value)

    @property
    def own_squares(self) -> dict[Triangle, Inches]:
        """Her own sizes of squares for setting triangles."""
        sizes_of = {Triangle.SIDE: self.side_square, Triangle.CORNER: self.corner_square}
        return {kind: size for kind, size in sizes_of.items() if size is not None}

    def __post_init__(self) -> None:
        if self.seam.value <= 0:
            raise ValueError("a seam allowance must be above 0 inches")
        if self.triangles not in get_args(Method):
            raise ValueError(
                "half-square units are made one, two, four or eight at a time, or from strips, not "
                f"{self.triangles!r}"
            )


@dataclass(frozen=True, slots=True)
class StripSet:
    """Strips sewn side by side and cut across into slices."""

    strips: tuple[tuple[str, Inches], ...]
    """Fabric and cut width of each strip, in sewing order."""
    sub_cut: Inches
    """Cut width of a slice."""
    slices: int
    """Slices needed."""
    sets: tuple[int, ...]
    """Slices cut from each set of strips; as many sets as entries."""


class NoteKind(StrEnum):
    """What a maker should know before she cuts."""

    PARTIAL_SEAM = "partial seam"
    """No seam runs right across the block."""
    SEAM_OFF_RULER = "seam off the ruler"
    """The seam allowance puts every size between the ruler's millimetres."""
    BLOCK_OFF_RULER = "block off the ruler"
    """Parts of the block fall between the ruler's marks."""
    OTHER_METHOD = "other method"
    """Units are made in another way than was asked."""


@dataclass(frozen=True, slots=True)
class Note:
    """Something that a maker should know."""

    kind: NoteKind
    """What it is about."""
    near: tuple[Inches, ...] = ()
    """Finished sizes of the block near by that cut along the ruler's marks."""
    unit: UnitKind | None = None
    """The units that are made in another way."""
    reason: Reason | None = None
    """Why they are."""
    fabrics: tuple[str, ...] = ()
    """Of which fabrics' blocks; '' for those that all share."""


@dataclass(frozen=True, slots=True)
class CuttingList:
    """Everything to cut for a quilt top."""

    pieces: tuple[Piece, ...]
    """Rectangles to cut, strips of strip sets included."""
    strip_sets: tuple[StripSet, ...]
    """What the strips are sewn into."""
    makings: tuple[Making, ...]
    """How the block's triangle units are made."""
    notes: tuple[Note, ...]
    """What the maker should know."""


def cutting_list(
    layout: Layout,
    block: Block,
    background: str,
    widths: Mapping[str, Inches],
    terms: Terms | None = None,
    second: str = "",
    *,
    sashing_fabric: str = "",
    cornerstone_fabric: str = "",
    across: Mapping[str, Inches] | None = None,
    one_way: Collection[str] = (),
) -> CuttingList:
    """Return the pieces of a quilt top's centre: blocks, sashing, setting triangles.

    Parameters
    ----------
    layout : Layout
        Which fabric lies in which cell.
    block : Block
        The block in every cell.
    background : str
        Id of the background fabric.
    widths : mapping
        Usable width of each fabric's cloth, background included: as long as
        one strip can be.
    terms : Terms
        What is decided about cutting; None takes the usual.
    second : str
        Id of the fabric of every second feature; '' takes the block's own.
    sashing_fabric : str
        Id of the sashing's fabric, if the setting has any; '' for the background.
    cornerstone_fabric : str
        Id of the cornerstones' fabric; '' for the sashing's.

    across : mapping
        Usable width of the cloth that long strips are cut from, where it is another.
    one_way : collection of str
        Fabrics whose print has an up, which every unit keeps upright.

    Raises
    ------
    ValueError
        If a fabric's usable width is missing or shorter than a slice, or triangles of the
        block can't be cut.
    """
    check_cuttable(block)
    terms = terms or Terms()
    side = layout.setting.block_size
    takedown = take_down(block)
    maker = _Maker(side, terms, {"B": background, "S": second}, widths)
    maker.across = across or widths
    maker.one_way = frozenset(one_way)
    counts = layout.counts()
    for fabric, blocks in counts.items():
        maker.add(takedown, fabric, blocks)
    maker.add(takedown, "", sum(counts.values()))
    maker.add_plain(layout)
    strips = sashing_fabric or background
    maker.add_sashing(layout.setting, strips, cornerstone_fabric or strips)
    return maker.finish(takedown, block)


class _Maker:
    """Gathers pieces while the fabrics are gone through."""

    def __init__(
        self, side: Inches, terms: Terms, fixed: Mapping[str, str], widths: Mapping[str, Inches]
    ) -> None:
        self.side = side
        self.terms = terms
        self.background = fixed["B"]
        self.fixed = fixed
        self.widths = widths
        self.across = widths
        self.one_way: frozenset[str] = frozenset()
        self.tally: Counter[Key] = Counter()
        self.sets: list[StripSet] = []
        self.units = UnitPieces(self)

    def cloth(self, role: str, fabric: str) -> str:
        """Return the fabric that a role stands for in a block of ``fabric``."""
        return self.fixed.get(role) or fabric

    def cut(self, part: Fraction) -> Inches:
        """Return the cut size of a finished part of the block's side."""
        return Inches(part * self.side.value + 2 * self.terms.seam.value)

    def want(self, fabric: str, kind: PieceKind, size: tuple[Inches, Inches], count: int,
             then: Then = Then.SEWN) -> None:  # fmt: skip
        if count:
            self.tally[(fabric, kind, *size, then)] += count

    def add(self, takedown: Takedown, fabric: str, blocks: int) -> None:
        """Add what blocks of one fabric take; '' adds what all blocks have in common.

        Parts without the blocks' own fabric are made for all blocks at once, so
        that no set of strips is left over from each of them.
        """

        def mine(roles: Iterable[str]) -> bool:
            shared = all(self.fixed.get(role) for role in roles)
            return shared != bool(fabric)

        for (role, width, height), count in takedown.singles.items():
            if mine(role):
                size = (self.cut(width), self.cut(height))
                self.want(self.cloth(role, fabric), PieceKind.PATCH, size, count * blocks)
        for unit in takedown.units:
            if mine(unit.roles):
                lies = Counter({lie: n * blocks for lie, n in takedown.lies[unit].items()})
                self.units.add(unit, lies, fabric)
        for segment, count in takedown.segments.items():
            if mine(role for _, role in segment.strips):
                self.add_segment(segment, count * blocks, fabric)

    def add_segment(self, segment: Segment, count: int, fabric: str) -> None:
        strips = tuple((self.cloth(r, fabric), self.cut(w)) for w, r in segment.strips)
        sub_cut = self.cut(segment.sub_cut)
        usable = min(self.width(cloth) for cloth, _ in strips)
        sets = self.shared_out(usable, sub_cut, count)
        singly = count - sum(sets)
        for cloth, width in strips:
            self.want(cloth, PieceKind.PATCH, (sub_cut, width), singly)
        for slices in sets:
            length = self.on_a_mark(slices * sub_cut.value + self.terms.squaring.value, usable)
            for cloth, width in strips:
                self.want(cloth, PieceKind.SET_STRIP, (length, width), 1, Then.STRIP_SET)
        if sets:
            self.sets.append(StripSet(strips, sub_cut, count - singly, sets))

    def on_a_mark(self, length: Fraction, usable: Inches) -> Inches:
        """Round the length of a strip up to the ruler's next mark, if the cloth holds that."""
        mark = Inches(1 / MM_PER_INCH) if self.metric else sizes.EIGHTH
        marked = Inches(ceil(length / mark.value) * mark.value)
        return marked if marked <= usable else Inches(length)

    @property
    def metric(self) -> bool:
        """Whether a ruler in millimetres is at hand; it follows from the step."""
        return self.terms.step == sizes.FIVE_MM

    def shared_out(self, usable: Inches, sub_cut: Inches, count: int) -> tuple[int, ...]:
        """Share slices out over as few sets of strips as the shortest cloth allows.

        No set is sewn for fewer slices than the least: one with fewer left takes some
        from the set before it, and what that can't spare is cut singly.
        """
        least = self.terms.least_segments
        most = int((usable.value - self.terms.squaring.value) / sub_cut.value)
        if most < least or count < least:
            return ()
        sets, rest = divmod(count, most)
        if not rest or rest >= least:
            return (most,) * sets + ((rest,) if rest else ())
        if sets and most + rest >= 2 * least:
            return (*(most,) * (sets - 1), most + rest - least, least)
        return (most,) * sets

    def width(self, fabric: str) -> Inches:
        if fabric not in self.widths:
            raise ValueError(f"the cloth of {fabric!r} has no width; say what form it comes in")
        return self.widths[fabric]

    def add_plain(self, layout: Layout) -> None:
        """Add plain alternate blocks, cells left plain and the setting triangles."""
        whole = self.cut(Fraction(1))
        plain = len(layout.setting.plain_cells()) + layout.fabrics.count(EMPTY)
        self.want(self.background, PieceKind.PLAIN_BLOCK, (whole, whole), plain)
        terms = self.terms
        for squares in setting_squares(
            layout.setting, terms.seam, terms.step, terms.own_squares, terms.larger
        ):
            side = squares.kind is Triangle.SIDE
            self.want(
                self.background, PieceKind.SIDE if side else PieceKind.CORNER,
                (squares.cut, squares.cut), squares.squares,
                Then.CUT_TWICE if side else Then.CUT_ONCE,
            )  # fmt: skip

    def add_sashing(self, setting: Setting, strips: str, stones: str) -> None:
        """Add strips between blocks and the squares where they meet."""
        found = sashing(setting, self.terms.seam, self.terms.step)
        if found is None:
            return
        wide = found.cut[1]
        self.want(strips, PieceKind.SASH, found.cut, found.strips)
        self.add_long(strips, found.long, wide)
        self.want(stones, PieceKind.CORNERSTONE, (wide, wide), found.cornerstones)
        square = (found.half_square, found.half_square)
        self.want(stones, PieceKind.HALF_CORNERSTONE, square, found.half_squares, Then.CUT_TWICE)

    def add_long(self, fabric: str, long: tuple[tuple[Inches, int], ...], wide: Inches) -> None:
        """Add strips right across the quilt; those longer than the cloth is wide are joined."""
        usable = self.across.get(fabric) or self.width(fabric)
        lost, joined = 2 * float(self.terms.seam), 0.0
        for length, count in long:
            if length <= usable:
                self.want(fabric, PieceKind.LONG_SASH, (length, wide), count)
            else:
                joined += count * float(length)
        if joined:
            number = strips_joined(joined, float(usable), lost)
            self.want(fabric, PieceKind.JOINED_SASH, (usable, wide), number)

    def finish(self, takedown: Takedown, block: Block) -> CuttingList:
        self.units.count_loose()
        pieces = tuple(
            # Strips of triangles lie across the cloth; other pieces may be turned.
            Piece(Use(kind), fabric, width, height, count, then is not Then.STRIP_PAIR, then)
            for (fabric, kind, width, height, then), count in self.tally.items()
        )
        notes = [Note(NoteKind.PARTIAL_SEAM)] if takedown.partial else []
        marks = _marks(metric=self.metric)
        if (2 * self.terms.seam.value * marks).denominator > 1:
            notes += [Note(NoteKind.SEAM_OFF_RULER)] if self.metric else []
        elif (near := ruler_sizes(block, self.side, metric=self.metric)) != (self.side,):
            notes.append(Note(NoteKind.BLOCK_OFF_RULER, near))
        notes += [Note(NoteKind.OTHER_METHOD, (), unit, reason, tuple(fabrics))
                  for (unit, reason), fabrics in self.units.otherwise.items()]  # fmt: skip
        return CuttingList(pieces, tuple(self.sets), self.units.makings(), tuple(notes))


def ruler_sizes(block: Block, side: Inches, *, metric: bool) -> tuple[Inches, ...]:
    """Return the sizes of a block nearest to one, below and above, that are easy to cut.

    Parameters
    ----------
    block : Block
        The block, every patch of which has to end on the ruler's marks.
    side : Inches
        Its finished size as wished. It alone is returned where all patches end on sixteenths
        of an inch, or on millimetres; else they end on quarters, or on 5 mm.
    metric : bool
        Whether the ruler is metric.
    """
    parts = {size for patch in block.patches for size in (patch.width, patch.height)}
    marks = _marks(metric=metric)
    if all((part * side.value * marks).denominator == 1 for part in parts):
        return (side,)
    common = lcm(*(part.denominator for part in parts))
    good = common * (sizes.FIVE_MM.value if metric else Fraction(1, 4))
    lower = side.value // good * good
    return tuple(Inches(size) for size in (lower, lower + good) if size)


def _marks(*, metric: bool) -> Fraction:
    """Return how many of a ruler's marks make an inch."""
    return MM_PER_INCH if metric else Fraction(16)
