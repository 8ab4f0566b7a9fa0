"""What lies on a cloth or beside it in a photo: a hand, the table's edge, a label, a spot of glare.

Where the rest of a photo is even, as a solid or a fine print is when seen from a
step back, a large part that is unlike it and comes in from the edge is no part
of the print if it leaves the cloth a straight edge, as a table does, or has the
colour of skin. Where the print itself is large nothing can be told, and nothing
is left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from palette.colour import Floats, difference, light_to_lab
from palette.fabric import PhotoFault, PhotoWarning, Side
from palette.photo.light import falling_light
from palette.photo.open import RIM, Photo, inside, light_of, reduced

_SIDE = 64
"""Longer side of the pixels looked at."""
_STEPS_BACK = (3, 7)
"""Pixels averaged each way, so that prints look even; the second if the first is not enough."""
_MOST_OF_CLOTH = 0.6
"""Part of a photo that is taken to be cloth for certain."""
_EVEN = 4.0
"""Largest difference of that part from its middle colour (CIEDE2000); a cloth with more has a
large print."""
_TIMES = 3.0
"""What is so many times further off than that part is unlike the cloth."""
_UNLIKE = 9.0
"""It differs by this at least."""
_LEAST = 0.015
"""Smallest part of a photo worth leaving out."""
_MOST = 0.4
"""Largest part left out; of more nobody can say which is the cloth."""
_MOST_INSIDE = 0.008
"""Part of a photo that may be unlike the cloth away from the edges: more is a print."""
_MOST_PIECES = 3
"""A hand and a table's edge come in one piece each; more pieces are a print."""
_SOLID = 0.5
"""Share of a stray part that is left when a narrow rim is taken off: lines are a print."""
_RIM = 1
_AROUND = 2
"""Pixels left out around: blur, and the shadow of a hand."""
_ALONG = 0.9
"""Part of a side that a table's edge takes up at least."""
_CONVEX = 0.965
"""Share of its convex hull that a cloth with straight edges fills at least."""
_SKIN_HUE = (26.0, 80.0)
_SKIN_CHROMA = (8.0, 42.0)
"""Hue angle in degrees and chroma of skin of all kinds in household light (from memory)."""
_SKIN_SPREAD = 7.0
"""Standard deviation of a* and b* over skin at most; petals of several colours have more."""
_GLARE = 0.88
"""Light of a spot of glare, in its weakest channel."""
_DULL = 0.65
"""Cloth is no lighter than this where glare can be told from it."""

_Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Strays:
    """What lies on a cloth or beside it."""

    mask: Image.Image
    """255 where it lies, mode L, as large as the photo."""
    warnings: tuple[PhotoWarning, ...]
    """What was found."""


def strays(photo: Photo) -> Strays | None:
    """Find what is unlike the rest of an even cloth; None where there is nothing."""
    edges = inside(photo)
    longer = max(edges[2] - edges[0], edges[3] - edges[1])
    light, _ = light_of(reduced(photo, max(1, round(longer / _SIDE)), edges))
    beside, glare = foreign_and_glare(light)
    if not (beside | glare).any():
        return None
    mask = _spanning(_wider(beside | glare, _AROUND), photo.pixels.size)
    return Strays(mask, _warnings(beside, glare))


def _spanning(inner: _Mask, size: tuple[int, int]) -> Image.Image:
    """Make a mask of a whole photo from that of its inside; the rim is as what lies beside it."""
    height, width = inner.shape
    rim = RIM / (1 - 2 * RIM)
    whole = np.pad(inner, [(round(rim * height),) * 2, (round(rim * width),) * 2], mode="edge")
    image = Image.fromarray(np.where(whole, 255, 0).astype(np.uint8))
    return image.resize(size, Image.Resampling.NEAREST)


def foreign_and_glare(light: Floats) -> tuple[_Mask, _Mask]:
    """Find what is no part of the cloth.

    Parameters
    ----------
    light : Floats
        Linear light, shape (height, width, 3), some 64 pixels on the longer side.

    Returns
    -------
    beside, glare
        What comes in from an edge, and spots of glare, shape (height, width) each.
    """
    glare = _glare(light)
    nothing = np.zeros_like(glare)
    if not glare.any() and _far(_from_a_step_back(light, _STEPS_BACK[0])).max() < _UNLIKE:
        return nothing, nothing
    level = light / falling_light(light, ~glare)[..., None]
    for pixels in _STEPS_BACK:
        far = _far(_from_a_step_back(level, pixels))
        certain = float(np.quantile(far, _MOST_OF_CLOTH))
        if certain <= _EVEN:
            beside = _beside(level, (far > max(_UNLIKE, _TIMES * certain)) & ~glare)
            if (beside | glare).mean() <= _MOST:
                return beside, glare
    return nothing, nothing


def _beside(light: Floats, unlike: _Mask) -> _Mask:
    """Keep of what is unlike the cloth what comes in from the edge, as a table or a hand does."""
    found = _from_the_edge(unlike)
    core = ~_wider(~found, _RIM)
    told = core.any() and (_is_straight(~found) or _is_skin(light[core]))
    return found if told else np.zeros_like(found)


def _from_a_step_back(light: Floats, pixels: int) -> Floats:
    """Average squares of so many pixels, an odd number, around each pixel."""
    for _ in range(2):
        padded = np.pad(light, [(pixels // 2,) * 2, (0, 0), (0, 0)], mode="edge")
        light = np.lib.stride_tricks.sliding_window_view(padded, pixels, axis=0).mean(axis=-1)
        light = light.swapaxes(0, 1)
    return light


def _far(light: Floats) -> Floats:
    """Difference of each pixel from the colour in the middle of all, shape (height, width)."""
    lab = light_to_lab(light)
    return difference(lab, np.median(lab.reshape(-1, 3), axis=0))


def _glare(light: Floats) -> _Mask:
    """Mark spots that are burnt to white on a cloth that is not white."""
    spots = light.min(axis=-1) > _GLARE
    share = spots.mean()
    if not 0 < share < _MOST or np.median(light[~spots].max(axis=-1)) > _DULL:
        return np.zeros_like(spots)
    return _large_pieces(spots)


def _large_pieces(marked: _Mask) -> _Mask:
    """Keep pieces that are large and solid; nothing when there are many."""
    labels, count = _pieces(marked)
    sizes = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    core = ~_wider(~marked, _RIM)
    cores = np.bincount(labels[core], minlength=count + 1)[1:]
    large = np.flatnonzero((sizes >= _LEAST * marked.size) & (cores >= _SOLID * sizes)) + 1
    found = np.isin(labels, large)
    rest = marked.sum() - found.sum()
    if len(large) > _MOST_PIECES or found.mean() > _MOST or rest > _MOST_INSIDE * marked.size:
        return np.zeros_like(marked)
    return found


def _from_the_edge(unlike: _Mask) -> _Mask:
    """Keep what comes in from an edge; nothing if the same is found away from the edges."""
    found = _large_pieces(unlike)
    labels, count = _pieces(found)
    for number in range(1, count + 1):
        if not _comes_in(labels == number):
            return np.zeros_like(unlike)
    return found


def _pieces(marked: _Mask) -> tuple[NDArray[np.int64], int]:
    """Give each connected piece of a mask a number from 1, and their count."""
    from scipy.ndimage import label  # slow to load, and most photos need none of it

    labels, count = label(marked, structure=np.ones((3, 3)))
    return np.asarray(labels, dtype=np.int64), int(count)


def _wider(marked: _Mask, by: int) -> _Mask:
    """Widen what is marked by so many pixels each way."""
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(marked, iterations=by), dtype=np.bool_)


def _comes_in(piece: _Mask) -> bool:
    """Whether a piece touches an edge, and does not cross the photo as a stripe does."""
    top, right, bottom, left = (side.mean() for side in _sides(piece))
    if max(top, right, bottom, left) == 0:
        return False
    across = min(left, right) > 0 and max(top, bottom) < _ALONG
    down = min(top, bottom) > 0 and max(left, right) < _ALONG
    return not (across or down)


def _sides(piece: _Mask) -> tuple[_Mask, _Mask, _Mask, _Mask]:
    return piece[0], piece[:, -1], piece[-1], piece[:, 0]


def _is_straight(cloth: _Mask) -> bool:
    """Whether a cloth has straight edges: then it fills its convex hull."""
    from scipy.spatial import ConvexHull

    corners = np.argwhere(np.pad(cloth, 1))[:, None] + [[0, 0], [0, 1], [1, 0], [1, 1]]
    return bool(cloth.sum() >= _CONVEX * ConvexHull(corners.reshape(-1, 2)).volume)


def _is_skin(light: Floats) -> bool:
    """Whether light, shape (n, 3), has the colour of skin."""
    lab = light_to_lab(light)
    _, a, b = np.median(lab, axis=0)
    hue, chroma = np.degrees(np.arctan2(b, a)), np.hypot(a, b)
    like = _SKIN_HUE[0] < hue < _SKIN_HUE[1] and _SKIN_CHROMA[0] < chroma < _SKIN_CHROMA[1]
    return bool(like and lab[:, 1:].std(axis=0).max() < _SKIN_SPREAD)


def _warnings(beside: _Mask, glare: _Mask) -> tuple[PhotoWarning, ...]:
    found = []
    if beside.any():
        side = tuple(Side)[int(np.argmax([side.mean() for side in _sides(beside)]))]
        share = round(float(beside.mean()), 4)
        found.append(PhotoWarning(PhotoFault.FOREIGN_OBJECT, share=share, side=side))
    if glare.any():
        found.append(PhotoWarning(PhotoFault.GLARE, share=round(float(glare.mean()), 4)))
    return tuple(found)
