"""``studbook export``: every bird of a book as a list that import reads."""

import argparse
from pathlib import Path

from studbook.book.export import export_csv
from studbook.commands.command import DONE, Command, add_book, opened
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("file", metavar="FILE", type=Path, help=_("the list to write: .csv or .xlsx"))


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot = book.snapshot()
    export_csv(snapshot, arguments.file)
    print(_("Wrote {count} birds to {file}.").format(count=len(snapshot.birds), file=arguments.file))
    return DONE


COMMAND = Command("export", later("write every bird as a list that import reads"), add_arguments, run)
