"""The command line as a whole: parse, run, and turn every failure into one sentence and an exit code."""

import argparse
import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import studbook
from studbook.book.errors import RecordProblems, StudbookError
from studbook.commands import (
    bloodlines,
    certificate,
    check,
    diary,
    explain,
    export,
    forecast,
    importing,
    inbreeding,
    kinship,
    new,
    plan,
    sheet,
    tree,
)
from studbook.commands.command import PROBLEMS, WRONG_CALL
from studbook.words import _

ALL = (
    new.COMMAND,
    importing.COMMAND,
    export.COMMAND,
    check.COMMAND,
    inbreeding.COMMAND,
    kinship.COMMAND,
    explain.COMMAND,
    plan.COMMAND,
    bloodlines.COMMAND,
    forecast.COMMAND,
    tree.COMMAND,
    certificate.COMMAND,
    diary.COMMAND,
    sheet.COMMAND,
)


def build_parser() -> argparse.ArgumentParser:
    """The parser of every command."""
    parser = argparse.ArgumentParser(
        prog="studbook",
        description=_("The studbook of a small breeding flock."),
        epilog=_("studbook [BOOK] [--today D] [--picture FILE.png] opens the window."),
    )
    parser.add_argument("--version", action="version", version=f"studbook {studbook.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in ALL:
        own = commands.add_parser(command.name, help=_(command.summary), description=_(command.summary))
        command.add_arguments(own)
        own.set_defaults(run=command.run)
    return parser


@contextmanager
def _uncollected() -> Iterator[None]:
    """No passes of the cycle collector: over the birds of a large list they took a third of an import's time."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()


def run(argv: list[str]) -> int:
    """Run one command line (without the program's name); the exit code.

    Raises
    ------
    SystemExit
        After ``--help`` (0) or a call that cannot be parsed (2).
    """
    arguments = build_parser().parse_args(argv)
    try:
        with _uncollected():
            return int(arguments.run(arguments))
    except RecordProblems as refused:
        for problem in refused.problems:
            print(problem.message, file=sys.stderr)
        return PROBLEMS
    except StudbookError as error:
        print(error, file=sys.stderr)
        return WRONG_CALL
    except BrokenPipeError:
        # the reader of our output has gone; nothing is left to say
        sys.stderr.close()
        return PROBLEMS
