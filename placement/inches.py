"""Exact lengths: read, write, round up; inches and millimetres.

Cut sizes are exact fractions of an inch; a millimetre is exactly 5/127 of one.
Finished on-point measures are irrational and stay plain floats, so the two are
never mixed by accident.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from functools import total_ordering
from typing import Any, Literal

Units = Literal["inches", "metric"]
"""What lengths are told in."""

MM_PER_INCH = Fraction(127, 5)
"""Exact by definition (international yard and pound agreement, 1959)."""

_MIXED = re.compile(r"(?:(\d+)(?: ?- ?| |\b))?(?:(\d+) ?/ ?(\d+))?")
_DECIMAL = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_THOUSANDS = re.compile(r"[1-9]\d*,\d{3}")
_UNIT = re.compile(r"(.*?) ?(\"|''|in|inch|inches|mm|cm|yd|yds|yard|yards|m)?\.?")

_SCALES = {
    **dict.fromkeys(("yd", "yds", "yard", "yards"), Fraction(36)),
    "mm": 1 / MM_PER_INCH,
    "cm": 10 / MM_PER_INCH,
    "m": 1000 / MM_PER_INCH,
}
"""Inches in the other units."""

_LONGEST = 60
"""Characters of a length; no ruler needs a third of them."""

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
        **dict.fromkeys("\u2032\u2019\u2018\u00b4`", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba\u00a8", '"'),
        "\u2044": "/",
    }
)
"""What phones and word processors write for a hyphen, marks of inches and a stroke."""


@total_ordering
@dataclass(frozen=True, slots=True)
class Inches:
    """An exact length, zero or more.

    Examples
    --------
    >>> str(Inches.parse('2 1/2'))
    '2 1/2'
    >>> str(Inches.parse('60 mm'))
    '60 mm'
    >>> float(Inches.parse('2.5'))
    2.5
    """

    value: Fraction
    """Inches."""

    def __post_init__(self) -> None:
        if self.value < 0:
            raise ValueError(f"a length can't be negative: {self.value}")

    @classmethod
    def parse(cls, text: str | int | float | Fraction, units: Units = "inches") -> Inches:
        """Read a length as people and phones write it.

        Inches are whole, mixed ('8 1/2', '8-1/2', '8½') or decimal ('8.5', '8,5'), with or
        without a mark or word for inches; '1 1/2 yd' are yards; '63 mm', '6,3 cm' and '1,2 m' are
        metric. A bare number is inches, or centimetres in metric work; a bare fraction
        means nothing there.

        Raises
        ------
        ValueError
            Naming the text, if it is not a length.
        """
        if len(str(text)) > _LONGEST:
            raise ValueError(f"{str(text)[:_LONGEST]!r}... is no length: it takes too many digits")
        written = _plain(str(text))
        match = _UNIT.fullmatch(written)
        body, unit = match.groups() if match else (written, None)
        if _THOUSANDS.fullmatch(body):
            raise ValueError(
                f"{text!r} is not a length that can be told: a comma before three digits may mean "
                "thousands or a decimal; write it with a point, or without the comma"
            )
        number = _number(body)
        if number is None:
            raise ValueError(f"{text!r} is not a length; write inches as 8 1/2 or 8.5, or '215 mm'")
        if units == "metric" and unit is None:
            if "/" in body:
                raise ValueError(
                    f"{text!r} has no unit: a number alone means centimetres in metric work, and "
                    f"fractions are of inches; write it as '{body.strip()} in', or in mm or cm"
                )
            unit = "cm"
        return cls(number * _SCALES.get(unit or "", Fraction(1)))

    @property
    def told_in_mm(self) -> bool:
        """Whether it is written in millimetres: it is on their ruler and not on that of inches."""
        denominator = self.value.denominator
        on_ruler = denominator <= 64 and not denominator & (denominator - 1)
        return not on_ruler and (self.value * MM_PER_INCH).denominator in (1, 2, 5, 10)

    def __str__(self) -> str:
        if self.told_in_mm:
            return f"{self.mm:g} mm"
        whole, rest = divmod(self.value, 1)
        if not rest:
            return str(whole)
        return f"{whole} {rest}" if whole else str(rest)

    def __float__(self) -> float:
        return float(self.value)

    def __lt__(self, other: Inches) -> bool:
        return self.value < other.value

    @property
    def mm(self) -> float:
        """The length in millimetres."""
        return float(self.value * MM_PER_INCH)

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: object, _handler: object) -> Any:
        """Let JSON carry the text form ('8 1/2'), so that nothing is lost on the way."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(
            lambda given: given if isinstance(given, cls) else cls.parse(given),
            serialization=core_schema.plain_serializer_function_ser_schema(str),
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, _core: object, _handler: object) -> dict[str, Any]:
        """Describe the text form for OpenAPI."""
        return {"type": "string", "examples": ["8 1/2", "215 mm"], "title": "Length"}


def _plain(text: str) -> str:
    """Return a text with one kind of hyphen, mark and blank, its fractions written out."""
    known = "".join(map(_written_out, text)).translate(_ALIKE)
    return " ".join(known.lower().split())


def _written_out(letter: str) -> str:
    """Return a fraction or a wide digit in plain digits; all else as it is."""
    kind = unicodedata.decomposition(letter).partition(" ")[0]
    plain = unicodedata.normalize("NFKC", letter)
    return {"<fraction>": f" {plain} ", "<wide>": plain}.get(kind, letter)


def _number(body: str) -> Fraction | None:
    """Read a decimal or a mixed fraction; None if it is neither."""
    body = body.strip()
    if _DECIMAL.fullmatch(body):
        return Fraction(body.replace(",", "."))
    match = _MIXED.fullmatch(body)
    if not body or match is None:
        return None
    whole, top, bottom = match.groups()
    if bottom is not None and int(bottom) == 0:
        return None
    number = Fraction(int(whole or 0))
    return number + Fraction(int(top), int(bottom)) if top else number
