"""What is going on, in words."""

from __future__ import annotations

from placement.top.request import Stage

_STAGES = {
    Stage.REACH: "finding out how different neighbours can be",
    Stage.SPREAD: "spreading like colours apart",
    Stage.MEASURE: "measuring the layout",
    Stage.DONE: "done",
}


def doing(what: str) -> str:
    """Say what is going on.

    Parameters
    ----------
    what : str
        A stage of arranging; anything else is words already.
    """
    return _STAGES[what] if isinstance(what, Stage) else what
