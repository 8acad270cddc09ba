"""``studbook tree``: the family tree of a bird as a file."""

import argparse
from pathlib import Path

from studbook.book.naming import find_bird
from studbook.book.relatedness import Relatedness
from studbook.commands.command import DONE, Command, add_book, opened
from studbook.drawing.export import write_drawing
from studbook.drawing.tree import draw_tree
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("bird", metavar="BIRD", help=_("the bird, by mark or name"))
    parser.add_argument(
        "-o", dest="file", metavar="FILE", type=Path, required=True, help=_(".svg, .pdf or .png")
    )
    parser.add_argument("--up", metavar="N", type=int, default=4, help=_("generations of ancestors (4)"))
    parser.add_argument("--down", metavar="N", type=int, default=0, help=_("generations of descendants (0)"))


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot, today = book.snapshot(), book.today
    bird = find_bird(snapshot, arguments.bird)
    inbreeding = Relatedness(snapshot).inbreeding
    drawing = draw_tree(
        snapshot, bird, up=max(arguments.up, 0), down=max(arguments.down, 0), inbreeding=inbreeding
    )
    write_drawing(drawing, arguments.file, on=today)
    print(
        _("Drew the family tree of {bird} to {file}.").format(
            bird=snapshot.bird(bird).called, file=arguments.file
        )
    )
    return DONE


COMMAND = Command("tree", later("draw the family tree of a bird"), add_arguments, run)
