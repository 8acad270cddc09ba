"""The flock of the planning tests with pens: Tamar runs with Hazel and Bryony in the Orchard, Dart in the Lane."""

from dataclasses import replace
from datetime import date

from studbook.book.husbandry.choosing_rows import Ban, Choice, Verdict
from studbook.book.husbandry.rows import Apart, House, Husbandry, Move, Pen, Stay
from studbook.book.ids import ApartId, BanId, BirdId, ChoiceId, HouseId, MoveId, PenId, StayId
from studbook.book.records import Snapshot
from studbook.season.practice import ApartReason
from tests.planning.flock import flock

ORCHARD, LANE, CRATE, ATTIC = PenId("orchard"), PenId("lane"), PenId("crate"), PenId("attic")
HOUSE, AWAY = HouseId("house"), HouseId("away")
SINCE = date(2026, 1, 5)


def yard(*more: object) -> Snapshot:
    """The flock with its pens; `more` are further rows of the year."""
    rows: dict[str, dict[object, object]] = {
        "houses": {HOUSE: House(HOUSE, "Orchard house", 1), AWAY: House(AWAY, "Far yard", 2)},
        "pens": {
            ORCHARD: Pen(ORCHARD, "Orchard", HOUSE, 1, room_large=4),
            LANE: Pen(LANE, "Lane", HOUSE, 2, room_large=3),
            CRATE: Pen(CRATE, "Crate", HOUSE, 3, room_large=1),
            ATTIC: Pen(ATTIC, "Attic", AWAY, 1),
        },
        "stays": {
            StayId(name): Stay(StayId(name), BirdId(name), pen, SINCE)
            for name, pen in (("Tamar", ORCHARD), ("Hazel", ORCHARD), ("Bryony", ORCHARD), ("Dart", LANE))
        },
    }
    places = {Move: "moves", Choice: "choices", Ban: "bans", Apart: "aparts", Stay: "stays"}
    for row in more:
        rows.setdefault(places[type(row)], {})[row.id] = row  # type: ignore[attr-defined, index]
    return replace(flock(), husbandry=Husbandry(**rows))  # type: ignore[arg-type]


def move(bird: str, pen: PenId | None, on: date = date(2026, 2, 20)) -> Move:
    return Move(MoveId(f"{bird} to {pen}"), BirdId(bird), pen, on)


def choice(bird: str, verdict: Verdict, reason: str = "", season: int = 2026) -> Choice:
    return Choice(ChoiceId(bird), BirdId(bird), season, verdict, SINCE, reason)


def ban(cock: str, hen: str) -> Ban:
    return Ban(BanId(cock + hen), BirdId(cock), BirdId(hen), SINCE)


def apart(bird: str, reason: ApartReason) -> Apart:
    return Apart(ApartId(bird), BirdId(bird), reason, SINCE)
