"""The exchange of a cock: hen by hen from which day eggs may be his, are his, and may still be an earlier one's."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.ids import BirdId, PenId
from studbook.book.records import Sex, Snapshot
from studbook.planning.candidates import is_old_enough, kind_of
from studbook.planning.pens.asking import asking
from studbook.planning.pens.board import stays_on
from studbook.planning.pens.naming import When, iso, listed, pen_name
from studbook.planning.sentences import BirdPart, Sentence, compose
from studbook.season.paternity import Exchange, Hen, HenExchange, Meeting, exchange
from studbook.words import _, plural


@dataclass(frozen=True)
class Sheet:
    """The dates of an exchange.

    Attributes
    ----------
    leaving
        The cocks in the pen that day, who go.
    hens
        The hens of the pen, those too young to lay left out.
    found
        The dates, hen by hen.
    fertile_from
        The day the new cock is of age, where that is later than the exchange.
    """

    pen: PenId
    new_cock: BirdId
    leaving: tuple[BirdId, ...]
    hens: tuple[BirdId, ...]
    found: Exchange
    fertile_from: date | None = None


def exchange_sheet(snapshot: Snapshot, pen: PenId, new_cock: BirdId, on: date) -> Sheet:
    """What follows if a cock joins the hens of a pen on a day, and every cock that is with them leaves."""
    year = snapshot.husbandry
    inside = [stay.bird for stay in stays_on(year, on).values() if stay.pen == pen]
    there = [snapshot.bird(bird) for bird in inside if snapshot.has(bird)]
    leaving = tuple(bird.id for bird in there if bird.sex is Sex.COCK and bird.id != new_cock)
    hens = tuple(bird.id for bird in there if bird.sex is Sex.HEN and is_old_enough(bird, on))
    cock = snapshot.bird(new_cock)
    whose = asking(snapshot)
    of_age = None
    if cock.hatched.is_known:
        of_age = cock.hatched.earliest + timedelta(days=kind_of(cock).fertile_age_days)
    later = of_age if of_age is not None and of_age > on else None
    meetings: dict[Hen, Sequence[Meeting]] = {hen: whose.meetings(hen) for hen in hens}
    found = exchange(meetings, new_cock, on, whose.practice(cock.species), later)
    return Sheet(pen, new_cock, leaving, hens, found, later)


def exchange_words(sheet: Sheet, snapshot: Snapshot, when: When = iso) -> tuple[Sentence, ...]:
    """The sheet in sentences: the pen first, then its hens, those of the same dates together."""
    return (*_pen_words(sheet, snapshot, when), *_hen_words(sheet, when))


def _pen_words(sheet: Sheet, snapshot: Snapshot, when: When) -> tuple[Sentence, ...]:
    pen, cock = pen_name(snapshot.husbandry, sheet.pen), BirdPart(sheet.new_cock)
    if not sheet.hens:
        return ((_("There is no laying hen in {pen} on that day.").format(pen=pen),),)
    said: list[Sentence] = []
    if sheet.fertile_from is not None:
        text = _("{cock} is of age on {day} only: what follows is counted from then.")
        said.append(compose(text, cock=cock, day=when(sheet.fertile_from)))
    found = sheet.found
    assert found.covered_from is not None
    assert found.certain_from is not None
    if found.clear_from is None:
        text = _("{pen} is covered by {cock} from {day}. No hen had an earlier cock: every egg is his.")
        said.append(compose(text, pen=pen, cock=cock, day=when(found.covered_from)))
        return tuple(said)
    text = _("{pen} is covered by {cock} from {covered}, and its eggs count as his alone from {certain}.")
    said.append(
        compose(text, pen=pen, cock=cock, covered=when(found.covered_from), certain=when(found.certain_from))
    )
    return tuple(said)


def _hen_words(sheet: Sheet, when: When) -> tuple[Sentence, ...]:
    groups: dict[tuple[object, ...], list[HenExchange]] = {}
    for row in sheet.found.hens:
        groups.setdefault(_dates(row), []).append(row)
    return tuple(_group_words(rows, sheet.new_cock, when) for rows in groups.values())


def _dates(row: HenExchange) -> tuple[object, ...]:
    return row.may_be_his_from, row.covered_from, row.earlier, row.clear_from, row.earlier_until


def _group_words(rows: Sequence[HenExchange], new_cock: BirdId, when: When) -> Sentence:
    """What the exchange means for hens of the same dates."""
    one = rows[0]
    hens = listed([BirdId(str(row.hen)) for row in rows])
    start = compose(
        plural(
            "{hens}: an egg may be by {cock} from {first}, she is covered from {covered}",
            "{hens}: an egg may be by {cock} from {first}, they are covered from {covered}",
            len(rows),
        ),
        hens=hens,
        cock=BirdPart(new_cock),
        first=when(one.may_be_his_from),
        covered=when(one.covered_from),
    )
    if one.clear_from is None or one.earlier_until is None:
        return compose(_("{start}; no earlier cock counts."), start=start)
    return compose(
        _("{start}; until {last} it may still be by {earlier}; it counts as his alone from {clear}."),
        start=start,
        last=when(one.earlier_until),
        earlier=earlier_words(one.earlier),
        clear=when(one.clear_from),
    )


def earlier_words(cocks: Sequence[object]) -> Sentence:
    """The earlier cocks, an unknown one in words."""
    known = [BirdId(str(cock)) for cock in cocks if cock is not None]
    stranger = _("an unknown cock of the yard she came from")
    if len(known) == len(cocks):
        return listed(known)
    if not known:
        return (stranger,)
    return compose(_("{cocks} or {stranger}"), cocks=listed(known), stranger=stranger)
