"""``studbook diary``: what is due in the yard, as a text, as JSON or as a calendar file."""

import argparse
import sys
from datetime import date, timedelta
from pathlib import Path

from studbook.book.door import Book
from studbook.book.errors import BookUnusable
from studbook.book.records import Snapshot
from studbook.commands.command import (
    DONE,
    PROBLEMS,
    Command,
    WrongCall,
    add_book,
    add_json,
    day,
    opened,
    print_json,
)
from studbook.planning.diary.agenda import WEEK_DAYS, agenda, due
from studbook.planning.diary.calendar_file import calendar_days, calendar_tasks, calendar_text
from studbook.planning.diary.task import Standing, Task, late_text
from studbook.words import _, later, plural


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument(
        "--from", dest="first", metavar="D", type=day, help=_("only what is due on this day or later")
    )
    parser.add_argument(
        "--to", dest="last", metavar="D", type=day, help=_("up to this day (by default a week in all)")
    )
    parser.add_argument(
        "--ics",
        metavar="FILE",
        type=Path,
        help=_("write a calendar file; by default from four weeks ago to a quarter ahead"),
    )
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        if arguments.ics is not None:
            return _write(book, arguments.ics, arguments.first, arguments.last)
        snapshot, today = book.snapshot(), book.today
    first: date = arguments.first or today
    last = _checked(first, arguments.last or first + timedelta(days=WEEK_DAYS - 1))
    if arguments.first is None:
        now = agenda(snapshot, today, last=last)
        tasks = (*now.overdue, *now.now, *now.week)
    else:
        tasks = due(snapshot, first, last, today)
    if arguments.json:
        print_json(
            {
                "today": str(today),
                "from": str(first),
                "to": str(last),
                "tasks": [_document(task, snapshot, today) for task in tasks],
            }
        )
    else:
        _tell(tasks, today, first, last)
    return DONE


def _checked(first: date, last: date) -> date:
    if last < first:
        text = _("{last} is before {first}: give the earlier day as --from.")
        raise WrongCall(text.format(last=last, first=first))
    return last


def _write(book: Book, file: Path, first: date | None, last: date | None) -> int:
    snapshot, today = book.snapshot(), book.today
    begin, end = calendar_days(today)
    begin = first or begin
    end = _checked(begin, last or max(begin, end))
    tasks = calendar_tasks(snapshot, begin, end, today)
    if not tasks:
        text = _("Nothing is due from {first} to {last}: no calendar file was written.")
        print(text.format(first=begin, last=end), file=sys.stderr)
        return PROBLEMS
    (entry,) = book.journal(1)
    try:
        file.write_bytes(calendar_text(tasks, snapshot, entry.at).encode())
    except OSError as error:
        text = _("{file} cannot be written: {reason}.")
        raise BookUnusable(text.format(file=file, reason=error.strerror)) from error
    text = plural("Wrote {count} date to {file}.", "Wrote {count} dates to {file}.", len(tasks))
    print(text.format(count=len(tasks), file=file))
    return DONE


def _document(task: Task, snapshot: Snapshot, today: date) -> dict[str, object]:
    return {
        "key": task.key,
        "kind": task.kind.value,
        "day": str(task.day),
        "until": str(task.until),
        "words": task.words,
        "hint": task.hint,
        "birds": [snapshot.bird(bird).called for bird in task.birds if snapshot.has(bird)],
        "pen": task.pen,
        "sitting": task.sitting,
        "standing": task.standing(today).value,
        "days_late": task.days_late(today) if task.standing(today) is Standing.OVERDUE else 0,
    }


def _tell(tasks: tuple[Task, ...], today: date, first: date, last: date) -> None:
    if not tasks:
        print(_("Nothing is due from {first} to {last}.").format(first=first, last=last))
        return
    headings = {
        Standing.OVERDUE: _("Overdue"),
        Standing.NOW: _("Due now, {day}").format(day=today),
        Standing.TO_COME: _("To come"),
        Standing.DONE: _("Done"),
        Standing.GONE: _("Let go"),
    }
    for standing, heading in headings.items():
        found = [task for task in tasks if task.standing(today) is standing]
        if found:
            print(heading)
            for task in found:
                print("  ".join(("", str(task.day), _line(task, today))))


def _line(task: Task, today: date) -> str:
    if task.standing(today) is Standing.OVERDUE:
        return _("{task} ({late})").format(task=task.words, late=late_text(task.days_late(today)))
    return task.words


COMMAND = Command(
    "diary", later("say what is due in the yard, or write it as a calendar"), add_arguments, run
)
