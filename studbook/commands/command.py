"""What every command has, and what most of them need: a book, a bird, a table, a document."""

import argparse
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from studbook.book.door import Book
from studbook.book.errors import StudbookError
from studbook.book.opening import open_book
from studbook.words import _

DONE, PROBLEMS, WRONG_CALL = 0, 1, 2


class Run(Protocol):
    """What a command does with its arguments; the number is the exit code."""

    def __call__(self, arguments: argparse.Namespace) -> int: ...


class AddArguments(Protocol):
    """What a command declares of itself."""

    def __call__(self, parser: argparse.ArgumentParser) -> None: ...


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, its one line of help (translated when shown), its arguments and what it does."""

    name: str
    summary: str
    add_arguments: AddArguments
    run: Run


class WrongCall(StudbookError):  # noqa: N818 - says what is the matter
    """What was asked cannot be done as written: one sentence says why."""


def day(text: str) -> date:
    """A day of the calendar, as ISO 8601."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            _("{text} is not a day such as 2027-02-14").format(text=text)
        ) from error


def add_book(parser: argparse.ArgumentParser) -> None:
    """The book, and the day that counts as today."""
    parser.add_argument("book", metavar="BOOK", type=Path, help=_("the book: one file"))
    parser.add_argument("--today", metavar="D", type=day, help=_("take this day as today (2027-02-14)"))


def add_json(parser: argparse.ArgumentParser) -> None:
    """The choice of one JSON document instead of a text."""
    parser.add_argument(
        "--json", action="store_true", help=_("print one JSON document, numbers at full precision")
    )


def add_unknown(parser: argparse.ArgumentParser) -> None:
    """How unknown parents count."""
    parser.add_argument(
        "--unknown",
        choices=("unrelated", "flock"),
        default="unrelated",
        help=_("count unknown parents as unrelated (the convention) or as the mean of the flock of the time"),
    )


def opened(arguments: argparse.Namespace, *, read_only: bool = True) -> Book:
    """The book the call names."""
    return open_book(arguments.book, read_only=read_only, today=arguments.today)


def print_json(document: Any) -> None:
    """One JSON document on the standard output."""
    print(json.dumps(document, ensure_ascii=False, indent=2))


def print_table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """A table in columns: the first to the left, the others to the right."""
    lines = [tuple(headings), *(tuple(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(headings))]
    for line in lines:
        cells = [text.rjust(width) for text, width in zip(line[1:], widths[1:], strict=True)]
        print("  ".join([line[0].ljust(widths[0]), *cells]).rstrip())
