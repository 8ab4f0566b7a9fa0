"""What is going on while a layout is made is told in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.pattern.planner import make
from api.wording.progress import doing
from placement.top.request import Doing, Stage

if TYPE_CHECKING:
    from api.pattern.brief import Brief


def test_every_stage_is_told_once_it_comes(brief: Brief) -> None:
    heard: list[tuple[float, Stage | Doing]] = []
    make(brief, lambda share, what: heard.append((share, what)))
    arranging = [Stage.REACH, Stage.SPREAD, Stage.MEASURE, Stage.DONE]
    assert [*dict.fromkeys(what for _, what in heard)] == arranging
    assert [share for share, _ in heard] == sorted(share for share, _ in heard)
    assert doing(heard[0][1]) == "finding out how different neighbours can be"
    assert doing(Doing(Stage.CUT, "Moss")) == "cutting Moss"


def test_every_stage_has_its_words() -> None:
    assert len({doing(stage) for stage in Stage}) == len(Stage)
