"""The year of the sample flock: pens, eggs, sittings, trials and the diary hang together."""

from collections import Counter, defaultdict
from datetime import date, timedelta

import pytest

from studbook.book.husbandry.rows import Batch, Decision, EggUseKind, Fate
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.opening import SAMPLE_TODAY
from studbook.book.records import Basis, Bird, Sex, Snapshot
from studbook.book.relatedness import Relatedness
from studbook.planning.care.trials import Trials
from studbook.planning.diary.agenda import agenda
from studbook.planning.diary.task import Kind
from studbook.season.fertility import TrialVerdict
from studbook.season.incubation import incubation
from studbook.season.practice import ApartReason


def named(flock: Snapshot, name: str) -> Bird:
    """The bird of this name."""
    return next(bird for bird in flock.birds if bird.name == name)


def hatched_between(flock: Snapshot, first: int, last: int) -> list[Bird]:
    """The birds hatched at home in these years."""
    return [bird for bird in flock.birds if bird.pairs and first <= (bird.hatched.year or 0) <= last]


def test_parents_were_penned_together_when_the_egg_was_laid(flock: Snapshot) -> None:
    year, judged = flock.husbandry, 0
    for chick in hatched_between(flock, 2018, 2026):
        last = chick.hatched.latest - timedelta(days=21)
        days = [last - timedelta(days=back) for back in range(14)]
        for pair in chick.pairs:
            if pair.sire is None or pair.dam is None or flock.bird(pair.sire).placeholder:
                continue
            if pair.basis is Basis.STAYS and len(chick.pairs) > 1:
                continue
            pens = [(year.stay_on(pair.sire, day), year.stay_on(pair.dam, day)) for day in days]
            judged += 1
            assert any(his and hers and his.pen == hers.pen for his, hers in pens), (
                f"{chick.called}: {flock.bird(pair.sire).name} was not with {flock.bird(pair.dam).name}"
            )
    assert judged > 280


def test_chicks_of_the_last_two_seasons_come_from_eggs_of_the_book(flock: Snapshot) -> None:
    year = flock.husbandry
    chicks = hatched_between(flock, 2025, 2026)
    assert {bird.id for bird in chicks} == set(year.batch_of)
    asking = WhoseEgg({bird.id: bird for bird in flock.birds}, year)
    for chick in chicks:
        batch = year.batches[year.batch_of[chick.id]]
        assert {(p.sire, p.dam, round(p.weight, 9)) for p in chick.pairs} == {
            (p.sire, p.dam, round(p.weight, 9)) for p in asking.of_batch(batch).pairs
        }


def test_every_chick_that_lived_a_day_was_registered_or_sold(flock: Snapshot) -> None:
    year = flock.husbandry
    lived = sum(fate.eggs - fate.died for fate in year.egg_fates.values() if fate.fate is Fate.HATCHED)
    sold = sum(use.eggs for use in year.egg_uses.values() if use.kind is EggUseKind.DAY_OLDS_SOLD)
    assert sold > 0
    assert lived == len(year.hatchlings) + sold


def test_every_egg_that_was_set_has_its_fate_but_those_in_the_machine(flock: Snapshot) -> None:
    year = flock.husbandry
    open_batches = [batch for batch in year.batches.values() if year.eggs_left(batch)]
    assert {batch.trial for batch in open_batches} == {
        trial.id for trial in year.trials.values() if trial.decision is Decision.OPEN
    }
    assert {fate.fate for fate in year.egg_fates.values()} == set(Fate)


def test_the_exchange_of_a_cock_leaves_two_weighted_sires(flock: Snapshot) -> None:
    dewberry, rowan = named(flock, "Dewberry"), named(flock, "Rowan")
    swale, kent = named(flock, "Swale"), named(flock, "Kent")
    weights = {pair.sire: pair.weight for pair in dewberry.pairs}
    assert dewberry.dam == rowan.id
    assert set(weights) == {swale.id, kent.id}
    assert weights[swale.id] > weights[kent.id] > 0.1
    relatedness = Relatedness(flock)
    kinship = relatedness.kinship([swale.id, kent.id], [rowan.id])[:, 0]
    expected = weights[swale.id] * kinship[0] + weights[kent.id] * kinship[1]
    assert relatedness.inbreeding[flock.rows[dewberry.id]] == pytest.approx(expected)


def test_eggs_of_two_pens_of_the_doubtful_week_were_mixed(flock: Snapshot) -> None:
    year = flock.husbandry
    (lot,) = year.mixed_in.values()
    batch = year.batches[lot.batch]
    assert lot.pen != batch.pen
    chicks = [flock.bird(bird) for bird in year.birds_of[batch.id]]
    assert len(chicks) == 4
    share: defaultdict[str, float] = defaultdict(float)
    for pair in chicks[0].pairs:
        assert pair.sire is not None
        share[flock.bird(pair.sire).name] += pair.weight
    assert set(share) == {"Swale", "Kent", "Teign"}
    assert share["Teign"] == pytest.approx(lot.eggs / batch.eggs)


def test_machine_hatches_are_parted_into_compartments(flock: Snapshot) -> None:
    year = flock.husbandry
    parted = [sitting for sitting in year.sittings.values() if sitting.parted]
    assert len(parted) == 5
    for sitting in parted:
        compartments = [batch.compartment for batch in year.batches_of[sitting.id]]
        assert all(compartments)
        assert len(set(compartments)) == len(compartments)


def test_weighed_eggs_lose_what_eggs_usually_lose(flock: Snapshot) -> None:
    year = flock.husbandry
    sittings = 0
    for sitting, readings in year.readings_of.items():
        each = {
            (reading.on - year.sittings[sitting].set_on).days: reading.weight / reading.weighed
            for reading in readings
            if reading.weight and reading.weighed
        }
        last = max(each)
        sittings += 1
        assert 1 - each[last] / each[0] in incubation("chicken").expected_loss(last)
    assert sittings == 2


def test_a_broody_rears_chicks_that_are_not_hers_and_two_share_a_nest(flock: Snapshot) -> None:
    otter, eyebright = named(flock, "Otter"), named(flock, "Eyebright")
    assert otter.rearer == eyebright.id
    assert otter.dam == named(flock, "Rowan").id
    assert any(sitting.second_broody for sitting in flock.husbandry.sittings.values())


def test_ducks_have_a_pen_and_sittings_of_their_own(flock: Snapshot) -> None:
    year = flock.husbandry
    ducks = [bird for bird in flock.living if bird.species == "duck"]
    stays = [year.stay_on(bird.id, SAMPLE_TODAY) for bird in ducks]
    assert {year.pens[stay.pen].name for stay in stays if stay} == {"Far pond"}
    assert all(stays)
    assert [sitting.days for sitting in year.sittings.values() if sitting.species == "duck"] == [26, 26]


def test_every_living_bird_is_in_a_pen(flock: Snapshot) -> None:
    assert all(flock.husbandry.stay_on(bird.id, SAMPLE_TODAY) for bird in flock.living)


def test_young_cocks_are_on_trial_each_january(flock: Snapshot) -> None:
    trials = Trials(flock)
    assert {trial.ends.year for trial in trials.all if trial.ends} == {2024, 2025, 2026, 2027}
    running = [trial for trial in trials.all if trial.decision is Decision.OPEN]
    assert [flock.bird(trial.cock).name for trial in running] == ["Otter"]
    found = {
        (flock.bird(trial.cock).name, trial.begun.year): trials.study(trial).result.verdict
        for trial in trials.all
    }
    assert found["Calder", 2026] is TrialVerdict.SHOWN_GOOD
    assert found["Otter", 2026] is TrialVerdict.WEAK_TEST_AGAIN
    assert found["Exe", 2024] is TrialVerdict.NOT_SHOWN
    # no egg is left out: nobody else had been with these hens
    assert not any(trials.study(trial).left_out.eggs for trial in trials.all)


def test_two_birds_are_apart_and_one_should_have_been_looked_at(flock: Snapshot) -> None:
    apart = [row for row in flock.husbandry.aparts.values() if row.until is None]
    assert {flock.bird(row.bird).name: row.reason for row in apart} == {
        "Guelder": ApartReason.HURT,
        "Comfrey": ApartReason.BROODY,
    }
    late = [row for row in apart if row.review and row.review < SAMPLE_TODAY]
    assert [flock.bird(row.bird).name for row in late] == ["Guelder"]
    assert len({row.reason for row in flock.husbandry.aparts.values()}) >= 7


def test_the_pens_of_the_next_season_are_planned(flock: Snapshot) -> None:
    year = flock.husbandry
    moves = list(year.moves.values())
    assert all(move.on > SAMPLE_TODAY and flock.bird(move.bird).is_living for move in moves)
    pens = Counter(
        year.pens[move.pen].name for move in moves if move.pen and flock.bird(move.bird).sex is Sex.COCK
    )
    assert pens == {"Top pen": 1, "Long pen": 1, "Bottom pen": 1, "Cock run": 1}


def test_the_diary_is_short(flock: Snapshot) -> None:
    today = agenda(flock, SAMPLE_TODAY)
    assert [task.kind for task in today.overdue] == [Kind.REVIEW, Kind.JOB]
    assert [task.kind for task in today.now] == [Kind.JOB]
    assert {Kind.TRIAL, Kind.MOVE, Kind.REVIEW} <= {task.kind for task in today.week}


def test_a_trapped_hens_eggs_were_gathered_before_they_were_set(flock: Snapshot) -> None:
    year = flock.husbandry
    gathered: Counter[tuple[str, date]] = Counter()
    for collection in year.collections.values():
        if collection.hen is not None:
            gathered[collection.hen, collection.on] += collection.eggs

    def laid(batch: Batch) -> int:
        assert batch.laid_from is not None
        assert batch.laid_to is not None
        days = (batch.laid_to - batch.laid_from).days + 1
        return sum(
            gathered[batch.hen or "", batch.laid_from + timedelta(days=number)] for number in range(days)
        )

    first = date(2026, 1, 4)
    own = [
        batch
        for batch in year.batches.values()
        if batch.hen is not None and year.sittings[batch.sitting].set_on > first
    ]
    assert len(own) > 20
    assert all(laid(batch) == batch.eggs for batch in own)
    assert max(gathered.values()) == 1
