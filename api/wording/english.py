"""The grammar of this room: counts, lists, numbers, lengths and names as English writes them."""

from __future__ import annotations

import math
import unicodedata
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_JOINERS = "\u200c\u200d"
"""Format characters that some scripts need inside words."""

_IRREGULAR = {"foot": "feet", "goose": "geese", "half": "halves"}
"""Words whose plural is not made by adding an s."""


def number(count: int, noun: str, plural: str = "") -> str:
    """Write a count with its noun in the right form.

    Parameters
    ----------
    count : int
        How many.
    noun : str
        The noun, or a phrase that ends in it, for one.
    plural : str
        The form for any other count, where it is not made by rule.

    Examples
    --------
    >>> number(1, 'fabric'), number(2, 'side triangle'), number(4, 'goose')
    ('1 fabric', '2 side triangles', '4 geese')
    >>> number(3, 'square of 4 in', 'squares of 4 in')
    '3 squares of 4 in'
    """
    return f"{count} {noun if count == 1 else plural or plural_of(noun)}"


def plural_of(noun: str) -> str:
    """Return the plural of a noun, or of a phrase that ends in one.

    >>> plural_of('fabric'), plural_of('flying goose'), plural_of('patch')
    ('fabrics', 'flying geese', 'patches')
    """
    front, blank, last = noun.rpartition(" ")
    if last in _IRREGULAR:
        return front + blank + _IRREGULAR[last]
    return noun + ("es" if last.endswith(("s", "x", "ch", "sh")) else "s")


def agree(count: int, one: str, many: str) -> str:
    """Return the form of a word that agrees with a count: 'is' or 'are', 'sinks' or 'sink'.

    >>> agree(1, 'sinks', 'sink'), agree(2, 'sinks', 'sink')
    ('sinks', 'sink')
    """
    return one if count == 1 else many


def listed(words: Iterable[str], last: str = "and") -> str:
    """Join words as a sentence does.

    >>> listed(["'Moss'"]), listed(['border', 'binding', 'blocks']), listed(['a', 'b'], 'or')
    ("'Moss'", 'border, binding and blocks', 'a or b')
    """
    words = tuple(words)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def quoted(name: str) -> str:
    r"""Write a name as it is, in quotation marks that it does not use itself.

    >>> quoted('Moss'), quoted("Gran's dots"), quoted('Gran\'s "ink"')
    ("'Moss'", '"Gran\'s dots"', '“Gran\'s "ink"”')
    """
    name = clean(name)
    for mark in "'\"":
        if mark not in name:
            return f"{mark}{name}{mark}"
    return f"“{name}”"


def clean(text: str) -> str:
    r"""Return text on one line, without characters that control or turn what follows.

    >>> clean('Rose\u202e  briar\n')
    'Rose briar'
    """
    kept = (
        " " if sign.isspace() else sign
        for sign in text
        if sign.isspace() or sign in _JOINERS or unicodedata.category(sign)[0] != "C"
    )
    return " ".join("".join(kept).split())


def capital(text: str) -> str:
    """Begin with a capital letter."""
    return text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """Write a sentence as the second half of another.

    >>> lowered('Shows on 2 of 3 fabrics.')
    'shows on 2 of 3 fabrics.'
    """
    return text[:1].lower() + text[1:]


def tenths(value: float, under: float = math.inf) -> str:
    """Round to one decimal, but keep a value that lies under a limit under it in print too.

    >>> tenths(6.08), tenths(9.97), tenths(9.97, under=10)
    ('6.1', '10.0', '9.9')
    """
    return f"{_rounded(value * 10, under * 10) / 10:.1f}"


def percent(share: float, under: float = math.inf) -> str:
    """Round a share to whole percent, with the same care for a limit.

    >>> percent(0.578), percent(0.498), percent(0.498, under=0.5)
    ('58 %', '50 %', '49 %')
    """
    return f"{_rounded(share * 100, under * 100)} %"


def _rounded(value: float, under: float) -> int:
    return math.floor(value) if value < under <= round(value) else round(value)


def length(inches: float, units: str = "inches") -> str:
    """Write a finished measure as people say it: to 1/8 in, or to 5 mm in centimetres.

    >>> length(72.1249)
    '72 1/8 in'
    >>> length(72.1249, 'metric')
    '183 cm'
    """
    if units == "metric":
        return f"{round(inches * 25.4 / 5) / 2:g} cm"
    return f"{Inches(Fraction(round(inches * 8), 8))} in"


def measure(cut: Inches | float, units: str) -> str:
    """Write a cut size: quilters' fractions, or millimetres in metric work.

    >>> measure(Inches.parse('2.5'), 'inches')
    '2 1/2 in'
    >>> measure(Inches.parse('65 mm'), 'metric')
    '6.5 cm'
    """
    if units == "metric":
        # A seam allowance may be 0.75 cm; what is only worked out is told to the millimetre.
        mm = round(cut.mm, 1) if isinstance(cut, Inches) else round(cut * 25.4)
        return f"{round(mm / 10, 2):g} cm"
    return f"{cut} in" if isinstance(cut, Inches) else length(cut)


def by(sides: Sequence[float], units: str = "inches") -> str:
    """Write a finished width and height.

    >>> by((72.1249, 84.1457))
    '72 1/8 in x 84 1/8 in'
    """
    return " x ".join(length(side, units) for side in sides)


def ranges(numbers: Sequence[int]) -> str:
    """Join numbers, those that follow each other as a range.

    >>> ranges([1, 2, 3, 5, 7, 8])
    '1–3, 5, 7 and 8'
    """
    runs: list[list[int]] = []
    for each in numbers:
        if runs and runs[-1][-1] + 1 == each:
            runs[-1].append(each)
        else:
            runs.append([each])
    texts: list[str] = []
    for run in runs:
        texts += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else [str(each) for each in run]
    return listed(texts)
