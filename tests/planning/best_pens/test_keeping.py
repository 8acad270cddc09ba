"""A plan as rows of the record: written, read back and taken out again through the door."""

from itertools import count
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.book.changes import Enter, Withdraw
from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, MoveId, PenId
from studbook.book.relatedness import Relatedness, Unknown
from studbook.planning.best_pens.by_hand import worth_of
from studbook.planning.best_pens.keeping import (
    moves_left,
    pens_of,
    plan_rows,
    rows_of,
    wishes_from,
    wishes_text,
)
from studbook.planning.best_pens.present import company
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Place, Proof, Wishes
from tests.flock import TODAY
from tests.season_flock import Yard, new_yard

names = st.text(min_size=1, max_size=8).map(BirdId)
pairs = st.lists(st.tuples(names, names), max_size=3).map(tuple)


@given(
    st.builds(
        Wishes,
        cocks=st.lists(names, max_size=3).map(tuple),
        hens=st.lists(names, max_size=3).map(tuple),
        pens=st.integers(1, 9),
        most_hens=st.integers(1, 20),
        hens_placed=st.none() | st.integers(1, 20),
        limit=st.none() | st.floats(0, 1),
        weight=st.floats(0, 1),
        places=st.lists(
            st.builds(Place, names.map(PenId), st.none() | st.integers(0, 9), st.booleans()), max_size=2
        ).map(tuple),
        together=pairs,
        never=pairs,
        eggs=st.dictionaries(names, st.floats(0.1, 9), max_size=2),
        most_share=st.dictionaries(names, st.floats(0, 1), max_size=2),
        reserve_males=st.integers(0, 3),
        unknown=st.sampled_from(Unknown),
    )
)
def test_wishes_come_back_as_they_were(wishes: Wishes) -> None:
    assert wishes_from(wishes_text(wishes)) == wishes


def test_a_plan_without_wishes_has_none() -> None:
    assert wishes_from("{}") is None
    assert wishes_from("") is None


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return new_yard(tmp_path / "withybrook.studbook")


def test_a_plan_is_written_read_and_withdrawn_in_one_step_each(yard: Yard) -> None:
    book = yard.book
    wishes = Wishes((yard.usk, yard.lune), (yard.avens, yard.betony, yard.cowslip), 2, 3)
    birds = (*wishes.cocks, *wishes.hens)
    figures = Relatedness(book.snapshot()).kinship(birds, birds).tolist()
    kin = {
        (one, other): figures[row][column]
        for row, one in enumerate(birds)
        for column, other in enumerate(birds)
    }
    pens = (
        BestPen(yard.usk, (yard.avens,), 0.0, yard.orchard),
        BestPen(yard.lune, (yard.betony, yard.cowslip), 0.0, yard.lane),
    )
    worth = worth_of([company(pen) for pen in pens], kin, wishes)
    assert worth is not None
    plan = PensPlan(pens, worth.inbreeding, worth.kinship, worth.objective, 0.01, Proof.OPTIMAL)
    numbers = count(1)
    rows = plan_rows(
        lambda: f"00000000-0000-4000-9000-{next(numbers):012d}",
        plan,
        wishes,
        worth,
        kin,
        2027,
        TODAY,
        name="Plan A",
        of_hens={yard.betony: "least related"},
        present=worth,
        chicks=20,
    )
    move = Move(MoveId(""), yard.betony, yard.lane, TODAY)
    before = book.snapshot()
    book.apply(Enter((*rows, move)))
    after = book.snapshot()
    (row,) = after.husbandry.plans.values()
    assert (row.season, row.name, row.chicks, row.bound) == (2027, "Plan A", 20, 0.01)
    assert row.kinship == pytest.approx(worth.kinship)
    assert row.present_kinship == pytest.approx(worth.kinship)
    assert wishes_from(row.wishes) == wishes
    assert pens_of(after, row.id) == pens
    shares = {each.bird: each.share for each in after.husbandry.planned_birds.values()}
    # three hens alike: a third of half the genes each, their cocks as much as their hens together
    assert shares == pytest.approx(
        {
            yard.usk: 1 / 6,
            yard.avens: 1 / 6,
            yard.lune: 2 / 6,
            yard.betony: 1 / 6,
            yard.cowslip: 1 / 6,
        }
    )
    assert [held.bird for held in moves_left(after, row.id)] == [yard.betony]
    book.undo()
    assert book.snapshot().husbandry == before.husbandry
    book.redo()
    again = book.snapshot()
    book.apply(Withdraw(rows_of(again, row.id)))
    assert book.snapshot().husbandry.plans == {}
    assert book.snapshot().husbandry.planned_birds == {}
    assert len(book.snapshot().husbandry.moves) == 1
    book.close()
