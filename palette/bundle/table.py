"""Tell the table from what lies on it.

The table is what the rim of the photo shows. It may have several colours (a
grain, a check) and is lit unevenly, so its colours are learnt from the rim, and
how it is lit from what was recognised as table, in turns.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from palette.colour import Floats, lab_to_light, light_to_lab
from palette.photo.open import Photo, light_of, shrunk

LOOK = 640
"""Longer side of the pixels looked at."""
_RIM = 0.03
"""Breadth of the rim, part of the longer side."""
_COLOURS = 5
_ROUNDS = 4
_FLOOR = (1.5, 1.0, 1.0)
"""Least deviation of a colour of the table in L*, a*, b*."""
_CEILING = (4.0, 3.0, 3.0)
"""Greatest deviation that is believed."""
_FAR = 3.5
"""Deviations from which on a pixel is not table."""
_COARSE = 4
"""Pixels across a cell in which the light is taken to be the same."""
_DEEPEST = 0.7
"""Deepest shadow: how much L* + 16 is scaled."""
_VEIL, _TINT, _GRAIN = 0.03, 0.35, 0.15
"""Light reflected in the table: at least so much, its channels at most so uneven, beside what the
table's own grain makes of them."""
_BURNT = 0.92
"""Part of full light from which on nothing is told of a colour."""
_LINE_APART = 12.0
"""How far in Lab the colour of lines is from every other colour of the table."""
_BROADER = 2.0
"""Times that an area in the colour of lines is broader than they are, to be no part of them."""
_SPECK = 30
"""Pixels of a piece that is too small to be counted."""
_MANY = 12
"""Pieces of one colour that lie on a check, at least."""
_MOST = 2000
"""Pieces that are compared with each other."""
_AT_RIM = 3
"""Of the pieces of a check as many are cut by the edge of the photo at least."""
_ALIKE = 6.0
"""How far in Lab pieces of one colour differ at most."""
_SMOOTH = 0.05
"""How far the light on the table is taken to be the same, part of the longer side."""

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """A photo at the size at which pieces are looked for."""

    light: Floats
    """Linear light, shape (height, width, 3)."""
    lab: Floats
    """The same in Lab."""
    even: Floats
    """Linear light as if the table were lit alike throughout."""
    table: Mask
    """Which pixels show the table."""
    shadow: Mask
    """Which others may show it too, in the shadow of something."""
    veiled: Mask
    """Which others may show it too, with something bright reflected in it."""

    @property
    def height(self) -> int:
        """Rows of pixels."""
        return int(self.table.shape[0])

    @property
    def width(self) -> int:
        """Columns of pixels."""
        return int(self.table.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class _Colours:
    """The colours of a table."""

    means: Floats
    """Lab, shape (n, 3)."""
    spreads: Floats
    """Deviations in L*, a* and b*, shape (n, 3)."""

    def distance(self, lab: Floats) -> tuple[Floats, NDArray[np.int64]]:
        """Give for Lab, shape (..., 3), the deviations from the nearest colour and its number."""
        least = np.full(lab.shape[:-1], np.inf)
        nearest = np.zeros(lab.shape[:-1], dtype=np.int64)
        for number, (mean, spread) in enumerate(zip(self.means, self.spreads, strict=True)):
            off = (lab - mean) / spread
            apart = np.einsum("...k,...k->...", off, off)
            nearest[apart < least] = number
            least = np.minimum(apart, least)
        return np.sqrt(least), nearest

    def in_shadow(self, lab: Floats) -> Mask:
        """Tell for Lab of shape (..., 3) whether it is one of the colours in less light.

        Less light scales L* + 16, a* and b* alike (CIE 15:2018, 8.2.1).
        """
        dim = np.zeros(lab.shape[:-1], dtype=np.bool_)
        for mean, spread in zip(self.means, self.spreads, strict=True):
            scale = (lab[..., 0] + 16) / (mean[0] + 16)
            off = np.abs(lab[..., 1:] - scale[..., None] * mean[1:]) / spread[1:]
            dim |= (scale > _DEEPEST) & (scale < 1) & (off < _FAR).all(axis=-1)
        return dim

    def veiled(self, light: Floats, full: Floats) -> Mask:
        """Tell for light of shape (..., 3) whether it is one of the colours and white light added.

        Parameters
        ----------
        light : Floats
            Linear light as if the table were lit alike throughout.
        full : Floats
            The light of a pixel that is burnt to white there, shape (...).
        """
        channels = np.moveaxis(light, -1, 0)
        veiled = np.minimum.reduce([*channels]) > _BURNT * full
        for mean in lab_to_light(self.means):
            more = [channel - part for channel, part in zip(channels, mean, strict=True)]
            level = (more[0] + more[1] + more[2]) / 3
            uneven = np.maximum.reduce(more) - np.minimum.reduce(more)
            veiled |= (level > _VEIL) & (uneven < _TINT * level + _GRAIN * mean.max())
        return np.asarray(veiled)


def look_at(photo: Photo) -> Look:
    """Shrink a photo and find the table in it."""
    light, _ = light_of(shrunk(photo, LOOK))
    light = np.maximum(ndimage.gaussian_filter(light, (0.7, 0.7, 0)), 1e-4)
    colours, lit = _lit_table(light[::2, ::2])
    even = light / _resized(lit, light.shape[1], light.shape[0])[..., None]
    full = 1 / _resized(lit, light.shape[1], light.shape[0])
    return Look(light, light_to_lab(light), even, *_table(even, colours, full))


def _table(light: Floats, colours: _Colours, full: Floats) -> tuple[Mask, Mask, Mask]:
    """Tell which pixels show the table, and which others may in shadow, or with light in it."""
    even = light_to_lab(light)
    mask = _in_colours(colours, even)
    recurring = _recurring(even, mask)
    if recurring is not None:
        colours = _Colours(
            np.vstack([colours.means, recurring.means]),
            np.vstack([colours.spreads, recurring.spreads]),
        )
        mask = _in_colours(colours, even)
    veiled = np.zeros_like(mask)
    veiled[~mask] = colours.veiled(light[~mask], full[~mask])
    return mask, colours.in_shadow(even) & ~mask, veiled


def _in_colours(colours: _Colours, even: Floats) -> Mask:
    """Tell which pixels have a colour of the table and are joined to the rim by such."""
    apart, nearest = colours.distance(even)
    near = (apart < _FAR) & ~_too_broad(colours, apart < _FAR, nearest)
    return _joined_to(rim(*apart.shape), near)


def _recurring(even: Floats, mask: Mask) -> _Colours | None:
    """Learn a colour in which many pieces lie, some at the rim: of a check, not of fabrics.

    Fabrics of a bundle differ, and hardly one is cut by the edge of the photo.
    """
    labels, _ = ndimage.label(~mask)
    areas = np.bincount(labels.ravel())
    areas[0] = 0
    pieces = np.flatnonzero(areas > _SPECK)
    if not _MANY <= len(pieces) <= _MOST:
        return None
    means = np.column_stack([ndimage.mean(even[..., k], labels, pieces) for k in range(3)])
    alike = np.linalg.norm(means[:, None] - means, axis=-1) < _ALIKE
    members = pieces[alike[alike.sum(axis=1).argmax()]]
    at_rim = np.isin(members, labels[rim(*mask.shape)])
    if len(members) < _MANY or at_rim.sum() < _AT_RIM:
        return None
    pixels = even[np.isin(labels, members)]
    spread = np.clip(pixels.std(axis=0), _FLOOR, _CEILING)
    return _Colours(pixels.mean(axis=0)[None], spread[None])


def _too_broad(colours: _Colours, near: Mask, nearest: NDArray[np.int64]) -> Mask:
    """Mark areas in the colour of the table's lines that are much broader than those lines.

    Only a colour that stands apart from all others of the table can be told to be
    one of lines; a grain is made of colours that pass into each other.
    """
    edge = rim(*near.shape)
    broad = np.zeros_like(near)
    for number, mean in enumerate(colours.means):
        others = np.delete(colours.means, number, axis=0)
        if not len(others) or np.linalg.norm(others - mean, axis=1).min() < _LINE_APART:
            continue
        inside = ndimage.distance_transform_edt(near & (nearest == number))
        reach = _BROADER * float(inside[edge].max()) + 1
        if reach < _RIM * max(near.shape) / 2:
            broad |= ndimage.distance_transform_edt(inside <= reach) <= reach + 1
    return broad


def _lit_table(light: Floats) -> tuple[_Colours, Floats]:
    """Learn in turns which colours the table has and how much light falls where."""
    edge = rim(*light.shape[:2])
    mask, lit = edge, np.ones(edge.shape)
    even = light_to_lab(light)
    colours = _on_two_sides(_learn(even[mask]), even)
    for _ in range(_ROUNDS):
        apart, nearest = colours.distance(even)
        mask = _joined_to(edge, apart < _FAR)
        lit *= _lighting(even[..., 0], colours.means[nearest, 0], mask)
        even = light_to_lab(light / lit[..., None])
        colours = _learn(even[mask])
    return colours, lit


def rim(height: int, width: int) -> Mask:
    """Mark the rim of a photo of so many pixels, where the table shows."""
    breadth = max(2, round(_RIM * max(height, width)))
    edge = np.ones((height, width), dtype=np.bool_)
    edge[breadth:-breadth, breadth:-breadth] = False
    return edge


def _on_two_sides(colours: _Colours, lab: Floats) -> _Colours:
    """Keep the colours seen at two sides of the photo or more; a fabric may touch one."""
    breadth = max(2, round(_RIM * max(lab.shape)))
    sides = (lab[:breadth], lab[-breadth:], lab[:, :breadth], lab[:, -breadth:])
    seen = np.zeros(len(colours.means), dtype=np.int64)
    for side in sides:
        apart, nearest = colours.distance(side)
        counts = np.bincount(nearest[apart < _FAR], minlength=len(seen))
        seen += counts > 0.04 * nearest.size
    kept = seen >= 2 if (seen >= 2).any() else seen > 0
    return _Colours(colours.means[kept], colours.spreads[kept]) if kept.any() else colours


def _joined_to(edge: Mask, near: Mask) -> Mask:
    """Keep what is joined to the edge; specks of other colours within are closed first."""
    closed = ndimage.binary_closing(near, iterations=2) | near
    labels, count = ndimage.label(closed)
    joined = np.zeros(count + 1, dtype=np.bool_)
    joined[labels[edge]] = True
    joined[0] = False
    return np.asarray(joined[labels])


def _lighting(seen: Floats, expected: Floats, mask: Mask) -> Floats:
    """How much more light falls on each pixel than its colour tells; 1 where unknown."""
    change = 3 * np.log((seen + 16) / (expected + 16))
    height, width = mask.shape
    sigma = _SMOOTH * max(mask.shape) / _COARSE
    total = ndimage.gaussian_filter(_coarse(np.where(mask, change, 0.0)), sigma)
    there = ndimage.gaussian_filter(_coarse(mask.astype(np.float64)), sigma)
    return np.exp(_resized(total / (there + 0.02), width, height))


def _resized(field: Floats, width: int, height: int) -> Floats:
    smooth = Image.fromarray(field.astype(np.float32))
    resized = smooth.resize((width, height), Image.Resampling.BILINEAR)
    return np.asarray(resized, dtype=np.float64)


def _coarse(values: Floats) -> Floats:
    """Mean of each square of pixels; those at the right and lower edge may be filled up."""
    height, width = values.shape
    down, across = -height % _COARSE, -width % _COARSE
    filled = np.pad(values, ((0, down), (0, across)), mode="edge")
    blocks = filled.reshape(len(filled) // _COARSE, _COARSE, -1, _COARSE)
    return np.asarray(blocks.mean(axis=(1, 3)))


def _learn(lab: Floats) -> _Colours:
    """Learn the colours of a table by k-means, rare ones left out."""
    sample = lab[:: max(1, len(lab) // 6000)]
    order = np.argsort(sample[:, 0])
    means = sample[order[((np.arange(_COLOURS) + 0.5) / _COLOURS * len(order)).astype(int)]]
    for _ in range(8):
        group = np.square(sample[:, None] - means).sum(axis=-1).argmin(axis=1)
        kept = [k for k in range(len(means)) if (group == k).any()]
        means = np.array([sample[group == k].mean(axis=0) for k in kept])
    group = np.square(sample[:, None] - means).sum(axis=-1).argmin(axis=1)
    kept = [k for k in range(len(means)) if (group == k).mean() > 0.04]
    spreads = [np.clip(sample[group == k].std(axis=0), _FLOOR, _CEILING) for k in kept]
    return _Colours(means[kept], np.array(spreads))
