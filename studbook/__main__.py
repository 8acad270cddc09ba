"""The one command: a first word that is no command is a book, and opens the window."""

import argparse
import sys
from datetime import date
from pathlib import Path

from studbook.commands import is_command
from studbook.words import _


def main(argv: list[str] | None = None) -> int:
    """Run `argv` and give the exit code: 0 done, 1 the records have problems, 2 the call or file is wrong."""
    words = sys.argv[1:] if argv is None else argv
    if words and is_command(words[0]):
        from studbook.commands.main import run  # the commands load the record, the window starts without it

        return run(words)
    options = _parser().parse_args(words)
    from studbook.desk import app  # the commands run where there is no Qt

    return app.run(options.book, options.today, options.picture)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="studbook", description=_("Open the window."))
    parser.add_argument("book", nargs="?", type=Path, metavar="BOOK", help=_("the book to open"))
    parser.add_argument("--today", type=date.fromisoformat, metavar="D", help=_("the day it is"))
    parser.add_argument(
        "--picture", type=Path, metavar="FILE.png", help=_("paint the window into a file and end")
    )
    return parser


if __name__ == "__main__":
    import multiprocessing  # only a frozen program's worker processes need it before the rest

    multiprocessing.freeze_support()
    sys.exit(main())
