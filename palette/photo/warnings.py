"""What may be wrong with a photo.

A warning is no error: the fabric is read all the same, only less surely. The
limits are judgements, tried on made-up photos and on photos of real cloth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, lab_to_light
from palette.fabric import PhotoFault, PhotoWarning

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from PIL import Image

    from palette.photo.open import Photo

SHORTEST_GOOD = 200
"""Pixels along the shorter side, below which main colours of a print begin to be missed."""
MOST_BURNT = 0.2
"""Share of pixels with a channel at its upper end."""
MOST_BLACK = 0.2
"""Share of pixels with all channels at their lower end."""
MOST_FALL = 0.45
"""Part of the light that may be lost from the brightest place to the darkest."""
LEAST_STEEPNESS = 0.35
"""Steepest step within a few pixels, part of the whole contrast."""
LEAST_CONTRAST = 25.0
"""Contrast, of grey 0 to 255, below which sharpness cannot be told."""
SHADOW_TINT = 0.03
"""Largest difference in chromaticity between cloth in light and in shadow."""
SHADOW_DEPTH = (1.25, 4.0)
"""How many times brighter the lit part is than a shadow."""
SHADOW_SIZE = 0.3
"""A shadow is wider than this part of the shorter side; a print seldom is."""
LARGEST_PRINT = 0.6
"""Width of a feature, part of the shorter side, from which on a print is cut off."""
_LINES = 100
_SHARPEST = 4
"""A sharp edge is no wider than so many pixels."""
_EDGE, _LEAST_WITHIN_EDGE = 0.25, 0.6
"""Part of a feature within which that part of the contrast keeps its colours apart: with less,
made-up prints show colours that are none of theirs."""


def photo_warnings(
    seen: Floats,
    small: Photo,
    field: Floats,
    lab: Floats,
    feature: tuple[float, float],
    *,
    part: bool = False,
) -> tuple[PhotoWarning, ...]:
    """List what may be wrong with a photo.

    Parameters
    ----------
    seen : Floats
        Share of pixels at each value of each channel, from histogram.
    small : Photo
        The photo, with at most some 1000 pixels a side.
    field : Floats
        How strongly each pixel of the cloth is lit, from falling_light, shape (n,).
    lab : Floats
        Its main colours, shape (n, 3), largest first.
    feature : tuple[float, float]
        How wide a feature of its print is: in pixels of the photo, and part of the shorter
        side of what was looked at; 0 for a solid.
    part : bool
        Whether it was cut out of the photo of a whole bundle.
    """
    found = (
        _tiny(*small.pixels.size, part=part),
        _burnt(seen),
        _black(seen),
        _blurred(small.pixels, feature[0]),
        _falling(field),
        _shadow(lab, feature[1]) or _larger(feature[1]),
    )
    return tuple(warning for warning in found if warning is not None)


def _tiny(width: int, height: int, *, part: bool) -> PhotoWarning | None:
    if min(width, height) >= SHORTEST_GOOD:
        return None
    fault = PhotoFault.FEW_PIXELS_IN_BUNDLE if part else PhotoFault.FEW_PIXELS
    return PhotoWarning(fault, size=(width, height))


def _burnt(seen: Floats) -> PhotoWarning | None:
    share = float(seen[:, 254:].sum(axis=1).max())
    if share <= MOST_BURNT:
        return None
    return PhotoWarning(PhotoFault.TOO_BRIGHT, share=round(share, 4))


def _black(seen: Floats) -> PhotoWarning | None:
    share = float(seen[:, :6].sum(axis=1).min())
    if share <= MOST_BLACK:
        return None
    return PhotoWarning(PhotoFault.TOO_DARK, share=round(share, 4))


def _blurred(image: Image.Image, feature: float) -> PhotoWarning | None:
    """Tell blur that is wide beside the features of a print: a solid loses no colour by it."""
    if not feature:
        return None
    grey = np.asarray(image.convert("L"), dtype=np.float32)
    step = max(1, round(max(grey.shape) / _LINES))
    low, high = np.percentile(grey[::step, ::step], (1, 99))
    contrast = high - low
    if contrast < LEAST_CONTRAST:
        return None
    wide = min(max(_SHARPEST, round(_EDGE * feature)), min(grey.shape) // 4)
    for edge, least in ((_SHARPEST, LEAST_STEEPNESS), (wide, _LEAST_WITHIN_EDGE)):
        steps = np.concatenate([_steps(grey[::step], edge), _steps(grey[:, ::step].T, edge)])
        if np.percentile(steps, 99.9) >= least * contrast:
            return None
    return PhotoWarning(PhotoFault.BLURRED)


def _steps(lines: NDArray[np.float32], edge: int) -> NDArray[np.float32]:
    return np.asarray(np.abs(lines[:, edge:] - lines[:, :-edge]).ravel())


def _falling(field: Floats) -> PhotoWarning | None:
    fall = 1 - float(field.min() / field.max())
    if fall <= MOST_FALL:
        return None
    return PhotoWarning(PhotoFault.UNEVEN_LIGHT, share=round(fall, 4))


def _shadow(lab: Floats, wide: float) -> PhotoWarning | None:
    """Tell a shadow: two large areas of one chromaticity, one brighter than the other."""
    if len(lab) < 2:
        return None
    light = np.maximum(lab_to_light(lab[:2]), 1e-4)
    total = light.sum(axis=1)
    tint = np.abs(np.diff(light / total[:, None], axis=0)).max()
    depth = total.max() / total.min()
    deep = SHADOW_DEPTH[0] <= depth <= SHADOW_DEPTH[1]
    shadow = deep and tint <= SHADOW_TINT and wide > SHADOW_SIZE
    return PhotoWarning(PhotoFault.SHADOW) if shadow else None


def _larger(wide: float) -> PhotoWarning | None:
    """Tell a print that is larger than the photo, which then misses some of its colours."""
    return PhotoWarning(PhotoFault.PRINT_CUT_OFF) if wide > LARGEST_PRINT else None
