"""What is counted exactly: each change followed against counting anew."""

import numpy as np
import pytest

from placement.top.arrange.counted import Evenness
from placement.top.arrange.quality import evenness
from placement.top.arrange.validation import ask


@pytest.mark.parametrize(
    ("kind", "across", "down", "holes"),
    [("on point", 4, 5, ()), ("straight", 6, 5, ()), ("straight", 5, 5, (3, 12, 13))],
)
def test_counts_on_lines_follow_every_swap_and_tell_its_gain_exactly(
    small, kind, across, down, holes
):
    request = small(kind, across, down, 5, holes=frozenset(holes))
    made = ask(request)
    rng = np.random.default_rng(4)
    copies = made.task.copies
    layout = rng.permutation(np.repeat(np.arange(len(copies)), copies))
    count = len(layout)
    kept = Evenness(made.where, copies, layout)
    for one, other in rng.integers(0, count, (60, 2)):
        one_way = kept.laying[layout] - kept.lifting - kept.shared
        gain = (one_way + one_way.T)[one, other]
        before = kept.off
        alone = kept.gains(one, np.array([other]), layout)[0]
        if layout[one] == layout[other]:
            continue
        layout[[one, other]] = layout[[other, one]]
        kept.swap(one, other, layout)
        anew = Evenness(made.where, copies, layout)
        assert kept.off == anew.off == before + gain == before + alone
        assert np.array_equal(kept.laying, anew.laying)
        assert np.array_equal(kept.lifting, anew.lifting)
        assert np.array_equal(kept.shared, anew.shared)
        assert kept.over == pytest.approx(evenness(made.where, layout, copies), abs=1e-9)
