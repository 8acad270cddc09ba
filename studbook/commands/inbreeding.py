"""``studbook inbreeding``: F of birds, with how much pedigree is known behind it."""

import argparse

from studbook.book.naming import find_bird
from studbook.book.relatedness import Relatedness, Unknown
from studbook.commands.command import (
    DONE,
    Command,
    add_book,
    add_json,
    add_unknown,
    opened,
    per_cent,
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
    birds = [
        {
            "id": bird_id,
            "mark": snapshot.bird(bird_id).mark,
            "name": snapshot.bird(bird_id).name,
            "inbreeding": float(relatedness.inbreeding[snapshot.rows[bird_id]]),
            "generations": float(relatedness.generations[snapshot.rows[bird_id]]),
            "known_ancestors": relatedness.known_ancestors(bird_id),
        }
        for bird_id in chosen
    ]
    if arguments.json:
        print_json({"birds": birds})
    else:
        print_table(
            (_("bird"), _("name"), _("F"), _("generations"), _("known ancestors")),
            [
                (
                    snapshot.bird(bird_id).called,
                    row["name"],
                    per_cent(row["inbreeding"]),
                    f"{row['generations']:.2f}",
                    str(row["known_ancestors"]),
                )
                for bird_id, row in zip(chosen, birds, strict=True)
            ],
        )
    return DONE


COMMAND = Command("inbreeding", later("inbreeding coefficient F of birds"), add_arguments, run)
