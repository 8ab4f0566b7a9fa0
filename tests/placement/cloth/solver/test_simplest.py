"""The simplest strips: the worked scenario in whole units, exhaustive search, what must hold."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from placement.cloth.handwork import Handwork
from placement.cloth.solver.batches import Batch, Cutter, Part, Want, Way
from placement.cloth.solver.simplest import Limits, simplest, simplest_parted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

YARDAGE = Cutter(320, 160, 6)
"""40 in of usable width in eighths."""


def _lines(batches: Sequence[Batch]) -> list[tuple[int, int, list[int]]]:
    return sorted((b.height, b.strips, [part.each for part in b.parts]) for b in batches)


def test_the_background_of_an_uneven_nine_patch_is_cut_as_cutters_cut_it() -> None:
    # Worked by hand: 18 strips of 4 in and 36 of 2 1/4 in, each half as long as the cloth is
    # wide; six squares of 11 1/8 in, three to a strip, and two of 5 7/8 in from their ends.
    half, whole = 160, 320
    wants = [
        Want(18, (Way(whole, 32, False), Way(half, 32, False), Way(146, 32))),
        Want(36, (Way(whole, 18, False), Way(half, 18, False), Way(130, 18))),
        Want(6, (Way(89, 89),)),
        Want(2, (Way(47, 47),)),
    ]
    best = simplest(wants, YARDAGE, Limits(868))[0]
    assert _lines(best.batches) == [(18, 18, [2]), (32, 9, [2]), (89, 2, [3, 1])]
    assert best.height == 790  # 98 3/4 in
    # Halved at the fold: no setting but the strip's height; 6 at once, then 3: 2 more cuts.
    assert best.handwork == Handwork(3, 1 + 1 + 2, (9 + 2) + (18 + 3) + (2 + 4 + 1))


def test_lower_pieces_never_add_a_strip_to_higher_ones() -> None:
    # Ten squares fill a strip of 4 in; twenty of 2 in would need more such strips, not their ends.
    squares, small = Want(10, (Way(32, 32),)), Want(20, (Way(16, 16, False),))
    best = simplest([squares, small], YARDAGE, Limits(10_000))[0]
    assert _lines(best.batches) == [(16, 1, [20]), (32, 1, [10])]


def test_what_full_strips_leave_over_and_what_the_last_one_does_serve_different_sizes() -> None:
    # By hand: 5 squares of 14 in take three strips, which leave 12, 12 and 26 in. Eight pieces
    # of 9 1/2 x 3 1/2 in stack four high in the two ends of 12 in; one of 25 in fills the rest.
    sides, low, long = Want(5, (Way(112, 112),)), Want(8, (Way(76, 28),)), Want(1, (Way(200, 112),))
    assert simplest([sides, low, long], YARDAGE, Limits(336)) == ()
    found = simplest_parted([sides, low, long], YARDAGE, Limits(336))[0]
    assert _lines(found.batches) == [(112, 1, [1, 1]), (112, 2, [2, 4])]
    # With room for strips of their own, nothing is stacked: that takes more ruler settings.
    apart = simplest([sides, low, long], YARDAGE, Limits(10_000))[0]
    assert apart.handwork.instructions == 2


def test_strips_of_an_instruction_give_as_many_as_they_can_until_there_are_enough() -> None:
    tall, low = Way(50, 40), Way(60, 20, False)
    batch = Batch(40, 4, (Part(0, tall, 17, 5), Part(1, low, 5, 2)))
    assert batch.shares() == [(5, 2), (5, 2), (5, 1), (2, 0)]
    # No strip without a piece of its height.
    assert Batch(40, 4, (Part(0, tall, 5, 2),)).shares() == [(2,), (1,), (1,), (1,)]


def test_more_layers_take_fewer_cuts() -> None:
    cuts = [
        simplest([Want(60, (Way(32, 32),))], Cutter(320, 160, layers), Limits(192))[0].handwork.cuts
        for layers in (1, 2, 6)
    ]
    # Six strips; nine cuts part ten squares, as the tenth ends at the cloth's edge.
    assert cuts == [6 + 6 * 9, 6 + 3 * 9, 6 + 9]


def test_a_plan_may_be_held_to_so_many_ruler_settings() -> None:
    # Squares and setting squares share strips: one instruction and two measures.
    wants = [Want(6, (Way(89, 89),)), Want(2, (Way(47, 47),))]
    shared = simplest(wants, YARDAGE, Limits(1000))[0].handwork
    assert (shared.instructions, shared.settings) == (1, 2)
    assert simplest(wants, YARDAGE, Limits(1000, 1)) == ()


WAYS = st.tuples(st.integers(2, 9), st.integers(1, 6), st.booleans()).map(lambda way: Way(*way))
WANTS = st.lists(
    st.tuples(st.integers(1, 9), st.lists(WAYS, min_size=1, max_size=2)).map(
        lambda want: Want(want[0], tuple(want[1]))
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=150)
@given(WANTS, st.integers(4, 40))
def test_every_plan_gives_every_piece_within_the_cloth(wants: list[Want], limit: int) -> None:
    cutter = Cutter(17, 8, 2)
    for simple in (
        *simplest(wants, cutter, Limits(limit)),
        *simplest_parted(wants, cutter, Limits(limit)),
    ):
        given_of = [0] * len(wants)
        used: list[set[Way]] = [set() for _ in wants]
        for batch in simple.batches:
            assert max(part.way.height for part in batch.parts) == batch.height
            for share in batch.shares():
                _fits(batch, share, cutter.width)
            for part, shares in zip(batch.parts, zip(*batch.shares(), strict=True), strict=True):
                assert sum(shares) == part.count
                assert max(shares) == part.each
                given_of[part.want] += part.count
                used[part.want].add(part.way)
        assert given_of == [want.count for want in wants]
        # One way to lie for all pieces of a size: one grain.
        assert all(len(ways) == 1 for ways in used)
        assert simple.height == sum(b.height * b.strips for b in simple.batches) <= limit


def _fits(batch: Batch, share: Sequence[int], width: int) -> None:
    taken = 0
    for part, count in zip(batch.parts, share, strict=True):
        high = batch.height // part.way.height if part.way.stacks else 1
        taken += -(-count // high) * part.way.width
    assert taken <= width
    assert any(n and p.way.height == batch.height for p, n in zip(batch.parts, share, strict=True))


@settings(max_examples=100)
@given(WANTS, st.integers(4, 40))
def test_exhaustive_search_finds_no_simpler_plan(wants: list[Want], limit: int) -> None:
    cutter = Cutter(17, 8, 2)
    found = simplest(wants, cutter, Limits(limit))
    tried = [plan for plan in _all_plans(wants, cutter.width) if plan[1] <= limit]
    assert bool(found) == bool(tried)
    if found:
        fewest = min(instructions for instructions, _ in tried)
        assert found[0].handwork.instructions == fewest


def _all_plans(wants: Sequence[Want], width: int) -> Iterator[tuple[int, int]]:
    """Yield instructions and height of every plan: lays, groups, strips of their own."""
    for ways in product(*(want.ways for want in wants)):
        for labels in product(range(len(wants)), repeat=len(wants)):
            groups = [[at for at, name in enumerate(labels) if name == g] for g in set(labels)]
            costs = [list(_group_costs(wants, ways, group, width)) for group in groups]
            for chosen in product(*costs):
                yield sum(lines for lines, _ in chosen), sum(height for _, height in chosen)


def _group_costs(
    wants: Sequence[Want], ways: Sequence[Way], group: Sequence[int], width: int
) -> Iterator[tuple[int, int]]:
    highest = max(ways[at].height for at in group)
    most = [-(-wants[at].count // (width // ways[at].width)) - 1 for at in group]
    # None of its own, all that are cut full while some are left to share, or one fewer.
    rests = [wants[at].count % (width // ways[at].width) for at in group]
    own_strips = [
        {0, strips, max(strips - 1, 0) if rest else 0} if len(group) > 1 else {0}
        for strips, rest in zip(most, rests, strict=True)
    ]
    for own in product(*own_strips):
        rest = {at: wants[at].count - n * (width // ways[at].width)
                for at, n in zip(group, own, strict=True)}  # fmt: skip
        if any(left <= 0 for left in rest.values()):
            continue
        need = {high: _strips(ways, rest, highest, width, high) for high in (highest, 0)}
        if need[highest] != need[0]:
            continue
        height = need[0] * highest + sum(
            n * ways[at].height for at, n in zip(group, own, strict=True)
        )
        yield 1 + sum(n > 0 for n in own), height


def _strips(
    ways: Sequence[Way], rest: dict[int, int], highest: int, width: int, lowest: int
) -> int:
    """Return the fewest strips for the pieces at least ``lowest`` high, all cut alike."""
    for strips in range(1, 100):
        taken = 0
        for at, left in rest.items():
            if ways[at].height >= lowest:
                high = highest // ways[at].height if ways[at].stacks else 1
                each = (left + strips - 1) // strips
                taken += (each + high - 1) // high * ways[at].width
        if taken <= width:
            return strips
    return 10_000  # never: a piece of each is too wide for one strip
