"""What is not well in a pen, each in a sentence with the remedy. A warning never stops anybody."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from studbook.book.husbandry.rows import Apart, Decision
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.husbandry.wording import apart_word
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Sex, Snapshot
from studbook.planning.candidates import is_old_enough, kind_of
from studbook.planning.limits import is_over
from studbook.planning.pens.asking import asking
from studbook.planning.pens.board import Board, PenOn
from studbook.planning.pens.naming import When, iso, listed
from studbook.planning.pens.weight import weight_class
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.season.practice import ApartReason, Ratio
from studbook.words import _, plural


class WarningKind(StrEnum):
    """What a warning is about."""

    RELATED = "related"
    OVER_ROOM = "over capacity"
    APART = "bird apart"
    ALONE = "hen alone"
    TOO_FEW = "too few hens"
    TOO_MANY = "too many hens"
    SEVERAL_COCKS = "several cocks"
    UNTESTED = "cock not tested"
    TOO_YOUNG = "hen too young"


@dataclass(frozen=True, slots=True)
class PenWarning:
    """One warning of one pen."""

    kind: WarningKind
    sentence: Sentence


def warnings(snapshot: Snapshot, found: Board, when: When = iso) -> dict[PenId, tuple[PenWarning, ...]]:
    """The warnings of every pen of a board that has any."""
    whose = asking(snapshot)
    apart = {row.bird: row for row in found.apart}
    proven = proven_cocks(snapshot, found.day)
    made = {
        pen.pen.id: tuple(_of_pen(snapshot, found, pen, whose, apart, proven, when)) for pen in found.pens
    }
    return {pen: of_pen for pen, of_pen in made.items() if of_pen}


def proven_cocks(snapshot: Snapshot, day: date) -> frozenset[BirdId]:
    """The cocks of whom a fertility trial was decided "keep" by that day."""
    return frozenset(
        trial.cock
        for trial in snapshot.husbandry.trials.values()
        if trial.decision is Decision.KEEP and (trial.decided is None or trial.decided <= day)
    )


def _of_pen(
    snapshot: Snapshot,
    found: Board,
    pen: PenOn,
    whose: WhoseEgg,
    apart: dict[BirdId, Apart],
    proven: frozenset[BirdId],
    when: When,
) -> Iterator[PenWarning]:
    yield from _related(pen, found.limit)
    yield from _over_room(pen)
    yield from _apart(pen, apart)
    if pen.cocks:
        yield from _ratio(snapshot, pen, whose)
        yield from _several(pen)
        yield from _too_young(snapshot, pen, found.day, when)
        yield from _untested(snapshot, pen, found.day, proven, when)


def _related(pen: PenOn, limit: float) -> Iterator[PenWarning]:
    for cock in pen.cocks:
        over = [
            (share, hen.bird)
            for hen in pen.hens
            for other, share in hen.expected
            if other == cock.bird and is_over(share, limit)
        ]
        if not over:
            continue
        text = plural(
            "F of the chicks of {cock} and {hens} would be {share}, over the limit of {limit}: "
            "put her to another cock, or set none of her eggs.",
            "F of the chicks of {cock} with {hens} would be up to {share}, over the limit of {limit}: "
            "put them to another cock, or set none of their eggs.",
            len(over),
        )
        share, _hen = max(over)
        yield PenWarning(
            WarningKind.RELATED,
            compose(
                text,
                cock=BirdPart(cock.bird),
                hens=listed([hen for _share, hen in over]),
                share=SharePart(share),
                limit=SharePart(limit),
            ),
        )


def _over_room(pen: PenOn) -> Iterator[PenWarning]:
    if not pen.room.is_over:
        return
    over = -min(pen.room.large or 0, pen.room.bantams or 0)
    text = plural(
        "{count} bird more than there is room for: move one to another pen.",
        "{count} birds more than there is room for: move them to another pen.",
        over,
    )
    yield PenWarning(WarningKind.OVER_ROOM, (text.format(count=over),))


def _apart(pen: PenOn, apart: dict[BirdId, Apart]) -> Iterator[PenWarning]:
    """A bird apart may have a pen to itself or share one with others apart; a trial needs hens."""
    inside = [occupant.bird for occupant in pen.occupants]
    if all(bird in apart for bird in inside):
        return
    for bird in inside:
        row = apart.get(bird)
        if row is None or row.reason is ApartReason.TRIAL:
            continue
        text = _(
            "{bird} is set apart ({reason}) but runs with others here: give it a place of its own, "
            "or end its time apart."
        )
        reason = apart_word(row.reason)
        yield PenWarning(WarningKind.APART, compose(text, bird=BirdPart(bird), reason=reason))


def _ratio(snapshot: Snapshot, pen: PenOn, whose: WhoseEgg) -> Iterator[PenWarning]:
    hens = [hen.bird for hen in pen.hens]
    cocks = [cock.bird for cock in pen.cocks]
    if len(hens) == 1:
        text = plural(
            "{hen} is alone with {cocks}: one hen alone wears. Give her company, or days of rest from him.",
            "{hen} is alone with {cocks}: one hen alone wears. Give her company, or days of rest from them.",
            len(cocks),
        )
        sentence = compose(text, hen=BirdPart(hens[0]), cocks=listed(cocks))
        yield PenWarning(WarningKind.ALONE, sentence)
        return
    cock = snapshot.bird(cocks[0])
    usual = whose.practice(cock.species).hens_per_cock(weight_class(cock))
    ratio = usual.ratio(len(cocks), len(hens))
    if ratio is Ratio.TOO_FEW:
        text = plural(
            "{hens} hens with {cock} cock, where {few} to {many} a cock are usual: few hens wear. "
            "Add some, or give them days of rest from him.",
            "{hens} hens with {cock} cocks, where {few} to {many} a cock are usual: few hens wear. "
            "Add some, or take a cock out.",
            len(cocks),
        )
        kind = WarningKind.TOO_FEW
    elif ratio is Ratio.TOO_MANY:
        text = plural(
            "{hens} hens with {cock} cock, where {few} to {many} a cock are usual: eggs may stay clear. "
            "Take some out, or add a cock.",
            "{hens} hens with {cock} cocks, where {few} to {many} a cock are usual: eggs may stay clear. "
            "Take some out, or add a cock.",
            len(cocks),
        )
        kind = WarningKind.TOO_MANY
    else:
        return
    words = text.format(hens=len(hens), cock=len(cocks), few=usual.few, many=usual.many)
    yield PenWarning(kind, (words,))


def _several(pen: PenOn) -> Iterator[PenWarning]:
    if len(pen.cocks) < 2 or not pen.hens:
        return
    text = _("{cocks} run together: an egg may be by any of them. Part them where the sire is to be known.")
    sentence = compose(text, cocks=listed([cock.bird for cock in pen.cocks]))
    yield PenWarning(WarningKind.SEVERAL_COCKS, sentence)


def _too_young(snapshot: Snapshot, pen: PenOn, day: date, when: When) -> Iterator[PenWarning]:
    """Young hens with a cock of age; each may lay later than the age that is reckoned with."""
    young = [each.bird for each in pen.young if snapshot.bird(each.bird).sex is Sex.HEN]
    pullets = [bird for bird in young if not is_old_enough(snapshot.bird(bird), day)]
    if not pullets:
        return
    ages = [
        snapshot.bird(bird).hatched.earliest + timedelta(days=kind_of(snapshot.bird(bird)).laying_age_days)
        for bird in pullets
    ]
    text = plural(
        "{hens} is under laying age until {day}: keep her from the cock until she is grown.",
        "{hens} are under laying age, the last until {day}: keep them from the cock until they are grown.",
        len(pullets),
    )
    sentence = compose(text, hens=listed(pullets), day=when(max(ages)))
    yield PenWarning(WarningKind.TOO_YOUNG, sentence)


def _untested(
    snapshot: Snapshot, pen: PenOn, day: date, proven: frozenset[BirdId], when: When
) -> Iterator[PenWarning]:
    if not pen.hens:
        return
    untested = [cock.bird for cock in pen.cocks if cock.bird not in proven]
    fathers = {bird: last for bird in untested if (last := _last_chick(snapshot, bird, day)) is not None}
    never = [bird for bird in untested if bird not in fathers]
    if never:
        text = plural(
            "{cocks} is not proven by a fertility trial: candle a first few of his eggs before many are set.",
            "{cocks} are not proven by a fertility trial: candle a first few of their eggs before many are set.",
            len(never),
        )
        yield PenWarning(WarningKind.UNTESTED, compose(text, cocks=listed(never)))
    for bird, last in fathers.items():
        text = _(
            "{cock} has no fertility trial that was decided “keep”; chicks of his hatched last on {day}. "
            "Candle a first few eggs of this season before many are set."
        )
        yield PenWarning(WarningKind.UNTESTED, compose(text, cock=BirdPart(bird), day=when(last)))


def _last_chick(snapshot: Snapshot, cock: BirdId, day: date) -> date | None:
    """The last hatch day of chicks that are certainly his, by that day."""
    hatched = [
        chick.hatched.latest
        for chick in map(snapshot.bird, snapshot.offspring.get(cock, ()))
        if chick.sire == cock and chick.hatched.is_known and chick.hatched.latest <= day
    ]
    return max(hatched, default=None)
