"""What is due: each kind of task from the record, done and undone, on the right local day."""

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from studbook.book.changes import (
    AddMarks,
    CarryOut,
    Chick,
    Correct,
    EndApart,
    Enter,
    MoveBirds,
    RegisterChicks,
    RegisterHatch,
    SetApart,
    Withdraw,
)
from studbook.book.husbandry.rows import (
    Apart,
    Batch,
    Candling,
    Collection,
    Decision,
    EggFate,
    EggUse,
    EggUseKind,
    Every,
    Fate,
    Job,
    Move,
    Sitting,
    Tick,
    Trial,
    TrialHen,
)
from studbook.book.ids import (
    ApartId,
    BatchId,
    CandlingId,
    CollectionId,
    EggFateId,
    EggUseId,
    JobId,
    MarkId,
    MoveId,
    SittingId,
    TickId,
    TrialHenId,
    TrialId,
)
from studbook.book.opening import open_book
from studbook.book.records import Mark, MarkKind, Pair
from studbook.dates import PartialDate
from studbook.planning.diary.agenda import agenda, due
from studbook.planning.diary.doing import do, take_back
from studbook.planning.diary.task import Kind, Standing, Task, late_text
from studbook.season.practice import ApartReason
from tests.flock import counted_ids
from tests.season_flock import Yard, new_yard, set_eggs

FAR = timedelta(days=400)


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = new_yard(tmp_path / "yard.studbook")
    yield made
    made.book.close()


def all_tasks(yard: Yard, today: date) -> tuple[Task, ...]:
    return due(yard.book.snapshot(), today - FAR, today + FAR, today)


def of_kind(yard: Yard, kind: Kind, today: date) -> list[Task]:
    return [task for task in all_tasks(yard, today) if task.kind is kind]


def task_named(yard: Yard, key: str, today: date) -> Task:
    (found,) = [task for task in all_tasks(yard, today) if task.key == key]
    return found


def set_in_machine(yard: Yard, set_on: date, eggs: int = 12) -> Sitting:
    sitting = Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)
    yard.book.apply(Enter((sitting, Batch(BatchId(""), sitting.id, eggs, pen=yard.orchard))))
    return sitting


def tick(yard: Yard, task: Task, on: date) -> None:
    yard.book.apply(do(task, yard.book.snapshot(), on))


# days of a chicken's egg: candle on day 7 and 14, lockdown 18, hatch 21, a day either side is common practice;
# University of Nebraska incubation guide, Table I
@pytest.mark.parametrize(
    ("set_on", "lockdown", "hatch"),
    [
        (date(2026, 4, 20), date(2026, 5, 8), date(2026, 5, 11)),  # over the end of a month
        (date(2024, 2, 15), date(2024, 3, 4), date(2024, 3, 7)),  # over a leap day
        (date(2026, 2, 15), date(2026, 3, 5), date(2026, 3, 8)),  # no leap day
        (date(2025, 12, 20), date(2026, 1, 7), date(2026, 1, 10)),  # over the end of a year
        (date(2026, 3, 20), date(2026, 4, 7), date(2026, 4, 10)),  # over the hour lost in spring in Europe
    ],
)
def test_a_sitting_asks_for_its_days(yard: Yard, set_on: date, lockdown: date, hatch: date) -> None:
    # birds of the flock are too young for a sitting of 2024, but its days are what is asked for
    sitting = Sitting(SittingId(yard.book.new_id()), set_on, machine=yard.machine)
    batch = Batch(BatchId(""), sitting.id, 12, outside="bought eggs")
    yard.book.apply(Enter((sitting, batch)))
    found = {task.key.removeprefix(f"sitting/{sitting.id}/"): task for task in all_tasks(yard, set_on)}
    assert found["candling/1"].day == set_on + timedelta(days=7)
    assert found["candling/1"].until == set_on + timedelta(days=10)
    assert found["candling/2"].day == set_on + timedelta(days=14)
    assert found["lockdown"].day == lockdown
    assert (found["hatch"].opens, found["hatch"].day, found["hatch"].until) == (
        hatch - timedelta(days=1),
        hatch,
        hatch + timedelta(days=1),
    )
    assert "the eggs in Cabinet" in found["hatch"].words


def test_a_broody_is_not_asked_to_stop_turning(yard: Yard) -> None:
    sitting = Sitting(SittingId(yard.book.new_id()), date(2026, 3, 1), broody=yard.betony)
    yard.book.apply(Enter((sitting, Batch(BatchId(""), sitting.id, 9, pen=yard.orchard))))
    tasks = all_tasks(yard, date(2026, 3, 1))
    assert {task.kind for task in tasks if task.sitting} == {Kind.CANDLING, Kind.HATCH}
    assert any("under W24-12 Betony" in task.words for task in tasks)


def test_a_candling_written_down_does_its_task_and_taken_out_opens_it(yard: Yard) -> None:
    batch = set_eggs(yard, 12, date(2026, 3, 1), pen=yard.orchard)  # set on 4 March
    key = f"sitting/{batch.sitting}/candling/1"
    assert task_named(yard, key, date(2026, 3, 11)).standing(date(2026, 3, 11)) is Standing.NOW
    assert task_named(yard, key, date(2026, 3, 15)).standing(date(2026, 3, 15)) is Standing.OVERDUE
    assert task_named(yard, key, date(2026, 3, 15)).days_late(date(2026, 3, 15)) == 1
    candling = Candling(CandlingId(yard.book.new_id()), batch.id, date(2026, 3, 12), alive=10, clear=2)
    yard.book.apply(Enter((candling,)))
    done = task_named(yard, key, date(2026, 3, 12))
    assert (done.recorded, done.standing(date(2026, 3, 12))) == (True, Standing.DONE)
    second = task_named(yard, f"sitting/{batch.sitting}/candling/2", date(2026, 3, 12))
    assert not second.is_done
    yard.book.apply(Withdraw((candling,)))
    assert not task_named(yard, key, date(2026, 3, 12)).is_done


def test_a_hatch_with_an_end_for_every_egg_does_every_task_of_the_sitting(yard: Yard) -> None:
    batch = set_eggs(yard, 10, date(2026, 3, 1), pen=yard.orchard)
    ends = (
        EggFate(EggFateId(""), batch.id, Fate.HATCHED, 7, date(2026, 3, 25)),
        EggFate(EggFateId(""), batch.id, Fate.CLEAR, 3, date(2026, 3, 12)),
    )
    yard.book.apply(Enter(ends[:1]))
    hatch = f"sitting/{batch.sitting}/hatch"
    assert not task_named(yard, hatch, date(2026, 3, 25)).is_done
    yard.book.apply(Enter(ends[1:]))
    assert all(task.is_done for task in all_tasks(yard, date(2026, 3, 25)) if task.sitting == batch.sitting)


def test_keys_outlast_corrections(yard: Yard) -> None:
    sitting = set_in_machine(yard, date(2026, 3, 4))
    before = {task.key: task.day for task in all_tasks(yard, date(2026, 3, 5)) if task.sitting}
    corrected = replace(sitting, set_on=date(2026, 3, 5), name="spring")
    yard.book.apply(Correct((sitting,), (corrected,)))
    after = {task.key: task.day for task in all_tasks(yard, date(2026, 3, 5)) if task.sitting}
    assert after == {key: day + timedelta(days=1) for key, day in before.items()}


def test_a_tick_does_a_task_and_undo_opens_it(yard: Yard) -> None:
    sitting = set_in_machine(yard, date(2026, 3, 4))
    key, day = f"sitting/{sitting.id}/lockdown", date(2026, 3, 22)
    tick(yard, task_named(yard, key, day), day)
    assert task_named(yard, key, day).is_done
    assert [task.key for task in agenda(yard.book.snapshot(), day).done] == [key]
    yard.book.undo()
    assert not task_named(yard, key, day).is_done
    yard.book.redo()
    yard.book.apply(take_back(task_named(yard, key, day)))
    assert not task_named(yard, key, day).is_done


def test_eggs_on_hand_over_a_week_are_told_until_they_are_set(yard: Yard) -> None:
    rows = tuple(Collection(CollectionId(""), date(2026, 3, day), 4, pen=yard.orchard) for day in range(1, 6))
    yard.book.apply(Enter(rows))
    today = date(2026, 3, 9)
    (task,) = of_kind(yard, Kind.STORAGE, today)
    assert (task.day, task.until) == (
        date(2026, 3, 8),
        date(2026, 3, 22),
    )  # 7 days; three weeks at the outside
    assert task.standing(today) is Standing.NOW
    assert "20 eggs of Orchard" in task.words
    yard.book.apply(Enter((EggUse(EggUseId(""), today, EggUseKind.EATEN, 5, pen=yard.orchard),)))
    (task,) = of_kind(yard, Kind.STORAGE, today)
    assert "15 eggs of Orchard" in task.words
    assert task.day == date(2026, 3, 9)
    sitting = Sitting(SittingId(yard.book.new_id()), today, machine=yard.machine)
    batch = Batch(
        BatchId(""), sitting.id, 15, pen=yard.orchard, laid_from=date(2026, 3, 1), laid_to=date(2026, 3, 5)
    )
    yard.book.apply(Enter((sitting, batch)))
    assert of_kind(yard, Kind.STORAGE, today) == []


def test_an_exchange_of_cocks_puts_covered_and_clear_dates_in(yard: Yard) -> None:
    on = date(2026, 4, 1)
    yard.book.apply(MoveBirds((yard.usk,), None, on))
    yard.book.apply(MoveBirds((yard.lune,), yard.orchard, on))
    found = [task for task in of_kind(yard, Kind.CLEAR, on) if task.pen == yard.orchard]
    # fowl: covered from day 7, clear after 28 days
    assert [(task.key.rsplit("/", 1)[1], task.day) for task in found] == [
        ("covered", date(2026, 4, 8)),
        ("clear", date(2026, 4, 29)),
    ]
    assert "W24-02 Lune" in found[1].words
    assert found[1].standing(date(2026, 4, 29)) is Standing.NOW
    assert found[1].standing(date(2026, 5, 10)) is Standing.GONE


def test_a_hen_moved_to_another_cock_has_a_date_of_her_own(yard: Yard) -> None:
    on = date(2026, 4, 1)
    yard.book.apply(MoveBirds((yard.avens,), yard.lane, on))
    (task,) = [
        task for task in of_kind(yard, Kind.CLEAR, on) if yard.avens in task.birds and task.pen == yard.lane
    ]
    assert task.day == date(2026, 4, 29)
    assert "Avens in Lane" in task.words


def test_a_pen_without_a_cock_becomes_clear(yard: Yard) -> None:
    yard.book.apply(MoveBirds((yard.usk,), None, date(2026, 4, 1)))
    (task,) = [task for task in of_kind(yard, Kind.CLEAR, date(2026, 4, 1)) if task.pen == yard.orchard]
    assert task.day == date(2026, 4, 29)


def test_a_planned_move_is_carried_out_with_the_task(yard: Yard) -> None:
    move = Move(MoveId(yard.book.new_id()), yard.avens, yard.lane, date(2026, 5, 2))
    yard.book.apply(Enter((move,)))
    (task,) = of_kind(yard, Kind.MOVE, date(2026, 5, 4))
    assert (task.key, task.words) == (f"move/{move.id}", "Move W24-11 Avens to Lane")
    assert late_text(task.days_late(date(2026, 5, 4))) == "2 days overdue"
    tick(yard, task, date(2026, 5, 4))
    assert of_kind(yard, Kind.MOVE, date(2026, 5, 4)) == []
    stay = yard.book.snapshot().husbandry.stay_on(yard.avens, date(2026, 5, 4))
    assert stay is not None
    assert (stay.pen, stay.since) == (yard.lane, date(2026, 5, 4))
    yard.book.undo()
    assert len(of_kind(yard, Kind.MOVE, date(2026, 5, 4))) == 1


def test_a_move_carried_out_elsewhere_is_gone_from_the_diary(yard: Yard) -> None:
    move = Move(MoveId(yard.book.new_id()), yard.avens, yard.lane, date(2026, 5, 2))
    yard.book.apply(Enter((move,)))
    yard.book.apply(CarryOut((move,), date(2026, 5, 2)))
    assert of_kind(yard, Kind.MOVE, date(2026, 5, 2)) == []


def test_a_bird_apart_is_looked_at_again_and_again_until_it_is_back(yard: Yard) -> None:
    apart = Apart(ApartId(yard.book.new_id()), yard.avens, ApartReason.ILL, date(2026, 5, 1))
    yard.book.apply(SetApart(apart))
    (task,) = of_kind(yard, Kind.REVIEW, date(2026, 5, 3))
    assert (task.key, task.day) == (f"apart/{apart.id}/review", date(2026, 5, 3))  # ill: after two days
    assert "vet" in task.hint
    tick(yard, task, date(2026, 5, 3))
    (again,) = of_kind(yard, Kind.REVIEW, date(2026, 5, 3))
    assert (again.key, again.day) == (task.key, date(2026, 5, 5))
    yard.book.apply(EndApart(apart.id, date(2026, 5, 4), "well again", yard.orchard))
    assert of_kind(yard, Kind.REVIEW, date(2026, 5, 4)) == []


def test_a_trial_asks_for_its_days_until_it_is_decided(yard: Yard) -> None:
    trial = Trial(
        TrialId(yard.book.new_id()), yard.usk, date(2026, 1, 10), date(2026, 1, 17), ends=date(2026, 2, 10)
    )
    yard.book.apply(Enter((trial, TrialHen(TrialHenId(""), trial.id, yard.avens))))
    today = date(2026, 1, 12)
    found = {task.key.rsplit("/", 1)[1]: task for task in of_kind(yard, Kind.TRIAL, today)}
    assert {key: task.day for key, task in found.items()} == {
        "counts": date(2026, 1, 17),
        "set": date(2026, 1, 24),
        "candle": date(2026, 1, 31),
        "end": date(2026, 2, 10),
    }
    assert "19 eggs" in found["set"].hint
    sitting = Sitting(SittingId(yard.book.new_id()), date(2026, 1, 26), machine=yard.machine)
    batch = Batch(BatchId(yard.book.new_id()), sitting.id, 19, hen=yard.avens, trial=trial.id)
    yard.book.apply(Enter((sitting, batch)))
    after = {task.key.rsplit("/", 1)[1]: task for task in of_kind(yard, Kind.TRIAL, date(2026, 1, 26))}
    assert (after["set"].is_done, after["candle"].is_done) == (True, False)
    assert after["candle"].day == date(2026, 2, 2)
    # the trial's candling is the sitting's first: it is asked for once
    assert f"sitting/{sitting.id}/candling/1" not in {task.key for task in all_tasks(yard, date(2026, 1, 26))}
    yard.book.apply(Enter((Candling(CandlingId(""), batch.id, date(2026, 2, 3), alive=18, clear=1),)))
    yard.book.apply(Correct((trial,), (replace(trial, decision=Decision.KEEP, decided=date(2026, 2, 4)),)))
    assert all(task.is_done for task in of_kind(yard, Kind.TRIAL, date(2026, 2, 4)))


def test_chicks_ask_for_ring_checks_and_adult_marks(yard: Yard) -> None:
    hatched = date(2026, 4, 12)
    ring = Mark(MarkId(""), MarkKind.RING, "c1", since=PartialDate.of(hatched))
    chicks = (Chick((ring,), name="Tansy"), Chick((replace(ring, code="c2"),), name="Yarrow"))
    yard.book.apply(RegisterHatch(PartialDate.of(hatched), (Pair(yard.usk, yard.avens),), chicks))
    today = date(2026, 5, 1)
    checks = of_kind(yard, Kind.RINGS, today)
    assert {task.day.weekday() for task in checks} == {0}
    assert {later.day - first.day for first, later in pairwise(checks)} == {timedelta(days=7)}
    assert checks[0].day == date(2026, 4, 20)  # the first Monday a week after the hatch
    assert checks[0].key == "rings/2026-04-20"
    assert checks[0].standing(date(2026, 4, 27)) is Standing.GONE
    (task,) = of_kind(yard, Kind.MARKS, today)
    assert task.day == date(2026, 6, 7)  # eight weeks
    assert "2 birds hatched 2026-04-12" in task.words
    birds = [bird for bird in yard.book.snapshot().birds if bird.name in ("Tansy", "Yarrow")]
    adult = [
        (bird.id, Mark(MarkId(""), MarkKind.RING, f"W26-0{place}", since=PartialDate(2026, 6, 10)))
        for place, bird in enumerate(birds)
    ]
    yard.book.apply(AddMarks((adult[0],)))
    (half,) = of_kind(yard, Kind.MARKS, today)
    assert (half.key, half.birds, half.is_done) == (task.key, (adult[1][0],), False)
    yard.book.apply(AddMarks((adult[1],)))
    (done,) = of_kind(yard, Kind.MARKS, today)
    assert (done.key, done.is_done) == (task.key, True)


def test_chicks_of_a_sitting_are_remarked_under_its_key(yard: Yard) -> None:
    batch = set_eggs(yard, 4, date(2026, 3, 1), pen=yard.orchard)
    yard.book.apply(Enter((EggFate(EggFateId(""), batch.id, Fate.HATCHED, 4, date(2026, 3, 25)),)))
    punch = Mark(MarkId(""), MarkKind.TOE_PUNCH, "left outer", since=PartialDate(2026, 3, 25))
    chicks = tuple(Chick((punch,)) for _number in range(4))
    yard.book.apply(RegisterChicks(batch.id, date(2026, 3, 25), chicks))
    found = {task.key: task.day for task in of_kind(yard, Kind.MARKS, date(2026, 4, 1))}
    assert found == {
        f"sitting/{batch.sitting}/toe punch": date(2026, 4, 8),  # looked at again after two to three weeks
        f"sitting/{batch.sitting}/adult mark": date(2026, 5, 20),
    }


@pytest.mark.parametrize(
    ("starts", "every", "count", "days"),
    [
        (date(2024, 1, 31), Every.MONTHS, 1, [date(2024, 1, 31), date(2024, 2, 29), date(2024, 3, 31)]),
        (date(2024, 2, 29), Every.YEARS, 1, [date(2024, 2, 29), date(2025, 2, 28), date(2026, 2, 28)]),
        (date(2026, 3, 20), Every.WEEKS, 2, [date(2026, 3, 20), date(2026, 4, 3), date(2026, 4, 17)]),
        (date(2026, 2, 27), Every.DAYS, 3, [date(2026, 2, 27), date(2026, 3, 2), date(2026, 3, 5)]),
        (date(2026, 3, 29), Every.ONCE, 1, [date(2026, 3, 29)]),
    ],
)
def test_own_jobs_come_round(yard: Yard, starts: date, every: Every, count: int, days: list[date]) -> None:
    job = Job(JobId(yard.book.new_id()), "Creosote the perches", starts, every, count)
    yard.book.apply(Enter((job,)))
    found = due(yard.book.snapshot(), starts, days[-1], starts)
    assert [task.day for task in found if task.kind is Kind.JOB] == days
    assert [task.key for task in found if task.kind is Kind.JOB] == [
        f"job/{job.id}/{turn}" for turn in range(1, len(days) + 1)
    ]


def test_a_turn_left_undone_is_overdue_until_the_next_comes(yard: Yard) -> None:
    job = Job(JobId(yard.book.new_id()), "Limewash the house", date(2026, 1, 31), Every.MONTHS)
    yard.book.apply(Enter((job,)))
    found = agenda(yard.book.snapshot(), date(2026, 2, 5))
    assert [(task.day, task.days_late(date(2026, 2, 5))) for task in found.overdue] == [
        (date(2026, 1, 31), 5)
    ]
    later = agenda(yard.book.snapshot(), date(2026, 2, 28))
    assert (later.overdue, [task.day for task in later.now]) == ((), [date(2026, 2, 28)])


def test_a_job_that_ended_asks_for_nothing(yard: Yard) -> None:
    job = Job(JobId(yard.book.new_id()), "Shut the hatch", date(2026, 1, 1), Every.DAYS)
    yard.book.apply(Enter((job,)))
    yard.book.apply(Correct((job,), (replace(job, until=date(2026, 2, 9)),)))
    found = agenda(yard.book.snapshot(), date(2026, 2, 10))
    assert not [task for task in (*found.overdue, *found.now, *found.week) if task.kind is Kind.JOB]


def test_ticks_of_another_rhythm_do_not_count(yard: Yard) -> None:
    job = Job(JobId(yard.book.new_id()), "Scrub the drinkers", date(2026, 2, 1), Every.DAYS)
    yard.book.apply(Enter((job,)))
    ticks = tuple(Tick(TickId(""), f"job/{job.id}/{turn}", date(2026, 2, turn)) for turn in range(1, 11))
    yard.book.apply(Enter(ticks))
    turns = due(yard.book.snapshot(), date(2026, 2, 1), date(2026, 2, 10), date(2026, 2, 10))
    assert [task.is_done for task in turns if task.kind is Kind.JOB] == [True] * 10
    yard.book.apply(Correct((job,), (replace(job, every=Every.WEEKS),)))
    weeks = [
        task
        for task in due(yard.book.snapshot(), date(2026, 2, 1), date(2026, 3, 8), date(2026, 2, 10))
        if task.kind is Kind.JOB
    ]
    assert [task.is_done for task in weeks] == [True, True, False, False, False, False]


def test_the_agenda_parts_overdue_now_and_this_week(yard: Yard) -> None:
    jobs = tuple(
        Job(JobId(""), text, day)
        for text, day in (
            ("late", date(2026, 2, 10)),
            ("now", date(2026, 2, 14)),
            ("in six days", date(2026, 2, 20)),
            ("in a week", date(2026, 2, 21)),
        )
    )
    yard.book.apply(Enter(jobs))
    found = agenda(yard.book.snapshot(), date(2026, 2, 14))
    own = [
        [task.words for task in part if task.kind is Kind.JOB]
        for part in (found.overdue, found.now, found.week)
    ]
    assert own == [["late"], ["now"], ["in six days"]]


@pytest.mark.parametrize(
    "zone", ["Pacific/Kiritimati", "Pacific/Midway", "Europe/London", "America/St_Johns"]
)
def test_days_do_not_move_with_the_time_zone(yard: Yard, monkeypatch: pytest.MonkeyPatch, zone: str) -> None:
    set_in_machine(yard, date(2026, 3, 8))
    expected = [(task.key, task.day, task.until) for task in all_tasks(yard, date(2026, 3, 9))]
    path = yard.book.path
    yard.book.close()
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        with open_book(path, ids=counted_ids(), today=date(2026, 3, 9), read_only=True) as book:
            found = due(book.snapshot(), date(2026, 3, 9) - FAR, date(2026, 3, 9) + FAR, date(2026, 3, 9))
        assert [(task.key, task.day, task.until) for task in found] == expected
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_daily_job_is_asked_for_once_in_the_agenda(yard: Yard) -> None:
    yard.book.apply(Enter((Job(JobId("daily"), "Shut the pop-holes", date(2026, 2, 1), Every.DAYS),)))
    today = date(2026, 2, 14)
    found = agenda(yard.book.snapshot(), today)
    assert [task.day for task in (*found.now, *found.week) if task.kind is Kind.JOB] == [today]
    (task,) = [task for task in found.now if task.kind is Kind.JOB]
    tick(yard, task, today)
    after = agenda(yard.book.snapshot(), today)
    assert [task.day for task in (*after.now, *after.week) if task.kind is Kind.JOB] == [date(2026, 2, 15)]
