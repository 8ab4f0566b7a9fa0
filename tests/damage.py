"""Damage to values, field by field: what a judge must notice, planted by machine."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator

Damaged = tuple[str, Any]
"""The field that was damaged, as 'Type.field', and the whole value with that damage."""


def damages(value: Any, where: str = "") -> Iterator[Damaged]:
    """Yield a value with one of its fields damaged after the other, however deep it lies.

    Parameters
    ----------
    value : object
        A frozen dataclass, a tuple, or what stands in their fields.
    where : str
        The field that holds it.
    """
    if isinstance(value, Inches):
        yield where, Inches(value.value + Fraction(1, 8))
        yield where, Inches(max(Fraction(0), value.value - Fraction(1, 8)))
    elif _is_value(value):
        for field in fields(value):
            if getattr(value, field.name) is None and field.type == "CuttingPlan | None":
                continue  # a length is no plan
            name = f"{type(value).__name__}.{field.name}"
            for inner, damaged in damages(getattr(value, field.name), name):
                yield inner, _with(value, field.name, damaged)
    elif isinstance(value, tuple):
        yield from _tuple(value, where)
    else:
        yield from ((where, other) for other in _others(value))


def _is_value(value: Any) -> bool:
    """Whether it has fields of its own; a length or a pair is one thing."""
    return is_dataclass(value) and not isinstance(value, type | Inches)


def _with(value: Any, name: str, damaged: Any) -> Any:
    """Replace a field; a value that refuses the damage is its own judge."""
    try:
        return replace(value, **{name: damaged})
    except ValueError:
        return None


def _tuple(value: tuple[Any, ...], where: str) -> Iterator[Damaged]:
    if value and (isinstance(value[0], tuple) or _is_value(value[0])):
        yield where, value[:-1]
    kinds: dict[object, int] = {}
    for at, entry in enumerate(value):
        # One entry of each kind is enough, and the last: the others are like it.
        kind = getattr(entry, "kind", getattr(entry, "name", type(entry)))
        if kind in kinds and at < len(value) - 1:
            continue
        kinds[kind] = at
        for inner, damaged in damages(entry, where):
            yield inner, None if damaged is None else (*value[:at], damaged, *value[at + 1 :])


def _others(value: Any) -> Iterator[Any]:
    """Yield other values of the same type."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, Enum):
        yield from (other for other in type(value) if other is not value)
    elif isinstance(value, int):
        yield from (value + 1, value - 1) if value > 1 else (1 - value,)
    elif isinstance(value, float):
        yield value + 0.25
        yield value - 0.25
    elif isinstance(value, Fraction):
        yield value + Fraction(1, 16)
    elif isinstance(value, str):
        yield f"{value} of another"
    elif value is None:
        yield Inches(Fraction(3))
