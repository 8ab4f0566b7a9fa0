"""The command on forms of cloth: what each would give for a plan, side by side."""

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


def add_forms(forms: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell forms``."""
    add = forms.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--dry-run", action="store_true",
        help="answer for these terms without writing them into the plan")  # fmt: skip
    add_decisions(forms, within=("sewing",))


def run_forms(wish: argparse.Namespace) -> int:
    """Print what every form of cloth gives, then how the alternates are cut."""
    from api.pattern.alternates import chosen_forms
    from api.pattern.checking import checked_book, checked_forms
    from api.pattern.faulty import FaultsError
    from api.pattern.planner import check_names
    from api.pattern.stored import to_json
    from api.wording.alternates import alternates_text
    from api.wording.history import changed
    from api.wording.pieces import hand

    try:
        plan = plan_at(wish.plan)
        changes = decided_in(wish)
        plan = replace(plan, brief=applied(plan.brief, changes))
        check_names(plan)
        book = checked_book(plan)
        told = checked_forms(plan, book)
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
    print(alternates_text(told, chosen_forms(plan, book), hand(plan, book)), end="")
    return 0
