"""The value that leaves this room: a fabric and its colours."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from palette.colour import Lab

LONGEST_ID = 60
"""Characters of a fabric's id."""
_ID = re.compile(rf"[a-z0-9][a-z0-9:-]{{0,{LONGEST_ID - 1}}}")
"""Nothing that could be a path; a plain thread's has a colon."""

Corrected = Literal["none", "white", "chart"]
"""By what in the photo a colour was corrected."""


class PhotoFault(StrEnum):
    """What may be wrong with a photo."""

    FEW_PIXELS = "few pixels"
    FEW_PIXELS_IN_BUNDLE = "few pixels in bundle"
    TOO_BRIGHT = "too bright"
    TOO_DARK = "too dark"
    BLURRED = "blurred"
    UNEVEN_LIGHT = "uneven light"
    SHADOW = "shadow"
    PRINT_CUT_OFF = "print cut off"
    FOREIGN_OBJECT = "foreign object"
    GLARE = "glare"
    COLOURED_LIGHT = "coloured light"
    PAPER_BRIGHT = "paper bright"
    PAPER_DARK = "paper dark"
    MIXED_LIGHT = "mixed light"
    COLOURS_UNKNOWN = "colours unknown"
    INKS_ASSUMED = "inks assumed"
    HDR_WHITE = "hdr white"
    NO_PICTURE = "no picture"
    EARLIER = "earlier"


DEALT_WITH = frozenset(
    {
        PhotoFault.FEW_PIXELS,
        PhotoFault.FEW_PIXELS_IN_BUNDLE,
        PhotoFault.UNEVEN_LIGHT,
        PhotoFault.GLARE,
        PhotoFault.HDR_WHITE,
    }
)
"""Faults that were made up for, or touch fine detail alone: colour and picture are right."""


class Side(StrEnum):
    """A side of a photo."""

    UPPER = "upper"
    RIGHT = "right"
    LOWER = "lower"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class PhotoWarning:
    """Something that may be wrong with a photo; the fabric is read all the same."""

    fault: PhotoFault
    """What."""
    share: float | None = None
    """Part of the photo, or of its light, that it is about, 0 to 1."""
    size: tuple[int, int] | None = None
    """Of a photo of few pixels: how many across and down."""
    side: Side | None = None
    """Where something else than the cloth comes in."""
    told: str = ""
    """What an earlier version told of it, in its words; it kept nothing else."""


class NotCloth(StrEnum):
    """What is left out of a photo as a matter of course."""

    MARGIN = "margin"
    GROUND = "ground"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class CutAway:
    """Something in a photo that is no cloth and was left out."""

    what: NotCloth
    """What."""
    share: float
    """Part of the photo, 0 to 1."""
    sides: tuple[Side, ...] = ()
    """Where it lies, of something at the photo's edges."""
    box: tuple[float, ...] = ()
    """Left, top, right and bottom in parts of the photo, of something in it."""


@dataclass(frozen=True, slots=True)
class Share:
    """One main colour of a fabric and how much of the cloth it covers."""

    colour: Lab
    """The colour itself."""
    share: float
    """Part of the cloth it covers, above 0 and at most 1."""

    def __post_init__(self) -> None:
        if not 0 < self.share <= 1:
            raise ValueError(f"a share must lie above 0 and at most at 1, not {self.share}")


class PrintKind(StrEnum):
    """What the eye makes of a print, by its outlines."""

    SOLID = "solid"
    STRIPE = "stripe"
    CHECK = "check"
    DOT = "dot"
    ALL_OVER = "all-over"


DISTANCES = (1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4)
"""Distances at which a print is looked at, parts of the photo's shorter side."""

DIRECTIONS = (0, 45, 90, 135)
"""Directions in which it is looked at, degrees from the photo's rows."""


SQUARES = (1 / 16, 1 / 8, 1 / 4, 1 / 2)
"""Sides of the squares of cloth that are looked at, parts of the picture's width."""
_SQUARES = re.compile(r"(\d{1,3}(-\d{1,3})*)(:\d{1,3}(-\d{1,3})*)*")


@dataclass(frozen=True, slots=True)
class Print:
    """How the main colours of a fabric lie on the cloth.

    Raises
    ------
    ValueError
        If `change` has another shape than DISTANCES by DIRECTIONS, or `squares` are no shares.
    """

    kind: PrintKind
    """What the eye makes of it."""
    change: tuple[tuple[float, ...], ...]
    """How much two points of the cloth differ on average that lie so far apart (DISTANCES) in each
    direction (DIRECTIONS): CIEDE2000 of their main colours."""
    squares: tuple[str, ...] | None = None
    """What squares cut from the cloth show, for each side of SQUARES up to the one from which on
    they all show what the whole does: hundredths of each main colour, such as '40-60:100-0' for
    two squares. None if that was not looked at."""

    def __post_init__(self) -> None:
        squares = self.squares or ()
        if len(squares) > len(SQUARES) or not all(map(_SQUARES.fullmatch, squares)):
            raise ValueError(
                f"what squares of a print show is told for up to {len(SQUARES)} sides, such as "
                "'40-60:100-0'"
            )
        if [len(row) for row in self.change] != len(DISTANCES) * [len(DIRECTIONS)]:
            raise ValueError(
                f"a print is measured at {len(DISTANCES)} distances in {len(DIRECTIONS)} directions"
            )


@dataclass(frozen=True, slots=True)
class Fabric:
    """A fabric as its photo shows it.

    Raises
    ------
    ValueError
        If the id is empty or holds what no id can, there is no colour, the shares do
        not add up to 1 (within 0.01), the print scale is negative, or squares of the print tell
        of another number of colours.
    """

    id: str
    """Short name unique within a bundle: lower-case letters, digits and hyphens."""
    name: str
    """What people call it."""
    reads_as: Lab
    """The colour it mixes to from across the room: the mean in linear light."""
    colours: tuple[Share, ...]
    """Main colours, largest share first."""
    print_scale: float = 0.0
    """Typical size of a feature of the print, part of the photo's shorter side; 0 for a solid."""
    warnings: tuple[PhotoWarning, ...] = ()
    """What may be wrong with its photo."""
    photo: str = ""
    """Names the photo it was read from; '' if the colours were told, not read."""
    light: str = ""
    """Names the light of that photo; photos of one name were taken in the same light."""
    corrected: Corrected = "none"
    """By what its colours were corrected."""
    left_out: tuple[CutAway, ...] = ()
    """What in the photo is no cloth."""
    print: Print | None = None
    """How its colours lie on the cloth; None if it was not read from a photo, or long ago."""

    def __post_init__(self) -> None:
        if not self.id:
            raise ValueError(f"a fabric needs an id; {self.name!r} has none")
        if not _ID.fullmatch(self.id):
            raise ValueError(
                f"{self.id[:LONGEST_ID]!r} can't be a fabric's id: it takes up to {LONGEST_ID} "
                "lower-case letters, digits and hyphens"
            )
        if not self.colours:
            raise ValueError(f"fabric {self.id!r} has no colours")
        total = sum(part.share for part in self.colours)
        if abs(total - 1) > 0.01:
            raise ValueError(f"the shares of fabric {self.id!r} add up to {total:.3f}, not 1")
        if self.print_scale < 0:
            raise ValueError(f"the print scale of {self.id!r} is negative: {self.print_scale}")
        self._check_squares()

    def _check_squares(self) -> None:
        squares = self.print.squares or () if self.print else ()
        many = {len(each.split("-")) for side in squares for each in side.split(":")}
        if not many <= {len(self.colours)}:
            raise ValueError(
                f"squares of {self.id!r} tell of {max(many)} colours; it has {len(self.colours)}"
            )
