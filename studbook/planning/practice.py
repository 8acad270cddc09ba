"""The figures of practice of a species as they stand in a book: the program's, the keeper's, and where each is from."""

from dataclasses import dataclass

from studbook.book.husbandry.figure_words import ORDER, amount_text, evidence_word, figure_word, unit_word
from studbook.book.husbandry.rows import Figure
from studbook.book.records import Snapshot
from studbook.planning.sittings.days import kind_word
from studbook.season.incubation import Incubation, incubation, kinds_of
from studbook.season.practice import Evidence, practice
from studbook.words import _


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure of a species.

    Attributes
    ----------
    name
        Its lasting name; that of incubation days begins with ``incubation``.
    value, unit
        What holds in this book; of incubation the usual days.
    shown
        The value in words.
    published, told, published_evidence, source
        The program's value in words, alone and with its unit, how sure it is and where it comes from.
    evidence
        How sure the value that holds is.
    own
        The keeper's row, if there is one.
    is_editable
        False for incubation days, which are set on a sitting.
    """

    name: str
    words: str
    value: float
    unit: str
    shown: str
    published: str
    told: str
    published_evidence: str
    source: str
    evidence: str
    own: Figure | None = None
    is_editable: bool = True


def figure_lines(snapshot: Snapshot, species_code: str) -> tuple[FigureLine, ...]:
    """Every figure of a species in the order they are told, incubation last.

    Raises
    ------
    KeyError
        If there is no such species.
    """
    own = {row.name: row for row in snapshot.husbandry.figures.values() if row.species == species_code}
    figures = practice(species_code).figures
    lines = []
    for name in sorted(figures, key=ORDER.index):
        figure, row = figures[name], own.get(name)
        value = figure.value if row is None else row.value
        unit = unit_word(figure.unit)
        lines.append(
            FigureLine(
                name=name,
                words=figure_word(name),
                value=value,
                unit=unit,
                shown=f"{value:g}",
                published=f"{figure.value:g}",
                told=amount_text(figure.value, figure.unit),
                published_evidence=evidence_word(figure.evidence),
                source=_(figure.source),
                evidence=evidence_word(figure.evidence if row is None else Evidence.KEEPER),
                own=row,
            )
        )
    for kind in kinds_of(species_code):
        lines += _incubation_lines(incubation(kind))
    return tuple(lines)


def _incubation_lines(kind: Incubation) -> list[FigureLine]:
    def line(name: str, words: str, value: int, shown: str, evidence: Evidence, source: str) -> FigureLine:
        sure = evidence_word(evidence)
        return FigureLine(
            name=f"incubation {kind.kind} {name}",
            words=words.format(kind=kind_word(kind.kind)),
            value=value,
            unit=_("days"),
            shown=shown,
            published=shown,
            told=shown,
            published_evidence=sure,
            source=_(source),
            evidence=sure,
            is_editable=False,
        )

    days = _("{usual}, from {first} to {last}").format(
        usual=kind.days, first=kind.first_day, last=kind.last_day
    )
    candlings = _("; ").join(
        str(first) if first == last else _("{first} to {last}").format(first=first, last=last)
        for first, last in kind.candling_days
    )
    first_candling = kind.candling_days[0][0]
    return [
        line("days", _("incubation, {kind}"), kind.days, days, kind.evidence, kind.source),
        line(
            "lockdown",
            _("lockdown, {kind}: day"),
            kind.transfer_day,
            str(kind.transfer_day),
            kind.evidence,
            kind.source,
        ),
        line(
            "candling",
            _("candling, {kind}: day"),
            first_candling,
            candlings,
            kind.candling_evidence,
            kind.candling_source,
        ),
    ]
