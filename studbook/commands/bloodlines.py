"""``studbook bloodlines``: founders and what is left of them, kinship, inbreeding and effective size."""

import argparse
import math
import sys

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.book.wording import figure, per_cent
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
from studbook.planning.bloodlines.measuring import REPLICATES, bloodlines_report
from studbook.planning.bloodlines.methods import Figure
from studbook.planning.bloodlines.report import BloodlinesReport, Founder, FounderKey
from studbook.planning.bloodlines.telling import fate_word, figure_words, summary
from studbook.planning.sentences import Sentence, plain
from studbook.season.species import all_species
from studbook.words import _, later, plural

SHOWN_FOUNDERS = 40

# What is listed below the founders, in this order.
FIGURES = (
    Figure.INBREEDING,
    Figure.RECENT_INBREEDING,
    Figure.TREND,
    Figure.MEAN_KINSHIP,
    Figure.GENE_DIVERSITY,
    Figure.FOUNDER_EQUIVALENTS,
    Figure.ANCESTOR_EQUIVALENTS,
    Figure.FOUNDER_GENOME_EQUIVALENTS,
    Figure.ALLELE_RETENTION_EQUIVALENTS,
    Figure.REALISED_SIZE,
    Figure.BREEDERS_SIZE,
    Figure.GENERATION_INTERVAL,
    Figure.COMPLETENESS,
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    parser.add_argument(
        "--living", action="store_true", help=_("count the living flock alone, not every bird of the book")
    )
    parser.add_argument(
        "--species", choices=sorted(all_species()), help=_("count the birds of one species alone")
    )
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot, today = book.snapshot(), book.today
    report = bloodlines_report(
        snapshot,
        today,
        unknown=Unknown(arguments.unknown),
        species=arguments.species,
        living=arguments.living,
    )
    if arguments.json:
        print_json(_document(report, snapshot))
    else:
        kinds = sorted({_(all_species()[bird.species].plural) for bird in snapshot.living})
        if arguments.species is None and len(kinds) > 1:
            text = _("The figures count {kinds} together: --species counts one kind alone.")
            print(text.format(kinds=", ".join(kinds)), file=sys.stderr)
        _tell(report, snapshot)
    return DONE


def _document(report: BloodlinesReport, snapshot: Snapshot) -> dict[str, object]:
    return {
        "birds": report.birds,
        "living": report.living,
        "founders": [_founder(founder, snapshot) for founder in report.founders],
        "mean_kinship": report.mean_kinship,
        "gene_diversity": report.gene_diversity,
        "founder_equivalents": report.founder_equivalents,
        "ancestor_equivalents": report.ancestor_equivalents,
        "founder_genome_equivalents": report.founder_genome_equivalents,
        "allele_retention_equivalents": report.allele_retention_equivalents,
        "mean_inbreeding": report.mean_inbreeding,
        "effective_size": _finite(report.realised.size),
        "effective_size_error": _finite(report.realised.error),
        "effective_size_by_breeders": report.breeders.size,
        "generation_interval_years": report.trend.interval_years,
        "generations": report.generations,
        "recent_inbreeding": report.recent_inbreeding,
        "hatch_years": [
            {
                "year": year.year,
                "birds": year.birds,
                "mean_inbreeding": year.by_convention,
                "mean_inbreeding_cautious": year.cautious,
                "generations": year.generations,
            }
            for year in report.years
        ],
        "replicates": report.replicates,
    }


def _founder(founder: Founder, snapshot: Snapshot) -> dict[str, object]:
    bird = snapshot.bird(founder.key.bird)
    return {
        "mark": _mark(founder.key, snapshot),
        "name": "" if founder.key.is_unknown_parent else bird.name,
        "parent": founder.key.half.value if founder.key.is_unknown_parent else None,
        "contribution": founder.contribution,
        "retained": founder.retained,
        "kept": founder.kept,
        "living_carriers": founder.carrier_count,
        "fate": founder.fate.value,
    }


def _mark(key: FounderKey, snapshot: Snapshot) -> str:
    called = snapshot.bird(key.bird).called
    return _("unknown parent of {bird}").format(bird=called) if key.is_unknown_parent else called


def _finite(number: float | None) -> float | None:
    return number if number is not None and math.isfinite(number) else None


def _tell(report: BloodlinesReport, snapshot: Snapshot) -> None:
    def told(sentence: Sentence) -> str:
        return plain(sentence, lambda bird: snapshot.bird(bird).called, figure)

    birds = plural("{count} bird in the book", "{count} birds in the book", report.birds)
    living = plural("{count} of them living", "{count} of them living", report.living)
    counted = (
        _("The figures are of the living flock.")
        if report.counts_living
        else _("The figures are of all birds: --living counts the flock of today.")
    )
    print(f"{birds.format(count=report.birds)}, {living.format(count=report.living)}. {counted}")
    for sentence in summary(report, snapshot):
        print(told(sentence))
    if report.founders:
        print()
        print_table(
            (_("founder"), _("name"), _("contribution"), _("retained"), _("carried by"), _("stands")),
            [
                (
                    _mark(founder.key, snapshot),
                    "" if founder.key.is_unknown_parent else snapshot.bird(founder.key.bird).name,
                    per_cent(founder.contribution),
                    per_cent(founder.retained),
                    str(founder.carrier_count),
                    fate_word(founder.fate),
                )
                for founder in report.founders[:SHOWN_FOUNDERS]
            ],
        )
        more = len(report.founders) - SHOWN_FOUNDERS
        if more > 0:
            text = plural("and {count} more founder", "and {count} more founders", more)
            print(text.format(count=more))
    print()
    for each in FIGURES:
        words = figure_words(each, report, snapshot)
        print(_("{title}: {value}").format(title=words.title, value=told(words.value)))
    if 0 < report.replicates < REPLICATES:
        text = _("Genes were dropped {count} times only, as the book is large.")
        print(text.format(count=report.replicates))


COMMAND = Command("bloodlines", later("founders and figures of the flock"), add_arguments, run)
