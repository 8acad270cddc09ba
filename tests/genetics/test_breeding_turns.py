"""Who leaves and who comes from season to season."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studbook.genetics.breeding_policy import NO_PEN, Breeding, NewBlood
from studbook.genetics.breeding_turns import BOUGHT, YOUNG, pens_of_hens, turns


def all_turns(breeding, cocks, hens, years=12):
    return list(turns(breeding, cocks, pens_of_hens(breeding, [NO_PEN] * hens), years))


@given(st.integers(1, 4), st.integers(4, 12), st.sampled_from([0.0, 0.25, 0.3, 0.5, 1.0]))
def test_hens_leave_by_their_share_and_the_oldest_first(cocks, hens, replaced):
    age = list(range(hens, 0, -1))
    young = 0
    for turn in all_turns(Breeding(cocks, hens, replaced=replaced), cocks, hens):
        places = turn.place[turn.next_cocks :]
        gone = np.flatnonzero(places == YOUNG)
        stays = np.flatnonzero(places != YOUNG)
        if len(gone) and len(stays):
            assert min(age[hen] for hen in gone) >= max(age[hen] for hen in stays)
        np.testing.assert_array_equal(places[stays], turn.cocks + stays)
        age = [0 if hen in gone else age[hen] + 1 for hen in range(hens)]
        young += len(gone)
    assert young == pytest.approx(12 * replaced * hens, abs=1)


@given(st.integers(1, 5), st.integers(1, 4))
def test_a_cock_serves_his_seasons_and_they_leave_in_turn(cocks, seasons):
    served = [0] * cocks
    for turn in all_turns(Breeding(cocks, 5, seasons=seasons), cocks, 5, 3 * seasons):
        for cock in range(cocks):
            served[cock] = 0 if turn.place[cock] == YOUNG else served[cock] + 1
            assert served[cock] < seasons
        assert (turn.place[:cocks] == YOUNG).sum() <= -(-cocks // seasons)


def test_a_bought_cock_takes_one_place_in_his_year():
    breeding = Breeding(2, 6, seasons=2, new_blood=NewBlood(3, 4))
    bought = [
        season
        for season, turn in enumerate(all_turns(breeding, 2, 6), start=2)
        if BOUGHT in turn.place.tolist()
    ]
    assert bought == [3, 7, 11]
    for turn in all_turns(breeding, 2, 6):
        assert len(turn.bought) <= 1
        assert (turn.bought < turn.next_cocks).all()


def test_a_flock_short_of_birds_is_filled_up_at_once():
    first, second, *_rest = all_turns(Breeding(3, 9), 1, 4)
    assert (first.cocks, first.hens) == (1, 4)
    assert (second.cocks, second.hens) == (3, 9)
    assert (first.place == YOUNG).sum() == 3 + 2 + 5


@given(st.integers(1, 4), st.lists(st.integers(-1, 5), min_size=4, max_size=12))
def test_every_pen_of_a_rotation_has_hens_and_none_has_more_than_its_share(cocks, now):
    made = pens_of_hens(Breeding(cocks, 12, rotate=True), now)
    count = np.bincount(made, minlength=cocks)
    assert len(count) == cocks
    assert count.min() >= 1
    assert count.max() <= -(-len(now) // cocks)


def test_pullets_stay_and_cockerels_move_on():
    for turn in all_turns(Breeding(3, 9, rotate=True), 3, 9):
        assert turn.dam_pen[:3].tolist() == [2, 0, 1]
        for hen in range(9):
            if turn.place[3 + hen] == YOUNG:
                assert turn.dam_pen[3 + hen] == turn.pen[hen]
