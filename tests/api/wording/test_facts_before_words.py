"""What is known is kept as enums, numbers, ids and names; sentences are made in one room alone."""

from __future__ import annotations

import builtins
import io
import re
import sys
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin, get_type_hints

import numpy as np
import pytest
from PIL import Image, ImageDraw

from api.pattern.brief import Ban, Pin
from api.pattern.cut_book import cut_book
from api.pattern.exchange import tries
from api.pattern.lookalikes import near
from api.pattern.planner import make
from api.pattern.suggestions import gains
from api.pattern.threads import threads
from palette.bundle.find import Lie, find
from palette.photo.open import open_photo
from palette.photo.read import read
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief

_TOKEN = re.compile(r"[\w:#.-]*")
"""An id, a colour, a number: no blank, so no sentence."""


def sentences(value: Any, known: frozenset[str], path: str = "") -> Iterator[str]:
    """Yield where a value holds text that is no enum, id, name or number."""
    if isinstance(value, str):
        if not (isinstance(value, Enum) or value in known or _TOKEN.fullmatch(value)):
            yield f"{path}: {value}"
    elif is_dataclass(value) and not isinstance(value, type):
        hints = get_type_hints(type(value), _names_of(type(value)))
        for field in fields(value):
            words = known | _literals(hints.get(field.name))
            yield from sentences(getattr(value, field.name), words, f"{path}.{field.name}")
    elif isinstance(value, dict):
        for key, entry in value.items():
            yield from sentences(key, known, f"{path} key")
            yield from sentences(entry, known, f"{path}[{key}]")
    elif isinstance(value, tuple | list | set | frozenset):
        for at, entry in enumerate(value):
            yield from sentences(entry, known, f"{path}[{at}]")


def _names_of(kind: type) -> dict[str, Any]:
    """Return a module's names, and any stand-in for what it imports for types alone."""

    class Names(dict[str, Any]):
        def __missing__(self, name: str) -> Any:
            return getattr(builtins, name, Any)

    return Names(vars(sys.modules[kind.__module__]))


def _literals(hint: Any) -> frozenset[str]:
    if get_origin(hint) is Literal:
        return frozenset(word for word in get_args(hint) if isinstance(word, str))
    return frozenset().union(*map(_literals, get_args(hint)))


def known_of(brief: Brief) -> frozenset[str]:
    """Return the ids and names that a brief gives."""
    everything = [swatch.fabric for swatch in brief.everything()]
    return frozenset(fabric.id for fabric in everything) | {fabric.name for fabric in everything}


def varied(brief: Brief) -> Iterator[Brief]:
    """Yield briefs that fit, that want too much, and that leave no layout."""
    ids = [swatch.fabric.id for swatch in brief.swatches]
    small = Setting("straight", 3, 3, Inches.parse(8))
    first, *others = brief.swatches
    yield brief
    yield replace(brief, setting=small, count=40)
    yield replace(brief, setting=small, background="ink", swatches=(replace(first, must_use=True),
        *others))  # fmt: skip
    yield replace(brief, setting=small, pins=(Pin(0, "nearly-linen"),))
    yield replace(brief, setting=small, bans=(Ban(0, tuple(ids)),))
    yield replace(brief, setting=small, pins=tuple(Pin(cell, "") for cell in range(9)))
    yield replace(brief, setting=small, swatches=())


def test_a_plan_holds_no_sentence(brief: Brief) -> None:
    kinds = set()
    for each in varied(brief):
        plan = make(each)
        kinds |= {entry.kind for entry in plan.problems}
        found = (plan.contrasts, plan.choice, plan.layout, plan.quality, plan.problems)
        assert list(sentences(found, known_of(each))) == []
    assert len(kinds) == 3


def test_what_is_worked_out_of_a_plan_holds_no_sentence(brief: Brief) -> None:
    plan = make(brief)
    assert plan.choice is not None
    found = [near(plan, 20), gains(plan, 2), tries(plan, plan.choice.kept[0])]
    assert list(sentences(found, known_of(brief))) == []
    judged = threads(plan)
    names = frozenset(entry.thread.name for entry in judged.judged)
    assert list(sentences(judged, known_of(brief) | names)) == []


def test_what_is_cut_and_pressed_holds_no_sentence(brief: Brief) -> None:
    for block in ("sawtooth-star", "nine-patch", "dutchmans-puzzle"):
        for units in ("inches", "metric"):
            plan = make(replace(brief, block=block, units=units))
            assert list(sentences(cut_book(plan), known_of(brief))) == []


def test_photos_are_read_without_a_sentence() -> None:
    rng = np.random.default_rng(3)
    burnt = np.where(rng.random((150, 150, 1)) < 0.5, 255, 0) * np.ones(3)
    out = io.BytesIO()
    Image.fromarray(burnt.astype(np.uint8)).save(out, "PNG")
    fabric = read(out.getvalue(), id="a", name="A name of hers").fabric
    assert len(fabric.warnings) >= 3
    assert list(sentences(fabric, frozenset({"A name of hers"}))) == []
    table = Image.new("RGB", (400, 300), "#555")
    ImageDraw.Draw(table).rectangle((0, 40, 120, 160), fill="#c44")
    out = io.BytesIO()
    table.save(out, "PNG")
    found = find(open_photo(out.getvalue(), "bundle"), Lie("spread"), card=True)
    assert found.warnings
    names = frozenset(piece.name for piece in found.pieces)
    assert list(sentences(found, names)) == []


@dataclass(frozen=True)
class Planted:
    """A value with a sentence among its facts."""

    kind: Literal["on point", "straight"]
    entries: tuple[Any, ...]


@pytest.mark.parametrize(
    "sentence", ["Short by 5 in.", "'Moss' sinks.", "sinks into the ground", "fat quarter, 18 in"]
)
def test_a_planted_sentence_is_found_wherever_it_stands(sentence: str) -> None:
    good = Planted("on point", ("moss", 3, {"moss": 1.5}))
    assert list(sentences(good, frozenset())) == []
    for bad in (
        Planted("on point", ("moss", sentence)),
        Planted("on point", ({"moss": sentence},)),
        Planted("on point", (Planted("straight", ((sentence,),)),)),
        Planted(sentence, ()),  # type: ignore[arg-type]
    ):
        (found,) = sentences(bad, frozenset({"moss"}))
        assert found.endswith(sentence)
