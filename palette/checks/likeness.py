"""Independent measure of how different fabrics are: one linear program for all pairs.

Defined as in palette.picking.similarity and worked out otherwise: the earth mover's
distances of all pairs are the parts of one program solved by HiGHS, and CIEDE2000 is
scikit-image's.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from palette.fabric import Fabric

    Array = NDArray[np.float64]

Pair = tuple[str, str]

_COLOURS = 5
"""Main colours that count close up; a smaller one is mixed into its nearest."""


def measured(fabrics: Mapping[str, Fabric], pairs: Iterable[Pair]) -> dict[Pair, float]:
    """Return the difference of pairs of fabrics, named by id, in either order.

    Parameters
    ----------
    fabrics : mapping of id to Fabric
        The fabrics.
    pairs : iterable of (id, id)
        Which ones; a fabric and itself are 0 apart.
    """
    wanted = sorted({(min(pair), max(pair)) for pair in pairs if pair[0] != pair[1]})
    if not wanted:
        return {}
    afar = _colour_differences(
        *(np.array([_lab(fabrics[pair[side]].reads_as) for pair in wanted]) for side in (0, 1))
    )
    heaps = {name: heap(fabrics[name]) for name in {name for pair in wanted for name in pair}}
    close = _works([(heaps[a], heaps[b]) for a, b in wanted])
    found = {}
    for pair, far, near in zip(wanted, afar, close, strict=True):
        prints = print_apart(*(fabrics[name] for name in pair))
        found[pair] = found[pair[::-1]] = sqrt((far * far + near * near) / 2 + prints * prints)
    return found


def heap(fabric: Fabric) -> tuple[Array, Array]:
    """Return the colours that count close up and their shares."""
    parts = [(_lab(part.colour), part.share) for part in fabric.colours]
    total = sum(share for _, share in parts)
    parts = [(lab, share / total) for lab, share in parts]
    while len(parts) > _COLOURS:
        small = min(parts, key=lambda part: part[1])
        parts = [part for part in parts if part is not small]
        nearest = min(parts, key=lambda part: float(np.linalg.norm(part[0] - small[0])))
        both = nearest[1] + small[1]
        mixed = (nearest[0] * nearest[1] + small[0] * small[1]) / both
        parts = [(mixed, both) if part is nearest else part for part in parts]
    return np.array([lab for lab, _ in parts]), np.array([share for _, share in parts])


def print_apart(one: Fabric, other: Fabric) -> float:
    """Return how different two prints are, the one turned to where they differ least."""
    first, second = _change(one), _change(other)
    turned = (np.concatenate([second[:, k:], second[:, :k]], axis=1) for k in range(4))
    return min(float(np.linalg.norm(first - each)) / sqrt(first.size) for each in turned)


def _change(fabric: Fabric) -> Array:
    if fabric.print is not None:
        return np.array(fabric.print.change)
    # Without a measured print: the contrast inside, reached at the scale of the print.
    lab, shares = (np.array(each) for each in zip(*_parts(fabric), strict=True))
    first, second = (index.ravel() for index in np.indices((len(lab), len(lab))))
    apart = _colour_differences(lab[first], lab[second])
    contrast = float((shares[first] * shares[second] * apart).sum()) / float(shares.sum()) ** 2
    distances = [2.0**-power for power in (6, 5, 4, 3, 2)]
    scale = max(fabric.print_scale, distances[0])
    return np.array([[contrast * min(1.0, each / scale)] * 4 for each in distances])


def _parts(fabric: Fabric) -> list[tuple[Array, float]]:
    return [(_lab(part.colour), part.share) for part in fabric.colours]


def _lab(colour: object) -> Array:
    return np.array([getattr(colour, name) for name in ("lightness", "a", "b")])


def _colour_differences(first: Array, second: Array) -> Array:
    from skimage.color import deltaE_ciede2000

    return np.asarray(deltaE_ciede2000(first, second), dtype=np.float64)


def _works(pairs: list[tuple[tuple[Array, Array], tuple[Array, Array]]]) -> list[float]:
    """Return the earth mover's distance of each pair of heaps."""
    plain = [
        _all_one_way(*pair) if 1 in map(len, (pair[0][1], pair[1][1])) else None for pair in pairs
    ]
    hard = iter(_solved([pair for pair, work in zip(pairs, plain, strict=True) if work is None]))
    return [next(hard) if work is None else work for work in plain]


def _all_one_way(one: tuple[Array, Array], other: tuple[Array, Array]) -> float:
    """Return the work where a heap of one colour goes to each of the other's."""
    many, single = (one, other) if len(other[1]) == 1 else (other, one)
    apart = _colour_differences(many[0], np.repeat(single[0], len(many[0]), axis=0))
    return float(many[1] @ apart)


def _solved(pairs: list[tuple[tuple[Array, Array], tuple[Array, Array]]]) -> list[float]:
    """Solve the transportation problems of all pairs as one linear program."""
    if not pairs:
        return []
    from scipy.optimize import linprog
    from scipy.sparse import block_diag, eye, kron, vstack

    sizes = [(len(a[1]), len(b[1])) for a, b in pairs]
    costs = [
        _colour_differences(np.repeat(a[0], n, axis=0), np.tile(b[0], (m, 1)))
        for (a, b), (m, n) in zip(pairs, sizes, strict=True)
    ]
    blocks = [
        vstack([kron(eye(m), np.ones((1, n))), kron(np.ones((1, m)), eye(n))]) for m, n in sizes
    ]
    heaps = [np.concatenate([a[1], b[1]]) for a, b in pairs]
    cost = np.concatenate(costs)
    solved = linprog(cost, A_eq=block_diag(blocks, "csc"), b_eq=np.concatenate(heaps))
    work = cost * solved.x
    ends = np.cumsum([len(each) for each in costs])[:-1]
    return [float(part.sum()) for part in np.split(work, ends)]
