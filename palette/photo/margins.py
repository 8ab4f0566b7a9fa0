"""Uniform margins of scans and shop pictures, told from cloth, whose every part varies."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palette.colour import srgb_to_light
from palette.photo.box import Box

SIDE = 400
"""Longer side of the pixels that margins are looked for in; larger pictures are reduced to it."""

_SAME = 7
"""Codes of red, green and blue, of 255, within which a margin is one colour."""
_RING = 0.95
"""Part of the outermost pixels that have one colour where a margin lies all round."""
_PAGE_RING = 0.6
"""Part of the outermost pixels that have the page's colour where a picture lies on a page."""
_WHITE, _BLACK = 244, 10
"""Codes from which on, and up to which, a margin is white or black."""
_TINT = 0.03
"""Largest difference in chromaticity between cloth in light and in shadow."""
_WIDEST = 0.45
"""Part of a picture that a margin takes up at most at one side: half of it may be in shadow."""
_LEAST = 0.1
"""Part of a page that the picture on it covers at least."""
_FILLS = 0.9
"""Part of its bounding box that a picture on a page fills."""
_ALONE = 0.35
"""Other things on the page, such as text, are smaller than this part of it."""
_RECURS = 0.02
"""Part of the lines inside that are of a margin's colour as wholly: more are a print's stripes."""
_DEEPEST_WEDGE = 16
"""Percent of a line's length within which a wedge of the margin's colour ends: 9 degrees."""
_WEDGE_STARTS, _WEDGE_ENDS = 0.3, 0.04
"""Part of a line that a wedge takes up where it begins at least, and where it ends."""
_WEDGE_EVEN = 0.3
"""How far its length is from shortening evenly at most, part of its first length."""
_INSET = 1
"""Pixels left out beyond a margin, where the two mix."""
_BLEEDS = 16
"""Pixels by which a picture's colours reach into its margin in a JPEG."""

Codes = NDArray[np.uint8]
Mask = NDArray[np.bool_]


class _Limits(NamedTuple):
    """What counts as a margin."""

    whole: float
    """Part of a line that has its colour."""
    rough: float
    """Standard deviation of the codes of a white or black one at most."""
    flat: float
    """Part of one of another colour that is within one code of it: of a table less is."""
    thinnest: int
    """Pixels of it at least."""


_LINES = _Limits(0.985, 1.6, 0.7, 2)
"""Where lines of one colour are found at one side by itself."""
_FRAME = _Limits(0.9, 3.2, 0.3, 1)
"""Where one colour lies all round: then little is left to doubt."""


def without_margins(codes: Codes) -> Box | None:
    """Find the part of a picture inside its uniform margins.

    Parameters
    ----------
    codes : Codes
        sRGB codes or those of another profile, shape (height, width, 3), some 400 pixels
        on the longer side.

    Returns
    -------
    Box or None
        The part that is no margin; None where there is none.
    """
    picture = _on_a_page(codes)
    if picture is None:
        picture = _inside_of_lines(codes)
    if picture is None:
        return None
    height, width = codes.shape[:2]
    top, bottom, left, right = _sharpened(codes, picture)
    top, left = (edge + _INSET if edge else 0 for edge in (top, left))
    bottom, right = bottom - _INSET * (bottom < height), right - _INSET * (right < width)
    if (bottom - top) * (right - left) < _LEAST * height * width:
        return None
    return Box(left / width, top / height, right / width, bottom / height)


Edges = tuple[int, int, int, int]
"""Upper, lower, left and right edge in pixels."""


def _sharpened(codes: Codes, edges: Edges) -> Edges:
    """Move edges to where a picture's colours are half reached: JPEG lets them bleed."""
    top, bottom, left, right = edges
    height, width = codes.shape[:2]
    inner = codes[top:bottom, left:right].astype(np.float64)
    if top:
        top += _bled(inner, codes[0])
    if bottom < height:
        bottom -= _bled(inner[::-1], codes[-1])
    turned = inner.swapaxes(0, 1)
    if left:
        left += _bled(turned, codes[:, 0])
    if right < width:
        right -= _bled(turned[::-1], codes[:, -1])
    return top, bottom, left, right


def _bled(lines: NDArray[np.float64], margin: Codes) -> int:
    """Count the first lines that are nearer to the margin's colour than to what follows."""
    away = np.abs(lines - np.median(margin, axis=0)).max(axis=-1).mean(axis=1)
    beyond = away[_BLEEDS : 3 * _BLEEDS]
    if not beyond.size:
        return 0
    near = away[:_BLEEDS] < 0.6 * np.median(beyond)
    return int(np.argmin(near)) if not near.all() else 0


def _on_a_page(codes: Codes) -> Edges | None:
    """Find the one picture on a page of one colour; text beside it is no picture."""
    from scipy.ndimage import binary_closing, find_objects, label

    ring = _ring(codes)
    colour = np.median(ring, axis=0)
    if _like(ring, colour).mean() < _PAGE_RING:
        return None
    page = _like(codes, colour)
    if not _is_flat(codes, page, colour):
        return None
    labels, count = label(binary_closing(np.pad(~page, 4), iterations=2)[4:-4, 4:-4])
    if not count:
        return None
    boxes = find_objects(labels)
    sizes = np.array([(box[0].stop - box[0].start) * (box[1].stop - box[1].start) for box in boxes])
    best = int(sizes.argmax())
    rows, columns = boxes[best]
    filled = (labels[boxes[best]] == best + 1).mean()
    others = np.delete(sizes, best)
    alone = not others.size or others.max() < _ALONE * sizes[best]
    if not alone or filled < _FILLS or sizes[best] < _LEAST * page.size:
        return None
    return rows.start, rows.stop, columns.start, columns.stop


def _inside_of_lines(codes: Codes) -> Edges | None:
    """Find where lines of one colour end, at each side by itself."""
    limits = _FRAME if _is_framed(codes) else _LINES
    turned = codes.swapaxes(0, 1)
    sides = (codes, codes[::-1], turned, turned[::-1])
    top, bottom, left, right = (_run(side, limits) for side in sides)
    height, width = codes.shape[:2]
    if not any((top, bottom, left, right)) or top + bottom >= height or left + right >= width:
        return None
    return top, height - bottom, left, width - right


def _is_framed(codes: Codes) -> bool:
    """Whether the outermost pixels are of one colour all round."""
    ring = _ring(codes)
    return bool(_like(ring, np.median(ring, axis=0)).mean() >= _RING)


def _ring(codes: Codes) -> Codes:
    return np.concatenate([codes[0], codes[-1], codes[1:-1, 0], codes[1:-1, -1]])


def _run(codes: Codes, limits: _Limits) -> int:
    """Count the lines from the first on that are a margin's; 0 where there is no margin."""
    colour = np.median(codes[0], axis=0)
    if _like(codes[:1], colour).mean() < limits.whole:
        return 0
    whole = _like(codes, colour).mean(axis=1) >= limits.whole
    run = int(np.argmin(whole)) if not whole.all() else len(whole)
    if run < limits.thinnest or run > _WIDEST * len(whole):
        return 0
    margin = np.zeros(codes.shape[:2], np.bool_)
    margin[:run] = True
    if not _is_flat(codes, margin & _like(codes, colour), colour, limits):
        return 0
    if _is_shade(colour, codes[run + _BLEEDS :]) or _is_turned(codes[run:], colour):
        return 0
    # Whole lines of that colour further inside, with other cloth between, are stripes.
    inside = whole[run + 1 :]
    tail = int(np.argmin(inside[::-1])) if inside.size and not inside.all() else len(inside)
    recurs = inside[: len(inside) - tail].mean() if len(inside) > tail else 0.0
    return 0 if recurs > _RECURS else run


def _is_turned(inner: Codes, colour: NDArray[np.float64]) -> bool:
    """Whether a margin goes on as a wedge, as a table does beside a cloth that lies turned.

    Then the run of its colour from one end of a line shortens evenly from line to line.
    """
    width = inner.shape[1]
    other = ~_like(inner[: max(_DEEPEST_WEDGE * width // 100, 1)], colour)
    for lines in (other, other[:, ::-1]):
        runs = np.where(lines.any(axis=1), lines.argmax(axis=1), width)
        done = np.flatnonzero(runs < _WEDGE_ENDS * width)
        end = int(done[0]) if len(done) else 0
        if end < _LINES.thinnest or runs[0] < _WEDGE_STARTS * width:
            continue
        even = runs[0] * (1 - np.arange(end) / end)
        if np.abs(runs[:end] - even).max() < _WEDGE_EVEN * runs[0]:
            return True
    return False


def _is_shade(colour: NDArray[np.float64], cloth: Codes) -> bool:
    """Whether a margin has the tint of the cloth beside it in less light: a shadow has."""
    if not cloth.size or colour.min() >= _WHITE or colour.max() <= _BLACK:
        return False
    lights = [srgb_to_light(codes / 255) for codes in (colour, np.median(cloth, axis=(0, 1)))]
    if lights[0].sum() > lights[1].sum():
        return False
    tints = [light / max(light.sum(), 1e-6) for light in lights]
    return bool(np.abs(tints[0] - tints[1]).max() < _TINT)


def _like(codes: Codes, colour: NDArray[np.float64]) -> Mask:
    return np.asarray((np.abs(codes - colour) <= _SAME).all(axis=-1))


def _is_flat(
    codes: Codes, where: Mask, colour: NDArray[np.float64], limits: _Limits = _LINES
) -> bool:
    """Whether some pixels are as flat as a margin of their colour is."""
    seen = codes[where].astype(np.float64)
    if colour.min() >= _WHITE or colour.max() <= _BLACK:
        return bool(seen.std(axis=0).max() <= limits.rough)
    # A JPEG lets colours ripple near an edge, so not all of it is flat.
    return bool((np.abs(seen - np.median(seen, axis=0)) <= 1).all(axis=-1).mean() >= limits.flat)
