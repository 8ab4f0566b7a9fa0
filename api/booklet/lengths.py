"""Lengths as a printed pattern writes them, for those who read it back: written anew here."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from math import ceil

LENGTH = r'(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?:"| (?:yd|mm|cm)\b)'
"""A length with its unit."""

LENGTHS = re.compile(rf"(?<![\d/.]){LENGTH}")

_MM = Fraction(127, 5)
_ENDS = Fraction(1, 2)


def flat(text: str) -> str:
    """Return text on one line with plain spaces and plain letters."""
    return " ".join(unicodedata.normalize("NFKC", text).split())


def tight(text: str) -> str:
    """Take out what is not seen: a line may break anywhere in a long name."""
    return "".join(
        sign
        for sign in unicodedata.normalize("NFKC", text)
        if not sign.isspace() and unicodedata.category(sign)[0] != "C"
    )


def mixed(value: Fraction) -> str:
    """Write a fraction as rulers do.

    >>> mixed(Fraction(5, 2)), mixed(Fraction(3, 4)), mixed(Fraction(4))
    ('2 1/2', '3/4', '4')
    """
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def to_cut(inches: Fraction | float, *, metric: bool) -> str:
    """Write a size to cut: exact as it is, else to 1/8 in or 1 mm.

    >>> to_cut(Fraction(5, 2), metric=False), to_cut(1.0, metric=True)
    ('2 1/2"', '2.5 cm')
    """
    if metric:
        exact = isinstance(inches, Fraction)
        tenths = round(float(inches * _MM), 1) if exact else float(f"{inches * 25.4:.0f}")
        return f"{round(tenths / 10, 2):g} cm"
    eighths = inches if isinstance(inches, Fraction) else Fraction(round(inches * 8), 8)
    return f'{mixed(eighths)}"'


def finished(inches: float, *, metric: bool) -> str:
    """Write a finished measure: to 1/8 in, or to 5 mm.

    >>> finished(72.1249, metric=False), finished(72.1249, metric=True)
    ('72 1/8"', '183 cm')
    """
    if metric:
        return f"{round(inches * 25.4 / 5) / 2:g} cm"
    return f'{mixed(Fraction(round(inches * 8), 8))}"'


def as_sold(inches: Fraction, *, metric: bool) -> str:
    """Write a side of a form of cloth as it is sold: to the millimetre in metric work.

    >>> as_sold(Fraction(5), metric=True), as_sold(Fraction(5), metric=False)
    ('12.7 cm', '5"')
    """
    return f"{round(inches * _MM) / 10:g} cm" if metric else to_cut(inches, metric=False)


def sold(inches: Fraction, *, metric: bool) -> str:
    """Write a length as shops cut it.

    >>> sold(Fraction(99, 2), metric=False)
    '1 3/8 yd'
    """
    return f"{float(inches * _MM / 10):g} cm" if metric else f"{mixed(inches / 36)} yd"


def to_buy(inches: float, shrinkage: Fraction, *, metric: bool) -> Fraction:
    """Return the least length that shops cut of which so much is left when washed and squared.

    >>> to_buy(26.5, Fraction(3, 100), metric=False)
    Fraction(63, 2)
    """
    # What is used is told to the ruler's mark first; a millionth of an inch is noise.
    mark = Fraction(1, 8)
    used = ceil(inches / float(mark) - 1e-6) * mark
    step = 100 / _MM if metric else Fraction(9, 2)
    return ceil((used + _ENDS) / (1 - shrinkage) / step) * step
