"""Every reason of a pick is true, and the judge that says so can say no."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from itertools import combinations

import networkx as nx
import numpy as np
import pytest

from palette.checks.likeness import measured
from palette.checks.picks import Asked, PickFaultKind, judge_pick
from palette.checks.sinking import how_it_stands
from palette.colour import Lab
from palette.fabric import Fabric, Print, PrintKind, Share
from palette.picking.choice import Choice, Limits, PickBy, Reason, Verdict, WhyKept
from palette.picking.contrast import judge
from palette.picking.pick import Aim, pick
from palette.picking.similarity import differences

KINDS = list(PrintKind)[1:]


def cloth(random: np.random.Generator, name: str, near: Fabric | None = None) -> Fabric:
    """Invent a fabric, half of them prints; or one that is near another."""
    if near is not None:
        lab = near.reads_as.array() + random.normal(0, 1.5, 3)
        return replace(near, id=name, name=name.title(), reads_as=Lab.rounded(lab))
    many = int(random.integers(2, 8)) if random.random() < 0.5 else 1
    lab = random.uniform([15, -40, -40], [92, 40, 40], (many, 3))
    shares = random.dirichlet(np.full(many, 2.0))
    colours = tuple(Share(Lab.rounded(c), float(s)) for c, s in zip(lab, shares, strict=True))
    change = np.sort(random.uniform(0, 25, (5, 4)), axis=0).round(1)
    told = Print(KINDS[int(random.integers(len(KINDS)))], tuple(map(tuple, change.tolist())))
    measured_print = told if many > 1 and random.random() < 0.9 else None
    return Fabric(name, name.title(), Lab.rounded(shares @ lab), colours, 0.05 * (many > 1),
                  print=measured_print)  # fmt: skip


@lru_cache(maxsize=64)
def picked(seed: int, size: int = 14, count: int | None = 6) -> tuple[Asked, Choice]:
    """Pick of an invented bundle, a third of it near-twins, with marks and an aim by the seed."""
    random = np.random.default_rng(seed)
    bundle = [cloth(random, f"f{at}") for at in range(size - size // 3)]
    bundle += [cloth(random, f"t{at}", bundle[at]) for at in range(size // 3)]
    ground = cloth(random, "ground")
    names = [fabric.id for fabric in bundle]
    marked = random.permutation(names)[: int(random.integers(0, 4))].tolist()
    must, leave = frozenset(marked[:2]), frozenset(marked[2:])
    by = list(PickBy)[seed % len(PickBy)]
    mood = bundle[int(random.integers(size))] if by is PickBy.MOOD else None
    shown = seed % 3 > 0
    contrasts = judge(bundle, [ground]) if shown else ()
    choice = pick(bundle, count, contrasts, must, leave, aim=Aim(by, mood))
    return Asked(bundle, ground if shown else None, must, leave, mood=mood), choice


@pytest.mark.parametrize("seed", range(15))
def test_every_reason_of_a_random_bundle_is_true(seed: int) -> None:
    assert judge_pick(*picked(seed)) == ()


@pytest.mark.parametrize("seed", range(3))
def test_every_reason_is_true_where_all_that_can_be_used_is_wanted(seed: int) -> None:
    assert judge_pick(*picked(seed, count=None)) == ()


def test_a_difference_is_the_same_by_both_ways_to_work_it_out() -> None:
    asked, _ = picked(3)
    fabrics = list(asked.fabrics)
    both = differences(fabrics)
    found = measured({each.id: each for each in fabrics}, combinations([f.id for f in fabrics], 2))
    for (i, a), (j, b) in combinations(enumerate(fabrics), 2):
        assert found[a.id, b.id] == pytest.approx(float(both[i, j]), abs=2e-6)


@pytest.mark.parametrize("seed", [0, 1, 2, 3])
def test_a_verdict_on_a_background_is_the_same_by_both_ways(seed: int) -> None:
    random = np.random.default_rng(seed)
    ground = cloth(random, "ground")
    fabrics = [cloth(random, f"f{at}") for at in range(12)]
    fabrics += [replace(f, reads_as=ground.reads_as, id=f"g{f.id}") for f in fabrics[:6]]
    for limits in (Limits(), Limits(lost=16, near=8)):
        for contrast in judge(fabrics, [ground], limits):
            fabric = next(each for each in fabrics if each.id == contrast.fabric)
            seen = how_it_stands(fabric, ground, limits)
            order = (Verdict.CLEAR, Verdict.SOFT, Verdict.CAMOUFLAGE, Verdict.LOST)
            assert order[seen.rank] == contrast.verdict
            assert seen.near == pytest.approx(contrast.near_share, abs=1e-6)


@pytest.mark.parametrize("seed", [0, 5, 10])
def test_what_is_said_to_be_the_best_is_the_best_of_all(seed: int) -> None:
    """Reference: the largest clique that networkx finds among pairs further apart."""
    asked, choice = picked(seed)
    assert choice.proved
    usable = {f.id: f for f in asked.fabrics if f.id not in asked.leave}
    if asked.background is not None:
        sinks = {
            n for n, f in usable.items() if how_it_stands(f, asked.background, asked.limits).sinks
        }
        usable = {n: f for n, f in usable.items() if n not in sinks - asked.must}
    apart = measured(usable, combinations(usable, 2))
    free = {pair for pair in combinations(usable, 2) if not set(pair) <= asked.must}
    least = min(apart[p] for p in combinations(choice.kept, 2) if p in free or p[::-1] in free)
    graph = nx.Graph()
    graph.add_nodes_from(usable)
    graph.add_edges_from(
        p for p in combinations(usable, 2) if p not in free or apart[p] > least + 1e-5
    )
    bigger = [c for c in nx.find_cliques(graph) if asked.must <= set(c)]
    assert max(map(len, bigger), default=0) < len(choice.kept)


def change(choice: Choice, at: int, **facts: object) -> Choice:
    entries = list(choice.left_out)
    entries[at] = replace(entries[at], **facts)  # type: ignore[arg-type]
    return replace(choice, left_out=tuple(entries))


def first(choice: Choice, reason: Reason) -> int:
    return next(at for at, e in enumerate(choice.left_out) if e.reason is reason)


def with_reason(reason: Reason) -> tuple[Asked, Choice, int]:
    """Return a pick that gives such a reason, and where."""
    for seed in range(40):
        asked, choice = picked(seed)
        if any(entry.reason is reason for entry in choice.left_out):
            return asked, choice, first(choice, reason)
    raise AssertionError(reason)


def kinds(asked: Asked, choice: Choice) -> set[PickFaultKind]:
    return {found.kind for found in judge_pick(asked, choice)}


def swapped(choice: Choice, at: int) -> Choice:
    """Return the choice with a left-out fabric in the place of the first chosen one."""
    entry = choice.left_out[at]
    gone = replace(entry, fabric=choice.kept[0])
    kept = (entry.fabric, *choice.kept[1:])
    return change(replace(choice, kept=kept), at, fabric=gone.fabric)


def held_against_another(choice: Choice, at: int) -> Choice:
    """Return the choice with one held against a fabric that is left out itself."""
    return change(choice, at, other=choice.left_out[at - 1].fabric)


K = PickFaultKind
Plant = Callable[[Choice, int], Choice]


@pytest.mark.parametrize(
    ("reason", "plant", "kind"),
    [
        (Reason.NOT_NEEDED, lambda c, _: replace(c, left_out=c.left_out[:-1]), K.PARTS),
        (Reason.NOT_NEEDED, lambda c, _: replace(c, closest=(c.closest or 0) + 0.1), K.CLOSEST),
        (Reason.NOT_NEEDED, lambda c, _: replace(c, closest_pair=(c.kept[0], c.left_out[0].fabric)),
         K.CLOSEST),
        (Reason.NOT_NEEDED, lambda c, _: replace(c, bound=0.5), K.BOUND),
        (Reason.NOT_NEEDED, held_against_another, K.NOT_USED),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, measured=1.0), K.MEASURE),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, limit=99.0), K.MEASURE),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, reason=Reason.BY_HAND), K.REASON),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, reason=Reason.TWIN), K.REASON),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, reason=Reason.LOST), K.REASON),
        (Reason.NOT_NEEDED, lambda c, at: change(c, at, reason=Reason.FARTHER), K.REASON),
        (Reason.TWIN, held_against_another, K.NOT_USED),
        (Reason.TWIN, lambda c, at: change(c, at, measured=4.9), K.MEASURE),
        (Reason.TWIN, lambda c, at: change(c, at, kept_for=None), K.REASON),
        (Reason.TWIN, lambda c, at: change(c, at, reason=Reason.NOT_NEEDED), K.REASON),
        (Reason.LOST, lambda c, at: change(c, at, measured=0.1), K.MEASURE),
        (Reason.LOST, lambda c, at: change(c, at, reason=Reason.CAMOUFLAGE), K.REASON),
        (Reason.LOST, lambda c, at: change(c, at, reason=Reason.NOT_NEEDED), K.REASON),
        (Reason.FARTHER, lambda c, at: change(c, at, limit=0.1), K.MEASURE),
        (Reason.FARTHER, lambda c, _: replace(c, off=(c.off or 0) + 1), K.CLOSEST),
    ],
)  # fmt: skip
def test_a_planted_fault_is_found(reason: Reason, plant: Plant, kind: PickFaultKind) -> None:
    asked, choice, at = with_reason(reason)
    assert kind in kinds(asked, plant(choice, at))


def test_a_mark_that_is_not_kept_is_found() -> None:
    asked, choice = picked(0)
    for wrong in (replace(asked, must=frozenset({choice.left_out[0].fabric})),
                  replace(asked, leave=frozenset({choice.kept[0]}))):  # fmt: skip
        assert kinds(wrong, choice) == {K.WISH}


def test_a_claim_to_be_the_best_that_an_exchange_refutes_is_found() -> None:
    found = set()
    for seed in (0, 5, 10):
        asked, choice = picked(seed)
        for at, entry in enumerate(choice.left_out):
            if entry.reason is Reason.NOT_NEEDED and choice.kept[0] not in asked.must:
                found |= kinds(asked, swapped(choice, at))
    assert K.BETTER in found


def test_two_near_twins_that_are_both_used_are_found() -> None:
    asked, choice, at = with_reason(Reason.TWIN)
    entry = choice.left_out[at]
    other = next(name for name in choice.kept if name not in asked.must and name != entry.other)
    worse = replace(choice, kept=tuple(entry.fabric if n == other else n for n in choice.kept))
    assert K.TWINS in kinds(asked, change(worse, at, fabric=other)) or entry.other in asked.must


def test_each_reason_for_a_twin_is_held_against_the_choice() -> None:
    # Of all reasons there can be for one twin, at most those that are true pass.
    asked, choice, at = with_reason(Reason.TWIN)
    passing = {why for why in WhyKept if not judge_pick(asked, change(choice, at, kept_for=why))}
    assert choice.left_out[at].kept_for in passing
    assert len(passing) < len(WhyKept)
