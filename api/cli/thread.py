"""The thread command: where threads show on the fabrics of a plan, as a table."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import plan_at
from palette.colour import HEX

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from api.pattern.plan import Plan
    from palette.thread import Judged


def add_thread(thread: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell thread``."""
    add = thread.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--colour", action="append", default=[], metavar="COLOUR",
        help="a thread of your own, such as '#a83e32'; may be repeated")  # fmt: skip
    add("--fabrics", metavar="THREAD",
        help="list the fabrics for one thread, such as plain:ecru, or a colour")  # fmt: skip


def run_thread(wish: argparse.Namespace) -> int:
    """Print how every thread does; 2 if the plan or a colour can't be read."""
    from api.pattern.edits import with_swatch
    from api.pattern.planner import look
    from api.photos.intake import take_in_colour

    try:
        brief = plan_at(wish.plan).brief
        one = wish.fabrics
        asked = [one] if one and re.fullmatch(HEX, one) else []
        for colour in (*wish.colour, *asked):
            brief = with_swatch(brief, take_in_colour(colour).swatch, "thread")
        if asked:
            one = brief.threads[-1].fabric.id
        lines = list(_lines(look(brief), one))
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    print("\n".join(lines))
    return 0


def _lines(plan: Plan, one: str | None) -> Iterator[str]:
    from api.pattern.threads import threads
    from api.wording.threads import judged as words

    found = threads(plan)
    if one is not None:
        judged = found.of(one)
        if judged is None:
            known = ", ".join(entry.thread.id for entry in found.judged)
            raise ValueError(f"there is no thread {one!r}; choose one of {known}")
        yield from _on_each(plan, judged)
        return
    wide = max(len(entry.thread.name) for entry in found.judged)
    ids = max(len(entry.thread.id) for entry in found.judged)
    for entry in found.judged:
        picks = {found.calm: "the calm pick", found.showy: "the showy pick"}
        mark = f" ({picks[entry.thread.id]})" if entry.thread.id in picks else ""
        yield f"{entry.thread.id:{ids}}  {entry.thread.name:{wide}}  {words(entry)}{mark}"


def _on_each(plan: Plan, judged: Judged) -> Iterator[str]:
    from api.wording.threads import judged as words

    yield f"{judged.thread.name}: {words(judged)}"
    for line in sorted(judged.lines, key=lambda line: line.contrast):
        name = plan.swatch(line.fabric).fabric.name
        yield f"  {line.verdict:8}  {line.contrast:5.1f}  {name}"
