"""What a layout does not keep is said, a sentence for each promise, with its number."""

from api.wording.promises import unkept
from placement.top.request import Promise, Quality


def test_each_broken_promise_is_one_sentence_with_its_number() -> None:
    found = Quality(12.0, (0, 1), 15.0, 30.0, 30.0, proved=True, cause=None, copies_apart=1.0,
                    spread=0, evenness=0.21, balance=0.034, repeated_contacts=19,
                    broken=tuple(Promise))  # fmt: skip
    told = unkept(found)
    assert len(told) == len(Promise)
    assert "15.0 was wanted" in told[0]
    assert "21 %" in told[2]
    assert "3.4 %" in told[3]
    assert "19 times" in told[4]
    assert unkept(Quality(12.0, (0, 1), 10.0, 30.0, 30.0, proved=True, cause=None, copies_apart=1.0,
                          spread=0, evenness=0, balance=0, repeated_contacts=0)) == []  # fmt: skip
