"""``studbook explain``: where the kinship of a pair comes from."""

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
)
from studbook.words import _, later, plural

SHOWN_PATHS = 3


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("cock", metavar="COCK", help=_("the cock, by mark or name"))
    parser.add_argument("hen", metavar="HEN", help=_("the hen, by mark or name"))
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot = book.snapshot()
    cock, hen = find_bird(snapshot, arguments.cock), find_bird(snapshot, arguments.hen)
    explanation = Relatedness(snapshot, Unknown(arguments.unknown)).explain(cock, hen)
    names = {bird.id: bird.called for bird in snapshot.birds}
    if arguments.json:
        print_json(
            {
                "cock": names[cock],
                "hen": names[hen],
                "kinship": explanation.kinship,
                "ancestors": [
                    {
                        "mark": names[ancestor.bird],
                        "name": snapshot.bird(ancestor.bird).name,
                        "contribution": ancestor.contribution,
                        "path_count": ancestor.path_count,
                        "paths": [[names[bird] for bird in path] for path in ancestor.paths],
                    }
                    for ancestor in explanation.ancestors
                ],
            }
        )
        return DONE
    text = _("Kinship of {cock} and {hen}, and F of their chicks: {kinship}.")
    print(text.format(cock=names[cock], hen=names[hen], kinship=per_cent(explanation.kinship, 2)))
    if not explanation.ancestors:
        print(_("They have no common ancestor in the book."))
    for ancestor in explanation.ancestors:
        paths = plural("{count} path", "{count} paths", ancestor.path_count).format(count=ancestor.path_count)
        print(f"  {names[ancestor.bird]}: {per_cent(ancestor.contribution, 2)} ({paths})")
        for path in ancestor.paths[:SHOWN_PATHS]:
            print("    " + " – ".join(names[bird] for bird in path))
    return DONE


COMMAND = Command("explain", later("common ancestors and paths behind a pair"), add_arguments, run)
