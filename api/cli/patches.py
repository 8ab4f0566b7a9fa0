"""The patches command: what patches cut from the prints of a plan show, and where they sink."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import plan_at

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from api.pattern.plan import Plan


def add_patches(patches: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell patches``."""
    patches.add_argument(
        "plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote"
    )


def run_patches(wish: argparse.Namespace) -> int:
    """Print a line or two for every print of the bundle; 2 if the plan can't be read."""
    from api.pattern.planner import look

    try:
        lines = list(_lines(look(plan_at(wish.plan).brief)))
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    print("\n".join(lines or ["No fabric has a print whose patches differ."]))
    return 0


def _lines(plan: Plan) -> Iterator[str]:
    from api.wording.names import name_of
    from api.wording.patches import in_patches, sinking_in_patches

    for swatch in plan.brief.swatches:
        name = swatch.fabric.id
        sinking = (sinking_in_patches(plan, e) for e in plan.contrasts if e.fabric == name)
        told = [line for line in (in_patches(plan, name), *sinking) if line]
        if told:
            yield f"{name_of(plan, name)}: {' '.join(told)}"
