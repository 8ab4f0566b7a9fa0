"""Lab colours, the differences between them, and the ways between light, sRGB and Lab.

Words used in this room:

light
    Linear sRGB: red, green and blue in proportion to energy, white at (1, 1, 1).
    Values below 0 and above 1 are colours a screen cannot show.
sRGB
    The same, encoded for screens (IEC 61966-2-1), 0 to 1 or 0 to 255.
Lab
    CIE L*a*b* under D65 for the 2 degree observer.
difference
    CIEDE2000 with kL = kC = kH = 1 unless a docstring says otherwise.

Pixels are converted here on arrays. Single colours go through colormath, which
takes 24 microseconds for each. Libraries that start slowly are imported where
they are used.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_LIGHT_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""IEC 61966-2-1, linear sRGB to XYZ under D65."""
_WHITE = _LIGHT_TO_XYZ.sum(axis=1)
_LIGHT_TO_RELATIVE = _LIGHT_TO_XYZ / _WHITE[:, None]
_RELATIVE_TO_LIGHT = np.linalg.inv(_LIGHT_TO_RELATIVE)
_XYZ_TO_SHARP = np.array(
    [[1.2694, -0.0988, -0.1706], [-0.8364, 1.8006, 0.0357], [0.0297, -0.0315, 1.0018]]
)
"""Sharp transform (Süsstrunk, Holm & Finlayson 2001), in the numbers colour-science has."""
_LIGHT_TO_SHARP = _XYZ_TO_SHARP @ _LIGHT_TO_XYZ
_TO_AXES = np.array([[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]])
_EPSILON = (6 / 29) ** 3
_KAPPA = (29 / 3) ** 3

HEX = "#?([0-9a-fA-F]{3}|[0-9a-fA-F]{6})"
"""Every form of a web colour that is taken: a regular expression."""
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
    from skimage.color import deltaE_ciede2000

    return np.asarray(deltaE_ciede2000(*np.broadcast_arrays(first, second)), dtype=np.float64)


def srgb_to_light(srgb: Floats) -> Floats:
    """Decode sRGB of any shape, 0 to 1, to light (IEC 61966-2-1)."""
    return np.where(srgb <= 0.04045, srgb / 12.92, ((np.maximum(srgb, 0) + 0.055) / 1.055) ** 2.4)


def light_to_srgb(light: Floats) -> Floats:
    """Encode light of any shape as sRGB, clipped to 0 to 1 (IEC 61966-2-1)."""
    shown = np.clip(light, 0.0, 1.0)
    return np.where(shown <= 0.0031308, shown * 12.92, 1.055 * shown ** (1 / 2.4) - 0.055)


def light_to_lab(light: Floats) -> Floats:
    """Convert light, shape (..., 3), to Lab (CIE 15:2018, 8.2.1)."""
    relative = light @ _LIGHT_TO_RELATIVE.T
    lifted = np.where(relative > _EPSILON, np.cbrt(relative), (_KAPPA * relative + 16) / 116)
    return np.asarray(lifted @ _TO_AXES.T - np.array([16.0, 0.0, 0.0]))


def lab_to_light(lab: Floats) -> Floats:
    """Convert Lab, shape (..., 3), to light; the inverse of light_to_lab."""
    middle = (lab[..., 0] + 16) / 116
    lifted = np.stack([middle + lab[..., 1] / 500, middle, middle - lab[..., 2] / 200], axis=-1)
    relative = np.where(lifted > 6 / 29, lifted**3, (116 * lifted - 16) / _KAPPA)
    return relative @ _RELATIVE_TO_LIGHT.T


@lru_cache(maxsize=4096)
def to_srgb(lab: Lab) -> tuple[int, int, int]:
    """Give red, green and blue, 0 to 255, of one colour; the nearest a screen can show.

    Examples
    --------
    >>> to_srgb(Lab(100, 0, 0)), to_srgb(Lab(76.25, 0, 0))
    ((255, 255, 255), (188, 188, 188))
    """
    from colormath.color_conversions import convert_color
    from colormath.color_objects import LabColor, sRGBColor

    # colormath would take D50 for granted.
    colour = LabColor(lab.lightness, lab.a, lab.b, observer="2", illuminant="d65")
    shown = convert_color(colour, sRGBColor)
    clamped = (shown.clamped_rgb_r, shown.clamped_rgb_g, shown.clamped_rgb_b)
    red, green, blue = (round(255 * float(part)) for part in clamped)
    return red, green, blue


def to_hex(lab: Lab) -> str:
    """Write one colour as a web colour.

    Examples
    --------
    >>> to_hex(Lab(53.24, 80.09, 67.20))
    '#ff0000'
    """
    return "#{:02x}{:02x}{:02x}".format(*to_srgb(lab))


def parse_hex(text: str) -> str:
    """Return a web colour in its one form, '#rrggbb'.

    Raises
    ------
    ValueError
        If the text is no web colour.

    Examples
    --------
    >>> parse_hex('#A83E32'), parse_hex('fc0')
    ('#a83e32', '#ffcc00')
    """
    match = re.fullmatch(HEX, text)
    if match is None:
        raise ValueError(
            f"{text[:40]!r} is not a colour; write # and six digits from 0 to f, such as '#a83e32'"
        )
    digits = match[1].lower()
    return "#" + (digits if len(digits) == 6 else "".join(2 * digit for digit in digits))


def from_srgb(red: int, green: int, blue: int) -> Lab:
    """Give the Lab of one sRGB colour, each part 0 to 255.

    Raises
    ------
    ValueError
        If a part lies outside 0 to 255.

    Examples
    --------
    >>> str(from_srgb(188, 188, 188))
    'lab-d65(76.25 0.00 -0.01)'
    """
    from colormath.color_conversions import convert_color
    from colormath.color_objects import LabColor, sRGBColor

    for part in (red, green, blue):
        if not 0 <= part <= 255:
            raise ValueError(f"red, green and blue must lie between 0 and 255, not {part}")
    colour = sRGBColor(red, green, blue, is_upscaled=True)
    lab = convert_color(colour, LabColor, target_illuminant="d65")
    return Lab.rounded(np.array(lab.get_value_tuple()))


def from_d50(x: float, y: float, z: float) -> Floats:
    """Give the light, shape (3,), of one XYZ colour under D50, adapted to D65 by Bradford."""
    from colormath.color_objects import XYZColor

    colour = XYZColor(x, y, z, observer="2", illuminant="d50")
    colour.apply_adaptation("d65", adaptation="bradford")
    white = np.array(list(colour.get_illuminant_xyz().values()))
    relative = np.array(colour.get_value_tuple()) / white
    return np.asarray(_RELATIVE_TO_LIGHT @ relative)


def adaptation(seen: Floats, known: Floats) -> Floats:
    """Return the matrix, shape (3, 3), that adapts light so that one colour becomes another.

    Parameters
    ----------
    seen, known : Floats
        Light of a colour as it appears and as it should, shape (3,), above 0.
    """
    gains = (_LIGHT_TO_SHARP @ known) / (_LIGHT_TO_SHARP @ seen)
    return np.asarray(np.linalg.solve(_LIGHT_TO_SHARP, gains[:, None] * _LIGHT_TO_SHARP))
