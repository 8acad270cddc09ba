"""What came of eggs: shares with their intervals, unfinished sittings, and losses that stand out."""

import gettext

import pytest

from studbook.season.outcome import Counts, Stage, caution, outcome, total
from studbook.words import use_translations


def test_eggs_that_nobody_looked_at_are_neither_fertile_nor_clear():
    found = outcome(Counts(eggs=12, clear=1, alive=5))
    assert found.counts.unseen == 6
    assert (found.fertility.count, found.fertility.of) == (5, 6)
    assert found.hatch_of_set is None
    assert found.hatch_of_fertile is None


def test_broken_and_removed_eggs_count_as_set_and_not_as_clear():
    found = outcome(Counts(eggs=12, clear=1, hatched=8, late_dead=1, broken=1, removed=1))
    assert (found.fertility.count, found.fertility.of) == (9, 10)
    assert (found.hatch_of_set.count, found.hatch_of_set.of) == (8, 12)
    assert (found.hatch_of_fertile.count, found.hatch_of_fertile.of) == (8, 9)


def test_moved_eggs_are_counted_where_they_end():
    left = Counts(eggs=12, clear=2, moved=10)
    came = Counts(moved_in=10, hatched=9, pipped_dead=1)
    assert left.is_over
    assert outcome(left).hatch_of_set.of == 2
    together = total([left, came])
    assert (together.set_here, together.hatched) == (12, 9)
    assert outcome(together).hatch_of_set.share == 0.75


def test_nothing_set_has_no_share():
    found = outcome(Counts())
    assert not found.counts.is_over
    assert found.hatch_of_set is None
    assert found.fertility.share is None
    assert found.standing_out == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"eggs": 10, "hatched": 11},
        {"eggs": 10, "moved": 11},
        {"eggs": 10, "clear": 6, "alive": 5},
        {"eggs": 10, "hatched": 5, "helped": 6},
        {"eggs": 10, "hatched": 5, "died_first_day": 6},
        {"eggs": -1},
    ],
)
def test_counts_that_cannot_be_are_refused(wrong):
    with pytest.raises(ValueError, match=r"fates|hatched|below zero"):
        Counts(**wrong)


@pytest.mark.parametrize(
    ("fate", "stage"),
    [
        ("clear", Stage.CLEAR),
        ("early_dead", Stage.EARLY),
        ("late_dead", Stage.LATE),
        ("pipped_dead", Stage.PIPPED),
    ],
)
def test_many_losses_of_one_stage_stand_out_with_what_to_look_at(fate, stage):
    found = outcome(Counts(eggs=40, hatched=28, **{fate: 12}))
    assert [loss.stage for loss in found.standing_out] == [stage]
    assert all(look.text and look.source for look in found.standing_out[0].look_at)
    assert len(found.standing_out[0].look_at) > 1


def test_chicks_that_die_on_their_first_day_stand_out():
    found = outcome(Counts(eggs=40, hatched=40, died_first_day=8))
    assert [loss.stage for loss in found.standing_out] == [Stage.FIRST_DAY]


def test_one_loss_among_few_eggs_does_not_stand_out():
    assert outcome(Counts(eggs=6, hatched=5, clear=1)).standing_out == ()


def test_what_to_look_at_and_the_caution_are_in_the_users_language():
    loss = outcome(Counts(eggs=40, hatched=28, clear=12)).standing_out[0]
    english = loss.look_at[0].text
    use_translations(Brackets())
    try:
        assert loss.look_at[0].text == f"[{english}]"
        assert caution().startswith("[")
    finally:
        use_translations(gettext.NullTranslations())


class Brackets(gettext.NullTranslations):
    """A language that sets every text in brackets."""

    def gettext(self, message: str) -> str:
        return f"[{message}]"


def test_the_caution_leaves_the_decision_to_a_vet():
    assert "vet" in caution()
