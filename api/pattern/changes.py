"""Bodies that take changes of a value: models that follow from its decisions.

What is sent is held to each decision's type and range here, whoever sends it.
"""

from __future__ import annotations

from dataclasses import MISSING
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    WithJsonSchema,
    create_model,
)

from api.pattern.decision import Decided, Decision, decisions, plain
from palette.fabric import LONGEST_ID
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

_LENGTH_TEXT = r"^([0-9]{1,3}( [0-9]{1,2}/[1-9][0-9]?)?|[0-9]{1,3}\.[0-9]{1,4})( ?(in|mm|cm))?$"


class Wish(BaseModel):
    """A body: unknown fields and wrong types are refused."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    may_be_none: ClassVar[frozenset[str]] = frozenset()
    """Fields for which null is a value; for others it means that nothing was sent."""

    def given(self) -> dict[str, Any]:
        """Return the fields that were sent, those of a part likewise."""
        sent = {name: getattr(self, name) for name in self.model_fields_set}
        return {
            name: _plain(value)
            for name, value in sent.items()
            if value is not None or name in self.may_be_none
        }


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(entry) for entry in value]
    return value.given() if isinstance(value, Wish) else value


_Body = TypeVar("_Body", bound=Wish)


def takes(
    owner: type, below: Mapping[str, Decision] | None = None
) -> Callable[[type[_Body]], type[_Body]]:
    """Give a body a field for every decision of a class; each may be left out.

    Parameters
    ----------
    owner : type
        The class whose decisions are taken.
    below : Mapping[str, Decision] or None
        Its decisions, if it does not describe them itself.
    """

    def extended(body: type[_Body]) -> type[_Body]:
        known = decisions(owner, below)
        model: type[_Body] = create_model(  # type: ignore[call-overload]
            body.__name__,
            __base__=body,
            __module__=body.__module__,
            __doc__=body.__doc__,
            **{entry.name: _left_out(entry) for entry in known},
        )
        model.may_be_none = body.may_be_none | {e.name for e in known if e.optional}
        return model

    return extended


def _left_out(decided: Decided) -> tuple[Any, Any]:
    return _type(decided) | None, _field(decided, None)


def _field(decided: Decided, default: Any) -> Any:
    examples = [*decided.decision.examples] or None
    return Field(default, description=decided.decision.about, examples=examples)


def _type(decided: Decided) -> Any:
    """Return the type that takes one decision."""
    if decided.part and not decided.several and not decided.optional:
        return _changes(decided)
    kind = _whole(decided) if decided.part else _single(decided)
    if not decided.several:
        return kind
    return Annotated[list[kind], Field(max_length=decided.decision.longest)]  # type: ignore[valid-type]


def _changes(decided: Decided) -> type[Wish]:
    """Return the body that changes a part; what is left out stays."""

    class Part(Wish):
        __doc__ = f"{decided.decision.about} What is left out stays as it is."

    Part.__name__ = f"{decided.kind.__name__}Change"
    return takes(decided.kind, decided.decision.parts)(Part)


def _whole(decided: Decided) -> type[Wish]:
    """Return the body that takes the whole of a part."""
    return _item(decided.kind)


@lru_cache(maxsize=64)
def _item(kind: type) -> type[Wish]:
    known = decisions(kind)
    model: type[Wish] = create_model(  # type: ignore[call-overload]
        f"{kind.__name__}In",
        __base__=Wish,
        __doc__=kind.__doc__,
        **{entry.name: _with_usual(entry) for entry in known},
    )
    model.may_be_none = frozenset(entry.name for entry in known if entry.optional)
    return model


def _with_usual(decided: Decided) -> tuple[Any, Any]:
    kind = _type(decided) | None if decided.optional else _type(decided)
    return kind, _field(decided, ... if decided.usual is MISSING else decided.usual)


def _single(decided: Decided) -> Any:
    """Return the type of one value that is no part."""
    if decided.kind is Inches:
        return _length(decided)
    if decided.kind is str:
        return _text(decided)
    if decided.enum:
        return _one_of(decided)
    if decided.kind in (int, float) and decided.range:
        kind = "integer" if decided.kind is int else "number"
        return Annotated[
            decided.kind,
            AfterValidator(_checked(decided)),
            WithJsonSchema({"type": kind, **_ends(decided)}),
        ]
    return decided.kind


def _one_of(decided: Decided) -> Any:
    """Return the type that takes one member of an enum by its name."""
    check = _checked(decided)
    return Annotated[
        decided.kind,
        BeforeValidator(lambda value: decided.kind(check(value))),
        WithJsonSchema({"type": "string", "enum": [*decided.choices]}),
    ]


def _ends(decided: Decided) -> dict[str, Any]:
    least, most = decided.bounds
    low = "exclusiveMinimum" if decided.decision.above else "minimum"
    return {low: least, "maximum": most}


def _checked(decided: Decided) -> Callable[[Any], Any]:
    def check(value: Any) -> Any:
        if fault := decided.fault(value):
            raise ValueError(fault)
        return plain(value) if isinstance(value, str) and not decided.decision.names else value

    return check


def _text(decided: Decided) -> Any:
    if decided.decision.names:
        return Annotated[str, StringConstraints(max_length=LONGEST_ID)]
    if decided.choices:
        schema = {"type": "string", "enum": [*decided.choices]}
        return Annotated[str, AfterValidator(_checked(decided)), WithJsonSchema(schema)]
    longest = decided.decision.longest
    return Annotated[
        str,
        StringConstraints(min_length=1, max_length=None if decided.several else longest),
        AfterValidator(_checked(decided)),
    ]


def _length_in(given: object) -> object:
    if isinstance(given, bool) or not isinstance(given, str | int | float | Inches):
        raise ValueError("a length is text such as '8 1/2' or '215 mm', or a number of inches")
    return given


def _length(decided: Decided) -> Any:
    schema = {
        "title": "Length",
        "description": "Inches as a mixed fraction or a decimal; or mm, or cm. Other ways in which "
        "people and phones write them are read too: 8-1/2, 8½, 8,5.",
        "anyOf": [
            {"type": "string", "pattern": _LENGTH_TEXT},
            {"type": "number", **_ends(decided)},
        ],
        "examples": ["8 1/2", "215 mm"],
    }
    return Annotated[
        Inches,
        BeforeValidator(_length_in),
        AfterValidator(_checked(decided)),
        WithJsonSchema(schema),
    ]


def one(owner: type, name: str, below: Mapping[str, Decision] | None = None) -> Any:
    """Return the type that takes one decision of a class, for a body or query of its own."""
    return _type(next(entry for entry in decisions(owner, below) if entry.name == name))


def length(about: str) -> Any:
    """Return the type that takes a length which is no decision."""
    return _length(Decided("length", Inches, False, False, None, Decision(about=about)))
