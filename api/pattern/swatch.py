"""A fabric of the bundle, a background or a thread: its colours, picture and marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from palette.fabric import Fabric
from palette.photo.paper_kind import PaperKind
from palette.photo.quad import Quad
from palette.photo.reference import Reference
from placement.inches import Inches

LONGEST_NAME = 80
"""Characters of a fabric's name that are kept."""

ASSUMED_WIDTH = Inches.parse(10)
"""Width of cloth a photo is taken to show unless it is given: a ten-inch square."""

Role = Literal["fabric", "background", "thread"]
"""What a swatch is for: the bundle, a candidate background, a candidate quilting thread."""


@dataclass(frozen=True, slots=True)
class Taken:
    """How a fabric was taken from its photo: what was found by itself, what is told by hand."""

    photo: str
    """Name of the photo's cleaned copy in the swatch store; '' if none was kept."""
    found: Quad | None = None
    """Where the cloth was found to lie in it; None where all of it shows cloth."""
    corners: Quad | None = None
    """Where it lies, told by hand; that goes before what is found."""
    whole: bool = False
    """Whether all of the photo is cloth, told by hand."""
    white: str = "auto"
    """What corrects the colours: 'auto', 'none', or where paper lies, 'left,top,right,bottom'."""
    paper: PaperKind = PaperKind.OFFICE
    """Kind of that paper."""
    even: bool = True
    """Whether light that falls off is evened."""
    colour: str = ""
    """The colour that it is told to read as, such as '#a83e32'; '' takes the one that is read."""
    across: float = 1.0
    """How much of the width of that cloth the swatch's picture shows, above 0 and at most 1."""

    def place(self) -> Quad | None:
        """Return where the cloth lies in the photo; None where all of it is cloth."""
        return None if self.whole else self.corners or self.found


@dataclass(frozen=True, slots=True)
class Swatch:
    """A fabric of the bundle (or a background), its picture, and what was decided on it."""

    fabric: Fabric
    """Its colours as read from the photo."""
    picture: str
    """Name of its cleaned picture in the swatch store: the SHA-256 of its bytes, in hex."""
    shows: Inches = ASSUMED_WIDTH
    """Width of cloth the picture shows."""
    shows_given: bool = False
    """Whether that width was given, not assumed."""
    must_use: bool = False
    """Always among the chosen fabrics."""
    leave_out: bool = False
    """Never among the chosen fabrics."""
    directional: bool = False
    """Whether the print has an up and a down."""
    reference: Reference | None = None
    """What its colours were corrected by; good for other photos in the same light."""
    taken: Taken | None = None
    """How it was taken from its photo; None if that is not known any more."""

    def __post_init__(self) -> None:
        if self.must_use and self.leave_out:
            raise ValueError(
                f"{self.fabric.name!r} is marked both 'must use' and 'leave out'; drop one mark"
            )
        if self.shows.value <= 0:
            raise ValueError(f"the photo of {self.fabric.name!r} must show more than 0 inches")
