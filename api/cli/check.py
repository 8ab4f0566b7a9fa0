"""The check command: judges look at a plan, its cutting and its printed words."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import pictures_of, plan_at

if TYPE_CHECKING:
    import argparse

    from api.pattern.faulty import FaultsError
    from api.pattern.plan import Plan


def add_check(check: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell check``."""
    check.add_argument(
        "plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote"
    )


def run_check(wish: argparse.Namespace) -> int:
    """Print every fault that the judges find; 1 if there is one, 2 if it can't be looked for."""
    from api.booklet.checking import judged
    from api.wording.faults import sentences, verdict

    try:
        plan = plan_at(wish.plan)
        found = judged(plan, pictures=pictures_of(plan, wish.plan.parent / "pictures"))
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    for line in sentences(plan, found.faults) or (verdict(found.book),):
        print(line)
    return 1 if found.faults else 0


def refused(path: Path, error: FaultsError) -> int:
    """Print the faults for which nothing is told of a plan; return the exit status."""
    from api.wording.faults import refusal, sentences

    print(f"{path}: {refusal(error.plan, error.faults)}", file=sys.stderr)
    for line in sentences(error.plan, error.faults):
        print(f"- {line}", file=sys.stderr)
    return 1


def tell_picks(plan: Plan) -> None:
    """Print the faults that the judge finds with a plan's picks and the reasons told for them."""
    from api.pattern.checking_picks import check_picks
    from api.wording.faults import sentences

    for line in sentences(plan, check_picks(plan)):
        print(f"- {line}", file=sys.stderr)
