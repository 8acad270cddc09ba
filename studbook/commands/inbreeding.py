"""``studbook inbreeding``: F of birds, with how much pedigree is known behind it."""

import argparse

from studbook.book.naming import find_bird
from studbook.book.relatedness import Relatedness, Unknown
from studbook.book.wording import per_cent
from studbook.commands.command import (
    DONE,
    Command,
    add_book,
    add_json,
    add_unknown,
    opened,
    print_json,
    print_table,
)
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument(
        "birds", metavar="BIRD", nargs="*", help=_("marks or names; every bird when none is given")
    )
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot = book.snapshot()
    relatedness = Relatedness(snapshot, Unknown(arguments.unknown))
    chosen = [find_bird(snapshot, text) for text in arguments.birds] or [bird.id for bird in snapshot.birds]
    rows = [snapshot.rows[bird_id] for bird_id in chosen]
    coefficients = relatedness.inbreeding[rows].tolist()
    generations = relatedness.generations[rows].tolist()
    ancestors = [relatedness.known_ancestors(bird_id) for bird_id in chosen]
    birds = [snapshot.bird(bird_id) for bird_id in chosen]
    figures = list(zip(birds, coefficients, generations, ancestors, strict=True))
    if arguments.json:
        print_json(
            {
                "birds": [
                    {
                        "id": bird.id,
                        "mark": bird.mark,
                        "name": bird.name,
                        "inbreeding": inbreeding,
                        "generations": known,
                        "known_ancestors": count,
                    }
                    for bird, inbreeding, known, count in figures
                ]
            }
        )
    else:
        print_table(
            (_("bird"), _("name"), _("F"), _("generations"), _("known ancestors")),
            [
                (bird.called, bird.name, per_cent(inbreeding, 2), f"{known:.2f}", str(count))
                for bird, inbreeding, known, count in figures
            ],
        )
    return DONE


COMMAND = Command("inbreeding", later("inbreeding coefficient F of birds"), add_arguments, run)
