"""The value that leaves this room: a fabric and its colours."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from palette.colour import Lab

Corrected = Literal["none", "white", "chart"]
"""By what in the photo a colour was corrected."""


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


@dataclass(frozen=True, slots=True)
class Fabric:
    """A fabric as its photo shows it.

    Raises
    ------
    ValueError
        If the id is empty, there is no colour, the shares do not add up to 1
        (within 0.01), or the print scale is negative.
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
    warnings: tuple[str, ...] = ()
    """What is wrong with its photo and what to do, in plain words."""
    photo: str = ""
    """Names the photo it was read from; '' if the colours were told, not read."""
    light: str = ""
    """Names the light of that photo; photos of one name were taken in the same light."""
    corrected: Corrected = "none"
    """By what its colours were corrected."""

    def __post_init__(self) -> None:
        if not self.id:
            raise ValueError(f"a fabric needs an id; {self.name!r} has none")
        if not self.colours:
            raise ValueError(f"fabric {self.id!r} has no colours")
        total = sum(part.share for part in self.colours)
        if abs(total - 1) > 0.01:
            raise ValueError(f"the shares of fabric {self.id!r} add up to {total:.3f}, not 1")
        if self.print_scale < 0:
            raise ValueError(f"the print scale of {self.id!r} is negative: {self.print_scale}")
