"""From pixels to the colour a fabric reads as, its main colours and the scale of its print.

Main colours are found where the print is flat: pixels on an edge mix two dyes
and would add colours nobody dyed. Pixels are counted in small bins of Lab, the
bins are grouped by weighted k-means with more groups than a print has colours,
and groups that are too alike, mere mixtures of two others or too small are
given up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import Floats, difference, lab_to_light, light_to_lab

if TYPE_CHECKING:
    from palette.photo.profile import Meaning

_BIN = 2.5
"""Side of a bin of Lab."""
_GROUPS = 14
"""Groups to start from; more than the colours of a print."""
_ROUNDS = 12
_ALIKE = 5.0
"""Groups nearer than this (CIEDE2000) are one colour."""
_SMALLEST = 0.02
"""A colour covers at least this part of the cloth."""
_MOSTLY_EDGE = 0.85
"""From this share of edge pixels on, a group may be a mixture of two others."""
_DARKEST = 1e-3
"""Light below this has no tint to speak of."""
_ONE_TINT = 0.05
"""Shades of one dye differ less in chromaticity."""
_REACH = 3
"""Pixels over which an edge is crossed, blurred as it may be."""
_FEWEST_STEPS = 40
_SMOOTH = 0.5
"""A change of less, part of the difference of two shades, is no edge."""
_ON_THE_WAY = 6.0
"""Largest difference between a group and the mixture it is taken for."""

Labels = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class ClothPixels:
    """The pixels of a cloth at a scale that suits its print."""

    light: Floats
    """Linear light, evenly lit, shape (height, width, 3)."""
    lab: Floats
    """The same in Lab."""
    counts: NDArray[np.bool_]
    """Which pixels are cloth, shape (height, width)."""
    flat: NDArray[np.bool_]
    """Which of them lie away from edges."""


@dataclass(frozen=True, slots=True, eq=False)
class _Bins:
    """The pixels of a cloth, counted in bins of Lab."""

    light: Floats
    """Mean light of the flat pixels in each bin, shape (n, 3); 0 where there are none."""
    lab: Floats
    """The same in Lab; the middle of the bin where there are none."""
    flat: Floats
    """Number of flat pixels, shape (n,)."""
    every: Floats
    """Number of all pixels, shape (n,)."""


def mean_light(shares: Floats, meaning: Meaning) -> Floats:
    """Give the mean light, shape (3,), of pixels given by their histogram, shape (3, 256).

    Colours mix in the eye as light does, so the mean is taken of light, from
    every decoded pixel: any shrinking would have mixed sRGB numbers first.
    """
    return meaning.light((shares * meaning.curves).sum(axis=1))


def cloth_of(light: Floats, counts: NDArray[np.bool_], *, grainy: bool = False) -> ClothPixels:
    """Prepare evenly lit light, shape (height, width, 3), of which some pixels count.

    On a grainy cloth threads of several colours mix to one: five by five pixels are averaged.
    """
    if grainy:
        for _ in range(2):
            light = _mean_of_three(_mean_of_three(light).swapaxes(0, 1)).swapaxes(0, 1)
    lab = light_to_lab(light)
    return ClothPixels(light, lab, counts, _flat(lab, counts) & counts)


def main_colours(cloth: ClothPixels) -> tuple[Floats, Floats]:
    """Find the main colours of a cloth.

    Returns
    -------
    lab, shares
        Shapes (n, 3) and (n,); largest share first, shares add up to 1.
    """
    bins = _bins(cloth)
    light, weight = _means(bins, _k_means(bins))
    light = _without_mixtures(bins, _merged(light, weight))
    return _settled(bins, *_large(bins, light))


def without_folds(cloth: ClothPixels, lab: Floats, shares: Floats) -> tuple[Floats, Floats]:
    """Join main colours that are one dye, in light and in the shade of a fold.

    They have one chromaticity, and one passes smoothly into the other. Where a
    print changes from shade to shade there is an edge.

    Parameters
    ----------
    cloth : ClothPixels
        The pixels.
    lab, shares : Floats
        From main_colours, shapes (n, 3) and (n,).

    Returns
    -------
    lab, shares
        The same with fewer colours; a joined one is the mean in linear light.
    """
    light = np.maximum(lab_to_light(lab), _DARKEST)
    tint = light / light.sum(axis=-1, keepdims=True)
    like = np.abs(tint[:, None] - tint[None]).max(axis=-1) < _ONE_TINT
    if like.sum() == len(lab):
        return lab, shares
    labels = labels_of(cloth, lab)
    group = np.arange(len(lab))
    for first, second in np.argwhere(np.triu(like, 1)):
        if _is_smooth(cloth.lab, labels, lab, first, second):
            group[group == group[second]] = group[first]
    kept = np.unique(group)
    joined = np.array([shares[group == one] @ light[group == one] for one in kept])
    total = np.array([shares[group == one].sum() for one in kept])
    order = np.argsort(-total, kind="stable")
    single = np.array([(group == one).sum() == 1 for one in kept])
    found = np.where(single[:, None], lab[kept], light_to_lab(joined / total[:, None]))
    return found[order], total[order]


def _is_smooth(pixels: Floats, labels: Labels, lab: Floats, first: int, second: int) -> bool:
    """Whether two colours lie side by side and pass into each other without an edge."""
    steps = []
    for values, seen in ((pixels, labels), (pixels.swapaxes(0, 1), labels.T)):
        here, there = seen[:-_REACH], seen[_REACH:]
        border = ((here == first) & (there == second)) | ((here == second) & (there == first))
        steps.append(np.abs(values[:-_REACH][border] - values[_REACH:][border]).sum(axis=-1))
    step = np.concatenate(steps)
    whole = np.abs(lab[first] - lab[second]).sum()
    return len(step) >= _FEWEST_STEPS and bool(np.median(step) < _SMOOTH * whole)


def labels_of(cloth: ClothPixels, lab: Floats) -> Labels:
    """Say which main colour, shape (n, 3), each pixel is nearest to; shape (height, width)."""
    return _nearest(cloth.lab.reshape(-1, 3), lab).reshape(cloth.counts.shape)


def feature_size(cloth: ClothPixels, labels: Labels) -> float:
    """Measure how wide a feature of the print is, in pixels; 0 for a solid.

    The mean run from border to border, along rows and columns, of all that is
    not the largest colour: the width of a stripe, 0.7 of the side of a check.
    Pixels on an edge take the colour of the last flat pixel before them.

    Parameters
    ----------
    cloth : ClothPixels
        The pixels.
    labels : Labels
        The main colour of each, from labels_of.
    """
    along = _crossings(labels, cloth.flat, cloth.counts)
    down = _crossings(labels.T, cloth.flat.T, cloth.counts.T)
    size = cloth.counts.sum()
    features = 1 - np.bincount(labels[cloth.counts]).max() / size
    return float(size * min(1.0, 2 * features) / max(np.hypot(along, down), 1.0))


def _crossings(labels: Labels, flat: NDArray[np.bool_], counts: NDArray[np.bool_]) -> int:
    """Count the changes of label along rows, from flat pixel to flat pixel."""
    last_flat = np.maximum.accumulate(np.where(flat, np.arange(flat.shape[1]), 0), axis=1)
    filled = np.take_along_axis(labels, last_flat, axis=1)
    return int(((filled[:, 1:] != filled[:, :-1]) & counts[:, 1:] & counts[:, :-1]).sum())


def _flat(lab: Floats, counts: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Mark pixels whose gradient is below the median or the least among their neighbours."""
    down = np.abs(np.diff(lab, axis=0)) @ np.ones(3)
    right = np.abs(np.diff(lab, axis=1)) @ np.ones(3)
    # Both sides are added: a pixel amid an edge then stands out from its neighbours.
    gradient = np.zeros(counts.shape)
    gradient[1:] += down
    gradient[:-1] += down
    gradient[:, 1:] += right
    gradient[:, :-1] += right
    least = _least_of_three(_least_of_three(gradient).T).T
    return np.asarray((gradient <= np.median(gradient[counts])) | (gradient <= least))


def _least_of_three(values: Floats) -> Floats:
    """Give the least of each value and those above and below it."""
    padded = np.pad(values, ((1, 1), (0, 0)), mode="edge")
    return np.minimum(np.minimum(padded[:-2], padded[2:]), values)


def _mean_of_three(values: Floats) -> Floats:
    """Give the mean of each value and those above and below it."""
    padded = np.pad(values, ((1, 1), (0, 0), (0, 0)), mode="edge")
    return np.asarray((padded[:-2] + padded[2:] + values) / 3)


def _bins(cloth: ClothPixels) -> _Bins:
    lab, flat = cloth.lab.reshape(-1, 3), cloth.flat.ravel()
    if not cloth.counts.all():
        lab, flat = cloth.lab[cloth.counts], cloth.flat[cloth.counts]
    # A row a channel: what runs along rows is much quicker than what runs along threes.
    steps = np.floor(np.ascontiguousarray(lab.T) / _BIN).astype(np.int64)
    lowest = steps.min(axis=1)
    shape = tuple(steps.max(axis=1) - lowest + 1)
    keys = np.ravel_multi_index(tuple(steps - lowest[:, None]), shape)
    every = np.bincount(keys)
    used = np.flatnonzero(every)
    place = (np.cumsum(every > 0) - 1)[keys[flat]]
    calm = np.bincount(place, minlength=len(used))
    light = _sums(place, cloth.light[cloth.flat], len(used))
    light /= np.maximum(calm, 1)[:, None]
    middles = (np.stack(np.unravel_index(used, shape), axis=-1) + lowest + 0.5) * _BIN
    lab = np.where(calm[:, None] > 0, light_to_lab(light), middles)
    return _Bins(light, lab, calm.astype(np.float64), every[used].astype(np.float64))


def _sums(index: NDArray[np.int64], light: Floats, count: int) -> Floats:
    return np.stack(
        [np.bincount(index, light[:, part], minlength=count) for part in range(3)], axis=-1
    )


def _k_means(bins: _Bins) -> Labels:
    """Group bins by k-means weighted by flat pixels; the group of each, shape (n,)."""
    centres = _spread_out(bins.lab, bins.flat)
    for _ in range(_ROUNDS):
        groups = _nearest(bins.lab, centres)
        weight = np.bincount(groups, bins.flat, minlength=len(centres))
        total = _sums(groups, bins.lab * bins.flat[:, None], len(centres))
        some = weight > 0
        centres = total[some] / weight[some, None]
    return _nearest(bins.lab, centres)


def _spread_out(lab: Floats, weight: Floats) -> Floats:
    """Choose starting centres: the heaviest bin, then ever the one with most weight far off."""
    chosen = [int(weight.argmax())]
    far = np.full(len(lab), np.inf)
    for _ in range(_GROUPS - 1):
        far = np.minimum(far, np.square(lab - lab[chosen[-1]]).sum(axis=-1))
        score = weight * far
        if score.max() <= 0:
            break
        chosen.append(int(score.argmax()))
    return lab[chosen]


def _nearest(lab: Floats, centres: Floats) -> Labels:
    """Index of the nearest centre by straight distance in Lab, shape (n,)."""
    return np.asarray((np.square(centres).sum(axis=-1) - 2 * lab @ centres.T).argmin(axis=-1))


def _means(bins: _Bins, groups: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Mean light of the flat pixels of each group that has any, and their number."""
    weight = np.bincount(groups, bins.flat).astype(np.float64)
    total = _sums(groups, bins.light * bins.flat[:, None], len(weight))
    some = weight > 0
    return total[some] / weight[some, None], weight[some]


def _merged(light: Floats, weight: Floats) -> Floats:
    """Merge the closest two groups while they are alike; their light, heaviest first."""
    lab = light_to_lab(light)
    apart = difference(lab[:, None], lab[None]) + 1000 * np.eye(len(lab))
    while len(light) > 1:
        pair = [int(place) for place in np.unravel_index(apart.argmin(), apart.shape)]
        if apart[pair[0], pair[1]] >= _ALIKE:
            break
        mixed = weight[pair] @ light[pair] / weight[pair].sum()
        light = np.vstack([np.delete(light, pair, axis=0), mixed])
        weight = np.append(np.delete(weight, pair), weight[pair].sum())
        lab = np.vstack([np.delete(lab, pair, axis=0), light_to_lab(mixed)])
        far = difference(lab[:-1], lab[-1])
        rest = np.delete(np.delete(apart, pair, axis=0), pair, axis=1)
        apart = np.pad(rest, (0, 1), constant_values=1000)
        apart[-1, :-1] = apart[:-1, -1] = far
    return light[np.argsort(-weight, kind="stable")]


def _without_mixtures(bins: _Bins, light: Floats) -> Floats:
    """Give up groups that are mostly edge and look like two others mixed."""
    lab = light_to_lab(light)
    groups = _nearest(bins.lab, lab)
    every = np.bincount(groups, bins.every, minlength=len(light))
    edge = 1 - np.bincount(groups, bins.flat, minlength=len(light)) / np.maximum(every, 1)
    kept = list(range(len(light)))
    for index in sorted(kept, key=lambda group: every[group]):
        others = [other for other in kept if other != index]
        if edge[index] > _MOSTLY_EDGE and _is_mixture(light[index], light[others]):
            kept.remove(index)
    return light[kept]


def _is_mixture(light: Floats, others: Floats) -> bool:
    """Whether a colour lies between two others on a straight line of light."""
    first, second = np.triu_indices(len(others), 1)
    if not len(first):
        return False
    way = others[second] - others[first]
    part = ((light - others[first]) * way).sum(axis=-1) / np.square(way).sum(axis=-1)
    mixed = others[first] + np.clip(part, 0, 1)[:, None] * way
    near = difference(light_to_lab(mixed), light_to_lab(light)) < _ON_THE_WAY
    return bool((near & (part > 0.05) & (part < 0.95)).any())


def _large(bins: _Bins, light: Floats) -> tuple[Floats, Floats]:
    """Give up the smallest group while it covers too little; light and shares of the rest."""
    while True:
        groups = _nearest(bins.lab, light_to_lab(light))
        shares = np.bincount(groups, bins.every, minlength=len(light)) / bins.every.sum()
        if shares.min() >= _SMALLEST or len(light) == 1:
            return light, shares
        light = np.delete(light, shares.argmin(), axis=0)


def _settled(bins: _Bins, light: Floats, shares: Floats) -> tuple[Floats, Floats]:
    """Take each colour again from the flat pixels close to it; Lab and shares, largest first."""
    lab = light_to_lab(light)
    groups = _nearest(bins.lab, lab)
    close = np.square(bins.lab - lab[groups]).sum(axis=-1) < 6**2
    weight = bins.flat * close
    total = _sums(groups, bins.light * weight[:, None], len(light))
    number = np.bincount(groups, weight, minlength=len(light))
    some = number > 0
    lab[some] = light_to_lab(total[some] / number[some, None])
    order = np.argsort(-shares, kind="stable")
    return lab[order], shares[order]
