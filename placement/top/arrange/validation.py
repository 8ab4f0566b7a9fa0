"""A request, checked and stripped to arrays before any work begins."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from placement.top.arrange.geometry import Ground, ground
from placement.top.reach.task import Ints, Task, make_task
from placement.top.request import STYLES, Floats, Problem, ProblemKind, Request, RequestError

if TYPE_CHECKING:
    from collections.abc import Sequence

HOLE = -1
"""In place of a fabric: a cell left as plain background."""


@dataclass(frozen=True, slots=True, eq=False)
class Ask:
    """A request's cells without holes and its fabrics with copies, both numbered from 0."""

    request: Request
    """Where it comes from."""
    copies: tuple[int, ...]
    """Cells of each of the request's fabrics."""
    task: Task
    """The n cells that touch and the K fabrics with copies."""
    where: Ground
    """Where the cells lie."""
    colours: Floats
    """Lab of the K fabrics, shape (K, 3)."""
    families: tuple[int, ...] | None
    """Family of the K fabrics."""
    loudness: Floats | None
    """Loudness of the K fabrics, shape (K,)."""
    previous: Ints | None
    """Earlier fabric of the n cells, -1 where it was a hole or has no copies now."""

    def whole(self, layout: Ints) -> tuple[int, ...]:
        """Return a layout of the task in the request's numbers, -1 for holes."""
        cells = np.full(len(self.request.setting.cells()), HOLE, dtype=np.int64)
        cells[self.task.cells] = self.task.fabrics[layout]
        return tuple(cells.tolist())

    def inner(self, layout: Sequence[int]) -> Ints:
        """Return a layout in the request's numbers in those of the task."""
        numbers = np.full(len(self.copies) + 1, HOLE, dtype=np.int64)
        numbers[self.task.fabrics] = np.arange(len(self.task.fabrics))
        return np.asarray(numbers[np.asarray(layout, dtype=np.int64)[self.task.cells]])


def ask(request: Request) -> Ask:
    """Check a request.

    Raises
    ------
    ValueError
        In one sentence with the number at fault, if anything in it doesn't fit.
    """
    _check_fabrics(request)
    _check_wishes(request)
    copies = _copies(request)
    task = make_task(
        request.setting,
        request.difference,
        copies,
        request.pinned,
        request.forbidden,
        request.holes,
    )
    _check_pinned(request, copies)
    _check_forbidden(task)
    families = request.families
    made = Ask(
        request=request,
        copies=copies,
        task=task,
        where=ground(request.setting, request.holes),
        colours=np.asarray(request.colours, dtype=np.float64)[task.fabrics],
        families=None if families is None else tuple(families[f] for f in task.fabrics),
        loudness=None
        if request.loudness is None
        else np.asarray(request.loudness, dtype=np.float64)[task.fabrics],
        previous=None,
    )
    if request.previous is None:
        return made
    _check_previous(request)
    return replace(made, previous=made.inner(request.previous))


def share_out(cells: int, kinds: int, least: Sequence[int] | None = None) -> tuple[int, ...]:
    """Share cells out equally among fabrics.

    What is left over goes to every so-manieth fabric, so that neither the first
    nor the last ones are preferred; with more fabrics than cells some get none.
    A fabric gets at least its share of ``least`` (cells it is pinned in), and
    the others share the rest.

    Examples
    --------
    >>> share_out(72, 5)
    (14, 14, 15, 14, 15)
    >>> share_out(10, 3, [0, 6, 0])
    (2, 6, 2)
    """
    least = least or [0] * kinds
    copies = dict(zip(range(kinds), least, strict=True))
    sharing = list(range(kinds))
    while sharing:
        left = cells - sum(copies[f] for f in range(kinds) if f not in sharing)
        steps = [left * part // len(sharing) for part in range(len(sharing) + 1)]
        shares = {f: steps[i + 1] - steps[i] for i, f in enumerate(sharing)}
        held = [f for f in sharing if shares[f] < least[f]]
        if not held:
            copies |= shares
            break
        sharing = [f for f in sharing if f not in held]
    return tuple(copies[fabric] for fabric in range(kinds))


def check_layout(made: Ask, layout: Sequence[int]) -> None:
    """Refuse a layout that is not one of the request's fabrics in every cell but the holes.

    Raises
    ------
    ValueError
        Naming the cell.
    """
    cells = len(made.request.setting.cells())
    if len(layout) != cells:
        raise ValueError(f"the layout has {len(layout)} cells; the setting has {cells}")
    for cell, fabric in enumerate(layout):
        if (fabric == HOLE) != (cell in made.request.holes):
            raise ValueError(f"cell {cell} holds {fabric}; -1 is for holes, and only for them")
        if fabric != HOLE and not (0 <= fabric < len(made.copies) and made.copies[fabric]):
            raise ValueError(f"cell {cell} holds fabric {fabric}, which is not in use")


def _copies(request: Request) -> tuple[int, ...]:
    """Return the copies asked for, or an equal share each, if they fill the free cells."""
    kinds, cells = len(request.colours), len(request.setting.cells())
    free = cells - len(request.holes)
    if free == 0:
        raise RequestError(
            f"all {cells} cells are holes; leave at least one for a fabric",
            Problem(ProblemKind.ALL_HOLES, there=cells),
        )
    if request.copies is None:
        pins = Counter(request.pinned.values())
        return share_out(free, kinds, [pins[fabric] for fabric in range(kinds)])
    copies = tuple(request.copies)
    if len(copies) != kinds:
        raise ValueError(f"copies must be given for all {kinds} fabrics, not for {len(copies)}")
    if min(copies) < 0:
        raise ValueError(f"copies can't be negative: {min(copies)}")
    if sum(copies) != free:
        raise RequestError(
            f"copies add up to {sum(copies)}, but {free} cells are to be filled",
            Problem(ProblemKind.COPIES_SUM, wanted=int(sum(copies)), there=int(free)),
        )
    return copies


def _check_fabrics(request: Request) -> None:
    """Refuse fabrics whose numbers don't fit together."""
    colours, difference = request.colours, request.difference
    if colours.ndim != 2 or colours.shape[1] != 3:
        raise ValueError(f"colours must have the shape (fabrics, 3), not {colours.shape}")
    kinds = len(colours)
    if kinds == 0:
        raise ValueError("there are no fabrics to arrange; give at least one")
    if not np.isfinite(colours).all():
        raise ValueError("colours must be finite numbers")
    if difference.shape != (kinds, kinds):
        raise ValueError(
            f"difference must be {kinds} x {kinds} for {kinds} fabrics, not {difference.shape}"
        )
    loudness = request.loudness
    if loudness is not None and (len(loudness) != kinds or not min(loudness) >= 0):
        raise ValueError(f"loudness must be {kinds} numbers from 0 up, not {loudness}")
    families = request.families
    if families is not None and (len(families) != kinds or set(families) - {0, 1}):
        raise ValueError(f"families must be {kinds} times 0 or 1, not {families}")


def _check_wishes(request: Request) -> None:
    """Refuse a style, a part or a seed that does not exist."""
    if request.style not in STYLES:
        raise ValueError(f"there is no style {request.style!r}; choose from {', '.join(STYLES)}")
    if not 0 <= request.apart <= 1:
        raise ValueError(f"apart must lie between 0 and 1, not {request.apart}")
    if request.seed < 0:
        raise ValueError(f"seed must be 0 or more, not {request.seed}")


def _check_previous(request: Request) -> None:
    """Refuse an earlier layout of another size or with other fabrics."""
    previous, cells = request.previous or (), len(request.setting.cells())
    if len(previous) != cells:
        raise ValueError(f"the earlier layout has {len(previous)} cells; the setting has {cells}")
    for fabric in previous:
        if not HOLE <= fabric < len(request.colours):
            raise ValueError(f"fabric {fabric} of the earlier layout does not exist")


def _check_pinned(request: Request, copies: tuple[int, ...]) -> None:
    """Refuse more pinned cells of a fabric than it has copies."""
    for fabric, times in sorted(Counter(request.pinned.values()).items()):
        if times > copies[fabric]:
            raise RequestError(
                f"fabric {fabric} is pinned in {times} cells but has {copies[fabric]} copies",
                Problem(ProblemKind.PINNED_OFTEN, fabric, wanted=times, there=int(copies[fabric])),
            )


def _check_forbidden(task: Task) -> None:
    """Refuse a cell that no fabric may take, and a fabric with fewer cells left than copies."""
    nothing = np.flatnonzero(~task.accepts.any(axis=1))
    if len(nothing):
        cell = task.cells[nothing[0]]
        raise RequestError(
            f"cell {cell} forbids every fabric; allow it at least one",
            Problem(ProblemKind.ALL_BARRED, cell=int(cell)),
        )
    for fabric, room, copies in zip(
        task.fabrics, task.accepts.sum(axis=0), task.copies, strict=True
    ):
        if room < copies:
            raise RequestError(
                f"fabric {fabric} has {copies} copies, but pinned and forbidden fabrics leave it"
                f" {room} cells; allow it more or give it fewer copies",
                Problem(ProblemKind.NO_ROOM, int(fabric), wanted=int(copies), there=int(room)),
            )
