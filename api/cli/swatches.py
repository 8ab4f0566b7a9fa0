"""What is decided on single fabrics, as options: their names, marks and what photos show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from api.cli.decisions import fabric_id, meant, value_of
from api.cli.options import Written
from api.pattern.decision import Decided, Decision, decisions
from api.pattern.edits import with_changed_swatch
from api.pattern.parts import FABRIC, SWATCH
from api.pattern.swatch import Swatch
from palette.fabric import Fabric

if TYPE_CHECKING:
    import argparse

    from api.pattern.brief import Brief
    from placement.inches import Inches, Units

_DEST = "swatch "
_ANY = Decision(about="A fabric.", names=("fabric", "background", "thread"))


def _known() -> tuple[Decided, ...]:
    return (*decisions(Fabric, FABRIC), *decisions(Swatch, SWATCH))


def add_swatches(parser: argparse.ArgumentParser) -> None:
    """Add an option for every decision on a fabric; a fabric is named by its id or its name."""
    add = parser.add_argument_group("single fabrics (each may be repeated)").add_argument
    for decided in _known():
        dest, option = _DEST + decided.name, decided.name.replace("_", "-")
        words = decided.decision.about.rstrip(".")
        words = words[:1].lower() + words[1:]
        if decided.kind is bool:
            add(f"--{option}", dest=dest, action="append", default=[], metavar="FABRIC",
                help=words)  # fmt: skip
            add(f"--no-{option}", dest=f"{dest} not", action="append", default=[],
                metavar="FABRIC", help="take that away")  # fmt: skip
        else:
            add(f"--{option}", dest=dest, action="append", default=[],
                metavar=f"FABRIC={decided.name.upper()}", help=words)  # fmt: skip


def decided_of_fabrics(options: argparse.Namespace) -> tuple[Decided, ...]:
    """Return what options decide on single fabrics."""
    told = vars(options)
    return tuple(
        decided
        for decided in _known()
        if told[_DEST + decided.name] or told.get(f"{_DEST}{decided.name} not")
    )


def shown_by_all(options: argparse.Namespace, units: Units) -> Inches | None:
    """Return the width of cloth that every photo shows, if one was told without a fabric.

    Raises
    ------
    ValueError
        If it is no length, or one that can't be.
    """
    decided = next(entry for entry in _known() if entry.name == "shows")
    told = [text for text in getattr(options, _DEST + "shows") if "=" not in text]
    width: Inches | None = None
    for text in told:
        width = _read(decided, text, units)
    return width


def with_swatches(brief: Brief, options: argparse.Namespace, units: Units) -> Brief:
    """Return a brief in which single fabrics are as options tell, bare numbers in those units.

    Raises
    ------
    ValueError
        If there is no such fabric, or a value can't be.
    """
    for decided in _known():
        texts = getattr(options, _DEST + decided.name)
        if decided.kind is bool:
            off = getattr(options, f"{_DEST}{decided.name} not")
            for text, mark in (*((t, True) for t in texts), *((t, False) for t in off)):
                fabric = fabric_id(text, _ANY, brief)
                brief = with_changed_swatch(brief, fabric, {decided.name: mark})
            continue
        for text in texts:
            if decided.name == "shows" and "=" not in text:
                continue
            fabric, value = _split(text, decided, brief)
            brief = with_changed_swatch(brief, fabric, {decided.name: _read(decided, value, units)})
    return brief


def _split(text: str, decided: Decided, brief: Brief) -> tuple[str, str]:
    """Take apart FABRIC=VALUE; either may hold '=' itself."""
    head, sign, tail = text.partition("=")
    if not sign:
        raise ValueError(
            f"--{decided.name.replace('_', '-')} {text!r} has no '='; write FABRIC="
            f"{decided.name.upper()}"
        )
    first = head
    while sign:
        try:
            return fabric_id(head, _ANY, brief), tail
        except ValueError:
            more, sign, tail = tail.partition("=")
            head = f"{head}={more}"
    return fabric_id(first, _ANY, brief), ""


def _read(decided: Decided, text: str, units: Units) -> Any:
    try:
        value = value_of(decided, text)
        return meant(decided, value, units) if isinstance(value, Written) else value
    except ValueError as error:
        raise ValueError(f"--{decided.name.replace('_', '-')}: {error}") from None
