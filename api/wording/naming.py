"""Plain words for a colour, for cloth and thread that nobody has named."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from api.wording.english import capital, listed
from palette.description import describe
from palette.fabric import PrintKind
from palette.naming import Shade, colour_name

if TYPE_CHECKING:
    from collections.abc import Collection

    from palette.colour import Lab
    from palette.description import Description
    from palette.fabric import Fabric
    from palette.naming import ColourName


def plain_name(colour: Lab) -> str:
    """Name a colour as people at a cutting table would.

    >>> from palette.colour import Lab
    >>> plain_name(Lab(20, 10, -40)), plain_name(Lab(80, -10, -15)), plain_name(Lab(97, 0, 2))
    ('Navy', 'Light blue', 'White')
    """
    return capital(_colour(colour_name(colour)))


def offered_name(fabric: Fabric, taken: Collection[str] = ()) -> str:
    """Name a fabric by what its photo shows, unlike all names that are taken.

    >>> from palette.fabric import Fabric, Print, PrintKind, Share
    >>> from palette.colour import Lab
    >>> rust, cream = Lab(56, 38, 44), Lab(93, 0, 12)
    >>> shares = Share(rust, 0.8), Share(cream, 0.2)
    >>> dots = Print(PrintKind.DOT, 5 * ((0.0,) * 4,))
    >>> fabric = Fabric('a', 'IMG 1', rust, shares, 0.1, print=dots)
    >>> offered_name(fabric), offered_name(fabric, ['rust with cream dots'])
    ('Rust with cream dots', 'Rust with cream dots 2')
    """
    used = {name.casefold() for name in taken}
    names = _names(describe(fabric))
    for name in names:
        if name.casefold() not in used:
            return name
    return next(
        numbered
        for number in count(2)
        if (numbered := f"{names[0]} {number}").casefold() not in used
    )


def _names(seen: Description) -> list[str]:
    """Return what a fabric may be called: by two colours, or by three."""
    words = [_colour(name) for name in seen.colours]
    if seen.kind is PrintKind.SOLID:
        first = seen.colours[0]
        return [capital(f"dusty {first.hue}" if seen.dusty else words[0])]
    what = _PRINTS[seen.kind]
    if len(words) == 1:
        return [capital(f"{words[0]} {what}")]
    joined = " {} ".format("and" if seen.kind in _EQUALS else "with")
    two = capital(f"{words[0]}{joined}{words[1]} {what}")
    if len(words) == 2:
        return [two]
    if seen.kind in _EQUALS:
        return [two, capital(f"{listed(words)} {what}")]
    return [two, capital(f"{words[0]} with {words[1]} and {words[2]} {what}")]


def _colour(name: ColourName) -> str:
    return name.hue.value if name.shade == Shade.PLAIN else f"{name.shade} {name.hue}"


_PRINTS = {
    PrintKind.STRIPE: "stripes",
    PrintKind.CHECK: "check",
    PrintKind.DOT: "dots",
    PrintKind.ALL_OVER: "print",
}
_EQUALS = (PrintKind.STRIPE, PrintKind.CHECK)
"""Prints whose colours stand side by side, neither being the ground."""
