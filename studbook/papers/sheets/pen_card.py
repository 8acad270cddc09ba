"""The pen card: who is in a pen, since when, by whom its eggs are, and room for a pencil."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from studbook.book.husbandry.rows import House, Pen
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import PenId
from studbook.book.records import Bird, Sex, Snapshot
from studbook.papers.sheets.sheet import BirdLine, Head, bird_line, head_of, named, plain_day
from studbook.papers.sheets.walk import birds_in, pens_on_the_walk
from studbook.season.paternity import pen_clear_date
from studbook.words import _, plural


@dataclass(frozen=True, slots=True)
class PenBird:
    """A bird of the pen and the day it came; None is not known."""

    line: BirdLine
    since: date | None


@dataclass(frozen=True, slots=True)
class PenCard:
    """One pen.

    Attributes
    ----------
    house, note
        Empty where there is none.
    cocks
        The cocks in words, each with the day he came.
    clear
        What is said of earlier cocks; empty in a pen without a cock or hens.
    room
        How many birds it takes and how many are in it.
    """

    pen: str
    house: str
    note: str
    cocks: tuple[str, ...]
    clear: str
    room: str
    birds: tuple[PenBird, ...]


@dataclass(frozen=True, slots=True)
class PenCards:
    """The cards of some pens, each on a sheet of its own."""

    head: Head
    cards: tuple[PenCard, ...]

    @property
    def template(self) -> str:
        return "pen_card.typ"

    @property
    def title(self) -> str:
        if len(self.cards) == 1:
            return _("Pen card of {pen}").format(pen=self.cards[0].pen)
        return _("Pen cards")

    def data(self) -> Mapping[str, Any]:
        return {
            "words": {
                "continued": _("{pen}, continued"),
                "bird": _("Bird"),
                "since": _("Since"),
                "remark": _("Remarks"),
                "notes": _("Notes"),
                "empty": _("No birds are in this pen."),
                "none": _("The book has no open pen yet."),
            },
            "cards": [_card_data(card) for card in self.cards],
        }


def pen_cards(snapshot: Snapshot, on: date, pens: Collection[PenId] | None = None) -> PenCards:
    """The cards of `pens` (all open ones by default) as they stand on a day, in walking order."""
    asking = WhoseEgg({bird.id: bird for bird in snapshot.birds}, snapshot.husbandry)
    return PenCards(
        head_of(snapshot, on),
        tuple(
            _card(snapshot, asking, house, pen, on)
            for house, pen in pens_on_the_walk(snapshot.husbandry, on)
            if pens is None or pen.id in pens
        ),
    )


def _card(snapshot: Snapshot, asking: WhoseEgg, house: House | None, pen: Pen, on: date) -> PenCard:
    year = snapshot.husbandry
    birds = birds_in(snapshot, pen.id, on)
    stays = {bird.id: year.stay_on(bird.id, on) for bird in birds}
    came = {bird: stay.since for bird, stay in stays.items() if stay is not None}
    return PenCard(
        pen=pen.name,
        house=house.name if house is not None else "",
        note=pen.note,
        cocks=tuple(
            _("{cock}, since {day}").format(cock=named(bird), day=plain_day(came[bird.id]))
            for bird in birds
            if bird.sex is Sex.COCK
        ),
        clear=_clear_text(asking, birds, on),
        room=_room_text(pen, len(birds)),
        birds=tuple(PenBird(bird_line(bird, on), came.get(bird.id)) for bird in birds),
    )


def _clear_text(asking: WhoseEgg, birds: Collection[Bird], on: date) -> str:
    cocks = [bird for bird in birds if bird.sex is Sex.COCK]
    hens = [bird for bird in birds if bird.sex is not Sex.COCK]
    if not cocks or not hens:
        return ""
    practice = asking.practice(cocks[0].species)
    meetings = [asking.meetings(hen.id) for hen in hens]
    clear = pen_clear_date(meetings, practice, kept=[cock.id for cock in cocks])
    if clear is None:
        return _("no earlier cock is known")
    if clear <= on:
        return _("since {day}").format(day=plain_day(clear))
    return _("from {day} on; until then eggs may be an earlier cock's").format(day=plain_day(clear))


def _room_text(pen: Pen, birds: int) -> str:
    held = plural("{count} bird is in it", "{count} birds are in it", birds).format(count=birds)
    large, bantams = pen.room_large, pen.room_bantams
    if large is not None and bantams is not None:
        room = _("{large} large fowl or {bantams} bantams").format(large=large, bantams=bantams)
    elif large is not None:
        room = _("{count} large fowl").format(count=large)
    elif bantams is not None:
        room = plural("{count} bantam", "{count} bantams", bantams).format(count=bantams)
    else:
        return held
    return _("{room}; {held}").format(room=room, held=held)


def _card_data(card: PenCard) -> dict[str, Any]:
    facts = (
        (_("Cock") if len(card.cocks) < 2 else _("Cocks"), "; ".join(card.cocks) or _("none")),
        (_("Clear of earlier cocks"), card.clear),
        (_("Room"), card.room),
        (_("About the pen"), card.note),
    )
    return {
        "pen": card.pen,
        "house": card.house,
        "facts": [[name, text] for name, text in facts if text],
        "birds": [
            {**bird.line.data(), "since": plain_day(bird.since) if bird.since is not None else ""}
            for bird in card.birds
        ],
    }
