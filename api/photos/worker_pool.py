"""Photos and plan files are opened in child processes, so that a hostile one can harm nothing else.

A child may use 1.5 GiB of address space and ten seconds for a file; one that
takes more, or dies, is replaced.
"""

from __future__ import annotations

import os
import queue
from typing import TYPE_CHECKING, Any

from api.photos.child import Answer, Child, LostError
from api.photos.worker import do, fabrics, references

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from palette.photo.quad import Point
    from palette.photo.read import Reading
    from palette.photo.reference import Reference

Corners = tuple["Point", "Point", "Point", "Point"]

MEMORY = 3 * 2**29
"""Bytes of address space of a child: 50 megapixels decoded, and what looks at them."""
SECONDS = 10.0
"""For one photo."""

_TOO_HARD = (
    "{name}: this photo could not be opened within {seconds:g} seconds and 1.5 GB of memory; "
    "save it as an ordinary JPEG of at most 20 megapixels and try again"
)

_PLAN_TOO_HARD = (
    "the plan in this file takes more than {seconds:g} seconds or 1.5 GB of memory to read, more "
    "than any that this program makes; choose another file"
)


class Reader:
    """A pool of children that read photos; they are started when first needed.

    Parameters
    ----------
    workers : int | None
        How many children; one a core unless given.
    seconds : float
        How long one photo may take.
    memory : int
        Bytes of address space a child may use.
    """

    def __init__(
        self, workers: int | None = None, *, seconds: float = SECONDS, memory: int = MEMORY
    ) -> None:
        self._seconds = seconds
        self._children = [Child(do, memory) for _ in range(workers or os.cpu_count() or 1)]
        # Last in, first out: a child that is warm is used before another is started.
        self._idle: queue.LifoQueue[Child] = queue.LifoQueue()
        for child in self._children:
            self._idle.put(child)

    def read(
        self,
        data: bytes,
        *,
        id: str,  # noqa: A002 (the field's name)
        name: str,
        white: str = "none",
        otherwise: Reference | None = None,
        even: bool = True,
        whole: bool = False,
        paper: str = "office",
        corners: Corners | None = None,
        light: str = "",
        colour: str = "",
    ) -> Reading:
        """Read a fabric from the bytes of its photo, as palette.photo.read.read does.

        ``white`` is 'none', 'auto', or where white paper lies, as in api.photos.worker.place;
        ``paper`` is one of palette.photo.paper_kind.PaperKind.
        ``corners`` are those of the cloth, told by hand: upper left, upper right, lower right,
        lower left, in parts of the photo. ``colour`` is a web colour that the fabric is told to
        read as, as in palette.photo.own_colour; '' leaves the one that is read.

        Raises
        ------
        PhotoError
            If the bytes are no photo that can be used; the message says what to do.
        """
        wish: dict[str, Any] = {"id": id, "name": name, "white": white, "corners": corners}
        wish |= {"even": even, "whole": whole, "paper": paper}
        wish |= {"light": light, "colour": colour}
        told = references().dump_python(otherwise, mode="json")
        return reading_of(self.do("read", data, {**wish, "otherwise": told}))

    def do(self, job: str, data: bytes | Callable[[], bytes], wish: Mapping[str, Any]) -> Answer:
        """Have a child do one of the jobs of api.photos.worker with a photo.

        Waits for a child that is free, and only then has the data come; safe to call from many
        threads.

        Raises
        ------
        PhotoError
            If the photo can't be used for it; the message says what to do.
        """
        from palette.photo.open import PhotoError

        plan = job == "vet"
        # A plan of 4,900 blocks is measured anew: two seconds, on a machine that has time.
        seconds = self._seconds * (3 if plan else 1)
        child = self._idle.get()
        try:
            answer = child.do(job, (data() if callable(data) else data,), wish, seconds)
        except LostError:
            words = _PLAN_TOO_HARD if plan else _TOO_HARD
            name = wish.get("name", "the photo")
            raise PhotoError(words.format(name=name, seconds=seconds)) from None
        finally:
            self._idle.put(child)
        if "problem" in answer.values:
            raise PhotoError(str(answer.values["problem"]))
        return answer

    def vet(self, text: bytes) -> bytes:
        """Have a child read a plan of unknown origin; return its JSON form, which can be trusted.

        Raises
        ------
        ValueError
            If it can't be taken; the message says why and what to do.
        """
        return self.do("vet", text, {}).parts[0]

    def close(self) -> None:
        """End all children."""
        for child in self._children:
            child.end()


def reading_of(answer: Answer) -> Reading:
    """Return what a child has read of a fabric."""
    from palette.photo.quad import Quad
    from palette.photo.read import Reading

    fabric = fabrics().validate_python(answer.values["fabric"])
    reference = references().validate_python(answer.values["reference"])
    found = answer.values["corners"]
    quad = None if found is None else Quad.given(found)
    return Reading(fabric, answer.parts[0], reference, answer.values["across"], quad)
