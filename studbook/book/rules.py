"""What the record never allows, and what it warns of: every invariant, in one place.

Each rule looks at frozen birds and returns findings; none raises. The door runs them over what a change
touches, the import over what a list would add, and the check over the whole book.
"""

import math
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from studbook.book.errors import Problem, Severity
from studbook.book.order import parents_of
from studbook.book.origins import origin_sources
from studbook.book.records import DEAD, Bird, BirdId, Origin, OriginId, OriginRelation, Sex, Status
from studbook.dates import PartialDate
from studbook.season.species import all_species, species
from studbook.words import _, plural

WEIGHT_TOLERANCE = 1e-6


@dataclass(frozen=True)
class View:
    """The birds a rule may look at: the whole book as it would stand after a change."""

    birds: Mapping[BirdId, Bird]
    today: date

    def present(self, ids: Iterable[BirdId]) -> Iterator[Bird]:
        """The birds with these ids that are not struck out."""
        for bird_id in ids:
            bird = self.birds.get(bird_id)
            if bird is not None and bird.struck is None:
                yield bird


def problems(view: View, touched: Collection[BirdId] | None = None) -> tuple[Problem, ...]:
    """Everything wrong with the `touched` birds (all of them by default), errors first.

    What a touched bird does to its offspring is looked at too: a new hatch date or sex may make it
    impossible as a parent.
    """
    chosen = list(view.birds) if touched is None else _with_offspring(view, set(touched))
    found: list[Problem] = []
    loops = _loops(view, chosen)
    found += loops.values()
    for bird in view.present(chosen):
        found += _bird_alone(view, bird)
        found += _marks_in_time(bird)
    found += _parents(view, view.present(chosen), loops)
    found += _both_sire_and_dam(view, chosen)
    found += _shared_marks(view, set(chosen))
    found += _struck_parents(view, chosen)
    unique = dict.fromkeys(found)
    return tuple(sorted(unique, key=lambda problem: not problem.is_error))


def _with_offspring(view: View, touched: set[BirdId]) -> list[BirdId]:
    chosen = [bird_id for bird_id in view.birds if bird_id in touched]
    chosen += [
        bird.id
        for bird in view.birds.values()
        if bird.id not in touched
        and (bird.rearer in touched or any(parent in touched for parent in parents_of(bird)))
    ]
    return chosen


def _error(kind: str, message: str, birds: Iterable[Bird], field: str = "") -> Problem:
    return Problem(kind, message, tuple(bird.called for bird in birds), Severity.ERROR, field)


def mark_key(code: str) -> str:
    """The form in which two mark codes are the same mark: NFC, without case and outer space."""
    return unicodedata.normalize("NFC", code).strip().casefold()


def _bird_alone(view: View, bird: Bird) -> Iterator[Problem]:
    if bird.species not in all_species():
        yield _error(
            "species",
            _(
                "{bird} has the species {species}, which the program does not know: choose one of its list."
            ).format(bird=bird.called, species=bird.species),
            [bird],
            "species",
        )
    if bird.hatched.is_known and bird.hatched.earliest > view.today:
        yield _error(
            "date",
            _("{bird} would hatch on {date}, which is still to come: correct its hatch date.").format(
                bird=bird.called, date=bird.hatched
            ),
            [bird],
            "hatched",
        )
    if bird.status is Status.LIVING and bird.left.is_known:
        yield _error(
            "status",
            _("{bird} is living but has a date it left: clear the date or choose what became of it.").format(
                bird=bird.called
            ),
            [bird],
            "left",
        )
    if bird.left.is_known and bird.left.latest < bird.hatched.earliest and bird.hatched.is_known:
        yield _error(
            "date",
            _("{bird} left on {left}, before it hatched on {hatched}: correct one of the dates.").format(
                bird=bird.called, left=bird.left, hatched=bird.hatched
            ),
            [bird],
            "left",
        )
    arrived = bird.arrived
    if (
        arrived is not None
        and arrived.is_known
        and bird.hatched.is_known
        and arrived.latest < bird.hatched.earliest
    ):
        yield _error(
            "date",
            _(
                "{bird} arrived on {arrived}, before it hatched on {hatched}: correct one of the dates."
            ).format(bird=bird.called, arrived=arrived, hatched=bird.hatched),
            [bird],
            "arrived",
        )
    if bird.placeholder and bird.status is not Status.LIVING:
        yield _error(
            "placeholder",
            _(
                "{bird} stands for an unknown parent and cannot be {status}: record it as a bird first."
            ).format(bird=bird.called, status=bird.status),
            [bird],
            "status",
        )
    if bird.pairs and abs(sum(pair.weight for pair in bird.pairs) - 1) > WEIGHT_TOLERANCE:
        yield _error(
            "weights",
            _(
                "The weights of the possible parents of {bird} add up to {total:.3g}: they must add up to 1."
            ).format(bird=bird.called, total=sum(pair.weight for pair in bird.pairs)),
            [bird],
            "parents",
        )


def _marks_in_time(bird: Bird) -> Iterator[Problem]:
    for mark in bird.marks:
        if mark.since.is_known and bird.hatched.is_known and mark.since.latest < bird.hatched.earliest:
            yield _error(
                "date",
                _(
                    "{bird} cannot wear {mark} since {since}, before it hatched: correct the date of the mark."
                ).format(bird=bird.called, mark=mark.code, since=mark.since),
                [bird],
                "marks",
            )
        if mark.since.is_known and bird.status in DEAD and mark.since.earliest > bird.left.latest:
            yield _error(
                "date",
                _("{bird} cannot wear {mark} since {since}, after it {status}: correct the date.").format(
                    bird=bird.called, mark=mark.code, since=mark.since, status=_status_verb(bird.status)
                ),
                [bird],
                "marks",
            )
        if mark.until is not None and mark.until.is_certainly_before(mark.since) and mark.since.is_known:
            yield _error(
                "date",
                _("{bird} took off {mark} before it was put on: correct one of the dates.").format(
                    bird=bird.called, mark=mark.code
                ),
                [bird],
                "marks",
            )


def _status_verb(status: Status) -> str:
    return {
        Status.DIED: _("died"),
        Status.CULLED: _("was culled"),
        Status.SOLD: _("was sold"),
        Status.GIVEN: _("was given away"),
        Status.LOST: _("was lost"),
        Status.LENT: _("was lent"),
        Status.LIVING: _("lived"),
    }[status]


def _both_sire_and_dam(view: View, chosen: Collection[BirdId]) -> Iterator[Problem]:
    """A bird of unknown sex that is the sire of one chick and the dam of another."""
    doubtful = {parent for chick in view.present(chosen) for parent in parents_of(chick)}
    doubtful = {bird.id for bird in view.present(doubtful) if bird.sex is Sex.UNKNOWN}
    if not doubtful:
        return
    as_sire: dict[BirdId, Bird] = {}
    as_dam: dict[BirdId, Bird] = {}
    for chick in view.present(view.birds):
        as_sire.update((parent, chick) for parent in chick.sires if parent in doubtful)
        as_dam.update((parent, chick) for parent in chick.dams if parent in doubtful)
    for bird_id in as_sire.keys() & as_dam.keys():
        bird, chick, other = view.birds[bird_id], as_sire[bird_id], as_dam[bird_id]
        text = _(
            "{bird} is named as the sire of {chick} and as the dam of {other}: name another parent of one of them."
        )
        message = text.format(bird=bird.called, chick=chick.called, other=other.called)
        yield _error("sex", message, [bird, chick, other], "parents")


@dataclass(frozen=True)
class _Clash:
    """What a parent has against one chick; the chicks of one hatch make one sentence."""

    kind: str
    text: str
    parent: Bird
    hatched: PartialDate
    field: str
    severity: Severity
    days: int = 0


def _parents(view: View, chicks: Iterable[Bird], loops: Collection[BirdId]) -> Iterator[Problem]:
    clashes: dict[_Clash, list[Bird]] = {}
    for chick in chicks:
        for role, field in ((Sex.COCK, "sire"), (Sex.HEN, "dam")):
            for parent in view.present(dict.fromkeys(chick.sires if role is Sex.COCK else chick.dams)):
                found = [*_wrong_sex(parent, chick, role, field)]
                if chick.id not in loops and parent.id != chick.id:
                    found += [
                        *_parent_age(parent, chick, role, field),
                        *_parent_gone(parent, chick, role, field),
                    ]
                for clash in found:
                    clashes.setdefault(clash, []).append(chick)
    for clash, of_hatch in clashes.items():
        message = clash.text.format(
            parent=clash.parent.called,
            parent_hatched=clash.parent.hatched,
            left=clash.parent.left,
            left_how=_status_verb(clash.parent.status),
            chick=_chicks_text(of_hatch),
            chick_hatched=of_hatch[0].hatched,
            days=clash.days,
        )
        birds = (clash.parent.called, *(chick.called for chick in of_hatch))
        yield Problem(clash.kind, message, birds, clash.severity, clash.field)


def _chicks_text(chicks: list[Bird]) -> str:
    if len(chicks) == 1:
        return chicks[0].called
    text = plural(
        "{first} and {count} other of the hatch", "{first} and {count} others of the hatch", len(chicks) - 1
    )
    return text.format(first=chicks[0].called, count=len(chicks) - 1)


def _wrong_sex(parent: Bird, chick: Bird, role: Sex, field: str) -> Iterator[_Clash]:
    if parent.sex is Sex.UNKNOWN or parent.sex is role:
        return
    if role is Sex.COCK:
        text = _(
            "{parent} is a hen and cannot be the sire of {chick}: name a cock or correct the sex of {parent}."
        )
    else:
        text = _(
            "{parent} is a cock and cannot be the dam of {chick}: name a hen or correct the sex of {parent}."
        )
    yield _Clash("sex", text, parent, chick.hatched, field, Severity.ERROR)


def _parent_age(parent: Bird, chick: Bird, role: Sex, field: str) -> Iterator[_Clash]:
    if not parent.hatched.is_known or not chick.hatched.is_known or parent.species not in all_species():
        return
    kind = species(parent.species)
    gap = timedelta(days=kind.parent_age_days(role) + kind.incubation_days)
    severity = Severity.ERROR
    if parent.hatched.earliest > chick.hatched.latest:
        text = _(
            "{parent}, hatched {parent_hatched}, is younger than its chick {chick}, hatched {chick_hatched}: "
            "correct a hatch date or name another parent."
        )
    elif parent.hatched.earliest + gap > chick.hatched.latest:
        text = _(
            "{parent}, hatched {parent_hatched}, was too young to be a parent of {chick}, hatched "
            "{chick_hatched} (at least {days} days lie between): correct a hatch date or name another parent."
        )
    elif parent.hatched.latest + gap > chick.hatched.earliest:
        severity = Severity.WARNING
        text = _(
            "{parent}, hatched {parent_hatched}, may have been too young to be a parent of {chick}, hatched "
            "{chick_hatched}: write the hatch dates more exactly if you know them."
        )
    else:
        return
    yield _Clash("date", text, parent, chick.hatched, field, severity, gap.days)


def _parent_gone(parent: Bird, chick: Bird, role: Sex, field: str) -> Iterator[_Clash]:
    if parent.status is Status.LIVING or not parent.left.is_known or not chick.hatched.is_known:
        return
    if parent.species not in all_species():
        return
    kind = species(parent.species)
    span_days = kind.storage_days + kind.incubation_days + (kind.fertile_span_days if role is Sex.COCK else 0)
    if chick.hatched.earliest <= parent.left.latest + timedelta(days=span_days):
        return
    text = _(
        "{chick} hatched {chick_hatched}, too long after {parent} {left_how} ({left}): correct a date or name "
        "another parent."
    )
    # a bird sold, given or lent may have come back for a while; a dead one may not
    severity = Severity.ERROR if parent.status in DEAD else Severity.WARNING
    yield _Clash("date", text, parent, chick.hatched, field, severity)


def _loops(view: View, chosen: Collection[BirdId]) -> dict[BirdId, Problem]:
    """Each bird of a loop that a chosen bird lies on, with the one sentence about that loop."""
    found: dict[BirdId, Problem] = {}
    cleared: set[BirdId] = set()
    for start in chosen:
        if start in cleared or start in found:
            continue
        for loop in _loops_above(view, start, cleared):
            # one wrong parent closes many loops: one sentence is enough to find it
            if not found.keys().isdisjoint(loop):
                continue
            birds = [view.birds[bird_id] for bird_id in loop]
            problem = _loop_sentence(birds)
            found.update(dict.fromkeys(loop, problem))
    return found


def _loop_sentence(birds: list[Bird]) -> Problem:
    names = [bird.called for bird in birds]
    if len(names) == 1:
        message = _("{bird} is entered as its own parent: name its true parent.").format(bird=names[0])
    else:
        message = _("{bird} would be its own ancestor ({loop}): correct a parent of one of them.").format(
            bird=names[0], loop=" ← ".join([*names, names[0]])
        )
    return _error("loop", message, birds, "parents")


def _loops_above(view: View, start: BirdId, cleared: set[BirdId]) -> Iterator[tuple[BirdId, ...]]:
    """The loops met when climbing from `start` to its ancestors; whatever was climbed is `cleared`."""
    trail: list[BirdId] = [start]
    on_trail = {start}
    climbing = [iter(_known_parents(view, start))]
    while climbing:
        parent = next(climbing[-1], None)
        if parent is None:
            climbing.pop()
            done = trail.pop()
            on_trail.discard(done)
            cleared.add(done)
        elif parent in on_trail:
            yield tuple(trail[trail.index(parent) :])
        elif parent not in cleared:
            trail.append(parent)
            on_trail.add(parent)
            climbing.append(iter(_known_parents(view, parent)))


def _known_parents(view: View, bird_id: BirdId) -> list[BirdId]:
    return [parent for parent in dict.fromkeys(parents_of(view.birds[bird_id])) if parent in view.birds]


def _shared_marks(view: View, chosen: set[BirdId]) -> Iterator[Problem]:
    wearers: dict[str, list[Bird]] = {}
    for bird in view.birds.values():
        if bird.is_ours:
            for key in {mark_key(mark.code) for mark in bird.marks if mark.is_worn and mark.kind.is_own}:
                wearers.setdefault(key, []).append(bird)
    for birds in wearers.values():
        if len(birds) > 1 and any(bird.id in chosen for bird in birds):
            code = next(mark.code for mark in birds[0].marks if mark.is_worn and mark.kind.is_own)
            named = [bird.name or _hatch_text(bird.hatched) for bird in birds]
            yield _error(
                "duplicate mark",
                _("{count} living birds wear the mark {mark} ({birds}): give each a mark of its own.").format(
                    count=len(birds), mark=code, birds=", ".join(named)
                ),
                birds,
                "marks",
            )


def _hatch_text(hatched: PartialDate) -> str:
    return _("hatched {date}").format(date=hatched) if hatched.is_known else _("no name")


def _struck_parents(view: View, chosen: Collection[BirdId]) -> Iterator[Problem]:
    for bird_id in chosen:
        chick = view.birds[bird_id]
        if chick.struck is not None:
            continue
        for parent_id in dict.fromkeys([*parents_of(chick), *([chick.rearer] if chick.rearer else [])]):
            parent = view.birds.get(parent_id)
            if parent is not None and parent.struck is not None:
                yield _error(
                    "struck out",
                    _(
                        "{parent} is struck out but {chick} names it as its parent or rearer: change {chick} "
                        "first or restore {parent}."
                    ).format(parent=parent.called, chick=chick.called),
                    [parent, chick],
                    "parents",
                )


def origin_problems(origins: Sequence[Origin], relations: Sequence[OriginRelation]) -> tuple[Problem, ...]:
    """What is wrong with the relationships assumed between origins: no birds could be related so."""
    try:
        origin_sources(origins, relations)
    except ValueError as error:
        group: tuple[OriginId, ...] = error.args[1]
    else:
        return ()
    by_id = {origin.id: origin for origin in origins}
    found = [
        _too_related(by_id[relation.origin], by_id[relation.other], relation.relationship)
        for relation in relations
        if relation.relationship > _most_related(by_id[relation.origin], by_id[relation.other])
    ]
    if not found:
        message = _(
            "The relationships assumed between {origins} contradict each other: two origins close to a third "
            "are close to each other. Change them in smaller steps, or raise the relationship within one."
        )
        names = ", ".join(by_id[origin].name for origin in group)
        found.append(Problem("origin", message.format(origins=names), field="relationship"))
    return tuple(found)


def _most_related(origin: Origin, other: Origin) -> float:
    """The largest γ between two origins: it cannot exceed the mean of their own in the geometric sense."""
    return math.sqrt(origin.self_relationship * other.self_relationship) + WEIGHT_TOLERANCE


def _too_related(origin: Origin, other: Origin, relationship: float) -> Problem:
    message = _(
        "{origin} and {other} cannot be related by {value}: birds of one origin are related by {own} and "
        "{others}, so it is {limit} at most. Lower it, or raise the relationship within an origin first."
    )
    text = message.format(
        origin=origin.name,
        other=other.name,
        value=relationship,
        own=origin.self_relationship,
        others=other.self_relationship,
        limit=f"{math.sqrt(origin.self_relationship * other.self_relationship):.3g}",
    )
    return Problem("origin", text, field="relationship")
