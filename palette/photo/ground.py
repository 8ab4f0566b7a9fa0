"""The cloth in a photo told from the ground it lies on, by the straight edges between them.

A table shows at the rim of a photo and not in its middle. So each colour says by
how much it is more common at the rim than in the middle, and for each side of the
photo the straight line is found that best parts what speaks for the ground from
what speaks for the cloth. What lies on either side of the lines found then says
more surely than rim and middle did, and they are found anew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, difference, light_to_lab
from palette.fabric import Side
from palette.photo.edge import GAP, Edge, Limits, Mask, step_inside, true_edge
from palette.photo.quad import Quad

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.photo.quad import Point

SIDE = 128
"""Longer side of the pixels that cloth is looked for in; larger photos are reduced to it."""

_BINS = (5.0, 6.0, 6.0)
"""Steps of L*, a* and b* in which colours are counted."""
_SHAPE = (21, 31, 31)
_BLUR = (0.9, 0.7, 0.7)
"""Steps by which counts spread: light that falls off and noise move colours a little."""
_FEW = 0.0015
"""Share below which a colour says nothing."""
_MOST = 3.0
"""What one pixel may say at most, a logarithm of a ratio."""
_RIM, _MIDDLE = 0.09, 0.62
"""Breadth of the rim and of the middle, part of the photo's."""
_ROUNDS = 3
_LEAST_CLOTH = 0.3
"""Part of the photo that is left for the cloth at least."""
_ONE_GROUND = 12.0
"""Difference of the ground at two sides of one photo at most (CIEDE2000)."""
_PRINTED = 0.6
"""An edge inside the cloth that is so strong, beside the line, may be the print's like it."""
_STRIPED = 1.3
"""Where one is so strong, the line surely is the print's."""
_ROUND_IT = 3
"""Sides at which one ground shows that is no stripe of a print."""
_TILTED = 5
"""Pixels by which a line of a cloth that lies turned climbs."""
_EVEN = (0.9, 0.8)
"""Part of the ground that is of one colour where that alone tells it from a print: at some sides,
and at all four."""
_THE_SAME = 6.0
"""Difference (CIEDE2000) within which a colour of the cloth is that of the ground."""
_RECURS, _LEVEL_RECURS = 0.06, 0.005
"""Part of the cloth that has the ground's colour: of a print's stripes more has it."""
_ALONE = Limits(0.75, 0.7, 6.0)
_SUPPORTED = Limits(0.5, 0.6, 4.0)
"""Where the same ground shows at another side."""
_SURROUNDED = Limits(0.6, 0.45, 4.0)
"""Where it surely shows at two others."""

Edges = dict[Side, Edge | None]
"""The line at each side; None where no ground is told from the cloth there."""

_UPRIGHT = (Side.LEFT, Side.RIGHT)
_ACROSS = {
    Side.UPPER: _UPRIGHT,
    Side.LOWER: _UPRIGHT,
    Side.LEFT: (Side.UPPER, Side.LOWER),
    Side.RIGHT: (Side.UPPER, Side.LOWER),
}


def cloth_corners(light: Floats, blocked: Mask | None = None) -> Quad | None:
    """Find the corners of the one cloth in a photo.

    Parameters
    ----------
    light : Floats
        Linear light, shape (height, width, 3), some 128 pixels on the longer side.
    blocked : Mask or None
        Pixels that are known to be neither, such as white paper, shape (height, width).

    Returns
    -------
    Quad or None
        The part that surely shows cloth, within its blurred edge. None where no
        ground is told from the cloth: then the whole photo shows it.
    """
    edges = ground_edges(light, blocked)
    if not any(edges.values()):
        return None
    height, width = light.shape[:2]
    try:
        return Quad.of(_corners(edges, width, height))
    except ValueError:  # lines that cross before they meet enclose nothing
        return None


def ground_edges(light: Floats, blocked: Mask | None = None) -> Edges:
    """Find the line between ground and cloth at each side.

    Parameters
    ----------
    light : Floats
        As for cloth_corners.
    blocked : Mask or None
        As for cloth_corners.
    """
    lab = _smooth(light_to_lab(light))
    live = np.ones(lab.shape[:2], np.bool_) if blocked is None else ~blocked
    places = _places(lab)
    ground, cloth = _rim_and_middle(live)
    edges: Edges = dict.fromkeys(Side)
    for _ in range(_ROUNDS):
        says = _says(places, ground & live, cloth & live) * live
        edges = _told(lab, says, live & ~_beyond(edges, live), edges)
        if not any(edges.values()):
            return edges
        ground = _beyond(edges, live)
        cloth = ~ground
        if cloth.mean() < _LEAST_CLOTH:
            return dict.fromkeys(Side)
    return _without_print(lab, edges)


def _smooth(lab: Floats) -> Floats:
    from scipy.ndimage import uniform_filter  # slow to load

    return np.asarray(uniform_filter(lab, (3, 3, 1), mode="nearest"), dtype=np.float64)


def _places(lab: Floats) -> NDArray[np.int64]:
    """Return the number of the bin that each pixel's colour falls in, shape (height, width)."""
    step = np.floor((lab - [0, -90, -90]) / _BINS).astype(np.int64)
    step = np.clip(step, 0, np.array(_SHAPE) - 1)
    return np.asarray((step[..., 0] * _SHAPE[1] + step[..., 1]) * _SHAPE[2] + step[..., 2])


def _rim_and_middle(live: Mask) -> tuple[Mask, Mask]:
    height, width = live.shape
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    out = np.maximum(np.abs(x), np.abs(y))
    return out > 1 - _RIM, out < _MIDDLE


def colours_at(lab: Floats, where: Mask) -> Floats:
    """Return for each pixel, Lab of shape (height, width, 3), how common its colour is in a part.

    Light that falls off and noise move colours a little, so like ones count, too.
    """
    return _common(_places(_smooth(lab)), where)


def _common(places: NDArray[np.int64], where: Mask) -> Floats:
    from scipy.ndimage import gaussian_filter

    counts = np.bincount(places[where], minlength=int(np.prod(_SHAPE))).reshape(_SHAPE)
    shares = gaussian_filter(counts / max(where.sum(), 1), _BLUR, mode="constant")
    return np.asarray(shares.ravel()[places])


def _says(places: NDArray[np.int64], ground: Mask, cloth: Mask) -> Floats:
    """How much each pixel's colour speaks for the ground, shape (height, width)."""
    shares = [_common(places, where) + _FEW for where in (ground, cloth)]
    return np.asarray(np.log(shares[0] / shares[1]).clip(-_MOST, _MOST))


def _turned(field: NDArray[np.generic], side: Side) -> NDArray[np.generic]:
    """View a field so that a side of the photo is its first row."""
    if side in _UPRIGHT:
        field = field.swapaxes(0, 1)
    return field[::-1] if side in (Side.LOWER, Side.RIGHT) else field


def _turned_back(mask: Mask, side: Side) -> Mask:
    mask = mask[::-1] if side in (Side.LOWER, Side.RIGHT) else mask
    return mask.swapaxes(0, 1) if side in _UPRIGHT else mask


def _told(lab: Floats, says: Floats, live: Mask, before: Edges) -> Edges:
    """Find the best line at each side and keep those that show what they have to."""
    found: Edges = {}
    for side in Side:
        own = live | _beyond_one(before[side], side, live)
        found[side] = true_edge(*(np.asarray(_turned(f, side)) for f in (lab, says, own)))
    sure = [edge for edge in found.values() if edge and edge.passes(_ALONE)]
    return {side: edge if edge and _holds(edge, sure) else None for side, edge in found.items()}


def _holds(edge: Edge, sure: list[Edge]) -> bool:
    if edge.passes(_ALONE):
        return True
    near = sum(difference(edge.colour, other.colour) < _ONE_GROUND for other in sure)
    surrounded = near > 1 and edge.passes(_SURROUNDED)
    return bool(surrounded or (near > 0 and edge.passes(_SUPPORTED)))


def _beyond(edges: Edges, like: Mask) -> Mask:
    """Mark all that lies beyond the lines, in the shape of another mask."""
    found = np.zeros(like.shape, np.bool_)
    for side, edge in edges.items():
        found |= _beyond_one(edge, side, like)
    return found


def _beyond_one(edge: Edge | None, side: Side, like: Mask) -> Mask:
    if edge is None:
        return np.zeros(like.shape, np.bool_)
    return _turned_back(edge.beyond(*_turned(like, side).shape), side)


def _without_print(lab: Floats, edges: Edges) -> Edges:
    """Drop lines that may be the outermost stripes of a print.

    A print with edges as strong, parallel to the line, has stripes. The line counts all the
    same if that ground shows round the cloth, at three sides or also at one across, and its
    colour hardly recurs on the cloth. Where the lines are all level with the photo, as stripes
    of a scan are and the edges of a cloth on a table seldom, it may not recur at all; it may
    where it lies at three sides and is of one colour, or the cloth lies turned.
    """
    found = {side: edge for side, edge in edges.items() if edge}
    level = all(abs(edge.start - edge.end) <= 1 for edge in found.values())
    tilted = any(abs(edge.start - edge.end) >= _TILTED for edge in found.values())
    beyond = _beyond(edges, np.zeros(lab.shape[:2], np.bool_))
    cloth, even = lab[~beyond], _is_even(lab[beyond], _EVEN[len(found) == len(Side)])
    kept: Edges = dict.fromkeys(Side)
    for side, edge in found.items():
        like = {s for s, e in found.items() if difference(e.colour, edge.colour) < _ONE_GROUND}
        inner, step = step_inside(np.asarray(_turned(lab, side)), edge), edge.shows.step
        across = like & {*_ACROSS[side]} and inner < _STRIPED * step
        round_it = len(like) >= _ROUND_IT
        surely = round_it and (tilted or even)
        new = (round_it or across) and _is_new(cloth, edge, level=level)
        if inner < _PRINTED * step or surely or new:
            kept[side] = edge
    return kept


def _is_even(ground: Floats, least: float) -> bool:
    """Whether what lies beyond the lines, shape (n, 3), is of one colour, as no plaid's rim is."""
    apart = difference(ground, np.median(ground, axis=0))
    return bool((apart < _ONE_GROUND).mean() >= least)


def _is_new(cloth: Floats, edge: Edge, *, level: bool) -> bool:
    """Whether the ground's colour hardly recurs on the cloth, shape (n, 3)."""
    alike = difference(cloth, edge.colour) < _THE_SAME
    return bool(alike.mean() < (_LEVEL_RECURS if level else _RECURS))


def _corners(edges: Edges, width: int, height: int) -> Floats:
    """Return where the lines meet, in parts of the photo, shape (4, 2)."""
    upper, right, lower, left = (_within(edges[side]) for side in Side)
    bottom = (height - lower[0], height - lower[1])
    end = (width - right[0], width - right[1])

    def meet(flat: tuple[int, int], upright: tuple[int, int]) -> Point:
        down, across = (flat[1] - flat[0]) / width, (upright[1] - upright[0]) / height
        x = (upright[0] + across * flat[0]) / (1 - across * down)
        return x / width, (flat[0] + down * x) / height

    return np.array([meet(upper, left), meet(upper, end), meet(bottom, end), meet(bottom, left)])


def _within(edge: Edge | None) -> tuple[int, int]:
    """Return the depths from which on cloth shows without blur."""
    return (edge.start + GAP, edge.end + GAP) if edge else (0, 0)
