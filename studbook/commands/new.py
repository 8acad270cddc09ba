"""``studbook new``: an empty book."""

import argparse
from pathlib import Path

from studbook.book.opening import create_book
from studbook.book.records import BookDetails
from studbook.commands.command import DONE, Command
from studbook.season.species import all_species
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", type=Path, help=_("where to make it; nothing is overwritten"))
    parser.add_argument("--keeper", default="", help=_("who keeps the flock"))
    parser.add_argument("--yard", default="", help=_("the name of the yard"))
    parser.add_argument("--breed", default="", help=_("the breed most birds will be of"))
    parser.add_argument("--species", choices=sorted(all_species()), default="chicken", help=_("its species"))


def run(arguments: argparse.Namespace) -> int:
    details = BookDetails(
        id="", keeper=arguments.keeper, yard=arguments.yard, breed=arguments.breed, species=arguments.species
    )
    with create_book(arguments.book, details):
        print(_("Made the empty book {book}.").format(book=arguments.book))
    return DONE


COMMAND = Command("new", later("make an empty book"), add_arguments, run)
