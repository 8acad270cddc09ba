"""The calendar file: what another library reads in it, and the rules of RFC 5545 about its bytes."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar

from studbook.book.changes import Correct, Enter
from studbook.book.husbandry.rows import Every, Job
from studbook.book.ids import JobId
from studbook.planning.diary.calendar_file import calendar_days, calendar_tasks, calendar_text
from tests.season_flock import Yard, new_yard, set_eggs

TODAY = date(2026, 3, 5)
WRITTEN = datetime(2026, 3, 5, 18, 30, tzinfo=UTC)


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    made = new_yard(tmp_path / "yard.studbook")
    set_eggs(made, 12, date(2026, 3, 1), pen=made.orchard)
    yield made
    made.book.close()


def text_of(yard: Yard) -> str:
    tasks = calendar_tasks(yard.book.snapshot(), *calendar_days(TODAY), TODAY)
    return calendar_text(tasks, yard.book.snapshot(), WRITTEN)


def events(text: str) -> dict[str, dict[str, object]]:
    calendar = Calendar.from_ical(text)
    assert (calendar["VERSION"], "PRODID" in calendar) == ("2.0", True)
    return {str(event["UID"]): dict(event.items()) for event in calendar.walk("VEVENT")}


def enter_job(yard: Yard, text: str) -> Job:
    job = Job(JobId(yard.book.new_id()), text, date(2026, 3, 28), Every.WEEKS, until=date(2026, 3, 30))
    yard.book.apply(Enter((job,)))
    return job


def test_another_library_reads_every_event(yard: Yard) -> None:
    text = text_of(yard)
    assert all(not component.errors for component in Calendar.from_ical(text).walk())
    found = {str(event["SUMMARY"]): event for event in Calendar.from_ical(text).walk("VEVENT")}
    candling = found["Candle the eggs in Cabinet, set on 2026-03-04"]
    assert candling["DTSTART"].dt == date(2026, 3, 11)
    assert candling["DTEND"].dt == date(2026, 3, 12)  # the end is not part of it
    assert candling["DTSTAMP"].dt == WRITTEN
    again = found["Candle the eggs in Cabinet again, set on 2026-03-04"]
    assert again["DTSTART"].dt == date(2026, 3, 18)
    hatch = found["Chicks due: the eggs in Cabinet, set on 2026-03-04"]
    assert (hatch["DTSTART"].dt, hatch["DTEND"].dt) == (date(2026, 3, 24), date(2026, 3, 27))


def test_days_are_dates_without_a_time_zone(yard: Yard) -> None:
    enter_job(yard, "Change the clocks")
    for event in events(text_of(yard)).values():
        start = event["DTSTART"].dt  # type: ignore[attr-defined]
        assert type(start) is date
    assert "TZID" not in text_of(yard)


def test_a_corrected_day_moves_the_event_and_doubles_nothing(yard: Yard) -> None:
    before = events(text_of(yard))
    (sitting,) = yard.book.snapshot().husbandry.sittings.values()
    yard.book.apply(Correct((sitting,), (replace(sitting, set_on=date(2026, 3, 5)),)))
    after = events(text_of(yard))
    assert set(after) == set(before)
    for uid, event in after.items():
        if "sitting" in uid:
            assert event["DTSTART"].dt == before[uid]["DTSTART"].dt + timedelta(days=1)  # type: ignore[attr-defined]
            assert int(str(event["SEQUENCE"])) > int(str(before[uid]["SEQUENCE"]))


def test_the_same_book_gives_the_same_bytes(yard: Yard) -> None:
    assert text_of(yard) == text_of(yard)


@pytest.mark.parametrize(
    "words",
    [
        "Feed; water, grit",
        "Back\\slash \\n and , comma",
        "Two\nlines",
        "Hühner füttern und die Tränken säubern, immer am Morgen und noch einmal am Abend – täglich, auch bei Frost",
        "日本の鶏に水をやり、巣箱を掃除し、卵を集める。毎朝六時に、そして夕方にもう一度、忘れずに行うこと。",
        "🐓" * 60,
    ],
)
def test_any_words_come_back_as_they_were(yard: Yard, words: str) -> None:
    enter_job(yard, words)
    assert words in {str(event["SUMMARY"]) for event in events(text_of(yard)).values()}


def test_lines_end_in_crlf_and_are_at_most_75_octets(yard: Yard) -> None:
    enter_job(yard, "Ä" * 200)
    content = text_of(yard).encode()
    assert content.endswith(b"END:VCALENDAR\r\n")
    assert content.count(b"\n") == content.count(b"\r\n")
    lines = content.split(b"\r\n")
    assert max(map(len, lines)) == 75
    for line in lines:
        line.decode()  # no letter is cut in two


def test_signs_that_no_calendar_may_hold_are_left_out(yard: Yard) -> None:
    enter_job(yard, "Ring\x07 the\x00 bell\r\nat six")
    assert "Ring the bell\nat six" in {str(event["SUMMARY"]) for event in events(text_of(yard)).values()}


def test_a_calendar_without_an_event_is_no_calendar(yard: Yard) -> None:
    with pytest.raises(ValueError, match="event"):
        calendar_text((), yard.book.snapshot(), WRITTEN)
