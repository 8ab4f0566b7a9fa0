"""Pieces, cloth and borders in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.wording.english import number
from api.wording.lengths import Lengths
from placement.cloth.cutting import Cloth, Piece, PieceKind, Use
from placement.cloth.forms import FormKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.inches import Inches, Units

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")

_NOUNS = {
    PieceKind.SET_STRIP: ("strip", "strip sets"),
    PieceKind.HALF_SQUARE: ("square", "half-square triangles"),
    PieceKind.HALF_SQUARE_STRIP: ("strip", "half-square triangles"),
    PieceKind.QUARTER_SQUARE: ("square", "quarter-square triangles"),
    PieceKind.HALF_RECTANGLE: ("rectangle", "half-rectangle triangles"),
    PieceKind.LARGE_GOOSE: ("large square", "flying geese"),
    PieceKind.SMALL_GOOSE: ("small square", "flying geese"),
    PieceKind.PLAIN_BLOCK: ("plain block", ""),
    PieceKind.SIDE: ("square", "side triangles"),
    PieceKind.CORNER: ("square", "corner triangles"),
    PieceKind.SASH: ("sashing strip", ""),
    PieceKind.LONG_SASH: ("long sashing strip", ""),
    PieceKind.JOINED_SASH: ("strip", "long sashing"),
    PieceKind.CORNERSTONE: ("cornerstone", ""),
    PieceKind.HALF_CORNERSTONE: ("square", "half cornerstones"),
    PieceKind.BINDING: ("binding strip", ""),
    PieceKind.BIAS_BINDING: ("square", "bias binding"),
}
"""What a piece is, and what it is for."""

_FORMS = {
    FormKind.YARDAGE: ("yardage", "yardage"),
    FormKind.FAT_QUARTER: ("fat quarter", "fat quarters"),
    FormKind.FAT_EIGHTH: ("fat eighth", "fat eighths"),
    FormKind.TALL_FAT_EIGHTH: ("fat eighth, tall", "fat eighths, tall"),
    FormKind.QUARTER_YARD: ("quarter yard", "quarter yards"),
    FormKind.HALF_YARD: ("half yard", "half yards"),
    FormKind.TEN_INCH_SQUARE: ("ten-inch square", "ten-inch squares"),
    FormKind.FIVE_INCH_SQUARE: ("five-inch square", "five-inch squares"),
    FormKind.STRIP: ("2 1/2-inch strip", "2 1/2-inch strips"),
    FormKind.OWN: ("piece of your own measure", "pieces of your own measure"),
}
"""What the trade calls a form of cloth, one and several."""


def form_name(kind: FormKind, count: int = 1) -> str:
    """Name a form of cloth.

    >>> form_name(FormKind.FAT_EIGHTH), form_name(FormKind.TALL_FAT_EIGHTH, 2)
    ('fat eighth', 'fat eighths, tall')
    """
    return _FORMS[kind][count != 1]


def forms(kind: FormKind, count: int) -> str:
    """Say how many pieces of a form: '1 fat eighth', '3 fat eighths'."""
    return f"{count} {form_name(kind, count)}"


def cloth_words(cloth: Cloth) -> str:
    """Name the cloth at hand: 'a fat eighth', '3 fat eighths', 'the yardage'."""
    if cloth.form.open_ended:
        return "yardage" if cloth.length is None else "the yardage"
    return f"a {form_name(cloth.form.kind)}" if cloth.count == 1 else cloth_count(cloth)


def cloth_count(cloth: Cloth) -> str:
    """Say how much cloth it is: '1 fat eighth', '3 fat eighths', 'yardage'."""
    if cloth.form.open_ended:
        return form_name(cloth.form.kind)
    return forms(cloth.form.kind, cloth.count)


def border_name(which: int, count: int) -> str:
    """Return what a border is called: by its number from the centre outward, of so many.

    >>> border_name(2, 2), border_name(1, 1), border_name(3, 4)
    ('outer border', 'border', 'third border')
    """
    if count < 2:
        return "border"
    if count == 2:
        return ("inner border", "outer border")[which - 1]
    return f"{_ORDINALS[which - 1]} border"


def border_names(count: int) -> tuple[str, ...]:
    """Return what all borders are called, from the centre outward."""
    return tuple(border_name(which, count) for which in range(1, count + 1))


def told_sides(use: Use, width: Inches, height: Inches) -> tuple[Inches, Inches]:
    """Return the sides of a piece as they are told: of a strip its width, then its length."""
    return (height, width) if use.kind.is_strip and height < width else (width, height)


@dataclass(frozen=True, slots=True)
class Hand:
    """How the cutting of one plan is written."""

    lengths: Lengths = Lengths()  # noqa: RUF009 - a frozen value
    """How its lengths are."""
    borders: int = 1
    """How many borders it has, which names them."""

    def noun(self, use: Use, *, square: bool) -> tuple[str, str]:
        """Return what a piece is, and what it is for; '' where the one says the other."""
        if use.kind is PieceKind.PATCH:
            return ("square" if square else "rectangle"), ""
        if use.kind is PieceKind.BORDER:
            return f"{border_name(use.number, self.borders)} strip", ""
        if use.kind is PieceKind.LARGE_GOOSE and not square:
            return "rectangle", "flying geese"
        return _NOUNS[use.kind]

    def strip_for(self, use: Use) -> str:
        """Say what whole strips across the cloth are for: 'outer border', 'binding'."""
        return border_name(use.number, self.borders) if use.number else "binding"

    def counted(self, use: Use, width: Inches, height: Inches, count: int) -> str:
        """Say how many pieces of what size.

        >>> from placement.inches import Inches
        >>> nine = Inches.parse(9)
        >>> Hand().counted(Use(PieceKind.SIDE), nine, nine, 2)
        '2 squares of 9 in for side triangles'
        """
        noun, purpose = self.noun(use, square=width == height)
        size = self.lengths.sides(*told_sides(use, width, height))
        return f"{number(count, noun)} of {size}" + (f" for {purpose}" if purpose else "")

    def piece(self, piece: Piece, count: int | None = None) -> str:
        """Say how many of a piece there are, with its size."""
        return self.counted(piece.use, piece.width, piece.height, count or piece.count)

    def missing(self, missing: Sequence[tuple[Piece, int]]) -> list[str]:
        """Name pieces that find no place, with their counts."""
        return [self.piece(piece, count) for piece, count in missing]


def hand(plan: Plan, book: CutBook | None = None, *, printed: bool = False) -> Hand:
    """Return how the cutting of a plan is written."""
    borders = len(book.borders if book else plan.brief.borders)
    return Hand(Lengths(plan.brief.units, printed), borders)


def unit_word(units: Units) -> str:
    """Name the unit that drawings tell sizes in."""
    return "centimetres" if units == "metric" else "inches"
