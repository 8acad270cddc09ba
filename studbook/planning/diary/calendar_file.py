"""The diary as a calendar: the text of an iCalendar file (RFC 5545).

Every task is an all-day event without a time zone: its days are the same wherever the calendar is opened. Its UID is
the lasting key of the task with the id of the book, so that reading a later file moves an event and never doubles
it; SEQUENCE is the number of the last journal entry, which only grows.
"""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta

import studbook
from studbook.book.records import Snapshot
from studbook.planning.diary.agenda import due
from studbook.planning.diary.task import Kind, Standing, Task, kind_word
from studbook.words import _

_LINE_OCTETS = 75
_BACK, _AHEAD = timedelta(days=28), timedelta(days=91)
_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})


def calendar_text(tasks: Iterable[Task], snapshot: Snapshot, written: datetime) -> str:
    """The file, with CRLF at the end of each line; `written` is the time of the last journal entry.

    Raises
    ------
    ValueError
        If there is no task: a calendar file holds one component or more.
    """
    events = [line for task in tasks for line in _event(task, snapshot, written)]
    if not events:
        raise ValueError("a calendar file needs an event")
    lines = (
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//Studbook//Studbook {studbook.__version__}//EN",
        "CALSCALE:GREGORIAN",
        *events,
        "END:VCALENDAR",
    )
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def calendar_days(today: date) -> tuple[date, date]:
    """The days a calendar is given when none are asked for: a quarter ahead, and what was done these four weeks."""
    return today - _BACK, today + _AHEAD


def calendar_tasks(snapshot: Snapshot, first: date, last: date, today: date) -> tuple[Task, ...]:
    """The tasks of these days that a calendar is given: all but those let go undone."""
    tasks = due(snapshot, first, last, today)
    return tuple(task for task in tasks if task.standing(today) is not Standing.GONE)


def uid(task: Task, book: str) -> str:
    """The name by which a calendar knows a task for ever."""
    return f"{task.key.replace('/', '-').replace(' ', '-')}@{book}"


def _event(task: Task, snapshot: Snapshot, written: datetime) -> Iterator[str]:
    # what happens by itself fills its window; what the keeper does stands on its day
    last = task.until if task.kind is Kind.HATCH else task.day
    stamp = written.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    summary = _("Done: {task}").format(task=task.words) if task.is_done else task.words
    yield "BEGIN:VEVENT"
    yield f"UID:{uid(task, snapshot.details.id)}"
    yield f"DTSTAMP:{stamp}"
    yield f"LAST-MODIFIED:{stamp}"
    yield f"SEQUENCE:{snapshot.entry}"
    yield f"DTSTART;VALUE=DATE:{_day(task.first_day)}"
    yield f"DTEND;VALUE=DATE:{_day(last + timedelta(days=1))}"
    yield f"SUMMARY:{_escaped(summary)}"
    if task.hint:
        yield f"DESCRIPTION:{_escaped(task.hint)}"
    yield f"CATEGORIES:{_escaped(kind_word(task.kind))}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _day(day: date) -> str:
    return f"{day.year:04d}{day.month:02d}{day.day:02d}"


def _escaped(text: str) -> str:
    """A TEXT value: line breaks as one sign, no other control characters."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(sign for sign in lines if sign == "\n" or (ord(sign) >= 32 and ord(sign) != 127))
    return kept.translate(_ESCAPED)


def _folded(line: str) -> Iterator[str]:
    """The line in parts of at most 75 octets, no letter cut; all but the first begin with a space."""
    part, size = "", 0
    for sign in line:
        octets = len(sign.encode())
        if size + octets > _LINE_OCTETS:
            yield part
            part, size = " ", 1
        part += sign
        size += octets
    yield part
