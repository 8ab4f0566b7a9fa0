"""Independent judges: given a result, they list its faults; an empty tuple means sound."""

from placement.checks.layout import judge_areas, judge_layout, judge_neighbours, judge_turns
from placement.checks.pressing import judge_pressing

__all__ = ["judge_areas", "judge_layout", "judge_neighbours", "judge_pressing", "judge_turns"]
