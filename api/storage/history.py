"""The changes of a plan within its file.

``history.json`` lists them, oldest first: number, time, and what was done in words;
``history/7.json`` is the whole plan as change 7 left it. The state that the plan stands at is
``plan.json`` itself. Of very many the oldest are left out, and how many is said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from api.pattern.customs import read_json
from api.pattern.untrusted import VettingError
from api.storage.kept import Past, Step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

INDEX = "history.json"
STATE = re.compile(r"history/([1-9][0-9]{0,9})\.json")
MOST_STEPS = 1000
"""Changes in a file at most; so many are left of 80,000."""
MOST_PAST = 64_000_000
"""Bytes of all states together, unpacked."""


class _Line(BaseModel):
    """One change."""

    model_config = ConfigDict(extra="forbid", strict=True)

    number: Annotated[int, Field(ge=1, lt=2**31)]
    made_at: Annotated[
        str, StringConstraints(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z$")
    ]
    what: Annotated[str, StringConstraints(max_length=1000, pattern=r"^[^\x00-\x1f\x7f]*$")]


class _Index(BaseModel):
    """All that is said of the changes beside the states themselves."""

    model_config = ConfigDict(extra="forbid", strict=True)

    at: int
    left_out: Annotated[int, Field(ge=0, lt=2**31)] = 0
    changes: Annotated[list[_Line], Field(min_length=1, max_length=MOST_STEPS)]


@dataclass(frozen=True, slots=True)
class Pages:
    """What a file holds of a plan's changes, unread."""

    index: bytes = b""
    """Its list; none if it has no history."""
    states: Mapping[int, bytes] = field(default_factory=dict)
    """Plans by their number."""


def bounded(past: Past) -> Past:
    """Leave out the oldest changes of a plan where there are more than a file takes."""
    room, kept = MOST_PAST, 0
    for step in reversed(past.steps):
        room -= len(step.body.encode())
        if room < 0 or kept == MOST_STEPS - 1:
            break
        kept += 1
    first = len(past.steps) - kept
    steps = tuple(s for k, s in enumerate(past.steps) if k >= first or s.number == past.at)
    return replace(past, steps=steps, left_out=past.left_out + len(past.steps) - len(steps))


def pages(past: Past) -> Iterator[tuple[str, bytes]]:
    """Yield name and content of each file that a plan's changes are written to."""
    lines = [_Line(number=s.number, made_at=s.made_at, what=s.what) for s in past.steps]
    index = _Index(at=past.at, left_out=past.left_out, changes=lines)
    yield INDEX, index.model_dump_json().encode()
    for step in past.steps:
        if step.number != past.at:
            yield f"history/{step.number}.json", step.body.encode()


def read_pages(found: Pages, current: Step, vet: Callable[[bytes, Step], Step]) -> Past | None:
    """Read the changes of a plan of unknown origin; None if there are none.

    Parameters
    ----------
    found : Pages
        What the file holds of them.
    current : Step
        The state that the plan stands at; number, time and words are told by the list.
    vet : Callable[[bytes, Step], Step]
        Reads a state, given what the list says of it; ValueError if it is no plan.

    Raises
    ------
    VettingError
        If list and states do not fit together, or a state is no plan.
    """
    if not found.index:
        if found.states:
            raise _damaged("they have no list")
        return None
    index = _index(found.index)
    numbers = [line.number for line in index.changes]
    if numbers != sorted(set(numbers)) or index.at not in numbers:
        raise _damaged("their numbers do not follow one another")
    if found.states.keys() != set(numbers) - {index.at}:
        raise _damaged("the list names others than there are")
    return Past(tuple(_steps(index, found, current, vet)), index.at, index.left_out)


def _steps(
    index: _Index, found: Pages, current: Step, vet: Callable[[bytes, Step], Step]
) -> Iterator[Step]:
    for line in index.changes:
        told = replace(current, number=line.number, made_at=line.made_at, what=line.what)
        if line.number == index.at:
            yield told
            continue
        try:
            yield vet(found.states[line.number], told)
        except ValueError as fault:
            raise _damaged(f"of change {line.number}: {fault}") from fault


def _index(text: bytes) -> _Index:
    try:
        read_json(text)
        return _Index.model_validate_json(text)
    except ValidationError as fault:
        first = fault.errors(include_url=False, include_context=False, include_input=False)[0]
        where = ".".join(map(str, first["loc"]))[:60]
        raise _damaged(f"{where or 'the list'}: {first['msg']}") from None
    except ValueError as fault:
        raise _damaged(str(fault)) from None


def _damaged(why: str) -> VettingError:
    return VettingError(
        f"the history in this file is damaged ({why}); save the plan again, or take {INDEX} and "
        "the folder history out of the file and open the rest"
    )
