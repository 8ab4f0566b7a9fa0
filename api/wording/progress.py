"""What is going on, in words."""

from __future__ import annotations

from placement.top.request import Doing, Stage

_STAGES = {
    Stage.REACH: "finding out how different neighbours can be",
    Stage.SPREAD: "spreading like colours apart",
    Stage.MEASURE: "measuring the layout",
    Stage.DONE: "done",
    Stage.CUT: "cutting",
    Stage.TRY: "trying",
    Stage.SAVE: "saving",
}


def doing(what: Stage | Doing) -> str:
    """Say what is going on.

    >>> doing(Stage.SAVE), doing(Doing(Stage.CUT, "Moss"))
    ('saving', 'cutting Moss')
    """
    if isinstance(what, Doing):
        return f"{_STAGES[what.stage]} {what.name}"
    return _STAGES[what]
