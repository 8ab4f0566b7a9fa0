"""Numbers and names as the sentences of this room write them."""

from __future__ import annotations

import math
from collections.abc import Sequence


def tenths(value: float) -> str:
    """Cut to one decimal, never rounding up: 9.97 under a limit of 10 must not read '10.0'.

    Examples
    --------
    >>> tenths(9.97), tenths(6.1), tenths(0.0)
    ('9.9', '6.1', '0.0')
    """
    return f"{math.floor(round(value * 10, 6)) / 10:.1f}"


def percent(share: float) -> str:
    """Cut a share to whole percent, never rounding up.

    Examples
    --------
    >>> percent(0.499), percent(0.58)
    ('49 %', '58 %')
    """
    return f"{math.floor(round(share * 100, 6))} %"


def plural(count: int, one: str, many: str) -> str:
    """Count things in words.

    Examples
    --------
    >>> plural(1, 'fabric', 'fabrics'), plural(3, 'fabric', 'fabrics')
    ('1 fabric', '3 fabrics')
    """
    return f"{count} {one if count == 1 else many}"


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    Examples
    --------
    >>> listed(["'Moss'"]), listed(["'Moss'", "'Fern'", "'Oat'"])
    ("'Moss'", "'Moss', 'Fern' and 'Oat'")
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
