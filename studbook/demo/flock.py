"""The story of `story` played into a new book, through the one door, the same rows every time.

Chance (sexes, colours, losses) is drawn for each brood from a generator of its own, so that a change to one brood
leaves the others as they are.
"""

import uuid
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from random import Random

from studbook.book import changes
from studbook.book.changes.importing import ImportBirds
from studbook.book.door import Book
from studbook.book.opening import create_book
from studbook.book.records import (
    Bird,
    BirdId,
    Certificate,
    CertificateId,
    ContactId,
    Mark,
    MarkId,
    MarkKind,
    OriginId,
    Pair,
    Sex,
    Status,
)
from studbook.book.relatedness import Relatedness
from studbook.dates import PartialDate
from studbook.demo import people, portraits, story
from studbook.demo.diary import Diary
from studbook.demo.plumage import Plumage, chick_colour
from studbook.demo.story import Bought, Brood, Leaving, Remark, Season
from studbook.papers.content import (
    CertificateOptions,
    certificate_checksum,
    certificate_content,
    new_certificate_number,
)

SEED = "Withybrook"


@dataclass(frozen=True, slots=True)
class Kind:
    """What differs between the two flocks: words, marks and the age at which a ring goes on."""

    species: str
    breed: str
    comb: str
    ring_series: str
    ring_sizes: dict[Sex, str]
    ring_age_days: int


FOWL = Kind("chicken", "Andalusian", "single", "W", {Sex.COCK: "18 mm", Sex.HEN: "16 mm"}, 63)
DUCKS = Kind("duck", "Call Duck", "", "D", {Sex.COCK: "11 mm", Sex.HEN: "11 mm"}, 35)

CHICK_LOSSES = (
    "weak from the hatch",
    "found dead",
    "crow",
    "trodden in the nest",
    "drowned in the drinker",
    "coccidiosis",
    "chilled",
)
WAYS_TO_STRAY = ("strayed on the moor", "hawk seen over the run")

TOE_PUNCHES = (
    ("left outer", "left foot"),
    ("left inner", "left foot"),
    ("right inner", "right foot"),
    ("right outer", "right foot"),
    ("both outer", "both feet"),
    ("both inner", "both feet"),
    ("left both", "left foot"),
    ("right both", "right foot"),
    ("all four", "both feet"),
)
"""One pattern of punched webs for each brood of a year; left and right are the bird's own."""

CHICK_RINGS = ("yellow", "pink", "green", "white", "orange", "blue", "red", "violet", "black", "turquoise")
"""One colour of spiral ring for each brood of a year; it comes off when the numbered ring goes on."""

SELLING_AGE_DAYS = 80
TABLE_DAYS = (("10-24", 165), ("11-21", 120))
"""When surplus cockerels are killed, and how old they are at least."""

NAMING_DAY = "10-31"
DUCK_SALE_DAY = "10-05"
CERTIFIED_FROM = 2022
"""The first year in which young birds are sold with papers; named birds always were."""


def build_flock(path: Path) -> None:
    """Write the sample book to `path`.

    Raises
    ------
    BookUnusable
        If something stands there already.
    """
    diary = Diary(story.BEGUN)
    numbers = Random(SEED)

    def new_id() -> str:
        return str(uuid.UUID(int=numbers.getrandbits(128), version=4))

    with create_book(path, people.DETAILS, clock=diary.now, ids=new_id) as book:
        Telling(book, diary).tell()


class Telling:
    """One playing of the story: who is who, which young birds were raised to be sold, which rings are used."""

    def __init__(self, book: Book, diary: Diary) -> None:
        self._book = book
        self._diary = diary
        self._named: dict[str, BirdId] = {}
        self._raised: dict[tuple[str, int], list[BirdId]] = defaultdict(list)
        self._rings_used: dict[str, int] = {}
        self._contacts: dict[str, ContactId] = {}
        self._origins: dict[str, OriginId] = {}

    def tell(self) -> None:
        """Play everything from the first bird bought to the last remark."""
        plan = self._diary.plan
        plan(story.BEGUN, self._write_people)
        for arrived in sorted({bought.arrived for bought in story.FOUNDERS}):
            group = tuple(bought for bought in story.FOUNDERS if bought.arrived == arrived)
            plan(date.fromisoformat(arrived), partial(self._buy, group, FOWL))
        plan(date.fromisoformat(story.NEW_COCK.arrived), partial(self._buy, (story.NEW_COCK,), FOWL))
        plan(date.fromisoformat(story.CALL_DUCKS[0].arrived), partial(self._buy, story.CALL_DUCKS, DUCKS))
        for season in story.SEASONS:
            self._plan_season(season)
        for leaving in story.LEAVINGS:
            plan(date.fromisoformat(leaving.on), partial(self._leave, leaving))
        for remark in story.REMARKS:
            plan(PartialDate.parse(remark.on).latest, partial(self._remark, remark))
        for taken, name, caption in story.PHOTOGRAPHED:
            plan(date.fromisoformat(taken), partial(self._photograph, name, caption))
        self._plan_mishaps()
        self._diary.play()

    def _plan_season(self, season: Season) -> None:
        for kind, broods in ((FOWL, season.broods), (DUCKS, season.ducklings)):
            for number, brood in enumerate(broods):
                hatched = PartialDate.parse(f"{season.year}-{brood.hatched}")
                written = (
                    hatched.earliest + timedelta(days=1)
                    if hatched.day
                    else date(season.year, hatched.month or 1, 30)
                )
                self._diary.plan(written, partial(self._hatch, season, kind, number, brood, hatched))

        def on_day(day: str) -> date:
            return date.fromisoformat(f"{season.year}-{day}")

        if season.fox:
            self._diary.plan(on_day(season.fox), partial(self._fox, season))
        for number, (day, buyer) in enumerate(season.sales):
            is_last = number == len(season.sales) - 1
            self._diary.plan(on_day(day), partial(self._sell_young, season, buyer, is_last))
        for day, age_days in TABLE_DAYS:
            self._diary.plan(on_day(day), partial(self._kill_cockerels, season, age_days))
        self._diary.plan(on_day(NAMING_DAY), partial(self._write_names, season))
        if season.ducklings:
            self._diary.plan(on_day(DUCK_SALE_DAY), partial(self._sell_ducklings, season.year))

    def _plan_mishaps(self) -> None:
        plan = self._diary.plan
        plan(date.fromisoformat(story.RERINGED.on), partial(self._ring_again, story.RERINGED.name))
        plan(date.fromisoformat(story.RING_CUT_OFF.on), partial(self._take_ring_off, story.RING_CUT_OFF.name))
        plan(date.fromisoformat(story.MISTAKEN_DAM.on), self._mistake_parents)
        plan(date.fromisoformat(story.MISTAKEN_DAM.seen), self._correct_parents)
        plan(date.fromisoformat(story.ENTERED_TWICE.on), self._enter_twice)

    @property
    def _today(self) -> PartialDate:
        return PartialDate.of(self._diary.today)

    def _bird(self, bird_id: BirdId) -> Bird:
        return self._book.snapshot().bird(bird_id)

    def _write_people(self) -> None:
        for contact in people.CONTACTS:
            self._book.apply(changes.AddContact(contact))
        for origin in people.ORIGINS:
            self._book.apply(changes.AddOrigin(origin))
        snapshot = self._book.snapshot()
        self._contacts = {contact.name: contact.id for contact in snapshot.contacts}
        self._origins = {origin.name: origin.id for origin in snapshot.origins}

    def _buy(self, group: tuple[Bought, ...], kind: Kind) -> None:
        birds: list[Bird] = []
        nests: dict[str, Pair] = {}
        for bought in group:
            if bought.nest and bought.nest not in nests:
                parents = self._placeholders(bought, kind)
                birds += parents
                nests[bought.nest] = Pair(parents[0].id, parents[1].id, reason="out of one nest")
            bird = self._bought(bought, kind)
            birds.append(replace(bird, pairs=(nests[bought.nest],)) if bought.nest else bird)
            self._named[bought.name] = bird.id
        self._book.apply(changes.AddBirds(tuple(birds)))

    def _placeholders(self, bought: Bought, kind: Kind) -> tuple[Bird, Bird]:
        """The two birds nothing is known of but that one nest was theirs."""

        def parent(sex: Sex, name: str) -> Bird:
            return Bird(
                BirdId(self._book.new_id()), name=name, species=kind.species, breed=kind.breed, sex=sex,
                placeholder=True, founder=True, origin=self._origins[bought.origin],
            )  # fmt: skip

        return parent(Sex.COCK, f"Cock of {bought.nest}"), parent(Sex.HEN, f"Hen of {bought.nest}")

    def _bought(self, bought: Bought, kind: Kind) -> Bird:
        sex = _sex_of(bought.name)
        arrived = PartialDate.parse(bought.arrived)
        if bought.ring:
            ring = self._ring(kind, sex, bought.ring, "")
        else:
            ring = self._ring(kind, sex, self._next_ring(kind, arrived.earliest.year), "red")
        return Bird(
            BirdId(self._book.new_id()),
            name=bought.name,
            species=kind.species,
            breed=kind.breed,
            sex=sex,
            hatched=PartialDate.parse(bought.hatched),
            colour=bought.colour,
            comb=kind.comb,
            origin=self._origins[bought.origin],
            breeder=self._contacts[people.BREEDERS[bought.origin]],
            arrived=arrived,
            marks=(ring,),
        )

    def _next_ring(self, kind: Kind, year: int) -> str:
        series = f"{kind.ring_series}{year % 100:02d}"
        self._rings_used[series] = self._rings_used.get(series, 0) + 1
        return f"{series}-{self._rings_used[series]:02d}"

    def _ring(self, kind: Kind, sex: Sex, code: str, colour: str) -> Mark:
        """A closed ring put on today: on the right leg of a cock, on the left of a hen."""
        place = "right leg" if sex is Sex.COCK else "left leg"
        return Mark(MarkId(""), MarkKind.RING, code, place, colour, kind.ring_sizes[sex], since=self._today)

    def _pairs(self, text: str) -> tuple[Pair, ...]:
        return tuple(
            Pair(
                self._named[sire],
                self._named[dam] if dam else None,
                weight,
                reason=""
                if weight == 1
                else "either cock may be the sire"
                if text.count(dam) > 1
                else "eggs of two pens mixed",
            )
            for sire, dam, weight in parse_parents(text)
        )

    def _hatch(self, season: Season, kind: Kind, number: int, brood: Brood, hatched: PartialDate) -> None:
        rng = Random(f"{SEED} {season.year} {kind.species} {number}")
        pairs = self._pairs(brood.parents)
        colours = [self._chick_colour(pairs, kind, rng) for _ in range(brood.chicks)]
        mark = self._provisional(season, number) if kind is FOWL else ()
        entry = self._book.apply(
            changes.RegisterHatch(
                hatched,
                pairs,
                tuple(changes.Chick(mark, colour=colour) for colour in colours),
                rearer=self._named[brood.rearer] if brood.rearer else None,
                species=kind.species,
                breed=kind.breed,
            )
        )
        chicks = list(entry.birds)
        kept = self._choose(chicks, brood.keeps.split())
        sexes = {chick: Sex.COCK if rng.random() < 0.5 else Sex.HEN for chick in chicks}
        sexes |= {chick: _sex_of(name) for name, chick in kept.items()}
        others = [chick for chick in chicks if chick not in kept.values()]
        self._raised[kind.species, season.year] += others
        self._plan_losses(others, rng)
        ringing = self._diary.today + timedelta(days=kind.ring_age_days)
        self._diary.plan(ringing, partial(self._ring_brood, season, kind, sexes))
        self._named |= kept

    def _chick_colour(self, pairs: tuple[Pair, ...], kind: Kind, rng: Random) -> str:
        if kind is DUCKS:
            return "mallard"
        drawn = rng.random()
        for pair in pairs:
            drawn -= pair.weight
            if drawn < 0:
                break
        return chick_colour(self._plumage(pair.sire), self._plumage(pair.dam), rng)

    def _plumage(self, bird_id: BirdId | None) -> Plumage | None:
        return Plumage(self._bird(bird_id).colour) if bird_id else None

    def _provisional(self, season: Season, number: int) -> tuple[Mark, ...]:
        """The mark the chicks of one brood share until they wear rings."""
        if season.provisional is MarkKind.TOE_PUNCH:
            code, place = TOE_PUNCHES[number]
            return (Mark(MarkId(""), MarkKind.TOE_PUNCH, code, place, since=self._today),)
        if season.provisional is MarkKind.RING_COLOUR:
            colour = CHICK_RINGS[number]
            return (Mark(MarkId(""), MarkKind.RING_COLOUR, colour, "both legs", colour, since=self._today),)
        return ()

    def _choose(self, chicks: list[BirdId], names: list[str]) -> dict[str, BirdId]:
        """The chicks that stay: cocks are chosen first, and blue if there is one."""
        left = list(chicks)
        kept: dict[str, BirdId] = {}
        for name in sorted(names, key=lambda name: name not in story.COCKS):
            blue = [chick for chick in left if self._bird(chick).colour == Plumage.BLUE]
            kept[name] = blue[0] if blue and name in story.COCKS else left[0]
            left.remove(kept[name])
        return kept

    def _plan_losses(self, chicks: Iterable[BirdId], rng: Random) -> None:
        for chick in chicks:
            drawn = rng.random()
            if drawn < 0.1:
                on = self._diary.today + timedelta(days=1 + int(40 * rng.random() ** 2))
                cause = CHICK_LOSSES[int(rng.random() * len(CHICK_LOSSES))]
                self._diary.plan(on, partial(self._lose, chick, Status.DIED, cause))
            elif drawn < 0.13:
                on = self._diary.today + timedelta(days=66 + int(20 * rng.random()))
                cause = WAYS_TO_STRAY[int(rng.random() * len(WAYS_TO_STRAY))]
                self._diary.plan(on, partial(self._lose, chick, Status.LOST, cause))

    def _lose(self, chick: BirdId, status: Status, cause: str) -> None:
        if self._bird(chick).is_living:
            self._book.apply(changes.SetStatus((chick,), status, self._today, cause))

    def _ring_brood(self, season: Season, kind: Kind, sexes: dict[BirdId, Sex]) -> None:
        grown: list[tuple[Bird, Bird]] = []
        for bird in [self._bird(chick) for chick in sexes if self._bird(chick).is_living]:
            for mark in bird.marks:
                if mark.kind is MarkKind.RING_COLOUR:
                    self._book.apply(changes.EditMark(mark, replace(mark, until=self._today)))
            ring = self._ring(kind, sexes[bird.id], self._next_ring(kind, season.year), season.ring_colour)
            bird = self._bird(bird.id)
            grown.append((bird, replace(bird, sex=sexes[bird.id], comb=kind.comb, marks=(*bird.marks, ring))))
        self._book.apply(ImportBirds((), tuple(grown)), why="Ring list")

    def _write_names(self, season: Season) -> None:
        """The birds that stay get their names in the autumn, all on one list."""
        names = [name for brood in (*season.broods, *season.ducklings) for name in brood.keeps.split()]
        birds = [self._bird(self._named[name]) for name in names]
        named = tuple((bird, replace(bird, name=name)) for bird, name in zip(birds, names, strict=True))
        self._book.apply(ImportBirds((), named), why="Names of those that stay")

    def _growers(self, kind: Kind, year: int) -> list[Bird]:
        """The young birds of a year that nobody has chosen, sold or lost yet."""
        raised = (self._bird(chick) for chick in self._raised[kind.species, year])
        return [bird for bird in raised if bird.is_living]

    def _fox(self, season: Season) -> None:
        """The night a fox found the growers: every third of them."""
        rng = Random(f"{SEED} fox {season.year}")
        taken = tuple(bird.id for bird in self._growers(FOWL, season.year) if rng.random() < 0.35)
        self._book.apply(changes.SetStatus(taken, Status.DIED, self._today, "fox"), why=story.FOX_HOLE)

    def _ready(self, season: Season, sex: Sex, age_days: int) -> list[BirdId]:
        """The growers of a sex that are old enough today."""
        latest = self._diary.today - timedelta(days=age_days)
        growers = self._growers(FOWL, season.year)
        return [bird.id for bird in growers if bird.sex is sex and bird.hatched.latest <= latest]

    def _sell_young(self, season: Season, buyer: str, is_last: bool) -> None:
        pullets = self._ready(season, Sex.HEN, SELLING_AGE_DAYS)
        cockerels = self._ready(season, Sex.COCK, SELLING_AGE_DAYS)
        lot = pullets if is_last else pullets[: max(2, len(pullets) // 3)]
        certified = lot[:1] if season.year >= CERTIFIED_FROM else []
        self._sell([*lot, *cockerels[:1]], buyer, certified)

    def _sell_ducklings(self, year: int) -> None:
        self._sell([bird.id for bird in self._growers(DUCKS, year)], story.DUCK_BUYER, certified=[])

    def _sell(self, birds: list[BirdId], buyer: str, certified: list[BirdId]) -> None:
        for bird in certified:
            self._certify(bird, buyer)
        self._book.apply(
            changes.SetStatus(tuple(birds), Status.SOLD, self._today, taker=self._contacts[buyer])
        )

    def _certify(self, bird: BirdId, owner: str) -> None:
        snapshot = self._book.snapshot()
        today = self._diary.today
        number = new_certificate_number(snapshot, today)
        options = CertificateOptions()
        content = certificate_content(snapshot, Relatedness(snapshot), bird, options, today, number, owner)
        certificate = Certificate(
            CertificateId(""), number, bird, today, owner, certificate_checksum(content),
            options.generations, options.paper,
        )  # fmt: skip
        self._book.apply(changes.IssueCertificate(certificate))

    def _kill_cockerels(self, season: Season, age_days: int) -> None:
        ready = tuple(self._ready(season, Sex.COCK, age_days))
        if ready:
            cause = "surplus cockerel, for the table"
            self._book.apply(changes.SetStatus(ready, Status.CULLED, self._today, cause))

    def _leave(self, leaving: Leaving) -> None:
        birds = [self._named[name] for name in leaving.names.split()]
        if leaving.what not in self._contacts:
            change = changes.SetStatus(tuple(birds), leaving.status, self._today, leaving.what)
            self._book.apply(change, leaving.why)
            return
        if leaving.status is Status.SOLD:
            for bird in birds:
                self._certify(bird, leaving.what)
        taker = self._contacts[leaving.what]
        self._book.apply(
            changes.SetStatus(tuple(birds), leaving.status, self._today, taker=taker), leaving.why
        )

    def _remark(self, remark: Remark) -> None:
        on = PartialDate.parse(remark.on)
        self._book.apply(changes.AddNote(self._named[remark.name], on, remark.text))

    def _photograph(self, name: str, caption: str) -> None:
        bird = self._bird(self._named[name])
        picture = portraits.portrait(bird.species, bird.sex, bird.colour, name)
        self._book.apply(
            changes.AddPhoto(
                bird.id,
                picture.content,
                picture.thumbnail,
                picture.width,
                picture.height,
                caption,
                self._today,
            )
        )

    def _ring_again(self, name: str) -> None:
        """A ring is lost; the bird wears the next of the year from today."""
        bird = self._bird(self._named[name])
        self._take_ring_off(name)
        code = self._next_ring(FOWL, self._diary.today.year)
        ring = self._ring(FOWL, bird.sex, code, _ring_colour(self._diary.today.year))
        self._book.apply(changes.AddMarks(((bird.id, ring),)), why=story.RERINGED.why)

    def _take_ring_off(self, name: str) -> None:
        bird = self._bird(self._named[name])
        ring = next(mark for mark in bird.marks if mark.is_worn and mark.kind is MarkKind.RING)
        self._book.apply(changes.EditMark(ring, replace(ring, until=self._today)))

    def _mistake_parents(self) -> None:
        mistake = story.MISTAKEN_DAM
        self._book.apply(changes.SetParents(self._named[mistake.name], self._pairs(mistake.wrong)))

    def _correct_parents(self) -> None:
        mistake = story.MISTAKEN_DAM
        self._book.apply(
            changes.SetParents(self._named[mistake.name], self._pairs(mistake.right)), why=mistake.why
        )

    def _enter_twice(self) -> None:
        """A chick entered on its own that had been registered with its hatch, and struck out again."""
        twice = story.ENTERED_TWICE
        first = self._bird(self._named[twice.name])
        again = replace(first, id=BirdId(self._book.new_id()), marks=(), name="")
        self._book.apply(changes.AddBirds((again,)))
        self._book.apply(changes.StrikeOut((again.id,), twice.why))


def parse_parents(text: str) -> tuple[tuple[str, str, float], ...]:
    """The candidate pairs `text` names: sire, dam (empty when nobody saw her), weight."""
    pairs = []
    for pair in text.split(" / "):
        sire, _times, dam, *weight = pair.split()
        pairs.append((sire, "" if dam == "?" else dam, float(weight[0]) if weight else 1.0))
    return tuple(pairs)


def _sex_of(name: str) -> Sex:
    return Sex.COCK if name in story.COCKS else Sex.HEN


def _ring_colour(year: int) -> str:
    return next(season.ring_colour for season in story.SEASONS if season.year == year)
