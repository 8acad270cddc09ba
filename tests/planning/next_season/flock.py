"""A flock in memory whose seasons are told by a few counts, for plans whose answers are known by hand."""

from datetime import date, timedelta

from studbook.book.husbandry.rows import (
    Batch,
    Collection,
    EggFate,
    Fate,
    Husbandry,
    Machine,
    Pen,
    Sitting,
    Stay,
)
from studbook.book.ids import (
    BatchId,
    CollectionId,
    EggFateId,
    MachineId,
    PenId,
    SittingId,
    StayId,
    TrialId,
)
from studbook.book.records import Bird, BirdId, BookDetails, Sex, Snapshot, Status
from studbook.dates import UNKNOWN_DATE, PartialDate

TODAY = date(2027, 2, 14)
CABINET = Machine(MachineId("cabinet"), "Cabinet", 48)
ORCHARD = Pen(PenId("orchard"), "Orchard", room_large=20)


def hatched_bird(
    name: str, day: str, sex: Sex = Sex.HEN, status: Status = Status.LIVING, left: str = ""
) -> Bird:
    return Bird(
        BirdId(name),
        name=name,
        breed="Andalusian",
        sex=sex,
        hatched=PartialDate.parse(day),
        status=status,
        left=PartialDate.parse(left) if left else UNKNOWN_DATE,
    )


class Seasons:
    """Seasons written down row by row."""

    def __init__(self) -> None:
        self.birds: list[Bird] = []
        self.stays: list[Stay] = []
        self.sittings: list[Sitting] = []
        self.batches: list[Batch] = []
        self.fates: list[EggFate] = []
        self.collections: list[Collection] = []
        self.machines: list[Machine] = [CABINET]
        self.pens: list[Pen] = [ORCHARD]

    def hens(self, number: int, hatched: str = "2025-04-01") -> None:
        """Living hens in the orchard since the first of February of their second year."""
        for _hen in range(number):
            hen = hatched_bird(f"hen {len(self.birds)}", hatched)
            self.birds.append(hen)
            self.stays.append(Stay(StayId(f"stay {hen.id}"), hen.id, ORCHARD.id, date(2026, 2, 1)))

    def chicks(self, season: int, reared: int, lost: int, sold: int = 0) -> None:
        """Chicks of a season: living, lost at two months, sold at three."""
        for status, left, number in (
            (Status.LIVING, "", reared),
            (Status.LOST, f"{season}-07-01", lost),
            (Status.SOLD, f"{season}-08-01", sold),
        ):
            for _chick in range(number):
                self.birds.append(
                    hatched_bird(f"chick {len(self.birds)}", f"{season}-05-01", Sex.UNKNOWN, status, left)
                )

    def sitting(
        self, set_on: str, *, broody: bool = False, trial: bool = False, died: int = 0, **fates: int
    ) -> None:
        """Eggs set, each with its end."""
        name = f"sitting {len(self.sittings)}"
        self.sittings.append(
            Sitting(
                SittingId(name),
                date.fromisoformat(set_on),
                broody=BirdId("hen 0") if broody else None,
                machine=None if broody else CABINET.id,
            )
        )
        batch = BatchId(name)
        self.batches.append(
            Batch(
                batch, SittingId(name), sum(fates.values()), pen=ORCHARD.id,
                trial=TrialId("trial") if trial else None,
            )
        )  # fmt: skip
        for fate, eggs in fates.items():
            self.fates.append(
                EggFate(
                    EggFateId(f"{name} {fate}"), batch, Fate[fate.upper()], eggs,
                    died=died if fate == "hatched" else 0,
                )
            )  # fmt: skip

    def laying(self, first: str, days: int, eggs_a_day: int) -> None:
        """Eggs gathered in the orchard day by day."""
        day = date.fromisoformat(first)
        for number in range(days):
            on = day + timedelta(number)
            self.collections.append(Collection(CollectionId(f"{on}"), on, eggs_a_day, pen=ORCHARD.id))

    def snapshot(self) -> Snapshot:
        def by_id(rows):  # type: ignore[no-untyped-def]
            return {row.id: row for row in rows}

        year = Husbandry(
            pens=by_id(self.pens),
            stays=by_id(self.stays),
            machines=by_id(self.machines),
            sittings=by_id(self.sittings),
            batches=by_id(self.batches),
            egg_fates=by_id(self.fates),
            collections=by_id(self.collections),
        )
        return Snapshot(1, BookDetails("book", yard="Withybrook"), tuple(self.birds), husbandry=year)
