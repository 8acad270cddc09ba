"""What happened at Withybrook from 2017 to 2026, told as tables; `flock` plays them into a book.

Parents are written ``Severn × Hazel``, a dam nobody saw ``Swale × ?``, and parents in doubt as several pairs with
their weights: ``Dart × Vetch 0.6 / Lune × Vetch 0.4``.
"""

from dataclasses import dataclass
from datetime import date

from studbook.book.records import MarkKind, Status

BEGUN = date(2017, 8, 12)
"""The day the book was opened."""

COCKS = frozenset(
    {
        *("Severn", "Tamar", "Dart", "Wye", "Lune", "Usk", "Esk", "Tees", "Nidd", "Exe", "Kent", "Swale"),
        *("Teign", "Calder", "Otter", "Chess"),
    }
)
"""Kept males are named after rivers; whoever has another name is a hen or a duck."""


@dataclass(frozen=True, slots=True)
class Bought:
    """A bird bought in. `colour` is what it wears, `ring` what it came with; `sib_of` is its nest."""

    name: str
    origin: str
    hatched: str
    arrived: str
    colour: str
    ring: str = ""
    nest: str = ""


FOUNDERS = (
    Bought("Severn", "Alder Yard", "2017-04-09", "2017-08-19", "blue"),
    Bought("Tamar", "Marlcote", "2017-05", "2017-08-26", "black"),
    Bought("Bramble", "Alder Yard", "2017-04-09", "2017-08-19", "black"),
    Bought("Sloe", "Alder Yard", "2017-04-30", "2017-08-19", "splash"),
    Bought("Elder", "Alder Yard", "2017-04-30", "2017-08-19", "blue"),
    Bought("Hawthorn", "Larkfold", "2017-05-21", "2017-09-02", "blue", nest="Larkfold 2017"),
    Bought("Hazel", "Larkfold", "2017-05-21", "2017-09-02", "black", nest="Larkfold 2017"),
    Bought("Dogrose", "Larkfold", "2017", "2017-09-02", "blue"),
    Bought("Spindle", "Marlcote", "2017-05~", "2017-08-26", "splash"),
    Bought("Bryony", "Marlcote", "2017-05~", "2017-08-26", "blue"),
    Bought("Sorrel", "Marlcote", "2017-05~", "2017-08-26", "black"),
)

NEW_COCK = Bought("Tees", "Saltmoor", "2021-04~", "2021-11-20", "splash", ring="SM21-09")

CALL_DUCKS = (
    Bought("Chess", "Reedholme", "2023-05-14", "2023-09-16", "mallard", ring="RH23-11"),
    Bought("Brooklime", "Reedholme", "2023-05-20", "2023-09-16", "mallard", ring="RH23-14"),
    Bought("Watermint", "Reedholme", "2023-06", "2023-09-16", "mallard", ring="RH23-20"),
)


@dataclass(frozen=True, slots=True)
class Brood:
    """The chicks of one hen (or of one doubt) in one hatch.

    Attributes
    ----------
    hatched
        ISO 8601 without the year: ``04-24``, or ``05~`` for about May.
    parents
        Written as the module says; empty when only its eggs tell (see `sittings`).
    keeps
        The names of those that stayed.
    rearer
        The broody that hatched and led them; empty for the machine.
    """

    hatched: str
    parents: str
    chicks: int
    keeps: str = ""
    rearer: str = ""


@dataclass(frozen=True, slots=True)
class Season:
    """One hatch year: its ring colour, its provisional marks, its broods and its sales (day, buyer)."""

    year: int
    ring_colour: str
    broods: tuple[Brood, ...]
    sales: tuple[tuple[str, str], ...]
    provisional: MarkKind | None = None
    fox: str = ""
    ducklings: tuple[Brood, ...] = ()


SEASONS = (
    Season(
        2018,
        "blue",
        (
            Brood("04-02", "Severn × Hazel", 5, "Campion Dart"),
            Brood("04-02", "Severn × Spindle", 3, "Teasel"),
            Brood("04-02", "Tamar × Bramble", 4, "Yarrow Wye"),
            Brood("04-24", "Tamar × Sloe", 5, "Betony", rearer="Sloe"),
            Brood("05-13", "Severn × Hawthorn", 4),
            Brood("05-13", "Severn × Dogrose", 4, "Woodruff"),
            Brood("05-13", "Tamar × Bryony", 3),
            Brood("06-09", "Tamar × Sorrel", 3, rearer="Elder"),
            Brood("06-09", "Tamar × Elder", 2, rearer="Elder"),
        ),
        (("08-25", "Priya Sandholm"), ("09-22", "Hugh Fennimoor"), ("10-13", "Edie Thackrow")),
    ),
    Season(
        2019,
        "green",
        (
            Brood("03-30", "Severn × Yarrow", 4),
            Brood("03-30", "Wye × Spindle", 5, "Vetch Lune"),
            Brood("04-20", "Severn × Bryony", 4, "Tansy", rearer="Bryony"),
            Brood("04-20", "Severn × Betony", 3, rearer="Bryony"),
            Brood("04-28", "Wye × Teasel", 5),
            Brood("04-28", "Wye × Woodruff", 2),
            Brood("05~", "Severn × Sorrel", 5, "Mallow", rearer="Sorrel"),
            Brood("06-15", "Wye × Dogrose", 4, rearer="Dogrose"),
            Brood("06-15", "Wye × Hawthorn", 3, "Celandine", rearer="Dogrose"),
        ),
        (("08-17", "Lise Nørbæk"), ("09-14", "Priya Sandholm"), ("10-12", "Callum Strathorn")),
        provisional=MarkKind.TOE_PUNCH,
    ),
    Season(
        2020,
        "yellow",
        (
            Brood("03-28", "Lune × Woodruff", 5, "Usk"),
            Brood("03-28", "Lune × Campion", 4, "Burdock"),
            Brood("03-28", "Dart × Yarrow", 3, "Bistort"),
            Brood("04-18", "Dart × Celandine", 5, "Cowslip", rearer="Celandine"),
            Brood("05-24", "Dart × Betony 0.6 / Lune × Betony 0.4", 5, "Avens"),
            Brood("05-24", "Dart × Mallow 0.6 / Lune × Mallow 0.4", 5, "Stitchwort"),
            Brood("06-07", "Dart × Sorrel 0.6 / Lune × Sorrel 0.4", 3, rearer="Sorrel"),
            Brood("06-07", "Dart × Tansy 0.6 / Lune × Tansy 0.4", 3, rearer="Sorrel"),
        ),
        (("08-22", "Bea Hollin"), ("09-12", "Ana Lindoso"), ("10-10", "Withy Lane School")),
        provisional=MarkKind.TOE_PUNCH,
    ),
    Season(
        2021,
        "orange",
        (
            Brood("03-27", "Usk × Betony", 5, "Fumitory"),
            Brood("03-27", "Lune × Tansy", 5, "Cicely"),
            Brood("04-17", "Usk × Vetch", 4, rearer="Vetch"),
            Brood("04-17", "Lune × Mallow", 4, "Privet", rearer="Vetch"),
            Brood("05-08", "Usk × Avens", 5, "Esk"),
            Brood("05-08", "Usk × Cowslip", 4),
            Brood("05-08", "Usk × Stitchwort", 3),
            Brood("05-30", "Lune × Bistort", 4, "Medlar", rearer="Mallow"),
            Brood("05-30", "Usk × Campion", 3, rearer="Mallow"),
        ),
        (("09-04", "Sanna Järvelo"), ("10-09", "Tomos Garthwen")),
        provisional=MarkKind.TOE_PUNCH,
        fox="06-16",
    ),
    Season(
        2022,
        "white",
        (
            Brood("03-26", "Tees × Fumitory", 5, "Primrose"),
            Brood("03-26", "Tees × Avens", 5, "Speedwell"),
            Brood("04-16", "Tees × Stitchwort", 4, "Bullace", rearer="Teasel"),
            Brood("04-16", "Tees × Teasel", 3, rearer="Teasel"),
            Brood("05-07", "Tees × Privet", 4, "Honeysuckle"),
            Brood("05-07", "Tees × Mallow", 4, "Nidd"),
            Brood("05-07", "Esk × Cicely", 3, "Tormentil"),
            Brood("06-11", "Esk × Vetch", 4, rearer="Vetch"),
            Brood("06-11", "Esk × Medlar", 2, rearer="Vetch"),
        ),
        (("08-20", "Nerys Pengarth"), ("09-17", "Lise Nørbæk"), ("10-15", "Priya Sandholm")),
    ),
    Season(
        2023,
        "violet",
        (
            Brood("03-25", "Tees × Cicely", 4, "Damson"),
            Brood("03-25", "Esk × Primrose", 5, "Rowan"),
            Brood("03-25", "Esk × Honeysuckle", 4, "Exe"),
            Brood("04-22", "Esk × Medlar", 4, "Eyebright", rearer="Cicely"),
            Brood("04-22", "Tees × Privet", 3, rearer="Cicely"),
            Brood("05-13", "Esk × Bullace", 4, "Lovage"),
            Brood("05-13", "Tees × Stitchwort", 4),
            Brood("05-13", "Esk × Speedwell", 3),
            Brood("06-17", "Tees × Fumitory", 4, rearer="Fumitory"),
        ),
        (("08-19", "Ana Lindoso"), ("09-09", "Hugh Fennimoor"), ("10-14", "Bea Hollin")),
    ),
    Season(
        2024,
        "red",
        (
            Brood("03-30", "Nidd × Eyebright", 4, "Comfrey"),
            Brood("03-30", "Nidd × Tormentil", 4, "Kent"),
            Brood("03-30", "Exe × Damson", 4, "Swale"),
            Brood("04-20", "Nidd × Cicely", 5, "Agrimony", rearer="Primrose"),
            Brood("05-11", "Nidd × Rowan 0.5 / Exe × Lovage 0.5", 5, "Selfheal"),
            Brood("05-11", "Exe × Medlar", 4, "Knapweed"),
            Brood("06-08", "Exe × Bullace", 4, rearer="Bullace"),
            Brood("06-08", "Exe × Primrose", 3, rearer="Bullace"),
        ),
        (("08-24", "Joss Merriden"), ("09-14", "Callum Strathorn"), ("10-12", "Withy Lane School")),
        ducklings=(Brood("05-25", "Chess × Brooklime", 4, "Sedge", rearer="Brooklime"),),
    ),
    Season(
        2025,
        "blue",
        (
            Brood("03-29", "Swale × Comfrey", 5, "Willowherb"),
            Brood("03-29", "Nidd × Knapweed", 5, "Teign"),
            Brood("04-19", "Nidd × Tormentil", 4, "Harebell", rearer="Rowan"),
            Brood("04-19", "Nidd × Rowan", 2, rearer="Rowan"),
            Brood("05-10", "Swale × Agrimony", 5, "Bindweed"),
            Brood("05-10", "Swale × Eyebright", 4),
            Brood("05-31", "Swale × ?", 7, "Foxglove", rearer="Lovage"),
        ),
        (("08-23", "Sanna Järvelo"), ("09-20", "Tomos Garthwen"), ("10-11", "Priya Sandholm")),
        ducklings=(Brood("06-01", "Chess × Watermint", 3, "Kingcup", rearer="Watermint"),),
    ),
    Season(
        2026,
        "green",
        (
            Brood("03-28", "Teign × Damson", 4, "Figwort"),
            Brood("03-28", "Kent × Knapweed", 4, "Guelder"),
            Brood("03-28", "Swale × Comfrey", 4, "Calder"),
            Brood("04-18", "Kent × Rowan", 4, "Otter", rearer="Eyebright"),
            Brood("04-18", "Kent × Harebell", 3, rearer="Eyebright"),
            Brood("05-09", "Swale × Agrimony", 4, "Ramsons"),
            Brood("05-09", "Swale × Selfheal", 4),
            Brood("05-30", "Teign × Foxglove", 4, "Burnet", rearer="Willowherb"),
            Brood("05-30", "Teign × Bindweed", 4, rearer="Willowherb"),
            Brood("06-11", "", 3, "Dewberry"),
            Brood("06-11", "", 4),
        ),
        (("08-22", "Lise Nørbæk"), ("09-19", "Ana Lindoso"), ("10-17", "Bea Hollin")),
        provisional=MarkKind.RING_COLOUR,
        ducklings=(Brood("05-23", "Chess × Brooklime", 3, "Cress", rearer="Sedge"),),
    ),
)


@dataclass(frozen=True, slots=True)
class Leaving:
    """Named birds that left: `what` is the cause, or who took them."""

    on: str
    names: str
    status: Status
    what: str = ""
    why: str = ""


FOX_HOLE = "Came in by a hole under the run, two nights in one week."

LEAVINGS = (
    Leaving("2018-09-22", "Tamar", Status.SOLD, "Hugh Fennimoor"),
    Leaving("2019-01-08", "Elder", Status.DIED, "found dead in the nest box"),
    Leaving("2019-09-14", "Dogrose", Status.SOLD, "Priya Sandholm"),
    Leaving(
        "2019-09-28",
        "Severn",
        Status.SOLD,
        "Callum Strathorn",
        "Two seasons are enough: half the flock is his.",
    ),
    Leaving("2019-10-05", "Bramble Bryony", Status.GIVEN, "Withy Lane School"),
    Leaving("2019-11-30", "Sloe", Status.DIED, "peritonitis"),
    Leaving("2019-12-12", "Hawthorn", Status.CULLED, "prolapse, put down by the vet"),
    Leaving("2019-12-20", "Wye", Status.CULLED, "savage"),
    Leaving("2020-09-12", "Woodruff", Status.SOLD, "Ana Lindoso"),
    Leaving("2020-09-26", "Dart", Status.SOLD, "Lise Nørbæk"),
    Leaving("2020-10-10", "Spindle", Status.GIVEN, "Withy Lane School"),
    Leaving("2020-10-29", "Hazel", Status.DIED, "egg bound"),
    Leaving("2020-12-15", "Sorrel", Status.DIED, "in the moult, cause not found"),
    Leaving("2021-06-12", "Lune Campion Yarrow", Status.DIED, "fox", FOX_HOLE),
    Leaving("2021-06-16", "Tansy Burdock Bistort Cowslip", Status.DIED, "fox", FOX_HOLE),
    Leaving("2021-12-04", "Usk", Status.SOLD, "Bea Hollin"),
    Leaving("2022-03-02", "Betony", Status.DIED, "egg bound"),
    Leaving("2022-09-03", "Celandine", Status.GIVEN, "Priya Sandholm"),
    Leaving("2022-10-15", "Vetch", Status.GIVEN, "Priya Sandholm"),
    Leaving("2022-11-21", "Teasel", Status.DIED, "old age"),
    Leaving("2023-08-11", "Stitchwort", Status.DIED, "heat"),
    Leaving("2023-10-14", "Tees", Status.SOLD, "Ana Lindoso", "Before he meets his own daughters."),
    Leaving("2023-10-28", "Avens", Status.SOLD, "Joss Merriden"),
    Leaving("2023-11-18", "Esk", Status.SOLD, "Tomos Garthwen"),
    Leaving("2023-12-09", "Mallow", Status.DIED, "old age"),
    Leaving("2024-07-02", "Privet", Status.DIED, "peritonitis"),
    Leaving("2024-09-14", "Medlar", Status.SOLD, "Callum Strathorn"),
    Leaving("2024-10-12", "Fumitory Bullace", Status.GIVEN, "Withy Lane School"),
    Leaving("2024-11-02", "Exe", Status.SOLD, "Hugh Fennimoor"),
    Leaving("2025-01-19", "Cicely", Status.DIED, "found dead after the frost"),
    Leaving("2025-09-20", "Honeysuckle", Status.SOLD, "Tomos Garthwen"),
    Leaving("2025-10-11", "Speedwell", Status.GIVEN, "Priya Sandholm"),
    Leaving("2025-10-25", "Nidd", Status.LENT, "Sanna Järvelo", "For two seasons; ours again when we ask."),
    Leaving("2025-11-08", "Lovage", Status.LOST, "not home at dusk; feathers on the moor"),
    Leaving("2025-12-14", "Primrose", Status.DIED, "old age"),
    Leaving("2026-01-22", "Watermint", Status.DIED, "mink"),
    Leaving("2026-06-27", "Tormentil", Status.DIED, "egg bound"),
    Leaving("2026-09-19", "Eyebright", Status.SOLD, "Ana Lindoso"),
    Leaving("2026-10-17", "Damson", Status.GIVEN, "Bea Hollin"),
    Leaving(
        "2027-01-16",
        "Dewberry",
        Status.SOLD,
        "Lise Nørbæk",
        "Her sire is Swale or Kent; sold with both on her paper.",
    ),
)


@dataclass(frozen=True, slots=True)
class Remark:
    """A dated note about a named bird; `on` is ISO 8601 and may be imprecise."""

    on: str
    name: str
    text: str


REMARKS = (
    Remark(
        "2017-08-19", "Severn", "Bought with Bramble, Sloe and Elder. Even comb of five spikes, good lacing."
    ),
    Remark("2017-08-26", "Tamar", "Heavier in the bone than Severn. Steady, comes to the hand."),
    Remark("2017-10", "Sloe", "First egg, white, 52 g."),
    Remark("2018-01-27", "Severn", "Fertility test: 10 eggs of Hazel and Spindle set, 9 fertile on day 8."),
    Remark("2018-01-27", "Tamar", "Fertility test: 10 eggs of Bramble and Sloe set, 8 fertile on day 8."),
    Remark("2018-04-24", "Sloe", "Sat tight for 21 days and brought off five of six."),
    Remark("2019-01-26", "Dart", "Fertility test: 9 eggs set, 3 fertile on day 8. Very cold; test again."),
    Remark("2019-02-23", "Dart", "Second fertility test: 10 eggs set, 9 fertile. It was the frost."),
    Remark("2019-01-26", "Wye", "Fertility test: 10 eggs set, 10 fertile on day 8."),
    Remark("2019-05-30", "Sorrel", "Came out of the nettles with her chicks; nobody knows the day."),
    Remark("2019-10", "Wye", "Goes for boots, and now for the children. Not a bird to breed from again."),
    Remark("2020-01-25", "Lune", "Fertility test: 12 eggs of Campion and Teasel set, 11 fertile on day 8."),
    Remark(
        "2020-05-02",
        "Dart",
        "Shares the long pen with Lune since the bottom pen flooded; does most of the treading.",
    ),
    Remark("2020-05-02", "Lune", "In the long pen with Dart until 20 May. Keeps out of his way."),
    Remark(
        "2020-06-20", "Betony", "Saddle on: back bare from treading. Off again when the feathers are through."
    ),
    Remark("2020-09", "Betony", "Full moult, feathers whole, saddle off."),
    Remark("2021-01-23", "Usk", "Fertility test: 12 eggs set, 10 fertile on day 8."),
    Remark(
        "2021-06-18",
        "Celandine",
        "Shut out in the fox's night; a bite under the wing, cleaned. Keep her in sight of the others.",
    ),
    Remark("2021-11-20", "Tees", "Kept apart for 30 days in sight of the flock; droppings tested, clear."),
    Remark("2022-01-22", "Tees", "Fertility test: 12 eggs of Mallow and Teasel set, 12 fertile on day 8."),
    Remark("2022-01-22", "Esk", "Fertility test: 10 eggs set, 7 fertile on day 8. Will do for a small pen."),
    Remark(
        "2022-05", "Tees", "Chicks up and feathered a week before the others; hatch better than for years."
    ),
    Remark("2023-01-28", "Nidd", "Fertility test: 10 eggs of Medlar and Cicely set, 9 fertile on day 8."),
    Remark("2023-04-22", "Cicely", "Reared Medlar's and Privet's chicks as her own."),
    Remark("2023-07-15", "Rowan", "Quietest pullet of the year."),
    Remark("2024-01-27", "Exe", "Fertility test: 10 eggs set, 10 fertile on day 8."),
    Remark("2024-06-30", "Damson", "Saddle on until the moult."),
    Remark("2024-09-08", "Rowan", "First to moult and the quickest through it."),
    Remark("2025-01-25", "Swale", "Fertility test: 12 eggs of Rowan and Comfrey set, 11 fertile on day 8."),
    Remark("2025-01-25", "Kent", "Fertility test: 10 eggs set, 6 fertile on day 8. Test again next year."),
    Remark(
        "2025-03-08",
        "Knapweed",
        "Worms: dosed as the vet said. No eggs to be eaten or sold until the day on the vet's label; "
        "marked in the pen diary.",
    ),
    Remark(
        "2025-08", "Comfrey", "Broody twice; broken off the second time in a wire-bottomed pen, four days."
    ),
    Remark("2026-01-24", "Kent", "Fertility test: 12 eggs set, 11 fertile on day 8. Nothing wrong with him."),
    Remark(
        "2026-01-24", "Teign", "Fertility test: 12 eggs of Willowherb and Bindweed set, 12 fertile on day 8."
    ),
    Remark("2026-07-05", "Bindweed", "Saddle on, left side bare."),
    Remark("2026-09", "Willowherb", "Long moult; comb gone pale, weight good."),
    Remark("2026-11-14", "Calder", "Comb folds to the left at the third spike. Lacing very clear."),
    Remark(
        "2026-11-14", "Otter", "Five even spikes, level back; light in the lacing. The gentler of the two."
    ),
    Remark("2026-12-06", "Harebell", "Scaly leg on both shanks, treated; look again in three weeks."),
    Remark("2027-01-03", "Harebell", "Shanks clean."),
    Remark(
        "2027-01-23",
        "Calder",
        "Fertility test: 19 eggs of Rowan, Foxglove and Figwort set, all fertile on day 8.",
    ),
    Remark("2027-01-23", "Otter", "Fertility test: 10 eggs set, 4 fertile on day 8. Hard frost; test again."),
    Remark(
        "2027-01-30",
        "Guelder",
        "Ring cut off: it had grown tight. Shank sore, not broken; new ring when it is healed.",
    ),
    Remark("2024-05-25", "Brooklime", "Sat on six, brought off four; would not let the drake near."),
    Remark(
        "2026-02",
        "Chess",
        "Comes up to the yard at dusk since the mink; shut in with the ducks every night now.",
    ),
)

DUCK_BUYER = "Joss Merriden"


@dataclass(frozen=True, slots=True)
class Mishap:
    """Something that went wrong with one bird's mark or row."""

    on: str
    name: str
    why: str


RERINGED = Mishap(
    "2021-10-30", "Celandine", "Lost her ring; known by the toe punch and the torn spike of her comb."
)
RING_CUT_OFF = Mishap("2027-01-30", "Guelder", "Grown tight; no ring until the shank has healed.")
ENTERED_TWICE = Mishap("2024-04-02", "Comfrey", "Entered twice: she stands among her hatch already.")


@dataclass(frozen=True, slots=True)
class Mistake:
    """Parents first written `wrong`, seen and put `right` later."""

    on: str
    seen: str
    name: str
    wrong: str
    right: str
    why: str


MISTAKEN_DAM = Mistake(
    "2023-11-04",
    "2023-11-05",
    "Rowan",
    "Esk × Bullace",
    "Esk × Primrose",
    "Her ring stands under Primrose on the pen card; Bullace was a slip of the pen.",
)

PHOTOGRAPHED = (
    ("2018-06-02", "Severn", "In the long pen"),
    ("2018-06-02", "Hazel", "First summer here"),
    ("2020-05-02", "Yarrow", "By the gate"),
    ("2022-04-03", "Tees", "The cock from Saltmoor"),
    ("2023-05-27", "Nidd", "Before his first season"),
    ("2024-10-20", "Rowan", "Through the moult"),
    ("2025-04-12", "Swale", "Top pen"),
    ("2026-03-14", "Kent", "Bottom pen"),
    ("2026-03-14", "Teign", "Long pen"),
    ("2026-08-02", "Comfrey", "In the orchard"),
    ("2026-08-02", "Harebell", "In the orchard"),
    ("2026-08-02", "Willowherb", "In the orchard"),
    ("2026-11-14", "Otter", "At seven months"),
    ("2026-08-30", "Chess", "On the far pond"),
    ("2026-08-30", "Brooklime", "On the far pond"),
)
"""The day, the bird and the caption of each portrait."""
