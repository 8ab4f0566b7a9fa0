"""Independent judges: given a result, they list its faults; an empty tuple means sound."""

from placement.checks.fault import Fault, FaultKind
from placement.checks.layout import judge_layout, judge_neighbours, judge_turns
from placement.checks.pressing import judge_pressing
from placement.checks.setting import judge_setting

__all__ = [
    "Fault",
    "FaultKind",
    "judge_layout",
    "judge_neighbours",
    "judge_pressing",
    "judge_setting",
    "judge_turns",
]
