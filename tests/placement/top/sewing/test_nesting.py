"""Which blocks are turned half round, against the trade's rule and the independent judge."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from placement.checks import judge_turns
from placement.inches import Inches
from placement.top.setting.setting import Setting
from placement.top.sewing.nesting import every_other

SIDE = Inches(Fraction(8))


def test_on_point_the_rows_between_the_main_rows_are_turned():
    # Common practice: every neighbour of a block of the a x b family is one of the
    # (a-1)(b-1) family; turn those.
    setting = Setting("on point", 6, 7, SIDE)
    turned = every_other(setting)
    assert len(turned) == 5 * 6
    assert {setting.cells()[cell].row % 2 for cell in turned} == {1}


def test_straight_every_other_block_is_turned_and_the_first_stays_upright():
    setting = Setting("straight", 4, 3, SIDE)
    cells = setting.cells()
    assert every_other(setting) == tuple(
        number for number, cell in enumerate(cells) if (cell.row + cell.column) % 2
    )


def test_of_a_straight_setting_with_an_odd_count_the_fewer_blocks_are_turned():
    assert every_other(Setting("straight", 3, 3, SIDE)) == (1, 3, 5, 7)


def test_between_plain_alternate_blocks_nothing_needs_turning():
    assert every_other(Setting("on point", 4, 4, SIDE, alternate=True)) == ()
    assert every_other(Setting("straight", 5, 4, SIDE, alternate=True)) == ()


def test_a_block_that_holes_cut_off_is_left_upright():
    # In a row of three the middle one is a hole: no two blocks share an edge.
    assert every_other(Setting("straight", 3, 1, SIDE), frozenset({1})) == ()


@given(
    kind=st.sampled_from(["on point", "straight"]),
    across=st.integers(1, 7),
    down=st.integers(1, 7),
    alternate=st.booleans(),
    data=st.data(),
)
def test_turned_blocks_alternate_along_every_shared_edge(kind, across, down, alternate, data):
    setting = Setting(kind, across, down, SIDE, alternate)
    cells = range(len(setting.cells()))
    holes = frozenset(data.draw(st.sets(st.sampled_from(cells), max_size=8)))
    turned = every_other(setting, holes)
    assert judge_turns(setting, turned, holes) == ()
    assert list(turned) == sorted(set(turned))
