"""A flock bred by the book in a rotation of three pens, season by season, for histories known by hand."""

from datetime import date, timedelta

from studbook.book.changes import AddBirds, Enter
from studbook.book.door import Book
from studbook.book.husbandry.choosing_rows import Rotation, RotationPen
from studbook.book.husbandry.rows import (
    Batch,
    EggFate,
    Fate,
    Hatchling,
    Husbandry,
    Machine,
    Move,
    Pen,
    Sitting,
    Stay,
)
from studbook.book.ids import (
    BatchId,
    BirdId,
    EggFateId,
    HatchlingId,
    MachineId,
    PenId,
    RotationId,
    RotationPenId,
    SittingId,
    StayId,
)
from studbook.book.records import Bird, BookDetails, Mark, MarkId, MarkKind, Pair, Sex, Snapshot, Status
from studbook.dates import PartialDate

TODAY = date(2027, 2, 14)
BEGUN = date(2023, 2, 1)
RUN = Pen(PenId("run"), "Growing run", position=9, room_large=40)
CABINET = Machine(MachineId("cabinet"), "Cabinet", 60)
NAMES = ("Orchard", "Lane", "Brook", "Hill", "Meadow")


class Rotating:
    """Pens with a cock and some hens each, bred on as the scheme has it; rows may be changed before `snapshot`.

    Every hen leaves a daughter who stays, the first hen of each pen two sons: the first moves one pen on, the
    second is in reserve. The young of the last season are still in the growing run.
    """

    def __init__(self, pens: int = 3, hens: int = 2, seasons: int = 4, sexed: bool = True) -> None:
        self.pens = [
            Pen(PenId(name.lower()), name, position=place, room_large=12)
            for place, name in enumerate(NAMES[:pens], start=1)
        ]
        self.rotation = Rotation(RotationId("rotation"), "Three lines", BEGUN)
        self.places = [
            RotationPen(RotationPenId(f"place {pen.name}"), self.rotation.id, pen.id, number)
            for number, pen in enumerate(self.pens)
        ]
        self.birds: dict[BirdId, Bird] = {}
        self.stays: list[Stay] = []
        self.sittings: list[Sitting] = []
        self.batches: list[Batch] = []
        self.fates: list[EggFate] = []
        self.hatchlings: list[Hatchling] = []
        self.moves: list[Move] = []
        self.sexed = sexed
        self.now: list[tuple[BirdId, list[BirdId]]] = []
        for number, pen in enumerate(self.pens):
            cock = self._bird(f"C{number}", Sex.COCK, date(2021, 4, 20), founder=True)
            mothers = [
                self._bird(f"H{number}{hen}", Sex.HEN, date(2021, 4, 20), founder=True) for hen in range(hens)
            ]
            for bird in (cock, *mothers):
                self._stay(bird, pen.id, BEGUN)
            self.now.append((cock, mothers))
        for season in range(BEGUN.year, BEGUN.year + seasons):
            self.breed(season, is_last=season == BEGUN.year + seasons - 1)

    def breed(self, season: int, *, is_last: bool) -> None:
        """One season: eggs of every pen, chicks, and in the winter after it the change of generations."""
        young: list[tuple[list[BirdId], list[BirdId]]] = []
        for number, pen in enumerate(self.pens):
            cock, hens = self.now[number]
            name = f"{season} {pen.name}"
            set_on = date(season, 3, 25)
            self.sittings.append(Sitting(SittingId(name), set_on, machine=CABINET.id))
            laid = set_on - timedelta(2)
            self.batches.append(
                Batch(BatchId(name), SittingId(name), 12, pen=pen.id, laid_from=laid, laid_to=laid)
            )
            self.fates.append(
                EggFate(EggFateId(name), BatchId(name), Fate.HATCHED, 2 + len(hens), date(season, 4, 15))
            )
            sons = [self._chick(name, f"s{number}{son}", Sex.COCK, season, cock, hens[0]) for son in range(2)]
            daughters = [
                self._chick(name, f"d{number}{place}", Sex.HEN, season, cock, hen)
                for place, hen in enumerate(hens)
            ]
            young.append((sons, daughters))
        if is_last:
            return
        change = date(season + 1, 2, 1)
        for number, pen in enumerate(self.pens):
            cock, hens = self.now[number]
            for bird in (cock, *hens):
                self._leave(bird, change)
            sons, daughters = young[number - 1][0], young[number][1]
            for bird in (sons[0], *daughters):
                self._stay(bird, pen.id, change)
            self._leave(young[number][0][1], change)
            self.now[number] = (sons[0], daughters)

    def snapshot(self) -> Snapshot:
        def by_id(rows):  # type: ignore[no-untyped-def]
            return {row.id: row for row in rows}

        year = Husbandry(
            pens=by_id([*self.pens, RUN]),
            stays=by_id(self.stays),
            sittings=by_id(self.sittings),
            batches=by_id(self.batches),
            machines=by_id([CABINET]),
            egg_fates=by_id(self.fates),
            hatchlings=by_id(self.hatchlings),
            moves=by_id(self.moves),
            rotations=by_id([self.rotation]),
            rotation_pens=by_id(self.places),
        )
        return Snapshot(1, BookDetails("book", yard="Withybrook"), tuple(self.birds.values()), husbandry=year)

    def write(self, book: Book, *, rotation: bool = True) -> None:
        """Enter all of it in an empty book; without the rotation there are pens only."""
        book.apply(AddBirds(tuple(self.birds.values())))
        book.apply(Enter((*self.pens, RUN, CABINET)))
        book.apply(Enter(tuple(self.stays)))
        book.apply(Enter((*self.sittings, *self.batches, *self.fates)))
        book.apply(Enter(tuple(self.hatchlings)))
        if rotation:
            book.apply(Enter((self.rotation, *self.places)))

    def move(self, bird: str, pen: str, on: date) -> None:
        """A bird goes to another pen for good."""
        self._end(BirdId(bird), on)
        self._stay(BirdId(bird), PenId(pen), on)

    def _bird(
        self, name: str, sex: Sex, hatched: date, *, founder: bool = False, pair: Pair | None = None
    ) -> BirdId:
        self.birds[BirdId(name)] = Bird(
            BirdId(name),
            name=name,
            breed="Andalusian",
            sex=sex,
            hatched=PartialDate.of(hatched),
            founder=founder,
            marks=(Mark(MarkId(f"ring {name}"), MarkKind.RING, f"W{name}"),),
            pairs=(pair,) if pair is not None else (),
        )
        return BirdId(name)

    def _chick(self, batch: str, name: str, sex: Sex, season: int, cock: BirdId, hen: BirdId) -> BirdId:
        bird = self._bird(
            f"{season % 100}{name}",
            sex if self.sexed else Sex.UNKNOWN,
            date(season, 4, 15),
            pair=Pair(cock, hen),
        )
        self.hatchlings.append(Hatchling(HatchlingId(f"from {bird}"), bird, BatchId(batch)))
        self._stay(bird, RUN.id, date(season, 4, 15))
        return bird

    def _stay(self, bird: BirdId, pen: PenId, since: date) -> None:
        self._end(bird, since)
        self.stays.append(Stay(StayId(f"{bird} {pen} {since}"), bird, pen, since))

    def _end(self, bird: BirdId, on: date) -> None:
        self.stays = [
            Stay(stay.id, stay.bird, stay.pen, stay.since, on)
            if stay.bird == bird and stay.until is None
            else stay
            for stay in self.stays
        ]

    def _leave(self, bird: BirdId, on: date) -> None:
        self._end(bird, on)
        held = self.birds[bird]
        self.birds[bird] = Bird(
            held.id, name=held.name, breed=held.breed, sex=held.sex, hatched=held.hatched, founder=held.founder,
            marks=held.marks, pairs=held.pairs, status=Status.SOLD, left=PartialDate.of(on),
        )  # fmt: skip
