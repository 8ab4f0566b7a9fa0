"""Lengths of one plan in one hand: as texts and the page write them, or as print does."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.inches import MM_PER_INCH, Inches, Units

if TYPE_CHECKING:
    from placement.cloth.forms import Form

_KEPT = "\u00a0"
"""A blank that no line breaks at."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """How lengths are written: '2 1/2 in' and '6.5 cm', in print '2 1/2"' in one piece."""

    units: Units = "inches"
    """What lengths are told in."""
    printed: bool = False
    """Whether they are written as printed patterns do, and never break over a line."""

    def cut(self, length: Inches | float) -> str:
        """Write a size to cut or to trim to: quilters' fractions, centimetres in metric work.

        >>> Lengths().cut(Inches.parse('2.5')), Lengths('metric').cut(Inches.parse('65 mm'))
        ('2 1/2 in', '6.5 cm')
        >>> Lengths(printed=True).cut(Inches.parse('2.5')).replace(_KEPT, '_')
        '2_1/2"'
        """
        if self.units == "metric":
            # A seam allowance may be 0.75 cm; what is only worked out is told to the millimetre.
            mm = float(length) * float(MM_PER_INCH)
            told = round(mm, 1) if isinstance(length, Inches) else round(mm)
            return self._written(f"{round(told / 10, 2):g}", "cm")
        if not isinstance(length, Inches):
            return self.finished(length)
        if length.told_in_mm:
            return self._written(f"{length.mm:g}", "mm")
        return self._written(str(length), "in")

    def finished(self, inches: float) -> str:
        """Write a finished measure as people say it: to 1/8 in, or to 5 mm in centimetres.

        >>> Lengths().finished(72.1249), Lengths('metric').finished(72.1249)
        ('72 1/8 in', '183 cm')
        """
        if self.units == "metric":
            return self._written(f"{round(inches * 25.4 / 5) / 2:g}", "cm")
        return self._written(str(Inches(Fraction(round(inches * 8), 8))), "in")

    def exact(self, inches: float, places: int) -> str:
        """Write a measure with decimals; a tenth of a millimetre in metric work.

        >>> Lengths().exact(13.22792, 4), Lengths('metric').exact(13.22792, 4)
        ('13.2279 in', '33.60 cm')
        """
        if self.units == "metric":
            return self._written(f"{inches * 2.54:.2f}", "cm")
        return self._written(f"{inches:.{places}f}", "in")

    def sides(self, width: Inches, height: Inches) -> str:
        """Write the size of a piece: one side alone for a square.

        >>> two, nine = Inches.parse(2), Inches.parse(9)
        >>> Lengths().sides(nine, nine), Lengths().sides(two, nine)
        ('9 in', '2 in x 9 in')
        """
        if width == height:
            return self.cut(width)
        return self.by(self.cut(width), self.cut(height))

    def by(self, *sides: str) -> str:
        """Join sides that are written already."""
        return f"{_KEPT}×{_KEPT}".join(sides) if self.printed else " x ".join(sides)

    def bought(self, length: Inches, form: Units | None = None) -> str:
        """Write a length to buy as shops do: in yards, or in centimetres.

        >>> Lengths().bought(Inches.parse('49 1/2'))
        '1 3/8 yd'
        >>> Lengths('metric').bought(Inches.parse('1200 mm'))
        '120 cm'
        """
        if (form or self.units) == "metric":
            return self._written(f"{length.mm / 10:g}", "cm")
        return self._written(str(Inches(length.value / 36)), "yd")

    def sold(self, form: Form) -> str:
        """Write the size in which a form is sold: '18 in x 21 in', '42 in wide'.

        >>> from placement.cloth.forms import FormKind, form_of
        >>> Lengths('metric').sold(form_of(FormKind.FIVE_INCH_SQUARE, 'metric'))
        '12.7 cm x 12.7 cm'
        """
        sides = [side for side in (form.nominal_height, form.nominal_width) if side is not None]
        return self._form([self._as_sold(side) for side in sides])

    def usable(self, form: Form) -> str:
        """Write the size of a form that can be used."""
        sides = [side for side in (form.height, form.width) if side is not None]
        return self._form([self.cut(side) for side in sides])

    def _form(self, sides: list[str]) -> str:
        return self.by(*sides) if len(sides) > 1 else f"{sides[0]} wide"

    def _as_sold(self, side: Inches) -> str:
        """Write a side of cloth as shops do: in metric work in centimetres, to the millimetre."""
        if self.units == "metric":
            return self._written(f"{round(side.mm) / 10:g}", "cm")
        return self.cut(side)

    def _written(self, number: str, unit: str) -> str:
        if not self.printed:
            return f"{number} {unit}"
        number = number.replace(" ", _KEPT)
        return f'{number}"' if unit == "in" else f"{number}{_KEPT}{unit}"
