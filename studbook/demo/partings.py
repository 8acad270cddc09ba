"""Birds that leave: sold with papers, given, killed for the table, taken by the fox."""

from datetime import timedelta
from functools import partial
from random import Random

from studbook.book import changes
from studbook.book.records import BirdId, Certificate, CertificateId, Sex, Status
from studbook.book.relatedness import Relatedness
from studbook.demo import story
from studbook.demo.ledger import DUCKS, FOWL, SEED, Ledger, on_day
from studbook.demo.story import Leaving, Season
from studbook.papers.content import (
    CertificateOptions,
    certificate_checksum,
    certificate_content,
    new_certificate_number,
)

SELLING_AGE_DAYS = 80
TABLE_DAYS = (("10-24", 165), ("11-21", 120))
"""When surplus cockerels are killed, and how old they are at least."""

DUCK_SALE_DAY = "10-05"
CERTIFIED_FROM = 2022
"""The first year in which young birds are sold with papers; named birds always were."""

FOX_SHARE = 0.35


def plan_partings(ledger: Ledger, season: Season) -> None:
    """What becomes of the young birds of a season that are not to stay."""
    plan = ledger.diary.plan
    if season.fox:
        plan(on_day(season.year, season.fox), partial(_fox, ledger, season))
    for number, (day, buyer) in enumerate(season.sales, start=1):
        is_last = number == len(season.sales)
        plan(on_day(season.year, day), partial(_sell_young, ledger, season, buyer, is_last))
    for day, age_days in TABLE_DAYS:
        plan(on_day(season.year, day), partial(_kill_cockerels, ledger, season, age_days))
    if season.ducklings:
        plan(on_day(season.year, DUCK_SALE_DAY), partial(_sell_ducklings, ledger, season))


def leave(ledger: Ledger, leaving: Leaving) -> None:
    """Write down how named birds left; whoever was sold got a certificate."""
    birds = tuple(ledger.named[name] for name in leaving.names.split())
    if leaving.what not in ledger.contacts:
        ledger.apply(changes.SetStatus(birds, leaving.status, ledger.today, leaving.what), leaving.why)
        return
    if leaving.status is Status.SOLD:
        for bird in birds:
            _certify(ledger, bird, leaving.what)
    taker = ledger.contacts[leaving.what]
    ledger.apply(changes.SetStatus(birds, leaving.status, ledger.today, taker=taker), leaving.why)


def _fox(ledger: Ledger, season: Season) -> None:
    """The night a fox found the growers."""
    rng = Random(f"{SEED} fox {season.year}")
    taken = tuple(bird.id for bird in ledger.growers(FOWL, season.year) if rng.random() < FOX_SHARE)
    ledger.apply(changes.SetStatus(taken, Status.DIED, ledger.today, "fox"), why=story.FOX_HOLE)


def _ready(ledger: Ledger, season: Season, sex: Sex, age_days: int) -> list[BirdId]:
    """The growers of a sex that are old enough today."""
    latest = ledger.diary.today - timedelta(days=age_days)
    growers = ledger.growers(FOWL, season.year)
    return [bird.id for bird in growers if bird.sex is sex and bird.hatched.latest <= latest]


def _sell_young(ledger: Ledger, season: Season, buyer: str, is_last: bool) -> None:
    """Some pullets and one cockerel; the last buyer of a year takes all the pullets that are left."""
    pullets = _ready(ledger, season, Sex.HEN, SELLING_AGE_DAYS)
    cockerels = _ready(ledger, season, Sex.COCK, SELLING_AGE_DAYS)
    lot = pullets if is_last else pullets[: max(2, len(pullets) // 3)]
    if season.year >= CERTIFIED_FROM:
        for bird in lot[:1]:
            _certify(ledger, bird, buyer)
    _sell(ledger, [*lot, *cockerels[:1]], buyer)


def _sell_ducklings(ledger: Ledger, season: Season) -> None:
    _sell(ledger, [bird.id for bird in ledger.growers(DUCKS, season.year)], story.DUCK_BUYER)


def _sell(ledger: Ledger, birds: list[BirdId], buyer: str) -> None:
    taker = ledger.contacts[buyer]
    ledger.apply(changes.SetStatus(tuple(birds), Status.SOLD, ledger.today, taker=taker))


def _certify(ledger: Ledger, bird: BirdId, owner: str) -> None:
    snapshot, today = ledger.book.snapshot(), ledger.diary.today
    number = new_certificate_number(snapshot, today)
    options = CertificateOptions()
    content = certificate_content(snapshot, Relatedness(snapshot), bird, options, today, number, owner)
    certificate = Certificate(
        CertificateId(""),
        number,
        bird,
        today,
        owner,
        certificate_checksum(content),
        options.generations,
        options.paper,
    )
    ledger.apply(changes.IssueCertificate(certificate))


def _kill_cockerels(ledger: Ledger, season: Season, age_days: int) -> None:
    ready = tuple(_ready(ledger, season, Sex.COCK, age_days))
    if ready:
        cause = "surplus cockerel, for the table"
        ledger.apply(changes.SetStatus(ready, Status.CULLED, ledger.today, cause))
