"""Cameras, lights and reflectances by wavelength, to photograph colours whose truth is known.

All spectra are measured ones that colour-science carries. A colour under a
light reaches the camera as the sum over wavelengths of light, reflectance and
sensitivity. The camera turns that into linear sRGB by a matrix fitted to
daylight, as cameras do; what differs in other light is left for a correction.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from palette.colour import light_to_lab

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it warns of plotting libraries that are not there
    import colour
    from colour.quality.cfi2017 import load_TCS_CIE2017

SHAPE = colour.SpectralShape(400, 700, 5)
CAMERAS = ("Nikon 5100 (NPL)", "Sigma SDMerill (NPL)")

TUNING_LIGHTS = {
    "daylight": ("C", "D55", "D75", "FL1"),
    "tungsten": ("Incandescent", "ISO 7589 Studio Tungsten"),
    "white LED": ("PHOS-1", "PHOS-2", "PHOS-3", "PHOS-4", "Phosphor LED YAG", "LED-BH1"),
    "fluorescent": ("FL3.4", "FL3.8", "FL3.12", "T8 Polylux 4000"),
}
"""Lights that tables and constants were made with."""

HOUSEHOLD_LIGHTS = {
    "daylight": ("D50", "D65", "ID50", "ID65"),
    "tungsten": ("A", "60 A/W (Soft White)"),
    "white LED": ("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-V1", "LED-V2"),
    "fluorescent": ("FL2", "FL11", "F32T8/TL830 (Triphosphor)"),
}
"""Sixteen other lights, to measure with."""

CIE_DAYLIGHTS = ("D50", "D55", "D60", "D65", "D75", "ID50", "ID65")
"""Every daylight the CIE publishes, out of doors and behind a window (CIE 15:2018)."""


@dataclass(frozen=True)
class Camera:
    """A camera that takes the light of a scene."""

    sensitivity: np.ndarray
    """Of red, green and blue by wavelength, shape (61, 3)."""
    matrix: np.ndarray
    """From raw values, white of daylight at 1, to linear sRGB, shape (3, 3)."""
    daylight: np.ndarray
    """Raw values of white in daylight, shape (3,)."""

    def light(self, reflectances: np.ndarray, source: np.ndarray, cast: float = 1.0) -> np.ndarray:
        """Linear sRGB of reflectances (n, 61) under a light (61,), white exposed to green 1.

        A camera that balances white by itself leaves only a part of the light's `cast`.
        """
        white = source @ self.sensitivity
        tint = white / self.daylight
        raw = (reflectances * source) @ self.sensitivity / white
        return raw * (tint / tint[1]) ** cast @ self.matrix.T


def truth(reflectances: np.ndarray) -> np.ndarray:
    """Lab of reflectances (n, 61) under D65 for the 2 degree observer, shape (n, 3)."""
    return light_to_lab(_true_light(reflectances))


@lru_cache
def camera(name: str, light: str = "D65") -> Camera:
    """Build a camera; its matrix is fitted to a colour chart under a light, white balanced."""
    sensitivity = _aligned(colour.MSDS_CAMERA_SENSITIVITIES[name])
    sensitivity = np.maximum(np.nan_to_num(sensitivity), 0)
    source = light_source(light)
    chart = chart_reflectances()
    raw = (chart * source) @ sensitivity / (source @ sensitivity)
    wanted = _true_light(chart)
    # White keeps its place: every row adds up to 1.
    over_green, wishes = raw - raw[:, 1:2], wanted - raw[:, 1:2]
    red, blue = np.linalg.lstsq(over_green[:, [0, 2]], wishes, rcond=None)[0]
    matrix = np.stack([red, 1 - red - blue, blue], axis=1)
    return Camera(sensitivity, matrix, light_source("D65") @ sensitivity)


@lru_cache
def light_source(name: str) -> np.ndarray:
    """Relative power of a light by wavelength, shape (61,)."""
    everything = {**colour.SDS_LIGHT_SOURCES, **colour.SDS_ILLUMINANTS}
    return np.maximum(_aligned(everything[name]), 0)


@lru_cache
def cie_reflectances() -> np.ndarray:
    """Return the 99 colour evaluation samples of CIE 224:2017, shape (99, 61)."""
    return _aligned(load_TCS_CIE2017(colour.SpectralShape(380, 780, 5))).T


@lru_cache
def training_reflectances() -> np.ndarray:
    """Return 190 training reflectances of the Academy's RAW to ACES utility, shape (190, 61)."""
    from colour.characterisation import read_training_data_rawtoaces_v1

    return _aligned(read_training_data_rawtoaces_v1()).T


@lru_cache
def chart_reflectances() -> np.ndarray:
    """Return the 24 patches of a colour chart (BabelColor average), shape (24, 61)."""
    patches = colour.SDS_COLOURCHECKERS["BabelColor Average"].values()
    return np.array([_aligned(patch) for patch in patches])


def paper() -> np.ndarray:
    """White paper without brightener: slightly less of blue, shape (61,)."""
    waves = np.arange(400, 701, 5)
    return 0.88 - 0.05 * np.exp(-(waves - 400) / 25)


def _aligned(spectrum) -> np.ndarray:
    return np.asarray(spectrum.copy().align(SHAPE).values)


@lru_cache
def _observer() -> np.ndarray:
    return _aligned(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])


def _true_light(reflectances: np.ndarray) -> np.ndarray:
    """Linear sRGB of reflectances as the observer sees them under D65."""
    source = light_source("D65")
    xyz = (reflectances * source) @ _observer()
    relative = xyz / (source @ _observer())
    return relative @ np.linalg.inv(_relative()).T


def _relative() -> np.ndarray:
    primaries = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    return primaries / primaries.sum(axis=1, keepdims=True)
