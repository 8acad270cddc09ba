"""``studbook check``: the soundness of the file and every rule of the record."""

import argparse

from studbook.commands.command import DONE, PROBLEMS, Command, add_book, add_json, opened, print_json
from studbook.words import _, later, plural


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        problems = book.check()
    errors = [problem for problem in problems if problem.is_error]
    if arguments.json:
        print_json(
            {
                "ok": not errors,
                "problems": [
                    {
                        "kind": problem.kind,
                        "severity": problem.severity.value,
                        "birds": list(problem.birds),
                        "message": problem.message,
                    }
                    for problem in problems
                ],
            }
        )
    else:
        for problem in problems:
            kind = _("Problem: {message}") if problem.is_error else _("Warning: {message}")
            print(kind.format(message=problem.message))
        if errors:
            text = plural("{count} problem found.", "{count} problems found.", len(errors))
            print(text.format(count=len(errors)))
        else:
            print(_("The book is sound."))
    return PROBLEMS if errors else DONE


COMMAND = Command("check", later("check the file and every rule of the record"), add_arguments, run)
