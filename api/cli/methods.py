"""The command on ways of making units: what each does to a plan, side by side."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.check import refused
from api.cli.decisions import add_decisions, applied, decided_in
from api.cli.options import plan_at
from api.files import write_whole

if TYPE_CHECKING:
    import argparse


def add_methods(methods: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell methods``."""
    add = methods.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--dry-run", action="store_true",
        help="answer for these terms without writing them into the plan")  # fmt: skip
    add_decisions(methods, within=("sewing",))


def run_methods(wish: argparse.Namespace) -> int:
    """Print what every way of making the block's units does to cloth and work."""
    from api.pattern.checking import checked_book
    from api.pattern.faulty import FaultsError
    from api.pattern.methods import checked_methods
    from api.pattern.planner import check_names
    from api.pattern.stored import to_json
    from api.wording.effects import effects_text
    from api.wording.history import changed
    from api.wording.pieces import hand

    try:
        plan = plan_at(wish.plan)
        changes = decided_in(wish)
        plan = replace(plan, brief=applied(plan.brief, changes))
        check_names(plan)
        book = checked_book(plan)
        told = checked_methods(plan, book)
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    except FaultsError as error:
        return refused(wish.plan, error)
    if changes and not wish.dry_run:
        write_whole(wish.plan, to_json(plan).encode())
        print(f"{changed(changes)} in {wish.plan}", file=sys.stderr)
    print(effects_text(told, book, hand(plan, book)), end="")
    return 0
