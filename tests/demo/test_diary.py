"""The diary: deeds in the order of their days, and a clock that only goes forward."""

from datetime import date

from studbook.demo.diary import Diary


def test_deeds_are_done_day_by_day_in_the_order_they_were_planned() -> None:
    diary = Diary(date(2020, 1, 1))
    done: list[str] = []
    diary.plan(date(2020, 3, 1), lambda: done.append("third"))
    diary.plan(date(2020, 2, 1), lambda: done.append("first"))
    diary.plan(date(2020, 2, 1), lambda: done.append("second"))
    diary.play()
    assert done == ["first", "second", "third"]


def test_a_deed_may_plan_another_but_not_in_the_past() -> None:
    diary = Diary(date(2020, 1, 1))
    days: list[date] = []

    def hatch() -> None:
        diary.plan(date(2019, 1, 1), lambda: days.append(diary.today))
        diary.plan(date(2020, 6, 1), lambda: days.append(diary.today))

    diary.plan(date(2020, 4, 1), hatch)
    diary.play()
    assert days == [date(2020, 4, 1), date(2020, 6, 1)]


def test_each_line_is_written_a_minute_after_the_last() -> None:
    diary = Diary(date(2020, 1, 1))
    times: list[str] = []
    for day in (5, 5, 6):
        diary.plan(date(2020, 1, day), lambda: times.append(diary.now().isoformat()))
    diary.play()
    assert times == [
        "2020-01-05T18:00:00+00:00",
        "2020-01-05T18:01:00+00:00",
        "2020-01-06T18:00:00+00:00",
    ]
