"""The designer's decisions as options: they follow from what is known of each decision.

A part's own decisions are options too. Several of one kind are given by repeating the
option, each entry as text: its first field, '=' and its second, then ':' before any
other; a field that names a fabric takes the whole rest, or all up to the last '='.
"""

from __future__ import annotations

import argparse
from dataclasses import MISSING, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.cli.options import Written
from api.files import read_bounded
from api.pattern.brief import Brief
from api.pattern.customs import read_json
from api.pattern.decision import Decided, decisions, plain
from api.pattern.edits import built, change_brief
from palette.colour import parse_hex
from palette.picking.choice import PickBy
from placement.cloth.forms import FormKind
from placement.inches import Inches, Units

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

from api.pattern.decision import Changes, Decision

_MOST_PART = 100_000
"""Bytes of a file that holds a part."""

_DEST = "decision "
"""Begins the names under which decisions stand in what was parsed; none of an option's own."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A decision that has an option of its own."""

    path: tuple[str, ...]
    """Names of the fields, from the outside in."""
    decided: Decided
    """What is known of it."""
    option: str
    """Its name on the command line."""


def leaves(owner: type = Brief) -> Iterator[Leaf]:
    """Yield every decision that has an option of its own, with that option."""
    yield from _leaves(decisions(owner), (), "")


def _leaves(known: tuple[Decided, ...], path: tuple[str, ...], prefix: str) -> Iterator[Leaf]:
    for decided in known:
        here, called = (*path, decided.name), decided.decision.option
        name = decided.name.replace("_", "-") if called is None else called
        if decided.part and not decided.several and not decided.optional:
            yield from _leaves(decided.parts, here, f"{prefix}{name}-" if name else prefix)
        else:
            yield Leaf(here, decided, f"--{prefix}{name}")


_LENGTHS = (
    "A length is written with its unit (215 mm, 20 cm, 8 1/2 in, 1 1/2 yd); a number alone is in "
    "inches, or in centimetres where the plan is metric."
)


def add_decisions(
    parser: argparse.ArgumentParser, owner: type = Brief, within: Collection[str] = ()
) -> None:
    """Add an option for every decision.

    Parameters
    ----------
    parser : argparse.ArgumentParser
        What they are added to.
    owner : type
        Whose decisions.
    within : Collection[str]
        Only those of these fields or in these parts; all if there are none.
    """
    add = parser.add_argument_group("decisions", _LENGTHS).add_argument
    for leaf in leaves(owner):
        if within and not set(leaf.path) & set(within):
            continue
        dest, words = _DEST + ".".join(leaf.path), _help(leaf.decided)
        if leaf.decided.kind is bool:
            add(leaf.option, dest=dest, default=argparse.SUPPRESS, help=words,
                action=argparse.BooleanOptionalAction)  # fmt: skip
        else:
            add(leaf.option, dest=dest, default=argparse.SUPPRESS, help=words,
                metavar=_metavar(leaf.decided), type=_reader(leaf.decided),
                action="append" if leaf.decided.several else "store")  # fmt: skip


def _help(decided: Decided) -> str:
    extras = [decided.range, _usually(decided)]
    if decided.choices and len(decided.choices) > _FEW:
        extras.insert(0, "one of " + "; ".join(decided.choices))
    if decided.decision.none:
        extras.append(f"or '{decided.decision.none}'")
    if decided.part and decided.several and len(decided.parts) > _TOLD + 2:
        fields = ", ".join(part.name.replace("_", " ") for part in decided.parts[1:])
        extras.append(f"behind the fabric, each after a ':' and empty for the usual: {fields}")
    if decided.several:
        extras.append("may be repeated")
    told = "; ".join(extra for extra in extras if extra)
    text = decided.decision.about.rstrip(".") + (f" ({told})" if told else "")
    return (text[:1].lower() + text[1:]).replace("%", "%%")


_FEW = 5
"""Choices that are told in the place of a value."""


def _usually(decided: Decided) -> str:
    usual = decided.usual
    if usual is MISSING or usual in (None, "", ()) or decided.part or isinstance(usual, bool):
        return ""
    return f"usually {usual:g}" if isinstance(usual, float) else f"usually {usual}"


def _metavar(decided: Decided) -> str:
    if decided.choices and len(decided.choices) <= _FEW:
        return "{" + ",".join(decided.choices) + "}"
    if decided.part and not decided.several:
        return "FILE"
    if not decided.part:
        return _NOUNS.get(decided.kind, "N") if not decided.decision.names else "FABRIC"
    first, *rest = decided.parts
    if not rest:
        return _word(first)
    second, *others = rest
    tail = "".join(f"[:{_word(other)}" for other in others[:_TOLD]) + "]" * len(others[:_TOLD])
    last = f"={_word(second)}{tail}"
    return _word(first) + (last if second.usual is MISSING else f"[{last}]")


_TOLD = 2
"""Further fields of an entry that stand in the place of a value; help tells all."""

_WORDS = {"cells": "BLOCKS", "cell": "BLOCK", "family": "0|1"}
"""What a field's value is called, where its name is not plain."""


def _word(decided: Decided) -> str:
    return _WORDS.get(decided.name) or decided.name.upper()


_NOUNS = {Inches: "LENGTH", str: "TEXT", float: "NUMBER", FormKind: "FORM"}


def _reader(decided: Decided) -> Callable[[str], Any]:
    """Return what reads the text of an option."""

    def read(text: str) -> Any:
        if decided.decision.none and text == decided.decision.none:
            return [] if decided.several else None
        try:
            return value_of(decided, text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return read


def value_of(decided: Decided, text: str) -> Any:
    """Read one value; ValueError says what is wrong with it and what it can be."""
    if decided.part:
        return _entry(decided, text) if decided.several else _from_file(decided, Path(text))
    if decided.decision.names:
        return text
    value = _single(decided, text)
    if fault := decided.fault(value):
        raise ValueError(fault)
    return decided.kind(value) if decided.enum else value


def _single(decided: Decided, text: str) -> Any:
    if decided.kind is Inches:
        return _length(decided, text)
    if decided.kind in (int, float):
        noun = "a whole number" if decided.kind is int else "a number"
        try:
            return decided.kind(text)
        except ValueError:
            raise ValueError(f"{text!r} is not {noun} {decided.range}".strip()) from None
    return text if decided.choices else plain(text)


def _length(decided: Decided, text: str) -> Written:
    """Take a length; what no units allow is refused at once."""
    wrong: ValueError | None = None
    for units in ("inches", "metric"):
        try:
            meant(decided, Written(text), units)
        except ValueError as error:
            wrong = wrong or error
        else:
            return Written(text)
    raise wrong or ValueError(text)


def meant(decided: Decided, written: Written, units: Units) -> Inches:
    """Return what a length means in a plan of those units; ValueError says what is wrong."""
    found = written.read(units)
    if fault := decided.fault(found):
        raise ValueError(fault)
    return found


def _entry(decided: Decided, text: str) -> dict[str, Any]:
    """Read one of several: its first field, '=', its second, and ':' before any other."""
    first, *rest = decided.parts
    head, sign, tail = text.rpartition("=") if first.decision.names else text.partition("=")
    if not sign and rest and rest[0].usual is MISSING:
        raise ValueError(f"{text!r} has no '='; write {_metavar(decided)}")
    given = tail.split(":", len(rest) - 1) if len(rest) > 1 else [tail]
    pairs = [(first, head)] if sign else [(first, text)]
    pairs += zip(rest, given, strict=False) if sign else []
    for part, value in pairs:
        if part.usual is MISSING and not (value.strip() or part.decision.names):
            raise ValueError(f"{text!r} has no {part.name}; write {_metavar(decided)}")
    return {part.name: _named(part, value) for part, value in pairs if value or part.decision.names}


def _named(part: Decided, text: str) -> Any:
    try:
        return value_of(part, text.strip())
    except ValueError as error:
        raise ValueError(f"{part.name}: {error}") from None


def _from_file(decided: Decided, path: Path) -> dict[str, Any]:
    """Read a part from a JSON file that holds its fields."""
    try:
        data = read_json(read_bounded(path, _MOST_PART, "a block"))
    except OSError as error:
        raise ValueError(f"{path}: can't be read ({error.strerror})") from None
    except ValueError as error:
        raise ValueError(f"{path} is not JSON that can be read: {error}") from None
    names = [part.name for part in decided.parts]
    if not isinstance(data, dict) or not set(names) <= set(data):
        raise ValueError(f"{path} must hold one object with {', '.join(names)}")
    read = {part.name: _from_json(part, data[part.name], path) for part in decided.parts}
    try:
        built(decided, read)
    except ValueError as error:
        raise ValueError(f"{path}: {error}") from None
    return read


def _from_json(part: Decided, given: Any, path: Path) -> Any:
    entries = given if part.several and isinstance(given, list) else [given]
    try:
        read = [value_of(part, str(entry)) for entry in entries]
    except ValueError as error:
        raise ValueError(f"{path}: {part.name}: {error}") from None
    return read if part.several else read[0]


def decided_in(options: argparse.Namespace) -> dict[str, Any]:
    """Return the decisions that options tell; fabrics are named as they were written."""
    changes: dict[str, Any] = {}
    for dest, value in vars(options).items():
        if not dest.startswith(_DEST):
            continue
        *outer, name = dest.removeprefix(_DEST).split(".")
        part = changes
        for each in outer:
            part = part.setdefault(each, {})
        part[name] = [entry for entry in value if entry] if isinstance(value, list) else value
    return changes


def check_mood(changes: Changes, by: PickBy = PickBy.APART) -> None:
    """Refuse a mood that would be of no use, and a colour that is none, before any work.

    Parameters
    ----------
    changes : Changes
        What options tell.
    by : PickBy
        What the pick is made for unless they tell.

    Raises
    ------
    ValueError
        If a mood is told and the pick is not made by it, or its colour is no web colour.
    """
    if changes.get("mood_colour"):
        parse_hex(changes["mood_colour"])
    for name in ("mood", "mood_colour"):
        if changes.get(name) and changes.get("pick_by", by) != PickBy.MOOD:
            option = f"--{name.replace('_', '-')}"
            raise ValueError(f"{option} is for picks by mood: give --pick-by mood as well")


def applied(brief: Brief, changes: Changes) -> Brief:
    """Return a brief with the decisions that options tell.

    Raises
    ------
    ValueError
        If there is no fabric that is named, or decisions contradict each other.
    """
    other = change_brief(brief, resolved(changes, brief))
    if changes.get("setting", {}).get("cornerstones") and not other.setting.sashing.value:
        raise ValueError("cornerstones lie between strips: give --sashing a width as well")
    return other


def begun(brief: Brief, changes: Changes) -> Brief:
    """Return the brief of a new plan: as `applied`, the block of a size that is easy to cut.

    Raises
    ------
    ValueError
        As `applied` does.
    """
    from api.pattern.usual import with_easy_size

    other = applied(brief, changes)
    return other if "block_size" in changes.get("setting", {}) else with_easy_size(other)


def resolved(changes: Changes, brief: Brief) -> dict[str, Any]:
    """Return decisions in which fabrics are named by their ids and lengths are exact.

    Raises
    ------
    ValueError
        If there is no fabric of an id or a name, or several are called so.
    """
    units = changes.get("units", brief.units)
    return _resolved(changes, decisions(type(brief)), brief, units, "--")


def _resolved(
    changes: Changes, known: tuple[Decided, ...], brief: Brief, units: Units, where: str
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for decided in known:
        if decided.name not in changes:
            continue
        given, called = changes[decided.name], decided.decision.option or decided.name
        called = f"{where}{called.replace('_', '-')}"
        if decided.part and given is not None:
            entries = given if decided.several else [given]
            within = f"{called}: " if decided.several else "--"
            read = [_resolved(entry, decided.parts, brief, units, within) for entry in entries]
            found[decided.name] = read if decided.several else read[0]
        elif decided.decision.names:
            found[decided.name] = _ids(given, decided, brief)
        elif isinstance(given, Written):
            found[decided.name] = _in_units(decided, given, units, called)
        else:
            found[decided.name] = given
    return found


def _in_units(decided: Decided, given: Written, units: Units, called: str) -> Inches:
    try:
        return meant(decided, given, units)
    except ValueError as error:
        raise ValueError(f"{called}: {error}") from None


def _ids(text: str, decided: Decided, brief: Brief) -> Any:
    if not decided.several:
        return fabric_id(text, decided.decision, brief)
    try:
        return [fabric_id(text, decided.decision, brief)]
    except ValueError:
        return [fabric_id(part.strip(), decided.decision, brief) for part in text.split(",")]


def fabric_id(text: str, decision: Decision, brief: Brief) -> str:
    """Return the id of what is named by its id or its name; '' names none.

    Raises
    ------
    ValueError
        If there is none, with those there are, or there are several.
    """
    there = {s.fabric.id: s.fabric.name for role in decision.names for s in brief.of_role(role)}
    others = (decision.choices or tuple)()
    if not text or text in there or text in others:
        return text
    called = [label for label, name in there.items() if name == text]
    if len(called) == 1:
        return called[0]
    if called:
        raise ValueError(f"several are called {text!r}: name one by its id, {', '.join(called)}")
    known = ", ".join((*there, *others))
    missing = f"there is no {decision.names[0]} {text!r} {decision.place}"
    if not known:
        raise ValueError(f"{missing}, nor any other; plan takes photos of them")
    raise ValueError(f"{missing}; choose one of {known}")
