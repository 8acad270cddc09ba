"""``studbook sheet``: a sheet to hang in the yard, with blanks for a pencil."""

import argparse
from collections.abc import Iterable, Mapping
from pathlib import Path

from studbook.book.records import Snapshot
from studbook.commands.command import DONE, Command, WrongCall, add_book, day, opened
from studbook.papers.sheets.kinds import KINDS, named_in, sheet_of
from studbook.papers.sheets.sheet import PAPERS, render_sheet
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument(
        "kind", metavar="KIND", choices=KINDS, help=_("one of {kinds}").format(kinds=", ".join(KINDS))
    )
    parser.add_argument(
        "-o", dest="file", metavar="FILE", type=Path, required=True, help=_("the PDF to write")
    )
    parser.add_argument("--only", metavar="NAME", help=_("only the card of this pen or sitting (all)"))
    parser.add_argument(
        "--day", metavar="D", type=day, help=_("the day of the sheet, or one of its week (today)")
    )
    parser.add_argument("--paper", choices=PAPERS, default="A4", help=_("the paper (A4)"))


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot, today = book.snapshot(), book.today
    only = _chosen(snapshot, arguments)
    sheet = sheet_of(arguments.kind, snapshot, arguments.day or today, only)
    pdf = render_sheet(sheet, arguments.paper)
    try:
        arguments.file.write_bytes(pdf)
    except OSError as error:
        message = _("{file} could not be written: {reason}.")
        raise WrongCall(message.format(file=arguments.file, reason=error.strerror)) from error
    print(_("Wrote {title} to {file}.").format(title=sheet.title, file=arguments.file))
    return DONE


def _chosen(snapshot: Snapshot, arguments: argparse.Namespace) -> Iterable[str] | None:
    """The ids the call asks for by name; None for all."""
    if arguments.only is None:
        return None
    names: Mapping[str, str] = named_in(arguments.kind, snapshot)
    wanted = arguments.only.strip().casefold()
    found = [row_id for row_id, name in names.items() if name.casefold() == wanted]
    if not found:
        message = _("There is no {name} to print a sheet of: choose one of {names}.")
        known = ", ".join(names.values()) or _("none")
        raise WrongCall(message.format(name=arguments.only, names=known))
    return found


COMMAND = Command("sheet", later("write a sheet to hang in the yard as PDF"), add_arguments, run)
