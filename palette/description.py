"""What a fabric looks like in a few facts, to call it by when nobody has named it.

Only what its photo tells for sure: the colours it is made of, by their shares, and
whether its print is of stripes, a check or dots. Words are made of it in
`api.wording.naming`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from palette.colour import difference
from palette.fabric import PrintKind
from palette.naming import ColourName, Hue, Shade, colour_name

if TYPE_CHECKING:
    from palette.colour import Lab
    from palette.fabric import Fabric

_LEAST = 0.04
"""Part of the cloth that a colour covers at least to be named."""
_LEAST_APART = 12.0
"""Difference (CIEDE2000) from the main colour at least."""
_MOST_COLOURS = 3
_DUSTY_CHROMA = (6.0, 22.0)
_DUSTY_LIGHTNESS = (38.0, 74.0)
"""Of a colour that is called dusty: dull, neither dark nor light (a judgement)."""
_DUSTY = {Hue.PINK, Hue.RED, Hue.GREEN, Hue.TEAL, Hue.AQUA, Hue.BLUE, Hue.PURPLE, Hue.PLUM}
"""Hues that the word is used of."""


@dataclass(frozen=True, slots=True)
class Description:
    """What a fabric looks like."""

    kind: PrintKind
    """What the eye makes of its print."""
    colours: tuple[ColourName, ...]
    """Its colours of different names, the most of it first; of a solid one."""
    dusty: bool = False
    """Whether a solid is dull, neither dark nor light."""


def describe(fabric: Fabric) -> Description:
    """Describe a fabric by its colours and its print.

    Shades of one name count together, and colours that are hardly told from the main one are
    not named: folds make them, too. A print of no other colour is described by that alone.

    Parameters
    ----------
    fabric : Fabric
        As it was read from its photo.
    """
    kind = _kind(fabric)
    if kind is PrintKind.SOLID:
        return Description(kind, (colour_name(fabric.reads_as),), _is_dusty(fabric.reads_as))
    shares: dict[ColourName, float] = {}
    first = fabric.colours[0].colour
    for part in fabric.colours:
        if part.colour is first or _apart(part.colour, first) >= _LEAST_APART:
            name = colour_name(part.colour)
            shares[name] = shares.get(name, 0.0) + part.share
    main, *others = shares
    others = sorted((name for name in others if shares[name] >= _LEAST), key=lambda n: -shares[n])
    names = _of_other_hues([main, *others])[:_MOST_COLOURS]
    if len(names) == 1 and kind is PrintKind.ALL_OVER:
        kind, names = PrintKind.SOLID, [colour_name(fabric.reads_as)]
    return Description(kind, tuple(names))


def _apart(one: Lab, other: Lab) -> float:
    return float(difference(one.array(), other.array()))


def _kind(fabric: Fabric) -> PrintKind:
    if fabric.print is not None:
        return fabric.print.kind
    return PrintKind.SOLID if len(fabric.colours) == 1 else PrintKind.ALL_OVER


def _of_other_hues(names: list[ColourName]) -> list[ColourName]:
    """Leave out light and dark of a hue that is named already, unless there is nothing else."""
    kept: list[ColourName] = []
    for name in names:
        if all(name.hue != other.hue for other in kept):
            kept.append(name)
    return kept if len(kept) > 1 or len(names) < 2 else names[:2]


def _is_dusty(colour: Lab) -> bool:
    name, chroma = colour_name(colour), hypot(colour.a, colour.b)
    dull = _DUSTY_CHROMA[0] <= chroma < _DUSTY_CHROMA[1]
    middle = _DUSTY_LIGHTNESS[0] <= colour.lightness < _DUSTY_LIGHTNESS[1]
    return dull and middle and name.hue in _DUSTY and name.shade is not Shade.DARK
