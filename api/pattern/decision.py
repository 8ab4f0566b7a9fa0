"""What one decision of the designer is: its range, its words, and whether it names a fabric.

It stands beside a field's type, as ``Annotated[type, Decision(...)]``, and nowhere
else. What is taken over HTTP and on the command line, the vetting of plans from
elsewhere, the words of the history, what goes with a fabric that is removed and the
page's types all follow from it.

Words used here
---------------
part : a value that is made of decisions itself, such as the setting or a border.
changes : decisions by their names; those of a part as changes of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import MISSING, dataclass, field, fields, is_dataclass
from enum import StrEnum
from functools import lru_cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from api.pattern.swatch import Role
from placement.inches import Inches

LONGEST_LENGTH = 1000
"""Inches; more than any quilt, and a guard against a slip of the keyboard."""

Changes = Mapping[str, Any]
"""Decisions by name; a part's as changes of its own, several parts as a list of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """All that is known of one decision besides its type and what it usually is."""

    about: str
    """What it is, as one sentence: for help and for the description of the interface."""
    words: str = ""
    """What it is called where changes are listed; '' for a part, whose own decisions tell."""
    least: float | None = None
    """Smallest number or length (inches) it can be."""
    most: float | None = None
    """Largest number or length (inches) it can be."""
    above: bool = False
    """Whether it must be above the least."""
    unit: str = ""
    """What numbers count, such as 'per cent'."""
    longest: int | None = None
    """Most characters of a text, most entries of a list."""
    choices: Callable[[], Collection[str]] | None = None
    """The texts there are to choose from; for a fabric, those that do besides the plan's own."""
    names: tuple[Role, ...] = ()
    """What its value names, by id: fabrics, backgrounds, threads; nothing if empty."""
    use: str = ""
    """The one use that it names a fabric for, such as 'binding'."""
    none: str = ""
    """The word for None, or for an empty list, on the command line."""
    option: str | None = None
    """Name on the command line if it is another; of a part, what its own begin with."""
    examples: tuple[Any, ...] = ()
    """What can be written."""
    check: Callable[[Any], object] | None = None
    """What a part must pass besides; it raises ValueError."""
    parts: Mapping[str, Decision] = field(default_factory=dict)
    """Decisions of a part whose type lives in a room below and knows of no words."""

    @property
    def place(self) -> str:
        """Where what it names must be, in words."""
        if self.use:
            return f"for the {self.use}"
        if self.names == ("fabric",):
            return "in the bundle"
        return "in this plan" if "fabric" in self.names else "among the candidates"

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> Any:
        """Describe the field where it is answered, too."""
        return {**handler(core), "description": self.about}


@dataclass(frozen=True, slots=True)
class Decided:
    """A field that is a decision."""

    name: str
    """Of the field."""
    kind: Any
    """Its type, without None and without the tuple round several."""
    several: bool
    """Whether it is a tuple of these."""
    optional: bool
    """Whether it may be None."""
    usual: Any
    """What it is unless it is decided; MISSING if it must be."""
    decision: Decision
    """What is known of it."""

    @property
    def part(self) -> bool:
        """Whether it is made of decisions itself."""
        return is_dataclass(self.kind) and self.kind is not Inches

    @property
    def enum(self) -> bool:
        """Whether it is one of an enumeration's texts."""
        return isinstance(self.kind, type) and issubclass(self.kind, StrEnum)

    @property
    def choices(self) -> tuple[str, ...]:
        """The texts there are to choose from; empty if any will do."""
        if get_origin(self.kind) is Literal:
            return get_args(self.kind)
        if self.enum:
            return tuple(map(str, self.kind))
        if self.decision.choices is None or self.decision.names:
            return ()
        return tuple(self.decision.choices())

    @property
    def parts(self) -> tuple[Decided, ...]:
        """The decisions that a part is made of."""
        return decisions(self.kind, self.decision.parts) if self.part else ()

    def fault(self, value: Any) -> str:
        """Say what is wrong with one value (of several, with one of them); '' if it can be."""
        if self.choices and value not in self.choices:
            return f"there is no {_noun(self.name)} {value!r}; choose one of " + ", ".join(
                self.choices
            )
        if isinstance(value, str):
            return _text_fault(
                value, None if self.several else self.decision.longest, self.decision
            )
        if isinstance(value, bool) or not isinstance(value, int | float | Inches):
            return ""
        return "" if self._within(float(value)) else f"must be {self.range}, not {value}"

    def _within(self, value: float) -> bool:
        least, most = self.bounds
        low = least is None or value > least or (value == least and not self.decision.above)
        return low and (most is None or value <= most)

    @property
    def bounds(self) -> tuple[float | None, float | None]:
        """Smallest and largest; every length has both."""
        least, most = self.decision.least, self.decision.most
        if self.kind is not Inches:
            return least, most
        return (0 if least is None else least), (LONGEST_LENGTH if most is None else most)

    @property
    def range(self) -> str:
        """What it can be, in words; '' if anything.

        >>> Decided('apart', float, False, False, 0.5, Decision(about='', least=0, most=1)).range
        'from 0 to 1'
        """
        least, most = self.bounds
        unit = self.decision.unit or ("inches" if self.kind is Inches else "")
        if least is None or most is None:
            return ""
        ends = f"above {least:g} and at most" if self.decision.above else f"from {least:g} to"
        return f"{ends} {most:.10g} {unit}".strip()


def plain(text: str) -> str:
    r"""Take control characters out of a text, and surplus blanks away.

    >>> plain(' Moss\tgreen ')
    'Moss green'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _text_fault(text: str, longest: int | None, decision: Decision) -> str:
    if longest is not None and len(text) > longest:
        return f"takes at most {longest} characters, not {len(text)}"
    if not decision.names and not decision.choices and not plain(text):
        return "write at least one character that can be seen"
    return ""


_CALLED = {"form": "form of cloth", "alternates": "form of cloth", "along": "side of cloth"}
"""What the choices of a decision are, where its name does not say it."""


def _noun(name: str) -> str:
    return _CALLED.get(name) or name.replace("_", " ")


@lru_cache(maxsize=64)
def _annotated(owner: type) -> Mapping[str, Any]:
    return get_type_hints(owner, include_extras=True)


def decisions(owner: type, below: Mapping[str, Decision] | None = None) -> tuple[Decided, ...]:
    """Return the decisions that a dataclass is made of, in its own order.

    ``below`` describes the fields of a class that does not itself.
    """
    hints = _annotated(owner)
    found = []
    for entry in fields(owner):
        kind, decision = _split(hints[entry.name])
        decision = decision or (below or {}).get(entry.name)
        if decision is None:
            continue
        several = get_origin(kind) is tuple
        kind = get_args(kind)[0] if several else kind
        optional = get_origin(kind) in (Union, UnionType)
        if optional:
            (kind,) = (inner for inner in get_args(kind) if inner is not NoneType)
        usual = entry.default if entry.default_factory is MISSING else entry.default_factory()
        found.append(Decided(entry.name, kind, several, optional, usual, decision))
    return tuple(found)


def _split(hint: Any) -> tuple[Any, Decision | None]:
    if get_origin(hint) is not Annotated:
        return hint, None
    kind, *extras = get_args(hint)
    return kind, next((extra for extra in extras if isinstance(extra, Decision)), None)


def faults(value: Any, below: Mapping[str, Decision] | None = None) -> Iterator[str]:
    """Yield what can't be in the decisions that a value is made of, with the field's name."""
    for decided in decisions(type(value), below):
        yield from _faults(decided, getattr(value, decided.name))


def _faults(decided: Decided, value: Any) -> Iterator[str]:
    if value is None:
        return
    most = decided.decision.longest
    if decided.several and most is not None and len(value) > most:
        yield f"{decided.name}: takes at most {most}, not {len(value)}"
    for at, one in enumerate(value if decided.several else (value,)):
        where = f"{decided.name}.{at}" if decided.several else decided.name
        if decided.part:
            yield from (f"{where}.{fault}" for fault in faults(one, decided.decision.parts))
        elif fault := decided.fault(one):
            yield f"{where}: {fault}"


@dataclass(frozen=True, slots=True)
class Named:
    """A fabric, background or thread that a decision names."""

    id: str
    """What is named."""
    decided: Decided
    """By which decision."""
    within: tuple[Decided, ...]
    """The parts that decision is in, from the outside in."""


def named(value: Any, within: tuple[Decided, ...] = ()) -> Iterator[Named]:
    """Yield every fabric, background and thread that the decisions of a value name."""
    for decided in decisions(type(value), within[-1].decision.parts if within else None):
        given = getattr(value, decided.name)
        entries = given if decided.several else () if given is None else (given,)
        for entry in entries:
            if decided.part:
                yield from named(entry, (*within, decided))
            elif decided.decision.names and entry:
                yield Named(entry, decided, within)
