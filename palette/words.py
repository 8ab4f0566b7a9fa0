"""Numbers and names as the sentences of this room write them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def tenths(value: float, under: float = math.inf) -> str:
    """Round to one decimal, but keep a value that lies under a limit under it in print too.

    Examples
    --------
    >>> tenths(6.08), tenths(9.97), tenths(9.97, under=10)
    ('6.1', '10.0', '9.9')
    """
    return f"{_rounded(value * 10, under * 10) / 10:.1f}"


def percent(share: float, under: float = math.inf) -> str:
    """Round a share to whole percent, with the same care for a limit.

    Examples
    --------
    >>> percent(0.578), percent(0.498), percent(0.498, under=0.5)
    ('58 %', '50 %', '49 %')
    """
    return f"{_rounded(share * 100, under * 100)} %"


def _rounded(value: float, under: float) -> int:
    return math.floor(value) if value < under <= round(value) else round(value)


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


def too_close(chance: float, truly: str, *, together: bool) -> str:
    """Say that photos leave something open, and what to do.

    Examples
    --------
    >>> too_close(0.43, 'sink', together=True)
    'Too close to tell from these photos: of 10 such pairs some 4 truly sink. Look at the cloth.'
    """
    return (
        f"Too close to tell from these photos: of 10 such pairs some {round(10 * chance)} truly "
        f"{truly}. {_LOOK if together else _TOGETHER}"
    )


_LOOK = "Look at the cloth."
_TOGETHER = "Photograph the two together, with white paper, to be surer."
