"""What differs between two values of JSON, as a JSON Patch (RFC 6902).

Of its operations only add, remove and replace are used, always by index in lists.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from pydantic import BaseModel, Field
from pydantic_core import to_json

if TYPE_CHECKING:
    from collections.abc import Iterator


class Operation(BaseModel):
    """One step from one value to another (RFC 6902, 4)."""

    op: Literal["add", "remove", "replace"]
    path: str = Field(description="Where (RFC 6901).", examples=["/plan/layout/fabrics/3"])
    value: Any = Field(default=None, description="What comes there; nothing for 'remove'.")


Step = dict[str, Any]
"""An operation as JSON has it."""


def difference(before: Any, after: Any, path: str = "") -> list[Step]:
    """Return the steps that make one value of another.

    >>> difference({"a": [1, 2], "b": 3}, {"a": [1, 4], "c": None})
    [{'op': 'replace', 'path': '/a/1', 'value': 4}, {'op': 'remove', 'path': '/b'}, \
{'op': 'add', 'path': '/c', 'value': None}]
    """
    if before is after or before == after:
        return []
    whole = [{"op": "replace", "path": path, "value": after}]
    if isinstance(before, dict) and isinstance(after, dict):
        return list(_in_objects(before, after, path))
    if isinstance(before, list) and isinstance(after, list):
        return min(list(_in_lists(before, after, path)), whole, key=_size)
    return whole


def _size(steps: list[Step]) -> int:
    return len(to_json(steps))


def _in_objects(before: dict[str, Any], after: dict[str, Any], path: str) -> Iterator[Step]:
    for name, value in before.items():
        here = f"{path}/{name.replace('~', '~0').replace('/', '~1')}"
        if name in after:
            yield from difference(value, after[name], here)
        else:
            yield {"op": "remove", "path": here}
    for name in after.keys() - before.keys():
        here = f"{path}/{name.replace('~', '~0').replace('/', '~1')}"
        yield {"op": "add", "path": here, "value": after[name]}


def _in_lists(before: list[Any], after: list[Any], path: str) -> Iterator[Step]:
    """Yield what differs between the part both begin with and the part both end with."""
    shorter = min(len(before), len(after))
    start = next((k for k in range(shorter) if before[k] != after[k]), shorter)
    end = next(
        (k for k in range(shorter - start) if before[-1 - k] != after[-1 - k]), shorter - start
    )
    both = shorter - end
    for k in range(start, both):
        yield from difference(before[k], after[k], f"{path}/{k}")
    for k in reversed(range(both, len(before) - end)):
        yield {"op": "remove", "path": f"{path}/{k}"}
    for k in range(both, len(after) - end):
        yield {"op": "add", "path": f"{path}/{k}", "value": after[k]}
