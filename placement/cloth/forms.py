"""Forms of cloth and their usable sizes.

Nominal sizes are common practice; the usable ones are planning defaults of
ours (cloth is squared up before it is cut) and every one can be changed.
"""

from __future__ import annotations

from dataclasses import dataclass

from placement.inches import Inches


@dataclass(frozen=True, slots=True)
class Form:
    """A form in which cloth is bought.

    Width runs along the strips that are cut first (the longer side of a
    pre-cut, the width of cloth of yardage), height across them.
    """

    name: str
    """What the trade calls it."""
    nominal_width: Inches
    """Width as named."""
    nominal_height: Inches | None
    """Height as named; None for yardage, whose length is open."""
    width: Inches
    """Usable width after squaring up."""
    height: Inches | None
    """Usable height after squaring up; None for yardage."""
    metric: bool = False
    """Whether its lengths are told in millimetres and it is sold in metric steps."""

    def __post_init__(self) -> None:
        if self.width.value <= 0 or (self.height is not None and self.height.value <= 0):
            raise ValueError(f"a {self.name} needs a usable size above 0, not {self.size()}")
        if self.width > self.nominal_width:
            raise ValueError(
                f"the usable width {self.width} of a {self.name} is above its nominal "
                f"{self.nominal_width}; give the nominal width you measured too"
            )

    @property
    def open_ended(self) -> bool:
        """Whether it is cut from the bolt to the length that is needed."""
        return self.height is None

    def nominal(self) -> str:
        """Return the size as sold as text."""
        wide, high = self.nominal_width, self.nominal_height
        return f"{wide} wide" if high is None else f"{high} x {wide}"

    def size(self) -> str:
        """Return the usable size as text."""
        return f"{self.width} wide" if self.height is None else f"{self.height} x {self.width}"


def _form(name: str, nominal: tuple[str, str], usable: tuple[str, str]) -> Form:
    high, wide = nominal
    usable_high, usable_wide = usable
    return Form(
        name,
        Inches.parse(wide),
        Inches.parse(high) if high else None,
        Inches.parse(usable_wide),
        Inches.parse(usable_high) if usable_high else None,
        metric=wide.endswith("mm"),
    )


FORMS: dict[str, Form] = {
    "yardage": _form("yardage", ("", "42"), ("", "40")),
    "fat quarter": _form("fat quarter", ("18", "21"), ("17 1/2", "20 1/2")),
    "fat eighth": _form("fat eighth", ("9", "21"), ("8 1/2", "20 1/2")),
    "fat eighth, tall": _form("fat eighth, tall", ("11", "18"), ("10 1/2", "17 1/2")),
    "quarter yard": _form("quarter yard", ("9", "42"), ("8 1/2", "40")),
    "half yard": _form("half yard", ("18", "42"), ("17 1/2", "40")),
    "ten-inch square": _form("ten-inch square", ("10", "10"), ("10", "10")),
    "five-inch square": _form("five-inch square", ("5", "5"), ("5", "5")),
    "2 1/2-inch strip": _form("2 1/2-inch strip", ("2 1/2", "42"), ("2 1/2", "40")),
    "metric fat quarter": _form("metric fat quarter", ("500 mm", "550 mm"), ("485 mm", "535 mm")),
    "metric fat eighth": _form("metric fat eighth", ("250 mm", "550 mm"), ("235 mm", "535 mm")),
    "metric yardage": _form("metric yardage", ("", "1100 mm"), ("", "1050 mm")),
}
"""Every form by its name."""
