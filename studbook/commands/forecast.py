"""``studbook forecast``: the flock simulated forward under a policy, and when to buy in."""

import argparse
import sys
from collections.abc import Callable
from dataclasses import asdict
from datetime import date

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.book.wording import figure, per_cent
from studbook.commands.command import (
    DONE,
    PROBLEMS,
    Command,
    WrongCall,
    add_book,
    add_json,
    add_unknown,
    opened,
    print_json,
    print_table,
)
from studbook.genetics.breeding_policy import Keep
from studbook.planning.candidates import living_species
from studbook.planning.forecast.buying import BuyingIn, Newcomer, buying_in
from studbook.planning.forecast.habits import cocks_a_year, habits, usual_policies
from studbook.planning.forecast.policy import (
    LIMIT,
    MOST_REPLICATES,
    MOST_YEARS,
    REPLICATES,
    SEED,
    UNRELATED,
    YEARS,
    BuyIn,
    Course,
    Forecast,
    Impossible,
    NoFlock,
    Policy,
    Span,
    TooMany,
    Yard,
    checked,
)
from studbook.planning.forecast.running import forecast
from studbook.planning.forecast.start import may_breed_on
from studbook.planning.forecast.telling import (
    course_words,
    figure_text,
    no_flock_text,
    policy_text,
    summary,
    too_many_text,
    yard_text,
)
from studbook.planning.forecast.telling_buying import best_years_text, buying_words
from studbook.planning.sentences import Sentence, plain
from studbook.season.species import all_species
from studbook.words import _, later

MOST = 100_000
"""No count of birds or chicks is larger."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_book(parser)
    number = _whole(1, MOST)
    parser.add_argument(
        "--years", metavar="Y", type=_whole(1, MOST_YEARS), default=YEARS, help=_("how many years ahead")
    )
    parser.add_argument(
        "--cocks", metavar="N", type=number, help=_("cocks a year (default: as in the last years)")
    )
    parser.add_argument(
        "--hens-per-cock", metavar="M", type=number, help=_("hens to a cock (default: as in the last years)")
    )
    parser.add_argument(
        "--keep",
        choices=[keep.value for keep in Keep],
        default=Keep.RANDOM.value,
        help=_("which young birds are kept to breed from"),
    )
    parser.add_argument(
        "--mate",
        choices=("chance", "apart"),
        help=_(
            "hens go to the cocks by chance, or close matings are avoided (default, unless young birds are "
            "kept by chance)"
        ),
    )
    parser.add_argument(
        "--replace",
        metavar="S",
        type=_share,
        help=_("share of the hens replaced each year, 0 to 1 (default: as in the last years)"),
    )
    parser.add_argument(
        "--seasons", metavar="N", type=_whole(1, MOST_YEARS), default=1, help=_("seasons a cock serves")
    )
    parser.add_argument(
        "--rotate", action="store_true", help=_("pullets stay in their pen, cockerels move to the next")
    )
    parser.add_argument(
        "--doubtful",
        metavar="S",
        type=_share,
        default=0.0,
        help=_("share of the chicks whose sire is in doubt, 0 to 1"),
    )
    parser.add_argument("--chicks", metavar="N", type=number, help=_("chicks reared a year to choose from"))
    parser.add_argument(
        "--new-blood", metavar="K", type=_whole(1, MOST_YEARS), help=_("buy a cock every K years")
    )
    parser.add_argument("--from", dest="yard", metavar="YARD", help=_("the origin they are bought from"))
    parser.add_argument(
        "--related",
        metavar="F",
        type=_share,
        help=_("kinship of the bought cocks with every bird of the flock, for a yard not in the book"),
    )
    parser.add_argument(
        "--buy-in", action="store_true", help=_("say when and from where one cock is best bought")
    )
    parser.add_argument("--species", choices=sorted(all_species()), help=_("the species that is bred on"))
    parser.add_argument(
        "--limit",
        metavar="F",
        type=_share,
        default=LIMIT,
        help=_("say when the mean F of the chicks passes this, 0 to 1"),
    )
    parser.add_argument(
        "--replicates",
        metavar="R",
        type=_whole(1, MOST_REPLICATES),
        default=REPLICATES,
        help=_("how many runs"),
    )
    parser.add_argument(
        "--seed",
        metavar="S",
        type=_whole(0, 2**63),
        default=SEED,
        help=_("the number chance starts from: the same gives the same runs"),
    )
    add_unknown(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    with opened(arguments) as book:
        snapshot, today = book.snapshot(), book.today
    kinds = living_species(snapshot)
    species = arguments.species or (kinds[0] if kinds else snapshot.details.species)
    policy = _policy(arguments, snapshot, species, today)
    unknown = Unknown(arguments.unknown)
    try:
        found = forecast(
            snapshot,
            today,
            [policy],
            species=species,
            years=arguments.years,
            replicates=arguments.replicates,
            seed=arguments.seed,
            limit=arguments.limit,
            unknown=unknown,
        )
        bought = (
            buying_in(
                snapshot,
                today,
                policy,
                species=species,
                years=arguments.years,
                limit=arguments.limit,
                unknown=unknown,
            )
            if arguments.buy_in
            else None
        )
    except NoFlock:
        print(no_flock_text(), file=sys.stderr)
        return PROBLEMS
    except TooMany as too_many:
        print(too_many_text(too_many.count), file=sys.stderr)
        return PROBLEMS
    if arguments.json:
        print_json(_document(found, bought, snapshot))
    else:
        _tell(found, bought, snapshot)
    return DONE


def _policy(arguments: argparse.Namespace, snapshot: Snapshot, species: str, today: date) -> Policy:
    birds = may_breed_on(snapshot, today, species)
    males = sum(bird.sex.value == "cock" for bird in birds)
    usual = usual_policies(habits(snapshot, species, today), males, len(birds) - males)[0]
    cocks = arguments.cocks or usual.cocks
    keep = Keep(arguments.keep)
    apart = keep is not Keep.RANDOM if arguments.mate is None else arguments.mate == "apart"
    replaced = usual.replaced if arguments.replace is None else arguments.replace
    hens_per_cock = arguments.hens_per_cock or max(1, round(usual.hens / cocks))
    policy = Policy(
        cocks_a_year(cocks),
        cocks,
        hens_per_cock,
        keep,
        replaced,
        arguments.seasons,
        apart,
        arguments.rotate,
        arguments.doubtful,
        arguments.chicks or max(usual.chicks, 2 * cocks * hens_per_cock),
        _buy_in(arguments, snapshot),
    )
    try:
        return checked(policy)
    except Impossible as impossible:
        raise WrongCall(impossible.reason) from impossible


def _buy_in(arguments: argparse.Namespace, snapshot: Snapshot) -> BuyIn | None:
    if arguments.new_blood is None:
        if arguments.yard is not None or arguments.related is not None:
            raise WrongCall(
                _("--from and --related say where new blood comes from: say how often with --new-blood K.")
            )
        return None
    yard = UNRELATED if arguments.related is None else Yard(kinship=arguments.related)
    if arguments.yard is not None:
        if arguments.related is not None:
            raise WrongCall(_("--from and --related are two yards: give one of them."))
        wanted = arguments.yard.strip().casefold()
        origin = next((each for each in snapshot.origins if each.name.casefold() == wanted), None)
        if origin is None:
            names = ", ".join(sorted(each.name for each in snapshot.origins)) or _("none")
            text = _("No origin of the book is called “{name}”; it has {names}.")
            raise WrongCall(text.format(name=arguments.yard, names=names))
        yard = Yard(origin.id)
    return BuyIn(arguments.new_blood, arguments.new_blood, yard)


def _document(found: Forecast, bought: BuyingIn | None, snapshot: Snapshot) -> dict[str, object]:
    course = found.courses[0]
    policy = course.policy
    blood = policy.buy_in
    document: dict[str, object] = {
        "first_year": found.first_year,
        "years": found.years,
        "replicates": found.replicates,
        "seed": found.seed,
        "unknown": found.unknown.value,
        "policy": {
            "cocks": policy.cocks,
            "hens_per_cock": policy.hens_per_cock,
            "keep": policy.keep.value,
            "mate": "apart" if policy.mate_apart else "chance",
            "replace": policy.replaced,
            "seasons": policy.seasons,
            "rotate": policy.rotate,
            "doubtful": policy.doubtful,
            "chicks": policy.chicks,
            "new_blood": None
            if blood is None
            else {"every": blood.every, "first": blood.first, "from": yard_text(blood.yard, snapshot)},
        },
        "start": {
            "cocks": [snapshot.bird(bird).called for bird in found.cocks],
            "hens": [snapshot.bird(bird).called for bird in found.hens],
            "mean_inbreeding": found.inbreeding,
            "gene_diversity": found.diversity,
            "founders": found.founders,
        },
        "by_year": [
            {
                "year": year,
                "mean_inbreeding": _span(course.inbreeding[place]),
                "expected_inbreeding": course.exact_inbreeding[place],
                "gene_diversity": _span(course.diversity[place]),
                "expected_gene_diversity": course.exact_diversity[place],
                "founders_kept": _span(course.founders[place]),
                "founder_share": _span(course.founder_share[place]),
            }
            for place, year in enumerate(found.hatch_years)
        ],
        "expected_is_of_policy": policy.is_by_chance,
        "passes": asdict(course.passing),
        "founders": [
            {"mark": snapshot.bird(each.founder).called, "kept": each.kept} for each in course.chances
        ],
    }
    if bought is not None:
        document["buy_in"] = {
            "passes": bought.passes,
            "yards": [_yard(newcomer, bought, snapshot) for newcomer in bought.newcomers],
        }
    return document


def _span(span: Span) -> dict[str, float]:
    return {"mean": span.mean, "low": span.low, "high": span.high}


def _yard(newcomer: Newcomer, bought: BuyingIn, snapshot: Snapshot) -> dict[str, object]:
    return {
        "from": yard_text(newcomer.yard, snapshot),
        "self_relationship": newcomer.gamma,
        "kinship_with_hens": newcomer.with_flock,
        "next_inbreeding": newcomer.inbreeding[0],
        "next_gene_diversity": newcomer.diversity[0],
        "best_years": list(newcomer.best),
        "by_year": [
            {"year": bought.first_year + place, "mean_inbreeding": mean, "passes": passes}
            for place, (mean, passes) in enumerate(zip(newcomer.means, newcomer.passes, strict=True))
        ],
    }


def _tell(found: Forecast, bought: BuyingIn | None, snapshot: Snapshot) -> None:
    def told(sentence: Sentence) -> str:
        return plain(sentence, lambda bird: snapshot.bird(bird).called, figure)

    course = found.courses[0]
    print(_("Policy: {policy}.").format(policy=policy_text(course.policy, snapshot)))
    print(figure_text(found.unknown))
    for sentence in [*summary(found, snapshot), *course_words(course, found)]:
        print(told(sentence))
    print()
    print_table(
        (
            _("hatch year"),
            _("mean F"),
            _("from"),
            _("to"),
            _("by chance"),
            _("gene diversity"),
            _("founders"),
        ),
        [_row(course, place, year) for place, year in enumerate(found.hatch_years)],
    )
    print()
    print(
        _("From and to: nine of ten runs. By chance: exact, for the same numbers kept and mated by chance.")
    )
    print(_("{runs} runs from seed {seed}.").format(runs=found.replicates, seed=found.seed))
    if bought is not None:
        print()
        for sentence in buying_words(bought, snapshot):
            print(told(sentence))
        print()
        print_table(
            (_("bought from"), _("mean F next year"), _("gene diversity"), _("best for")),
            [
                (
                    yard_text(newcomer.yard, snapshot),
                    per_cent(newcomer.inbreeding[0]),
                    per_cent(newcomer.diversity[0]),
                    best_years_text(newcomer),
                )
                for newcomer in bought.newcomers
            ],
        )


def _row(course: Course, place: int, year: int) -> tuple[str, ...]:
    span = course.inbreeding[place]
    return (
        str(year),
        per_cent(span.mean),
        per_cent(span.low),
        per_cent(span.high),
        per_cent(course.exact_inbreeding[place]),
        per_cent(course.diversity[place].mean),
        figure(course.founders[place].mean, 1),
    )


def _whole(least: int, most: int) -> Callable[[str], int]:
    def whole(text: str) -> int:
        if text.isdecimal() and least <= int(text) <= most:
            return int(text)
        raise argparse.ArgumentTypeError(
            _("{text} is not a whole number from {least} to {most}").format(text=text, least=least, most=most)
        )

    return whole


def _share(text: str) -> float:
    try:
        share = float(text)
    except ValueError:
        share = -1.0
    if 0 <= share <= 1:
        return share
    raise argparse.ArgumentTypeError(_("{text} is not a share from 0 to 1").format(text=text))


COMMAND = Command("forecast", later("the flock simulated forward"), add_arguments, run)
