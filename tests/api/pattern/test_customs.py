"""What there is too much of is refused by counting; what fits passes, to the last value."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.pattern.customs import (
    DEEPEST,
    LONGEST_TEXT,
    MOST_JSON,
    MOST_TOLD,
    MOST_VALUES,
    CustomsError,
    counted,
    read_json,
)
from api.pattern.planner import look
from api.pattern.stored import to_json
from api.pattern.untrusted import VettingError, vetted

if TYPE_CHECKING:
    from api.pattern.brief import Brief

Json = dict[str, Any]


@pytest.fixture
def written(brief: Brief) -> Json:
    """Return a plan as JSON has it."""
    made: Json = json.loads(to_json(look(brief)))
    return made


def refusal(plan: Json) -> str:
    with pytest.raises(VettingError) as caught:
        vetted(json.dumps(plan).encode())
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1), f"more than {DEEPEST} deep"),
        (b"[" * 1000, f"more than {DEEPEST} deep"),
        (b"[" + b"{}," * MOST_VALUES + b"{}]", f"{MOST_VALUES} are the most"),
        (b'["' + b"a" * (LONGEST_TEXT + 1) + b'"]', f"{LONGEST_TEXT} are the most"),
        (b'"' + b'\\"' * LONGEST_TEXT, f"{LONGEST_TEXT} are the most"),
        (b" " * (MOST_JSON + 1), "2.0 MB; at most 2 MB"),
    ],
    ids=["deep", "open", "a million of nothing", "long text", "unfinished text", "large"],
)
def test_too_much_is_refused_by_counting_alone(text: bytes, words: str) -> None:
    with pytest.raises(CustomsError, match=words):
        counted(text)


_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(alphabet='ab[]{}",\\\u00e9 ', max_size=12),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text('k["]{}', max_size=3), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(_VALUES)
def test_whatever_is_in_its_texts_json_that_fits_is_read_as_json_reads_it(value: Any) -> None:
    text = json.dumps(value).encode()
    assert read_json(text) == json.loads(text)


@pytest.mark.parametrize("word", ["NaN", "Infinity", "1e999"])
def test_numbers_that_are_none_are_refused(word: str) -> None:
    with pytest.raises(ValueError, match="no number"):
        read_json(f'{{"a": {word}}}'.encode())


def test_fabrics_are_counted_before_they_are_compared(written: Json) -> None:
    written["brief"]["swatches"] = [{}] * 30_000
    assert "30002 fabrics; 300 are the most" in refusal(written)


def test_colours_of_a_fabric_are_counted(written: Json) -> None:
    fabric = written["brief"]["swatches"][3]["fabric"]
    fabric["colours"] = fabric["colours"] * 65
    assert "brief.swatches.3.fabric.colours has 65 entries; 64 are the most" in refusal(written)


def test_what_no_plan_has_is_named(written: Json) -> None:
    written["brief"]["titel"] = "Orchard"
    assert "brief.titel: no plan has this" in refusal(written)


def test_of_many_faults_the_first_are_told(written: Json) -> None:
    for swatch in written["brief"]["swatches"][:7]:
        for name in ("must_use", "leave_out", "directional", "shows_given"):
            swatch[name] = "perhaps"
    told = refusal(written)
    assert told.count("valid boolean") == MOST_TOLD
    assert told.endswith("and 8 more")


@pytest.mark.parametrize("name", ["../../escape", "a/b", "C:\\a", "..", "a" * 61, "Moss", ""])
def test_an_id_is_never_a_path(written: Json, name: str) -> None:
    written["brief"]["swatches"][0]["fabric"]["id"] = name
    refusal(written)
