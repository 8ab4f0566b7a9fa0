"""All judges in one call: the plan, its cut book, and the words of its booklet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.pattern.checking import check
from api.pattern.checking_patches import check_patches
from api.pattern.checking_picks import check_picks
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.faulty import FaultsError
from placement.checks.fault import Fault
from placement.top.request import Progress, unwatched

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.pattern.plan import Plan


@dataclass(frozen=True, slots=True)
class Judged:
    """What the judges say of a plan."""

    book: CutBook
    """What they looked at."""
    faults: tuple[Fault, ...]
    """What they found; empty if nothing."""


def judged(
    plan: Plan, progress: Progress = unwatched, pictures: Mapping[str, bytes] | None = None
) -> Judged:
    """Let every judge look at a plan.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    progress : Progress
        Told before each fabric is cut; raising inside it stops the work.
    pictures : mapping of str to bytes, optional
        The fabrics' pictures by name; what patches show is judged of those that are there.

    Raises
    ------
    ValueError
        If the plan has no layout or no background, or a size can't be cut.
    """
    book = cut_book(plan, progress)
    chosen = (*check_picks(plan), *check_patches(plan, pictures or {}))
    return Judged(book, (*chosen, *(check(plan, book) or _printed(plan))))


def _printed(plan: Plan) -> tuple[Fault, ...]:
    """Return what the judge of the print finds; nothing where no pattern can be printed."""
    try:
        booklet(plan, {}, Edition())
    except FaultsError as error:
        return error.faults
    except ValueError:
        return ()
    return ()
