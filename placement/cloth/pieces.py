"""A quilt top taken apart into the pieces to cut, fabric by fabric.

Sizes are exact: finished size plus seams, triangles by the closed forms of
placement.sizes rounded up to the step. Strip sets are listed beside the pieces;
their strips are pieces too.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, hypot, lcm
from typing import TYPE_CHECKING, Literal

from placement import sizes
from placement.block import Block, check_cuttable
from placement.cloth.cutting import Piece, Then
from placement.inches import MM_PER_INCH, Inches
from placement.top.setting.finishing import QUARTER, sashing, setting_squares, strips_joined
from placement.top.setting.layout import EMPTY, Layout
from placement.units import Segment, Takedown, Unit, take_down

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from placement.top.setting.setting import Setting

_SEAM_OFF_THE_RULER = (
    "With this seam allowance all sizes to cut fall between the ruler's millimetres; one of 6 mm "
    "or 7.5 mm keeps to them."
)

Method = Literal["one", "two", "four", "eight"]
"""How half-square units are made: one, two, four or eight at a time."""


@dataclass(frozen=True, slots=True)
class Terms:
    """What the designer decides about cutting; every one can be changed."""

    seam: Inches = QUARTER
    """Seam allowance."""
    step: Inches = sizes.EIGHTH
    """Triangle and setting squares are rounded up to this."""
    triangles: Method = "two"
    """How half-square units are made."""
    least_segments: int = 3
    """Fewer slices than this are cut singly rather than from a strip set."""
    squaring: Inches = QUARTER
    """Lost at the end of each strip set when it is squared up."""

    def __post_init__(self) -> None:
        if self.seam.value <= 0:
            raise ValueError("a seam allowance must be above 0 inches")
        if self.triangles not in ("one", "two", "four", "eight"):
            raise ValueError(
                f"triangles are made one, two, four or eight at a time, not {self.triangles!r}"
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


@dataclass(frozen=True, slots=True)
class CuttingList:
    """Everything to cut for a quilt top."""

    pieces: tuple[Piece, ...]
    """Rectangles to cut, strips of strip sets included."""
    strip_sets: tuple[StripSet, ...]
    """What the strips are sewn into."""
    notes: tuple[str, ...]
    """What the maker should know, in words."""


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
        self.tally: Counter[tuple[str, str, Inches, Inches, Then]] = Counter()
        self.sets: list[StripSet] = []

    def cloth(self, role: str, fabric: str) -> str:
        """Return the fabric that a role stands for in a block of ``fabric``."""
        return self.fixed.get(role) or fabric

    def cut(self, part: Fraction) -> Inches:
        """Return the cut size of a finished part of the block's side."""
        return Inches(part * self.side.value + 2 * self.terms.seam.value)

    def want(self, fabric: str, name: str, size: tuple[Inches, Inches], count: int,
             then: Then = "") -> None:  # fmt: skip
        if count:
            self.tally[(fabric, name, *size, then)] += count

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
                self.want(self.cloth(role, fabric), _rectangle(*size), size, count * blocks)
        for unit, count in takedown.units.items():
            if mine(unit.roles):
                self.add_units(unit, count * blocks, fabric)
        for segment, count in takedown.segments.items():
            if mine(role for _, role in segment.strips):
                self.add_segment(segment, count * blocks, fabric)

    def add_units(self, unit: Unit, count: int, fabric: str) -> None:
        """Add the squares that ``count`` triangle units of one fabric are made from."""
        width = float(unit.width * self.side.value)
        if unit.kind == "goose":
            self.add_geese(unit, width, count, fabric)
        elif unit.kind == "quarter":
            cut = self.square(sizes.quarter_square(width, float(self.terms.seam)))
            for role, parts in Counter(unit.roles).items():
                self.want(
                    self.cloth(role, fabric), "square for quarter-square triangles", (cut, cut),
                    ceil(parts * count / 4), "cut twice on the diagonals",
                )  # fmt: skip
        elif unit.kind == "half":
            self.add_halves(unit, width, count, fabric)
        else:
            self.add_half_rectangles(unit, count, fabric)

    def square(self, exact: float) -> Inches:
        return sizes.round_up(exact, self.terms.step)

    def add_geese(self, unit: Unit, width: float, count: int, fabric: str) -> None:
        """Four at a time without waste; one large and four small squares each."""
        large, small = (self.cloth(role, fabric) for role in unit.roles)
        seam, rounds = float(self.terms.seam), ceil(count / 4)
        big = self.square(sizes.geese_large(width, seam))
        little = self.square(sizes.geese_small(width, seam))
        then: Then = "four at a time"
        self.want(large, "large square for flying geese", (big, big), rounds, then)
        self.want(small, "small square for flying geese", (little, little), 4 * rounds, then)

    def add_halves(self, unit: Unit, width: float, count: int, fabric: str) -> None:
        seam = float(self.terms.seam)
        half = self.square(sizes.half_square(width, seam))
        eights = count // 8 if self.terms.triangles == "eight" else 0
        fours = count // 4 if self.terms.triangles == "four" else 0
        rest = count - 8 * eights - 4 * fours
        once = self.terms.triangles == "one"
        ways: tuple[tuple[Inches, int, Then], ...] = (
            (self.square(sizes.eight_at_a_time(width, seam)), eights, "eight at a time"),
            (self.square(sizes.four_at_a_time(width, seam)), fours, "four at a time"),
            (half, ceil(rest / 2), "cut once on the diagonal" if once else "two at a time"),
        )
        for cut, number, then in ways:
            for role in unit.roles:
                name = "square for half-square triangles"
                self.want(self.cloth(role, fabric), name, (cut, cut), number, then)

    def add_half_rectangles(self, unit: Unit, count: int, fabric: str) -> None:
        """Cut once on the diagonal; legs grow by 1 + q over the triangle's inradius."""
        width, height = (float(part * self.side.value) for part in (unit.width, unit.height))
        grown = 1 + 2 * float(self.terms.seam) / (width + height - hypot(width, height))
        size = (self.square(width * grown), self.square(height * grown))
        for role in unit.roles:
            self.want(
                self.cloth(role, fabric), "rectangle for half-rectangle triangles", size,
                ceil(count / 2), "cut once on the diagonal",
            )  # fmt: skip

    def add_segment(self, segment: Segment, count: int, fabric: str) -> None:
        strips = tuple((self.cloth(r, fabric), self.cut(w)) for w, r in segment.strips)
        sub_cut = self.cut(segment.sub_cut)
        if count < self.terms.least_segments:
            for cloth, width in strips:
                size = (sub_cut, width)
                self.want(cloth, _rectangle(*size), size, count)
            return
        sets = self.shared_out(strips, sub_cut, count)
        usable = min(self.width(cloth) for cloth, _ in strips)
        for slices in sets:
            length = self.on_a_mark(slices * sub_cut.value + self.terms.squaring.value, usable)
            for cloth, width in strips:
                self.want(cloth, "strip", (length, width), 1, "strip set")
        self.sets.append(StripSet(strips, sub_cut, count, sets))

    def on_a_mark(self, length: Fraction, usable: Inches) -> Inches:
        """Round the length of a strip up to the ruler's next mark, if the cloth holds that."""
        mark = Inches(1 / MM_PER_INCH) if self.metric else sizes.EIGHTH
        marked = Inches(ceil(length / mark.value) * mark.value)
        return marked if marked <= usable else Inches(length)

    @property
    def metric(self) -> bool:
        """Whether a ruler in millimetres is at hand; it follows from the step."""
        return self.terms.step == sizes.FIVE_MM

    def shared_out(
        self, strips: tuple[tuple[str, Inches], ...], sub_cut: Inches, count: int
    ) -> tuple[int, ...]:
        """Share slices out over as few sets of strips as the shortest cloth allows."""
        usable = min(self.width(cloth) for cloth, _ in strips)
        most = int((usable.value - self.terms.squaring.value) / sub_cut.value)
        if most < 1:
            raise ValueError(
                f"a slice of {sub_cut} in and {self.terms.squaring} in for squaring up do not fit "
                f"a strip {usable} in long; use wider cloth or a smaller block"
            )
        sets, rest = divmod(count, most)
        return (most,) * sets + ((rest,) if rest else ())

    def width(self, fabric: str) -> Inches:
        if fabric not in self.widths:
            raise ValueError(f"the cloth of {fabric!r} has no width; say what form it comes in")
        return self.widths[fabric]

    def add_plain(self, layout: Layout) -> None:
        """Add plain alternate blocks, cells left plain and the setting triangles."""
        whole = self.cut(Fraction(1))
        plain = len(layout.setting.plain_cells()) + layout.fabrics.count(EMPTY)
        self.want(self.background, "plain block", (whole, whole), plain)
        for squares in setting_squares(layout.setting, self.terms.seam, self.terms.step):
            twice = squares.kind == "side"
            self.want(
                self.background, f"square for {squares.kind} triangles",
                (squares.cut, squares.cut), squares.squares,
                "cut twice on the diagonals" if twice else "cut once on the diagonal",
            )  # fmt: skip

    def add_sashing(self, setting: Setting, strips: str, stones: str) -> None:
        """Add strips between blocks and the squares where they meet."""
        found = sashing(setting, self.terms.seam, self.terms.step)
        if found is None:
            return
        wide = found.cut[1]
        self.want(strips, "sashing strip", found.cut, found.strips)
        self.add_long(strips, found.long, wide)
        self.want(stones, "cornerstone", (wide, wide), found.cornerstones)
        square = (found.half_square, found.half_square)
        self.want(stones, "square for half cornerstones", square, found.half_squares,
                  "cut twice on the diagonals")  # fmt: skip

    def add_long(self, fabric: str, long: tuple[tuple[Inches, int], ...], wide: Inches) -> None:
        """Add strips right across the quilt; those longer than the cloth is wide are joined."""
        usable, lost = self.width(fabric), 2 * float(self.terms.seam)
        joined = 0.0
        for length, count in long:
            if length <= usable:
                self.want(fabric, "long sashing strip", (length, wide), count)
            else:
                joined += count * float(length)
        if joined:
            number = strips_joined(joined, float(usable), lost)
            self.want(fabric, "strip for long sashing", (usable, wide), number)

    def finish(self, takedown: Takedown, block: Block) -> CuttingList:
        pieces = tuple(
            Piece(name, fabric, width, height, count, then=then)
            for (fabric, name, width, height, then), count in self.tally.items()
        )
        notes = []
        if takedown.partial:
            notes.append(f"{block.name} needs a partial seam: no seam runs right across it.")
        marks = MM_PER_INCH if self.metric else Fraction(16)
        if (2 * self.terms.seam.value * marks).denominator > 1:
            notes.extend([_SEAM_OFF_THE_RULER] if self.metric else [])
        elif any((part * self.side.value * marks).denominator > 1 for part in _parts(block)):
            notes.append(self.off_the_ruler(block))
        return CuttingList(pieces, tuple(self.sets), tuple(notes))

    def off_the_ruler(self, block: Block) -> str:
        """Say which nearby sizes of the block cut along the ruler's marks."""
        common = lcm(*(part.denominator for part in _parts(block)))
        good = common * (sizes.FIVE_MM.value if self.metric else Fraction(1, 4))
        lower = self.side.value // good * good
        near = [Inches(size) for size in (lower, lower + good) if size]
        if self.metric:
            size, marks, unit = f"{round(self.side.mm, 1):g} mm", "millimetres", "mm"
            told = [f"{round(side.mm):g}" for side in near]
        else:
            size, marks, unit = f"{self.side} in", "sixteenths", "in"
            told = [str(side) for side in near]
        return (
            f"Parts of {block.name.lower()} at {size} fall between the ruler's {marks}; "
            f"a block of {' or '.join(told)} {unit} is easier to cut."
        )


def _parts(block: Block) -> set[Fraction]:
    return {size for patch in block.patches for size in (patch.width, patch.height)}


def _rectangle(width: Inches, height: Inches) -> str:
    return "square" if width == height else "rectangle"
