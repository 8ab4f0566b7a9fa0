"""The command that changes a plan file: other decisions, and what follows from them anew."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.cli.check import tell_picks
from api.cli.decisions import add_decisions, applied, check_mood, decided_in
from api.cli.light import add_lighting, lighting
from api.cli.options import pictures_of, plan_at
from api.cli.swatches import add_swatches, decided_of_fabrics, with_swatches
from api.files import write_whole
from api.pattern.edits import with_swatch

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence

    from api.pattern.plan import Plan
    from api.pattern.swatch import Swatch


def add_change(change: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell change``."""
    add = change.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--out", type=Path, metavar="FILE", help="where to write the changed plan (into the plan)")
    add("--background", action="append", default=[], type=Path, metavar="PHOTO",
        help="photo of a further background; the best one is used unless one is named")  # fmt: skip
    add_lighting(change)
    add_swatches(change)
    add_decisions(change)


def run_change(wish: argparse.Namespace) -> int:
    """Change a plan and write it; 1 if nothing could be arranged, 2 if it can't be changed.

    A change that leaves a plan without the layout it has is told and not written.
    """
    from api.cli.plan import read_backgrounds
    from api.pattern.stored import to_json
    from api.wording.plan import problems, summary

    try:
        plan = plan_at(wish.plan)
        changes = decided_in(wish)
        check_mood(changes, plan.brief.pick_by)
        taken = {swatch.fabric.id for swatch in plan.brief.everything()}
        grounds = read_backgrounds(wish.background, taken, lighting(wish))
        if len(grounds) < len(wish.background):
            return 2
        other = _changed(plan, wish, changes, [ground.swatch for ground in grounds])
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    if plan.layout and not other.layout:
        print("\n".join(problems(other)), file=sys.stderr)
        print(f"Nothing was written: {wish.plan} keeps its decisions and its layout.",
              file=sys.stderr)  # fmt: skip
        return 1
    out = wish.out or wish.plan
    for ground in grounds:
        (out.parent / "pictures").mkdir(parents=True, exist_ok=True)
        write_whole(out.parent / "pictures" / f"{ground.swatch.picture}.jpg", ground.picture)
    out.parent.mkdir(parents=True, exist_ok=True)
    write_whole(out, to_json(other).encode())
    if wish.out is None and other != plan:
        _draw_again(other, wish.plan.parent)
    for line in _said(wish, changes, len(grounds)):
        print(f"{line}.")
    print("\n".join(summary(other)))
    tell_picks(other)
    print(f"Written to {out}")
    return 0 if other.layout else 1


def _changed(
    plan: Plan, wish: argparse.Namespace, changes: dict[str, Any], grounds: Sequence[Swatch]
) -> Plan:
    from api.pattern.planner import further, make, revise

    units = changes.get("units", plan.brief.units)
    brief = plan.brief
    for ground in grounds:
        brief = with_swatch(brief, ground, "background")
    brief = applied(with_swatches(brief, wish, units), changes)
    other = revise(plan, brief) if plan.layout else make(brief)
    return other if other.layout == plan.layout else further(other)


def _said(wish: argparse.Namespace, changes: dict[str, Any], grounds: int) -> Iterator[str]:
    """Say all that was changed: backgrounds that came, single fabrics, decisions."""
    from api.wording.history import added, changed, changed_fabrics

    if grounds:
        yield added(grounds, "background")
    if fabrics := decided_of_fabrics(wish):
        yield changed_fabrics(fabrics)
    if changes:
        yield changed(changes)


def _draw_again(plan: Plan, folder: Path) -> None:
    """Make the drawings beside a plan anew, those that are there."""
    from api.cli.drawings import DRAWINGS, draw

    there = [name for name in DRAWINGS if (folder / name).is_file()]
    pictures = pictures_of(plan, folder / "pictures")
    if there and pictures:
        draw(plan, pictures, folder, there)
