"""``studbook diary``: what is due as text and JSON, and the calendar file."""

from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar

from studbook.book.changes import Enter
from studbook.book.husbandry.rows import Every, Job, Move
from studbook.book.ids import JobId, MoveId
from tests.commands.conftest import Command
from tests.season_flock import new_yard, set_eggs


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    made = new_yard(tmp_path / "yard.studbook")
    set_eggs(made, 12, date(2026, 3, 1), pen=made.orchard)
    made.book.apply(
        Enter(
            (
                Move(MoveId(""), made.avens, made.lane, date(2026, 3, 9)),
                Job(JobId(""), "Fetch straw", date(2026, 3, 12), Every.MONTHS),
            )
        )
    )
    made.book.close()
    return made.book.path


def test_what_is_due_is_told_under_its_heading(command: Command, yard: Path) -> None:
    told = command("diary", yard, "--today", "2026-03-11")
    assert told.code == 0
    assert told.out.splitlines() == [
        "Overdue",
        "  2026-03-09  Move W24-11 Avens to Lane (2 days overdue)",
        "Due now, 2026-03-11",
        "  2026-03-11  Candle the eggs in Cabinet, set on 2026-03-04",
        "To come",
        "  2026-03-12  Fetch straw",
    ]


def test_days_can_be_chosen(command: Command, yard: Path) -> None:
    told = command(
        "diary", yard, "--today", "2026-03-11", "--from", "2026-04-01", "--to", "2026-04-30", "--json"
    )
    assert (told.document["from"], told.document["to"]) == ("2026-04-01", "2026-04-30")
    assert [(task["day"], task["words"]) for task in told.document["tasks"]] == [
        ("2026-04-12", "Fetch straw")
    ]


def test_a_book_with_nothing_due_says_so(command: Command, tmp_path: Path) -> None:
    command("new", tmp_path / "flock.db")
    told = command("diary", tmp_path / "flock.db", "--today", "2026-03-11")
    assert (told.code, told.out) == (0, "Nothing is due from 2026-03-11 to 2026-03-17.\n")
    file = tmp_path / "yard.ics"
    refused = command("diary", tmp_path / "flock.db", "--ics", file)
    assert (refused.code, file.exists()) == (1, False)
    assert refused.err.count("\n") == 1


def test_a_calendar_is_written_and_written_again(command: Command, yard: Path, tmp_path: Path) -> None:
    file = tmp_path / "yard.ics"
    done = command("diary", yard, "--today", "2026-03-11", "--ics", file)
    assert (done.code, "yard.ics" in done.out) == (0, True)
    first = file.read_bytes()
    summaries = {str(event["SUMMARY"]) for event in Calendar.from_ical(first).walk("VEVENT")}
    assert {"Fetch straw", "Move W24-11 Avens to Lane"} <= summaries
    command("diary", yard, "--today", "2026-03-11", "--ics", file)
    assert file.read_bytes() == first


def test_a_file_that_cannot_be_written_and_days_the_wrong_way_round_are_told(
    command: Command, yard: Path, tmp_path: Path
) -> None:
    lost = command("diary", yard, "--today", "2026-03-11", "--ics", tmp_path / "no" / "yard.ics")
    assert (lost.code, lost.err.count("\n")) == (2, 1)
    turned = command("diary", yard, "--from", "2026-04-01", "--to", "2026-03-01")
    assert (turned.code, turned.err) == (
        2,
        "2026-03-01 is before 2026-04-01: give the earlier day as --from.\n",
    )
