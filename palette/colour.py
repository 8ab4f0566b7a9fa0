"""Lab colours and the differences between them.

Lab here always means CIE L*a*b* under D65 for the 2 degree observer, and a
difference is CIEDE2000 with kL = kC = kH = 1 unless a docstring says otherwise.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

Floats = NDArray[np.float64]

_TEXT = re.compile(r"lab-d65\(\s*(-?[\d.]+)\s+(-?[\d.]+)\s+(-?[\d.]+)\s*\)")


@dataclass(frozen=True, slots=True)
class Lab:
    """One colour: CIE L*a*b*, D65, 2 degree observer.

    Raises
    ------
    ValueError
        If lightness lies outside 0 to 100, or a or b outside -200 to 200.

    Examples
    --------
    >>> str(Lab(52.1, -8.3, 20.4))
    'lab-d65(52.10 -8.30 20.40)'
    >>> Lab.parse('lab-d65(52.10 -8.30 20.40)')
    Lab(lightness=52.1, a=-8.3, b=20.4)
    """

    lightness: float
    """L*, 0 (black) to 100 (white)."""
    a: float
    """a*, green (negative) to red (positive)."""
    b: float
    """b*, blue (negative) to yellow (positive)."""

    def __post_init__(self) -> None:
        if not 0 <= self.lightness <= 100:
            raise ValueError(f"lightness must lie between 0 and 100, not {self.lightness}")
        for axis, value in (("a", self.a), ("b", self.b)):
            if not -200 <= value <= 200:
                raise ValueError(f"{axis} must lie between -200 and 200, not {value}")

    def __str__(self) -> str:
        return f"lab-d65({self.lightness:.2f} {self.a:.2f} {self.b:.2f})"

    @classmethod
    def parse(cls, text: str) -> Lab:
        """Read the text form back; ValueError names a text that is not one."""
        match = _TEXT.fullmatch(text.strip())
        if match is None:
            raise ValueError(f"{text!r} is not a colour; write it as 'lab-d65(52.10 -8.30 20.40)'")
        return cls(*(float(part) for part in match.groups()))

    @classmethod
    def rounded(cls, lab: Floats) -> Lab:
        """Make a Lab from an array of three, rounded to 0.01 so that its text form round-trips."""
        lightness, a, b = (round(float(part), 2) + 0.0 for part in lab)
        return cls(min(max(lightness, 0.0), 100.0), a, b)

    def array(self) -> Floats:
        """Return the three values as an array of shape (3,)."""
        return np.array([self.lightness, self.a, self.b])


def difference(first: Floats, second: Floats) -> Floats:
    """CIEDE2000 between arrays of Lab colours, broadcast over all but the last axis."""
    return np.asarray(deltaE_ciede2000(first, second), dtype=np.float64)
