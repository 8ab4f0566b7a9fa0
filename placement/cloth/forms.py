"""Forms of cloth and their usable sizes.

Nominal sizes are common practice; the usable ones are planning defaults of
ours (cloth is squared up before it is cut) and every one can be changed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from placement.inches import Inches, Units

if TYPE_CHECKING:
    from collections.abc import Mapping


class FormKind(StrEnum):
    """A form in which cloth is bought, by the trade's name for it."""

    YARDAGE = "yardage"
    FAT_QUARTER = "fat quarter"
    FAT_EIGHTH = "fat eighth"
    TALL_FAT_EIGHTH = "fat eighth, tall"
    QUARTER_YARD = "quarter yard"
    HALF_YARD = "half yard"
    TEN_INCH_SQUARE = "ten-inch square"
    FIVE_INCH_SQUARE = "five-inch square"
    STRIP = "2 1/2-inch strip"
    OWN = "own measure"
    """A pre-cut, a leftover or any other piece of the designer's own measure."""

    @classmethod
    def _missing_(cls, value: object) -> None:
        known = ", ".join(cls)
        raise ValueError(f"there is no form of cloth {value!r}; choose one of {known}")


class Along(StrEnum):
    """Which side of a piece of cloth the strips that are cut first run along."""

    LONG = "long side"
    SHORT = "short side"


@dataclass(frozen=True, slots=True)
class Form:
    """A form in which cloth is bought, with its sizes.

    Width runs along the strips that are cut first (the longer side of a
    pre-cut, the width of cloth of yardage), height across them.
    """

    kind: FormKind
    """What it is."""
    nominal_width: Inches
    """Width as named."""
    nominal_height: Inches | None
    """Height as named; None for yardage, whose length is open."""
    width: Inches
    """Usable width after squaring up."""
    height: Inches | None
    """Usable height after squaring up; None for yardage."""
    units: Units = "inches"
    """What its lengths are told in and in whose steps it is sold."""

    def __post_init__(self) -> None:
        if self.width.value <= 0 or (self.height is not None and self.height.value <= 0):
            sides = f"{self.width}" if self.height is None else f"{self.height} x {self.width}"
            raise ValueError(f"a {self.kind} needs a usable size above 0, not {sides}")
        if self.width > self.nominal_width:
            raise ValueError(
                f"the usable width {self.width} of a {self.kind} is above its nominal "
                f"{self.nominal_width}; give the nominal width you measured too"
            )

    @property
    def open_ended(self) -> bool:
        """Whether it is cut from the bolt to the length that is needed."""
        return self.height is None

    @property
    def metric(self) -> bool:
        """Whether its lengths are told in millimetres and it is sold in metric steps."""
        return self.units == "metric"

    @property
    def as_sold(self) -> Form:
        """The same form if nothing were lost to squaring it up."""
        return replace(self, width=self.nominal_width, height=self.nominal_height)

    @property
    def square(self) -> bool:
        """Whether it is a square pre-cut."""
        return self.height == self.width and self.nominal_height == self.nominal_width

    def laid(self, along: Along) -> Form:
        """Return it laid so that strips run along that side; yardage and squares as they are.

        >>> str(form_of(FormKind.TALL_FAT_EIGHTH).laid(Along.SHORT).width)
        '10 1/2'
        """
        if self.height is None or self.nominal_height is None:
            return self
        if (along is Along.SHORT) == (self.width <= self.height):
            return self
        return replace(
            self,
            nominal_width=self.nominal_height,
            nominal_height=self.nominal_width,
            width=self.height,
            height=self.width,
        )


_SIZES: Mapping[tuple[FormKind, Units], tuple[tuple[str, str], tuple[str, str]]] = {
    (FormKind.YARDAGE, "inches"): (("", "42"), ("", "40")),
    (FormKind.FAT_QUARTER, "inches"): (("18", "21"), ("17 1/2", "20 1/2")),
    (FormKind.FAT_EIGHTH, "inches"): (("9", "21"), ("8 1/2", "20 1/2")),
    (FormKind.TALL_FAT_EIGHTH, "inches"): (("11", "18"), ("10 1/2", "17 1/2")),
    (FormKind.QUARTER_YARD, "inches"): (("9", "42"), ("8 1/2", "40")),
    (FormKind.HALF_YARD, "inches"): (("18", "42"), ("17 1/2", "40")),
    (FormKind.TEN_INCH_SQUARE, "inches"): (("10", "10"), ("10", "10")),
    (FormKind.FIVE_INCH_SQUARE, "inches"): (("5", "5"), ("5", "5")),
    (FormKind.STRIP, "inches"): (("2 1/2", "42"), ("2 1/2", "40")),
    (FormKind.FAT_QUARTER, "metric"): (("500 mm", "550 mm"), ("485 mm", "535 mm")),
    (FormKind.FAT_EIGHTH, "metric"): (("250 mm", "550 mm"), ("235 mm", "535 mm")),
    (FormKind.YARDAGE, "metric"): (("", "1100 mm"), ("", "1050 mm")),
}
"""Nominal and usable height and width; what is not listed in metric is sold by the inch."""


def form_of(kind: FormKind, units: Units = "inches") -> Form:
    """Return a form of cloth as it is sold and told in those units; ValueError for another name.

    >>> str(form_of(FormKind.FAT_EIGHTH, "metric").height)
    '235 mm'
    >>> str(form_of(FormKind.TEN_INCH_SQUARE, "metric").height)
    '10'
    """
    kind = FormKind(kind)
    if kind is FormKind.OWN:
        raise ValueError("cloth of your own measure needs its usable height and width; give both")
    sizes = _SIZES.get((kind, units)) or _SIZES[kind, "inches"]
    (high, wide), (usable_high, usable_wide) = sizes
    return Form(
        kind,
        Inches.parse(wide),
        Inches.parse(high) if high else None,
        Inches.parse(usable_wide),
        Inches.parse(usable_high) if usable_high else None,
        units,
    )


SOLD = tuple(kind for kind in FormKind if kind is not FormKind.OWN)
"""The forms that are sold in sizes of their own."""


def own_form(height: Inches, width: Inches, units: Units = "inches") -> Form:
    """Return a piece of cloth of one's own measure, squared up already.

    Strips run along its longer side.
    """
    low, long = sorted((height, width))
    return Form(FormKind.OWN, long, low, long, low, units)


def own_sizes(kind: FormKind, units: Units) -> bool:
    """Whether a form is sold in sizes of those units, not in those of the others."""
    return (kind, units) in _SIZES
