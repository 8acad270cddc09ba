"""The columns of the birds' table, over the birds of one snapshot."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from studbook.book.records import OURS, Bird, BirdId, BookDetails, Snapshot
from studbook.book.wording import status_word
from studbook.dates import PartialDate
from studbook.desk.tables import Column, Paint
from studbook.desk.wording import MISSING, bird_text, date_text, number_text, percent_text
from studbook.season.species import all_species
from studbook.words import _, fold


@dataclass(frozen=True)
class Figures:
    """What a worker found for a snapshot: F and complete generation equivalents by `Row`."""

    inbreeding: tuple[float, ...]
    generations: tuple[float, ...]


@dataclass
class Facts:
    """What the columns look up; the figures arrive later than the birds."""

    snapshot: Snapshot
    today: date
    figures: Figures | None = None
    _names: dict[BirdId, str] = field(default_factory=dict)
    _names_of: Snapshot | None = None

    @classmethod
    def none(cls) -> "Facts":
        """Of no book yet."""
        return cls(Snapshot(0, BookDetails("")), date.min)

    def called(self, bird: Bird) -> str:
        """The trade's word for its sex and age."""
        return sex_and_age(bird, self.today)

    def parent_text(self, bird: Bird, parents: tuple[BirdId, ...], *, some_unknown: bool) -> str:
        """The candidates for one parent in words: "W17-01 or W18-03"."""
        names = [bird_text(self.snapshot.bird(parent)) for parent in parents if self.snapshot.has(parent)]
        if not names:
            return ""
        if some_unknown:
            names.append(_("unknown"))
        return _(" or ").join(names)

    def sire_text(self, bird: Bird) -> str:
        """Its sire, or the candidates."""
        if len(bird.pairs) == 1:
            return self._name(bird.pairs[0].sire)
        return self.parent_text(bird, bird.sires, some_unknown=any(pair.sire is None for pair in bird.pairs))

    def dam_text(self, bird: Bird) -> str:
        """Its dam, or the candidates."""
        if len(bird.pairs) == 1:
            return self._name(bird.pairs[0].dam)
        return self.parent_text(bird, bird.dams, some_unknown=any(pair.dam is None for pair in bird.pairs))

    def _name(self, parent: BirdId | None) -> str:
        """What a parent is called; most birds share theirs with others."""
        if self._names_of is not self.snapshot:
            self._names_of, self._names = self.snapshot, {}
        if parent is None or not self.snapshot.has(parent):
            return ""
        if parent not in self._names:
            self._names[parent] = bird_text(self.snapshot.bird(parent))
        return self._names[parent]

    def origin_text(self, bird: Bird) -> str:
        """Where it came from."""
        origin = self.snapshot.origin(bird.origin)
        if origin is not None:
            return origin.name
        return _("founder") if bird.founder else ""

    def contact_text(self, bird: Bird, field: str) -> str:
        """The name of its breeder or taker."""
        contact = self.snapshot.contact(getattr(bird, field))
        return contact.name if contact is not None else ""

    def inbreeding(self, bird: Bird) -> float | None:
        """F, or None while it is worked out and for a bird of whom no parent is recorded."""
        row = self.snapshot.rows.get(bird.id)
        if self.figures is None or row is None or not bird.pairs:
            return None
        return self.figures.inbreeding[row]

    def generations(self, bird: Bird) -> float | None:
        """How many generations of its pedigree are known."""
        row = self.snapshot.rows.get(bird.id)
        return None if self.figures is None or row is None else self.figures.generations[row]


def sex_and_age(bird: Bird, today: date) -> str:
    """What a bird is called ("cockerel"); a bird that has gone, by its age when it left."""
    kind = all_species().get(bird.species)
    if kind is None:
        return ""
    day = bird.left.latest if bird.left.is_known and bird.status not in OURS else today
    return kind.what_called(bird.sex, bird.hatched, min(day, today))


@lru_cache(maxsize=200_000)
def code_order(code: str) -> tuple[str | int, ...]:
    """A sorting key that puts W17-2 before W17-10: texts and numbers in turn."""
    return tuple(
        int(part) if number % 2 else part for number, part in enumerate(re.split(r"(\d+)", fold(code)))
    )


def _bird_order(bird: Bird) -> tuple[str | int, ...] | None:
    """By the mark that is shown, else by name."""
    marks = bird.marks
    shown = marks[0].code if len(marks) == 1 and marks[0].until is None else bird.mark
    return code_order(shown or bird.name) if shown or bird.name else None


def date_order(when: PartialDate | None) -> date | None:
    """The raw value a date is sorted by."""
    return when.earliest if when is not None and when.is_known else None


def _codes(bird: Bird) -> str:
    return ", ".join(mark.code for mark in bird.marks if mark.is_worn)


def _ring_colour(bird: Bird) -> str:
    mark = bird.shown_mark
    return mark.colour if mark is not None else ""


def _percent(share: float | None) -> str:
    return MISSING if share is None else percent_text(share)


def _number(number: float | None) -> str:
    return MISSING if number is None else _("{number:.1f}").format(number=number)


def bird_columns(facts: Facts) -> tuple[Column[Bird], ...]:
    """Every column there is; those not `shown` wait in the column menu."""
    return (
        Column(
            "bird",
            _("Bird"),
            bird_text,
            _bird_order,
            width=24,
            paint=Paint.BIRD,
            bird=lambda bird: bird,
            tip=_codes,
        ),
        Column("called", _("Sex and age"), facts.called, width=11),
        Column(
            "hatched",
            _("Hatched"),
            lambda bird: date_text(bird.hatched),
            lambda bird: date_order(bird.hatched),
            width=12,
        ),
        Column("sire", _("Sire"), facts.sire_text, width=16),
        Column("dam", _("Dam"), facts.dam_text, width=16),
        Column("colour", _("Colour"), lambda bird: bird.colour, width=8),
        Column("breed", _("Breed"), lambda bird: bird.breed, width=11),
        Column(
            "inbreeding",
            _("F"),
            lambda bird: _percent(facts.inbreeding(bird)),
            facts.inbreeding,
            width=8,
            right=True,
            paint=Paint.TINT,
            explained=_("Inbreeding coefficient by convention: parents that are not recorded are unrelated."),
        ),
        Column(
            "generations",
            _("Known"),
            lambda bird: _number(facts.generations(bird)),
            facts.generations,
            width=8,
            right=True,
            explained=_("How much pedigree is known, in complete generations."),
        ),
        Column("status", _("Status"), lambda bird: status_word(bird.status), width=9),
        Column("origin", _("Origin"), facts.origin_text, width=16),
        Column(
            "left",
            _("Left"),
            lambda bird: date_text(bird.left),
            lambda bird: date_order(bird.left),
            width=12,
            shown=False,
        ),
        Column("cause", _("Cause"), lambda bird: bird.cause, width=14, shown=False),
        Column("taker", _("Went to"), lambda bird: facts.contact_text(bird, "taker"), width=16, shown=False),
        Column(
            "breeder", _("Breeder"), lambda bird: facts.contact_text(bird, "breeder"), width=16, shown=False
        ),
        Column("comb", _("Comb"), lambda bird: bird.comb, width=10, shown=False),
        Column("marks", _("Marks"), _codes, width=14, shown=False),
        Column("ring_colour", _("Ring colour"), _ring_colour, width=10, shown=False),
        Column("name", _("Name"), lambda bird: bird.name, width=14, shown=False),
        Column(
            "offspring",
            _("Offspring"),
            lambda bird: number_text(offspring_count(facts.snapshot, bird)),
            lambda bird: offspring_count(facts.snapshot, bird),
            width=8,
            right=True,
            shown=False,
        ),
        Column("note", _("Note"), lambda bird: bird.note, width=24, shown=False),
    )


def offspring_count(snapshot: Snapshot, bird: Bird) -> int:
    """Of how many birds it is or may be a parent."""
    return len(snapshot.offspring.get(bird.id, ()))


def search_text(bird: Bird) -> str:
    """What the search looks through: every mark it ever wore, name, colour, breed and note."""
    parts: Iterable[str] = (
        *(mark.code for mark in bird.marks),
        *(mark.colour for mark in bird.marks),
        bird.name,
        bird.colour,
        bird.breed,
        bird.note,
    )
    return fold(" ".join(part for part in parts if part))
