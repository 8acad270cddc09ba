"""``studbook certificate``: the pedigree certificate of a bird, recorded in the book."""

import argparse
from pathlib import Path

from studbook.book.changes import IssueCertificate
from studbook.book.naming import find_bird
from studbook.book.records import Certificate, CertificateId
from studbook.book.relatedness import Relatedness
from studbook.commands.command import DONE, Command, WrongCall, add_book, opened
from studbook.papers.certificate import (
    CertificateOptions,
    certificate_checksum,
    certificate_content,
    new_certificate_number,
    render_certificate,
)
from studbook.papers.content import FEWEST_GENERATIONS, MOST_GENERATIONS, PAPERS
from studbook.words import _, later


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument("bird", metavar="BIRD", help=_("the bird, by mark or name"))
    parser.add_argument(
        "-o", dest="file", metavar="FILE", type=Path, required=True, help=_("the PDF to write")
    )
    parser.add_argument(
        "--generations",
        metavar="N",
        type=int,
        choices=range(FEWEST_GENERATIONS, MOST_GENERATIONS + 1),
        default=4,
        help=_("generations of ancestors: 3, 4 or 5 (4)"),
    )
    parser.add_argument("--paper", choices=PAPERS, default="A4", help=_("the paper (A4)"))
    parser.add_argument("--owner", default="", help=_("the new owner"))


def run(arguments: argparse.Namespace) -> int:
    options = CertificateOptions(generations=arguments.generations, paper=arguments.paper)
    with opened(arguments, read_only=False) as book:
        snapshot = book.snapshot()
        bird = find_bird(snapshot, arguments.bird)
        number = new_certificate_number(snapshot, book.today)
        relatedness = Relatedness(snapshot)
        content = certificate_content(
            snapshot, relatedness, bird, options, book.today, number, arguments.owner
        )
        pdf = render_certificate(content, options, book.photo(content.photo) if content.photo else None)
        try:
            arguments.file.write_bytes(pdf)
        except OSError as error:
            message = _("{file} could not be written: {reason}.")
            raise WrongCall(message.format(file=arguments.file, reason=error.strerror)) from error
        book.keep_figures(relatedness.figures_to_store())
        book.apply(
            IssueCertificate(
                Certificate(
                    id=CertificateId(""),
                    number=number,
                    bird=bird,
                    issued=book.today,
                    owner=arguments.owner,
                    checksum=certificate_checksum(content),
                    generations=options.generations,
                    paper=options.paper,
                )
            )
        )
    message = _("Wrote certificate {number} of {bird} to {file}.")
    print(message.format(number=number, bird=snapshot.bird(bird).called, file=arguments.file))
    return DONE


COMMAND = Command("certificate", later("write a bird's pedigree certificate"), add_arguments, run)
