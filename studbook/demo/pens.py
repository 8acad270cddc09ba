"""Houses and pens of Withybrook, and who was kept where: breeding pens in spring, one flock of hens after it.

Cocks spend the other half of the year in a run of their own. Birds are moved in the evening, so on the day of a
move a bird is in both pens.
"""

from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from studbook.book import changes
from studbook.book.husbandry.rows import Apart, House, Machine, Move, Pen
from studbook.book.ids import ApartId, HouseId, MachineId, MoveId, PenId
from studbook.demo.ledger import Ledger
from studbook.season.practice import ApartReason


@dataclass(frozen=True, slots=True)
class Built:
    """A house with its pens, in the order of the evening walk: (name, room for large fowl, for bantams)."""

    on: str
    house: str
    pens: tuple[tuple[str, int | None, int | None], ...]
    note: str = ""


BUILT = (
    Built(
        "2017-08-12",
        "Orchard house",
        (("Long pen", 10, None), ("Orchard", 18, None), ("Old ark", 6, None)),
        "Pop-hole sticks in the wet.",
    ),
    Built("2017-08-12", "Hill house", (("Top pen", 8, None), ("Cock run", 6, None))),
    Built("2017-08-12", "Lane house", (("Bottom pen", 8, None),), "Floods from the beck after two wet days."),
    Built(
        "2017-08-12",
        "Barn",
        (("Broody box", 2, 4), ("Wire-bottomed pen", 2, 4), ("Hospital crate", 1, 2)),
        "Last but one on the walk: whoever is ill is seen to after the others.",
    ),
    Built("2023-09-16", "Pond house", (("Far pond", None, 8),), "Shut in at dusk since the mink."),
)

MACHINES = (
    ("2018-03-05", "Still-air box", 24, ""),
    ("2023-12-02", "Cabinet", 60, "Turns by itself, moving air."),
)
STILL_AIR_RETIRED = "2024-07-13"

BROKEN_UP = ("2021-06-19", "Old ark", "The fox's way in; burnt.")


@dataclass(frozen=True, slots=True)
class Penned:
    """Birds moved to a pen on a day."""

    on: str
    pen: str
    birds: str
    note: str = ""


PENNED = (
    Penned("2017-08-19", "Orchard", "Bramble Sloe Elder"),
    Penned("2017-08-19", "Cock run", "Severn"),
    Penned("2017-08-26", "Orchard", "Spindle Bryony Sorrel"),
    Penned("2017-08-26", "Cock run", "Tamar"),
    Penned("2017-09-02", "Orchard", "Hawthorn Hazel Dogrose"),
    # 2018
    Penned("2018-01-06", "Long pen", "Severn Hazel Spindle Hawthorn Dogrose"),
    Penned("2018-01-06", "Bottom pen", "Tamar Bramble Sloe Bryony Sorrel Elder"),
    Penned("2018-07-14", "Cock run", "Severn Tamar"),
    Penned("2018-07-14", "Orchard", "Hazel Spindle Hawthorn Dogrose Bramble Sloe Bryony Sorrel Elder"),
    Penned("2018-10-31", "Orchard", "Campion Teasel Yarrow Betony Woodruff"),
    Penned("2018-10-31", "Cock run", "Dart Wye"),
    # 2019
    Penned("2019-01-05", "Bottom pen", "Wye Spindle Teasel"),
    Penned("2019-01-05", "Top pen", "Dart Campion Hazel"),
    Penned("2019-02-02", "Long pen", "Severn Yarrow Bryony Betony Sorrel Bramble"),
    Penned("2019-02-02", "Bottom pen", "Woodruff Dogrose Hawthorn"),
    Penned("2019-02-25", "Cock run", "Dart"),
    Penned("2019-02-25", "Orchard", "Campion Hazel"),
    Penned("2019-07-13", "Cock run", "Severn Wye"),
    Penned(
        "2019-07-13",
        "Orchard",
        "Spindle Teasel Woodruff Dogrose Hawthorn Yarrow Bryony Betony Sorrel Bramble",
    ),
    Penned("2019-10-31", "Orchard", "Vetch Tansy Mallow Celandine"),
    Penned("2019-10-31", "Cock run", "Lune"),
    # 2020
    Penned("2020-01-04", "Bottom pen", "Lune Campion Teasel Woodruff"),
    Penned("2020-02-01", "Long pen", "Dart Yarrow Celandine Betony Mallow Sorrel Tansy"),
    Penned("2020-04-19", "Long pen", "Lune Campion", "The bottom pen is under water."),
    Penned("2020-04-19", "Orchard", "Teasel Woodruff", "The bottom pen is under water."),
    Penned("2020-05-20", "Bottom pen", "Lune Campion", "Dry again."),
    Penned("2020-07-11", "Cock run", "Dart Lune"),
    Penned("2020-07-11", "Orchard", "Yarrow Celandine Betony Mallow Sorrel Tansy Campion"),
    Penned("2020-10-31", "Orchard", "Burdock Bistort Cowslip Avens Stitchwort"),
    Penned("2020-10-31", "Cock run", "Usk"),
    # 2021
    Penned("2021-01-02", "Long pen", "Usk Betony Vetch Avens"),
    Penned("2021-02-06", "Long pen", "Cowslip Stitchwort Campion"),
    Penned("2021-02-06", "Old ark", "Lune Tansy Mallow Bistort"),
    Penned("2021-06-19", "Orchard", "Mallow", "All that the fox left of the ark."),
    Penned("2021-07-10", "Cock run", "Usk"),
    Penned("2021-07-10", "Orchard", "Betony Vetch Avens Stitchwort"),
    Penned("2021-10-31", "Orchard", "Fumitory Cicely Privet Medlar"),
    Penned("2021-10-31", "Cock run", "Esk"),
    # 2022
    Penned("2022-01-01", "Top pen", "Tees Mallow Teasel"),
    Penned("2022-01-01", "Bottom pen", "Esk Cicely Medlar"),
    Penned("2022-02-05", "Top pen", "Fumitory Avens Stitchwort Privet"),
    Penned("2022-02-05", "Bottom pen", "Vetch"),
    Penned("2022-07-16", "Cock run", "Tees Esk"),
    Penned("2022-07-16", "Orchard", "Mallow Teasel Fumitory Avens Stitchwort Privet Cicely Medlar Vetch"),
    Penned("2022-10-31", "Orchard", "Primrose Speedwell Bullace Honeysuckle Tormentil"),
    Penned("2022-10-31", "Cock run", "Nidd"),
    # 2023
    Penned("2023-01-07", "Bottom pen", "Nidd Medlar Cicely"),
    Penned("2023-01-28", "Cock run", "Nidd"),
    Penned("2023-01-28", "Orchard", "Medlar Cicely"),
    Penned("2023-02-04", "Top pen", "Tees Cicely Privet Stitchwort Fumitory"),
    Penned("2023-02-04", "Long pen", "Esk Primrose Honeysuckle Medlar Bullace Speedwell"),
    Penned("2023-07-15", "Cock run", "Tees Esk"),
    Penned(
        "2023-07-15",
        "Orchard",
        "Cicely Privet Stitchwort Fumitory Primrose Honeysuckle Medlar Bullace Speedwell",
    ),
    Penned("2023-09-16", "Far pond", "Chess Brooklime Watermint"),
    Penned("2023-10-31", "Orchard", "Damson Rowan Eyebright Lovage"),
    Penned("2023-10-31", "Cock run", "Exe"),
    # 2024
    Penned("2024-01-06", "Long pen", "Exe Damson Medlar Lovage"),
    Penned("2024-02-03", "Long pen", "Bullace Primrose"),
    Penned("2024-02-03", "Top pen", "Nidd Eyebright Tormentil Cicely Rowan"),
    Penned("2024-07-13", "Cock run", "Nidd Exe"),
    Penned("2024-07-13", "Orchard", "Damson Medlar Lovage Bullace Primrose Eyebright Tormentil Cicely Rowan"),
    Penned("2024-10-31", "Orchard", "Comfrey Agrimony Selfheal Knapweed"),
    Penned("2024-10-31", "Cock run", "Kent Swale"),
    Penned("2024-10-31", "Far pond", "Sedge"),
    # 2025
    Penned("2025-01-04", "Top pen", "Swale Rowan Comfrey"),
    Penned("2025-01-04", "Bottom pen", "Kent Tormentil Selfheal Eyebright"),
    Penned("2025-01-18", "Orchard", "Rowan Tormentil Selfheal Eyebright"),
    Penned("2025-01-18", "Cock run", "Kent"),
    Penned("2025-02-01", "Top pen", "Agrimony Eyebright Speedwell Honeysuckle"),
    Penned("2025-02-01", "Long pen", "Nidd Knapweed Tormentil Rowan Lovage Primrose"),
    Penned("2025-03-28", "Broody box", "Rowan Primrose"),
    Penned("2025-05-09", "Broody box", "Lovage"),
    Penned("2025-06-07", "Orchard", "Rowan Primrose"),
    Penned("2025-07-12", "Cock run", "Swale Nidd"),
    Penned(
        "2025-07-12",
        "Orchard",
        "Comfrey Agrimony Eyebright Speedwell Honeysuckle Knapweed Tormentil Lovage",
    ),
    Penned("2025-10-31", "Orchard", "Willowherb Harebell Bindweed Foxglove"),
    Penned("2025-10-31", "Cock run", "Teign"),
    Penned("2025-10-31", "Far pond", "Kingcup"),
    # 2026
    Penned("2026-01-03", "Bottom pen", "Kent Rowan Tormentil Knapweed"),
    Penned("2026-01-03", "Long pen", "Teign Willowherb Bindweed"),
    Penned("2026-02-07", "Bottom pen", "Harebell"),
    Penned("2026-02-07", "Long pen", "Damson Foxglove"),
    Penned("2026-02-07", "Top pen", "Swale Comfrey Agrimony Selfheal Eyebright"),
    Penned("2026-03-27", "Broody box", "Eyebright"),
    Penned("2026-05-08", "Broody box", "Willowherb"),
    Penned("2026-05-12", "Bottom pen", "Swale", "In Kent's place; the top pen stays without a cock."),
    Penned("2026-06-13", "Orchard", "Eyebright"),
    Penned("2026-07-11", "Cock run", "Teign Swale"),
    Penned(
        "2026-07-11",
        "Orchard",
        "Rowan Knapweed Harebell Willowherb Bindweed Damson Foxglove Comfrey Agrimony Selfheal",
    ),
    Penned("2026-10-31", "Orchard", "Figwort Guelder Ramsons Burnet Dewberry"),
    Penned("2026-10-31", "Cock run", "Calder Otter"),
    Penned("2026-10-31", "Far pond", "Cress"),
    # the trials of January 2027
    Penned("2026-12-26", "Long pen", "Calder Rowan Foxglove Figwort"),
    Penned("2026-12-26", "Bottom pen", "Otter Knapweed Agrimony Selfheal"),
    Penned("2027-01-24", "Cock run", "Calder"),
    Penned("2027-01-24", "Orchard", "Rowan Foxglove Figwort"),
)


@dataclass(frozen=True, slots=True)
class SetAside:
    """A bird apart: why, where (a pen, else a place in words), until when, and how it ended.

    `back` is the pen it came back to. Without `until` it is apart still, or it left the flock from there.
    """

    since: str
    bird: str
    reason: ApartReason
    review: str
    pen: str = ""
    place: str = ""
    until: str = ""
    outcome: str = ""
    back: str = ""
    note: str = ""


SET_ASIDE = (
    SetAside(
        "2019-10-19",
        "Wye",
        ApartReason.OTHER,
        "2019-11-02",
        place="Loose box, alone",
        note="Savage. Nobody goes in without a board.",
    ),
    SetAside(
        "2021-06-18",
        "Celandine",
        ApartReason.HURT,
        "2021-06-21",
        "Hospital crate",
        until="2021-07-02",
        outcome="Bite closed, eats well",
        back="Orchard",
        note="Bitten under the wing in the fox's night. In sight of the others.",
    ),
    SetAside(
        "2021-11-20",
        "Tees",
        ApartReason.BOUGHT,
        "2021-12-20",
        place="Fold in the paddock, in sight of the flock",
        until="2021-12-20",
        outcome="Well; droppings clear",
        back="Cock run",
    ),
    SetAside(
        "2022-11-17",
        "Teasel",
        ApartReason.ILL,
        "2022-11-19",
        "Hospital crate",
        note="Sits fluffed up, will not eat. The vet says old age; kept warm.",
    ),
    SetAside(
        "2024-06-29",
        "Privet",
        ApartReason.ILL,
        "2024-07-01",
        "Hospital crate",
        note="Swollen below, stands like a penguin. Vet asked.",
    ),
    SetAside(
        "2024-10-26",
        "Exe",
        ApartReason.BUYER,
        "2024-11-09",
        place="Fold in the paddock",
        note="For Hugh Fennimoor, who collects on Saturday.",
    ),
    SetAside(
        "2024-11-16",
        "Nidd",
        ApartReason.SHOW,
        "2024-11-30",
        place="Fold in the paddock",
        until="2024-11-30",
        outcome="Well",
        back="Cock run",
    ),
    SetAside(
        "2025-08-20",
        "Comfrey",
        ApartReason.BROODY,
        "2025-08-24",
        "Wire-bottomed pen",
        until="2025-08-24",
        outcome="Broken off; laying again on 12 September",
        back="Orchard",
    ),
    SetAside(
        "2025-11-02",
        "Bindweed",
        ApartReason.BULLIED,
        "2025-11-09",
        place="Fold beside the orchard",
        until="2025-11-12",
        outcome="Put back at dusk; left alone since",
        back="Orchard",
    ),
    SetAside(
        "2026-05-10",
        "Kent",
        ApartReason.HURT,
        "2026-05-13",
        "Hospital crate",
        until="2026-05-24",
        outcome="Spur dry, walks sound",
        back="Cock run",
        note="Spur torn at the root. Bled; cleaned and dusted, the vet has looked.",
    ),
    SetAside(
        "2026-06-25",
        "Tormentil",
        ApartReason.ILL,
        "2026-06-27",
        "Hospital crate",
        note="Straining, no egg. Warm and dark; vet on Saturday.",
    ),
    SetAside(
        "2026-10-10",
        "Damson",
        ApartReason.BUYER,
        "2026-10-24",
        place="Fold in the paddock",
        note="Bea Hollin comes on the 17th.",
    ),
    SetAside(
        "2026-12-06",
        "Harebell",
        ApartReason.OTHER,
        "2026-12-27",
        "Hospital crate",
        until="2027-01-03",
        outcome="Shanks clean",
        back="Orchard",
        note="Scaly leg.",
    ),
    SetAside(
        "2027-01-30",
        "Guelder",
        ApartReason.HURT,
        "2027-02-10",
        "Hospital crate",
        note="Shank sore where the ring had grown tight.",
    ),
    SetAside("2027-02-12", "Comfrey", ApartReason.BROODY, "2027-02-16", "Wire-bottomed pen"),
)

NEXT_PENS_DECIDED = "2027-02-07"

NEXT_PENS = (
    ("2027-02-20", "Cock run", "Otter"),
    ("2027-02-27", "Top pen", "Kent Knapweed Foxglove Willowherb Burnet Figwort"),
    ("2027-02-27", "Long pen", "Calder Agrimony Harebell Selfheal"),
    ("2027-02-27", "Bottom pen", "Teign Rowan Bindweed Ramsons"),
)
"""The pens of the season to come; who is not named stays where it is."""


def plan_pens(ledger: Ledger) -> None:
    """Put every house, move and time apart into the diary."""

    def plan(on: str, deed: partial[None]) -> None:
        ledger.diary.plan(date.fromisoformat(on), deed)

    for on in sorted({built.on for built in BUILT}):
        plan(on, partial(_build, ledger, tuple(built for built in BUILT if built.on == on)))
    for on, name, places, note in MACHINES:
        plan(on, partial(_buy_machine, ledger, name, places, note))
    plan(STILL_AIR_RETIRED, partial(_retire_machine, ledger, MACHINES[0][1]))
    for on in sorted({penned.on for penned in PENNED}):
        plan(on, partial(_pen, ledger, tuple(penned for penned in PENNED if penned.on == on)))
    plan(BROKEN_UP[0], partial(_break_up, ledger, *BROKEN_UP[1:]))
    for aside in SET_ASIDE:
        apart = ApartId(ledger.book.new_id())
        plan(aside.since, partial(_set_apart, ledger, aside, apart))
        if aside.until:
            plan(aside.until, partial(_end_apart, ledger, aside, apart))
    plan(NEXT_PENS_DECIDED, partial(_plan_next_pens, ledger))


def _build(ledger: Ledger, group: tuple[Built, ...]) -> None:
    rows: list[House | Pen] = []
    for built in group:
        house = House(HouseId(ledger.book.new_id()), built.house, BUILT.index(built) + 1, built.note)
        ledger.houses[built.house] = house.id
        rows.append(house)
        for position, (name, large, bantams) in enumerate(built.pens, start=1):
            pen = Pen(PenId(ledger.book.new_id()), name, house.id, position, large, bantams)
            ledger.pens[name] = pen.id
            rows.append(pen)
    ledger.apply(changes.Enter(tuple(rows)))


def _buy_machine(ledger: Ledger, name: str, places: int, note: str) -> None:
    ledger.machines[name] = MachineId(ledger.book.new_id())
    ledger.apply(changes.Enter((Machine(ledger.machines[name], name, places, note),)))


def _retire_machine(ledger: Ledger, name: str) -> None:
    machine = ledger.book.snapshot().husbandry.machines[ledger.machines[name]]
    change = changes.Correct((machine,), (replace(machine, retired=ledger.diary.today),))
    ledger.apply(change, why="The thermostat cannot be trusted.")


def _pen(ledger: Ledger, moved: tuple[Penned, ...]) -> None:
    """Write the moves of one evening in one go."""
    moves = tuple(
        changes.MoveBirds(
            tuple(ledger.named[name] for name in penned.birds.split()),
            ledger.pens[penned.pen],
            ledger.diary.today,
            penned.note,
        )
        for penned in moved
    )
    if len(moves) == 1:
        ledger.apply(moves[0])
    else:
        pens = ", ".join(dict.fromkeys(penned.pen for penned in moved))
        birds = sum(len(move.birds) for move in moves)
        ledger.apply(changes.Together(moves, f"move {birds} birds to {pens}"))


def _break_up(ledger: Ledger, name: str, why: str) -> None:
    pen = ledger.book.snapshot().husbandry.pens[ledger.pens[name]]
    ledger.apply(changes.Correct((pen,), (replace(pen, closed=ledger.diary.today),)), why)


def _set_apart(ledger: Ledger, aside: SetAside, apart_id: ApartId) -> None:
    apart = Apart(
        apart_id,
        ledger.named[aside.bird],
        aside.reason,
        ledger.diary.today,
        aside.place or aside.pen,
        date.fromisoformat(aside.review),
        note=aside.note,
    )
    ledger.apply(changes.SetApart(apart, ledger.pens[aside.pen] if aside.pen else None))


def _end_apart(ledger: Ledger, aside: SetAside, apart: ApartId) -> None:
    ledger.apply(changes.EndApart(apart, ledger.diary.today, aside.outcome, ledger.pens[aside.back]))


def _plan_next_pens(ledger: Ledger) -> None:
    moves = tuple(
        Move(MoveId(""), ledger.named[name], ledger.pens[pen], date.fromisoformat(on))
        for on, pen, names in NEXT_PENS
        for name in names.split()
    )
    ledger.apply(changes.Enter(moves), why="Pens of 2027")
