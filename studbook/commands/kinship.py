"""``studbook kinship``: how related cocks and hens are, which is F of their chicks."""

import argparse

from studbook.book.naming import find_bird
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Relatedness, Unknown
from studbook.book.wording import per_cent
from studbook.commands.command import (
    DONE,
    Command,
    WrongCall,
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
    parser.add_argument("--cocks", metavar="A,B", required=True, help=_("the cocks, by mark or name"))
    parser.add_argument("--hens", metavar="C,D", required=True, help=_("the hens, by mark or name"))
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot = book.snapshot()
    cocks = chosen(snapshot, arguments.cocks, Sex.COCK)
    hens = chosen(snapshot, arguments.hens, Sex.HEN)
    kinship = Relatedness(snapshot, Unknown(arguments.unknown)).kinship(cocks, hens)
    cock_names = [snapshot.bird(cock).called for cock in cocks]
    hen_names = [snapshot.bird(hen).called for hen in hens]
    if arguments.json:
        print_json({"cocks": cock_names, "hens": hen_names, "kinship": kinship.tolist()})
    else:
        rows = zip(cock_names, kinship.tolist(), strict=True)
        print_table(
            (_("cock"), *hen_names), [(name, *(per_cent(value, 2) for value in row)) for name, row in rows]
        )
    return DONE


def chosen(snapshot: Snapshot, text: str, sex: Sex) -> list[BirdId]:
    """The birds a comma-separated text names, none of the other sex."""
    birds = [find_bird(snapshot, part.strip()) for part in text.split(",") if part.strip()]
    for bird_id in birds:
        bird = snapshot.bird(bird_id)
        if bird.sex not in (sex, Sex.UNKNOWN):
            message = _("{bird} is a {sex}: name it with the other option.")
            raise WrongCall(message.format(bird=bird.called, sex=_(bird.sex)))
    return birds


COMMAND = Command("kinship", later("kinship of cocks and hens: F of their chicks"), add_arguments, run)
