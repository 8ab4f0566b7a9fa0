"""What comes in is counted before it is read: plan files, bodies of requests, files by name.

A text of JSON may be small and take much memory and time once it is read. How long it is,
how deep its parts lie, how many values it has and how long its longest text is can be told
from the bytes alone, in one pass and next to no memory. Whoever reads JSON from outside
counts it here first.
"""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

from api.pattern.brief import MOST_FABRICS
from placement.top.setting.setting import MOST_CELLS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

MOST_JSON = 2_000_000
"""Bytes of a text; a plan of 300 fabrics in 4,900 blocks, all locked, takes half of them."""
DEEPEST = 20
"""Levels of objects and lists in one another; a plan has 8."""
MOST_VALUES = 100_000
"""Values in a text; a plan of 4,900 blocks, all locked, has 30,000."""
LONGEST_TEXT = 10_000
"""Characters of one text within it; a booklet's words take 5,000."""
MOST_TOLD = 20
"""Faults that are told at most: nobody mends more at once, and an answer stays small."""

_MOST_OF_SWATCH = 64
"""Entries of a list within a fabric; photos give 12 colours and a few warnings."""
_LISTS = ("swatches", "backgrounds", "threads")
_PARTS = {"brief": MOST_CELLS, "layout": MOST_CELLS, "choice": MOST_FABRICS, "obstacles": 64}
"""Parts of a plan, and the most entries that a list in them can have."""

_TEXTS = re.compile(rb'"(?:[^"\\]++|\\.)*+(?:"|\Z)', re.DOTALL)
"""Texts of JSON, an unfinished last one as well: each byte is looked at once."""
_MARKS = bytes(set(range(256)) - set(b"[]{}"))
_ONE_KIND = bytes.maketrans(b"{}", b"[]")


class CustomsError(ValueError):
    """Something that is not read because there is too much of it; the message says of what."""


def told(faults: Iterable[str]) -> str:
    """Return faults as one text, the first of many.

    >>> told(["a: wrong", "b: wrong"])
    'a: wrong; b: wrong'
    """
    every = list(faults)
    more = len(every) - MOST_TOLD
    return "; ".join(every[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")


def counted(text: bytes, most: int = MOST_JSON) -> None:
    """Make sure that a text of JSON can be read without harm, whatever it says.

    Raises
    ------
    CustomsError
        Saying what there is too much of.
    """
    if len(text) > most:
        raise CustomsError(
            f"it has {len(text) / 1e6:.1f} MB; at most {most / 1e6:g} MB of data are read"
        )
    longest = max(map(len, _TEXTS.findall(text)), default=2) - 2
    if longest > LONGEST_TEXT:
        raise CustomsError(f"it holds a text of {longest} characters; {LONGEST_TEXT} are the most")
    bare = _TEXTS.sub(b"0", text)
    values = bare.count(b",") + bare.count(b"[") + bare.count(b"{") + 1
    if values > MOST_VALUES:
        raise CustomsError(f"it holds {values} values; {MOST_VALUES} are the most")
    if _deeper(bare):
        raise CustomsError(f"its parts lie more than {DEEPEST} deep in one another")


def _deeper(bare: bytes) -> bool:
    """Tell whether parts lie deeper in one another than they may, closed or not."""
    rest = bare.translate(_ONE_KIND, _MARKS)
    for _ in range(DEEPEST):
        if not rest:
            return False
        rest = rest.replace(b"[]", b"")
    return b"[]" in rest or rest.count(b"[") > DEEPEST


def read_json(text: bytes) -> Any:
    """Read counted JSON whose numbers are all finite (RFC 8259, 6, knows no others).

    Raises
    ------
    ValueError
        If there is too much of it, or it is none.
    """
    counted(text)
    try:
        return json.loads(text, parse_constant=_no_number, parse_float=_finite)
    except RecursionError:
        raise ValueError("its parts lie too deep in one another") from None


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")


def _finite(word: str) -> float:
    number = float(word)
    if number in (float("inf"), float("-inf")):
        raise ValueError(f"{word[:40]} is no number that can be told")
    return number


def excesses(given: Mapping[str, Any]) -> Iterator[str]:
    """Yield what there is too much of in the object of a plan, before anything is compared.

    Fabrics are compared all with all, and so are blocks, so both are counted first.
    """
    brief = given.get("brief")
    if not isinstance(brief, dict):
        return
    lists = {name: brief[name] for name in _LISTS if isinstance(brief.get(name), list)}
    fabrics = sum(map(len, lists.values()))
    if fabrics > MOST_FABRICS:
        yield f"it has {fabrics} fabrics; {MOST_FABRICS} are the most"
        return
    for part, most in _PARTS.items():
        yield from _long(part, given.get(part), most)
    for name, swatches in lists.items():
        for at, swatch in enumerate(swatches):
            yield from _long(f"brief.{name}.{at}", swatch, _MOST_OF_SWATCH)


def _long(where: str, given: Any, most: int) -> Iterator[str]:
    """Yield the lists within a value that are longer than they may be."""
    if isinstance(given, dict):
        for name, value in given.items():
            yield from _long(f"{where}.{name[:40]}", value, most)
    elif isinstance(given, list):
        if len(given) > most:
            yield f"{where} has {len(given)} entries; {most} are the most"
            return
        for at, value in enumerate(given):
            if not isinstance(value, str):
                yield from _long(f"{where}.{at}", value, most)
