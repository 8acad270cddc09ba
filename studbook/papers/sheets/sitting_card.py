"""The sitting card: what lies under whom, its days, and boxes to fill at each candling and at the hatch."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from studbook.book.husbandry.rows import Batch, Fate, Sitting
from studbook.book.ids import SittingId
from studbook.book.records import Snapshot
from studbook.papers.sheets.sheet import BirdLine, Head, bird_line, full_day, head_of, plain_day
from studbook.planning.sittings.days import kind_word, plan_of
from studbook.planning.sittings.names import sitter_text, source_text
from studbook.season.incubation import IncubationPlan, Span
from studbook.words import _, plural


@dataclass(frozen=True, slots=True)
class CardDay:
    """A day of the sitting: what is due, when, on which day of incubation, and what more there is to say."""

    what: str
    when: str
    day: str
    also: str = ""


@dataclass(frozen=True, slots=True)
class CardBatch:
    """Eggs of the sitting that share what is known of their parents."""

    eggs: int
    source: str
    about: str


@dataclass(frozen=True, slots=True)
class SittingCard:
    """One sitting; `advice` is what guides say of a machine of its kind, `candlings` how often it is candled."""

    name: str
    kind: str
    under: tuple[BirdLine, ...]
    machine: str
    days: tuple[CardDay, ...]
    batches: tuple[CardBatch, ...]
    candlings: int
    advice: str
    note: str

    @property
    def eggs(self) -> int:
        """The eggs set."""
        return sum(batch.eggs for batch in self.batches)


@dataclass(frozen=True, slots=True)
class SittingCards:
    """The cards of some sittings, each on a sheet of its own."""

    head: Head
    cards: tuple[SittingCard, ...]

    @property
    def template(self) -> str:
        return "sitting_card.typ"

    @property
    def title(self) -> str:
        if len(self.cards) == 1:
            return _("Sitting card of {sitting}").format(sitting=self.cards[0].name)
        return _("Sitting cards")

    def data(self) -> Mapping[str, Any]:
        return {
            "words": {
                "due": _("What is due"),
                "when": _("When"),
                "day": _("Day"),
                "done": _("Done"),
                "seen": _("What was seen"),
                "eggs": _("Eggs"),
                "candling": _("Candling {number}"),
                "hatch": _("Hatch"),
                "alive": _("alive"),
                "clear": _("clear"),
                "dead": _("dead"),
                "hatched": _("hatched"),
                "in_shell": _("dead in shell"),
                "helped": _("helped"),
                "lost": _("died first day"),
                "notes": _("Notes"),
                "none": _("No sitting is under way."),
                "care": _(
                    "Clean hands before and after. The days are the usual ones: eggs hatch when they are ready. A weak "
                    "chick needs warmth and quiet; for one that suffers ask a vet, or someone who knows how to end it "
                    "humanely and may do so where you live."
                ),
            },
            "cards": [_card_data(card) for card in self.cards],
        }


def sitting_cards(
    snapshot: Snapshot, on: date, sittings: Collection[SittingId] | None = None
) -> SittingCards:
    """The cards of `sittings` (all under way by default), the first set first."""
    year = snapshot.husbandry
    chosen = [
        sitting
        for sitting in year.sittings.values()
        if (is_under_way(sitting, on) if sittings is None else sitting.id in sittings)
    ]
    chosen.sort(key=lambda sitting: (sitting.set_on, sitting.name))
    return SittingCards(head_of(snapshot, on), tuple(_card(snapshot, sitting, on) for sitting in chosen))


def is_under_way(sitting: Sitting, on: date) -> bool:
    """True for a sitting set by a day and not counted out before it."""
    return sitting.set_on <= on and (sitting.closed is None or on < sitting.closed)


def sitting_name(snapshot: Snapshot, sitting: Sitting) -> str:
    """What a sheet calls a sitting: its name, else who or what hatches it."""
    return sitting.name.strip() or sitter_text(snapshot, sitting)


def _card(snapshot: Snapshot, sitting: Sitting, on: date) -> SittingCard:
    year = snapshot.husbandry
    days = plan_of(sitting)
    machine = year.machines.get(sitting.machine) if sitting.machine is not None else None
    broodies = [bird for bird in (sitting.broody, sitting.second_broody) if bird and snapshot.has(bird)]
    return SittingCard(
        name=sitting_name(snapshot, sitting),
        kind=kind_word(days.kind.kind),
        under=tuple(bird_line(snapshot.bird(bird), on) for bird in broodies),
        machine=machine.name if machine is not None else "",
        days=_days(days),
        batches=tuple(
            _batch(snapshot, batch, eggs)
            for batch in year.batches_of.get(sitting.id, ())
            if (eggs := _here(snapshot, batch))
        ),
        candlings=len(days.candlings),
        advice=_advice(days) if machine is not None else "",
        note=sitting.note,
    )


def _days(days: IncubationPlan) -> tuple[CardDay, ...]:
    found = [CardDay(_("Set"), full_day(days.set_on), "0")]
    for number, candling in enumerate(days.candlings, 1):
        found.append(
            CardDay(
                _("Candling {number}").format(number=number),
                _span(candling.on, candling.until),
                _day_span(days, candling.on, candling.until),
            )
        )
    found.append(
        CardDay(_("Lockdown: no more turning"), full_day(days.lockdown), str(days.day(days.lockdown)))
    )
    found.append(
        CardDay(
            _("Hatch due"),
            full_day(days.due),
            _day_span(days, days.due_first, days.due_last),
            _("as a rule between {first} and {last}").format(
                first=plain_day(days.due_first), last=plain_day(days.due_last)
            ),
        )
    )
    return tuple(found)


def _span(first: date, last: date) -> str:
    if first == last:
        return full_day(first)
    return _("{first} to {last}").format(first=plain_day(first), last=plain_day(last))


def _day_span(days: IncubationPlan, first: date, last: date) -> str:
    if first == last:
        return str(days.day(first))
    return _("{first} to {last}").format(first=days.day(first), last=days.day(last))


def _here(snapshot: Snapshot, batch: Batch) -> int:
    """The eggs of a batch that were not moved on, to another sitting or into a compartment."""
    fates = snapshot.husbandry.fates_of.get(batch.id, ())
    return batch.eggs - sum(fate.eggs for fate in fates if fate.fate is Fate.MOVED)


def _batch(snapshot: Snapshot, batch: Batch, eggs: int) -> CardBatch:
    about = (
        _laid(batch),
        _("compartment {name}").format(name=batch.compartment) if batch.compartment else "",
        batch.colour,
    )
    return CardBatch(eggs, source_text(snapshot, batch), "; ".join(part for part in about if part))


def _laid(batch: Batch) -> str:
    first, last = batch.laid_from or batch.laid_to, batch.laid_to or batch.laid_from
    if first is None or last is None:
        return ""
    if first == last:
        return _("laid {day}").format(day=plain_day(first))
    return _("laid {first} to {last}").format(first=plain_day(first), last=plain_day(last))


def _advice(days: IncubationPlan) -> str:
    climate = days.kind.climate
    text = _(
        "Printed guides: {moving} °C in moving air or {still} °C in still air, humidity {humidity} %, from lockdown on "
        "{hatcher} %. The guide of the maker of the machine comes first."
    )
    return text.format(
        moving=_range(climate.moving_air_c),
        still=f"{climate.still_air_c:g}",
        humidity=_range(climate.humidity),
        hatcher=_range(climate.hatcher_humidity),
    )


def _range(span: Span) -> str:
    low, high = f"{span.low:g}", f"{span.high:g}"
    return low if low == high else _("{low} to {high}").format(low=low, high=high)


def _card_data(card: SittingCard) -> dict[str, Any]:
    eggs = plural("{count} egg ({kind})", "{count} eggs ({kind})", card.eggs)
    return {
        "name": card.name,
        "under": [line.data() for line in card.under],
        "machine": card.machine if card.machine != card.name else "",
        "eggs": eggs.format(count=card.eggs, kind=card.kind),
        "days": [{"what": day.what, "when": day.when, "day": day.day, "also": day.also} for day in card.days],
        "batches": [
            {"eggs": str(batch.eggs), "source": batch.source, "about": batch.about} for batch in card.batches
        ],
        "candlings": card.candlings,
        "advice": card.advice,
        "note": card.note,
    }
