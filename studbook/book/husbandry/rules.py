"""What the record of the year never allows, and what it warns of.

As in `studbook.book.rules`, each rule looks at frozen rows and returns findings; none raises.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from studbook.book.errors import Problem
from studbook.book.husbandry import choosing_rows, rows
from studbook.book.husbandry.choosing_rules import ban, choice, planned_bird, rotation, rotation_pen
from studbook.book.husbandry.figure_words import fault_text, figure_word
from studbook.book.husbandry.rows import Batch, Fate
from studbook.book.husbandry.view import YearView, error, is_cock, is_hen, warning
from studbook.book.ids import BatchId, BirdId
from studbook.season.practice import faults, practice
from studbook.season.species import all_species, species
from studbook.words import _, plural

WEIGHT_TOLERANCE = 1e-6


def year_problems(
    view: YearView,
    touched: Mapping[type[Any], Collection[str]] | None = None,
    touched_birds: Collection[BirdId] = (),
) -> tuple[Problem, ...]:
    """Everything wrong with the `touched` rows of the year (ids by kind; all of them by default), errors first.

    A bird touched brings its stays and its times apart with it: a new hatch date may make them impossible.
    """
    found: list[Problem] = []
    for kind, (place, rule) in _RULES.items():
        held: Mapping[str, Any] = getattr(view.year, place)
        ids: Iterable[str] = held if touched is None else touched.get(kind, ())
        for row in [held[row_id] for row_id in ids if row_id in held]:
            found += rule(view, row)
    for bird in touched_birds:
        for stay in view.year.stays_of.get(bird, ()):
            found += _stay(view, stay)
    unique = dict.fromkeys(found)
    return tuple(sorted(unique, key=lambda problem: not problem.is_error))


def _name(of: str, name: str, others: Iterable[str]) -> Iterator[Problem]:
    if not name.strip():
        yield error("name", _("The name of {what} is empty: enter one.").format(what=of), "name")
    elif name.strip().casefold() in {other.strip().casefold() for other in others}:
        message = _("There is {what} called {name} already: choose another name.")
        yield error("name", message.format(what=of, name=name), "name")


def _house(view: YearView, house: rows.House) -> Iterator[Problem]:
    others = (other.name for other in view.year.houses.values() if other.id != house.id)
    yield from _name(_("a house"), house.name, others)


def _machine(view: YearView, machine: rows.Machine) -> Iterator[Problem]:
    others = (other.name for other in view.year.machines.values() if other.id != machine.id)
    yield from _name(_("a machine"), machine.name, others)
    if machine.places is not None and machine.places < 1:
        message = _("{machine} has room for {count} eggs: enter one or more, or leave it empty.")
        yield error("count", message.format(machine=machine.name, count=machine.places), "places")


def _pen(view: YearView, pen: rows.Pen) -> Iterator[Problem]:
    if pen.closed is None:
        open_pens = (other for other in view.year.pens.values() if other.closed is None)
        yield from _name(_("a pen"), pen.name, (other.name for other in open_pens if other.id != pen.id))
    for room, field in ((pen.room_large, "room_large"), (pen.room_bantams, "room_bantams")):
        if room is not None and room < 0:
            message = _("{pen} has room for {count} birds: enter none or more, or leave it empty.")
            yield error("count", message.format(pen=pen.name, count=room), field)
    inside = [stay for stay in view.year.stays_in.get(pen.id, ()) if stay.until is None]
    if pen.closed is not None and inside:
        text = plural(
            "{pen} cannot be closed while {bird} is in it: move it out first.",
            "{pen} cannot be closed while {count} birds are in it: move them out first.",
            len(inside),
        )
        message = text.format(pen=pen.name, bird=view.bird_called(inside[0].bird), count=len(inside))
        yield error("pen", message, "closed", *(view.bird_called(stay.bird) for stay in inside))


def _span(view: YearView, what: str, since: date, until: date | None) -> Iterator[Problem]:
    if until is not None and until < since:
        message = _("{what} would end on {until}, before it began on {since}: correct one of the days.")
        yield error("date", message.format(what=what, until=until, since=since), "until")
    if since > view.today:
        message = _("{what} would begin on {since}, which is still to come: plan it, or correct the day.")
        yield error("date", message.format(what=what, since=since), "since")
    if until is not None and until > view.today:
        message = _("{what} would end on {until}, which is still to come: correct the day.")
        yield error("date", message.format(what=what, until=until), "until")


def _alive(view: YearView, bird_id: BirdId, day: date, field: str) -> Iterator[Problem]:
    """Nothing happens to a bird before it hatched or after it left."""
    bird = view.birds.get(bird_id)
    if bird is None:
        return
    if bird.placeholder:
        message = _("{bird} stands for an unknown parent: record it as a bird before anything happens to it.")
        yield error("placeholder", message.format(bird=bird.called), field, bird.called)
    if bird.hatched.is_known and day < bird.hatched.earliest:
        message = _("{day} is before {bird} hatched on {hatched}: correct one of the days.")
        text = message.format(day=day, bird=bird.called, hatched=bird.hatched)
        yield error("date", text, field, bird.called)
    if bird.left.is_known and day > bird.left.latest:
        message = _("{day} is after {bird} left the flock on {left}: correct one of the days.")
        text = message.format(day=day, bird=bird.called, left=bird.left)
        yield error("date", text, field, bird.called)


def _stay(view: YearView, stay: rows.Stay) -> Iterator[Problem]:
    bird, pen = view.bird_called(stay.bird), view.pen_called(stay.pen)
    yield from _span(
        view, _("The stay of {bird} in {pen}").format(bird=bird, pen=pen), stay.since, stay.until
    )
    yield from _alive(view, stay.bird, stay.since, "since")
    for other in view.year.stays_of.get(stay.bird, ()):
        # on the day of a move a bird is in both pens, and no longer
        if other.id != stay.id and _overlap(stay, other):
            message = _(
                "{bird} would be in {pen} and in {other} at once from {day}: correct one of the stays."
            )
            day = max(stay.since, other.since)
            text = message.format(bird=bird, pen=pen, other=view.pen_called(other.pen), day=day)
            yield error("stay", text, "since", bird)


def _overlap(one: Any, other: Any) -> bool:
    """True when two spans share more than a day on which one ends and the other begins."""
    last, other_last = one.until or date.max, other.until or date.max
    return bool(one.since < other_last and other.since < last)


def _move(view: YearView, move: rows.Move) -> Iterator[Problem]:
    yield from _alive(view, move.bird, move.on, "on")
    bird = view.birds.get(move.bird)
    if bird is not None and not bird.is_living:
        message = _("{bird} is no longer in the flock and cannot be moved: take the planned move back.")
        yield error("move", message.format(bird=bird.called), "bird", bird.called)


def _mating(view: YearView, mating: rows.Mating) -> Iterator[Problem]:
    hen = view.bird_called(mating.hen)
    yield from _span(view, _("The mating of {hen}").format(hen=hen), mating.since, mating.until)
    yield from is_hen(view, mating.hen, "hen")
    yield from is_cock(view, mating.cock, "cock")
    yield from _alive(view, mating.hen, mating.since, "since")
    if mating.cock is None and not mating.outside.strip():
        message = _("The mating of {hen} names no cock: choose one, or say whose he was.")
        yield error("mating", message.format(hen=hen), "cock", hen)


def _condition(view: YearView, condition: rows.Condition) -> Iterator[Problem]:
    bird = view.bird_called(condition.bird)
    yield from _span(view, _("The note about {bird}").format(bird=bird), condition.since, condition.until)
    yield from is_hen(view, condition.bird, "bird")
    yield from _alive(view, condition.bird, condition.since, "since")
    if condition.kind is rows.ConditionKind.EGG_COLOUR and not condition.text.strip():
        message = _("The colour of the eggs of {bird} is empty: write it.")
        yield error("condition", message.format(bird=bird), "text", bird)


def _gathered(view: YearView, row: rows.Collection | rows.EggUse) -> Iterator[Problem]:
    where = view.bird_called(row.hen) if row.hen is not None else view.pen_called(row.pen)
    if row.pen is None and row.hen is None:
        yield error("eggs", _("The eggs come from no pen and no hen: choose one."), "pen")
    if row.eggs < 0:
        message = _("{count} eggs of {where}: enter none or more.")
        yield error("count", message.format(count=row.eggs, where=where), "eggs")
    if row.on > view.today:
        message = _("The eggs of {where} are dated {day}, which is still to come: correct the day.")
        yield error("date", message.format(where=where, day=row.on), "on")
    if row.hen is not None:
        yield from is_hen(view, row.hen, "hen")
        yield from _alive(view, row.hen, row.on, "on")
        yield from _old_enough_to_lay(view, row.hen, row.on)


def _old_enough_to_lay(view: YearView, hen_id: BirdId, day: date) -> Iterator[Problem]:
    hen = view.birds.get(hen_id)
    if hen is None or not hen.hatched.is_known or hen.species not in all_species():
        return
    age_days = (day - hen.hatched.earliest).days
    if 0 <= age_days < species(hen.species).laying_age_days:
        message = _("{hen} was only {count} days old on {day}, young for a laying hen: is it the right hen?")
        text = message.format(hen=hen.called, count=age_days, day=day)
        yield warning("date", text, "hen", hen.called)


def _collection(view: YearView, collection: rows.Collection) -> Iterator[Problem]:
    yield from _gathered(view, collection)
    if len(collection.weights) > collection.eggs:
        message = _("{weighed} weights for {count} eggs: enter no more weights than eggs.")
        text = message.format(weighed=len(collection.weights), count=collection.eggs)
        yield error("count", text, "weights")


def _sitting(view: YearView, sitting: rows.Sitting) -> Iterator[Problem]:
    what = sitting_called(view, sitting)
    if sitting.broody is None and sitting.machine is None:
        message = _("{sitting} names no broody and no machine: choose who or what hatches the eggs.")
        yield error("sitting", message.format(sitting=what), "broody")
    if sitting.broody is not None and sitting.machine is not None:
        message = _("{sitting} names a broody and a machine: choose one, and move eggs later if they change.")
        yield error("sitting", message.format(sitting=what), "machine")
    if sitting.second_broody is not None and sitting.second_broody == sitting.broody:
        message = _("{sitting} names the same broody twice: choose another or leave the second empty.")
        yield error("sitting", message.format(sitting=what), "second_broody")
    if sitting.set_on > view.today:
        message = _("{sitting} would be set on {day}, which is still to come: correct the day.")
        yield error("date", message.format(sitting=what, day=sitting.set_on), "set_on")
    if sitting.species not in all_species():
        message = _(
            "{sitting} has the species {species}, which the program does not know: choose one of its list."
        )
        yield error("species", message.format(sitting=what, species=sitting.species), "species")
    if sitting.days is not None and not 10 <= sitting.days <= 60:
        message = _("{sitting} would take {count} days: enter between 10 and 60, or leave it to the species.")
        yield error("count", message.format(sitting=what, count=sitting.days), "days")
    for broody, field in ((sitting.broody, "broody"), (sitting.second_broody, "second_broody")):
        if broody is not None:
            yield from _alive(view, broody, sitting.set_on, field)


def sitting_called(view: YearView, sitting: rows.Sitting) -> str:
    """What a sentence calls a sitting: its name, else who sits and since when."""
    if sitting.name.strip():
        return sitting.name
    if sitting.broody is not None:
        who = view.bird_called(sitting.broody)
    else:
        machine = view.year.machines.get(sitting.machine) if sitting.machine is not None else None
        who = machine.name if machine is not None else _("nobody")
    return _("The sitting of {day} under {who}").format(day=sitting.set_on, who=who)


def _batch(view: YearView, batch: Batch) -> Iterator[Problem]:
    year = view.year
    sitting = year.sittings[batch.sitting]
    what = _batch_called(view, batch)
    if batch.eggs < 1:
        yield error("count", _("{batch}: enter one egg or more.").format(batch=what), "eggs")
    if batch.pen is None and batch.hen is None and batch.moved_from is None and not batch.outside.strip():
        message = _("{batch}: say from which pen or hen the eggs come, or what was told of their parents.")
        yield error("eggs", message.format(batch=what), "pen")
    if batch.laid_from and batch.laid_to and batch.laid_to < batch.laid_from:
        message = _("{batch}: the last laying day {last} is before the first, {first}: correct one.")
        text = message.format(batch=what, last=batch.laid_to, first=batch.laid_from)
        yield error("date", text, "laid_to")
    laid = batch.laid_to or batch.laid_from
    if laid is not None and laid > sitting.set_on:
        message = _("{batch}: laid on {laid}, after they were set on {set_on}: correct one of the days.")
        text = message.format(batch=what, laid=laid, set_on=sitting.set_on)
        yield error("date", text, "laid_to")
    if batch.hen is not None:
        yield from is_hen(view, batch.hen, "hen")
        if laid is not None:
            yield from _alive(view, batch.hen, batch.laid_from or laid, "laid_from")
            yield from _old_enough_to_lay(view, batch.hen, laid)
    yield from _fates_within(view, batch)
    yield from _registered_within(view, batch)
    if batch.moved_from is not None:
        yield from _moved_within(view, batch.moved_from)


def _batch_called(view: YearView, batch: Batch) -> str:
    if batch.hen is not None:
        source = view.bird_called(batch.hen)
    elif batch.pen is not None:
        source = view.pen_called(batch.pen)
    else:
        source = batch.outside or _("another sitting")
    text = plural("{count} egg of {source}", "{count} eggs of {source}", batch.eggs)
    return text.format(count=batch.eggs, source=source)


def _fates_within(view: YearView, batch: Batch) -> Iterator[Problem]:
    told = sum(fate.eggs for fate in view.year.fates_of.get(batch.id, ()))
    if told > batch.eggs:
        message = _("{batch}: {told} eggs have an end, which is more than were set: correct the counts.")
        text = message.format(batch=_batch_called(view, batch), told=told)
        yield error("count", text, "eggs")


def _registered_within(view: YearView, batch: Batch) -> Iterator[Problem]:
    registered, hatched = len(view.year.birds_of.get(batch.id, ())), view.year.hatched(batch.id)
    if registered > hatched:
        message = _(
            "{batch}: {registered} chicks would be registered of {hatched} hatched: correct the hatch first."
        )
        text = message.format(batch=_batch_called(view, batch), registered=registered, hatched=hatched)
        yield error("count", text, "chicks")


def _moved_within(view: YearView, source: BatchId) -> Iterator[Problem]:
    moved_out = sum(fate.eggs for fate in view.year.fates_of.get(source, ()) if fate.fate is Fate.MOVED)
    moved_in = sum(batch.eggs for batch in view.year.batches.values() if batch.moved_from == source)
    if moved_in > moved_out:
        message = _("{batch}: {count_in} eggs would arrive of {count_out} moved: correct the counts.")
        called = _batch_called(view, view.year.batches[source])
        yield error("count", message.format(batch=called, count_in=moved_in, count_out=moved_out), "eggs")


def _mixed_in(view: YearView, mixed: rows.MixedIn) -> Iterator[Problem]:
    batch = view.year.batches[mixed.batch]
    what = _batch_called(view, batch)
    if mixed.pen is None and mixed.hen is None:
        message = _("{batch}: say from which pen or hen the eggs mixed in come.")
        yield error("eggs", message.format(batch=what), "pen")
    yield from is_hen(view, mixed.hen, "hen")
    total = sum(other.eggs for other in view.year.mixed_into[mixed.batch])
    if total > batch.eggs:
        message = _("{batch}: {total} eggs mixed in, which is more than were set: correct the counts.")
        yield error("count", message.format(batch=what, total=total), "eggs")


def _batch_pair(view: YearView, pair: rows.BatchPair) -> Iterator[Problem]:
    batch = view.year.batches[pair.batch]
    yield from is_cock(view, pair.sire, "sire")
    yield from is_hen(view, pair.dam, "dam")
    if not pair.reason.strip():
        message = _("{batch}: say why the parents differ from what the stays say.")
        yield error("reason", message.format(batch=_batch_called(view, batch)), "reason")
    total = sum(other.weight for other in view.year.pairs_of[pair.batch])
    if abs(total - 1) > WEIGHT_TOLERANCE:
        message = _(
            "{batch}: the weights of the possible parents add up to {total:.3g}: they must add up to 1."
        )
        text = message.format(batch=_batch_called(view, batch), total=total)
        yield error("weights", text, "parents")


def _within_sitting(view: YearView, batch: Batch, day: date | None) -> Iterator[Problem]:
    sitting = view.year.sittings[batch.sitting]
    what = _batch_called(view, batch)
    if day is not None and day < sitting.set_on:
        message = _("{batch}: {day} is before they were set on {set_on}: correct one of the days.")
        yield error("date", message.format(batch=what, day=day, set_on=sitting.set_on), "on")
    if day is not None and day > view.today:
        message = _("{batch}: {day} is still to come: correct the day.")
        yield error("date", message.format(batch=what, day=day), "on")


def _candling(view: YearView, candling: rows.Candling) -> Iterator[Problem]:
    batch = view.year.batches[candling.batch]
    what = _batch_called(view, batch)
    yield from _within_sitting(view, batch, candling.on)
    counts = (
        candling.alive,
        candling.clear,
        candling.early_dead,
        candling.late_dead,
        candling.doubtful,
        candling.pipped,
    )
    if min(counts) < 0:
        yield error("count", _("{batch}: a count is below none: correct it.").format(batch=what), "alive")
    if candling.seen > batch.eggs:
        message = _("{batch}: {seen} eggs seen at candling, more than were set: correct the counts.")
        yield error("count", message.format(batch=what, seen=candling.seen), "alive")


def _egg_fate(view: YearView, fate: rows.EggFate) -> Iterator[Problem]:
    batch = view.year.batches[fate.batch]
    yield from _within_sitting(view, batch, fate.on)
    yield from _fates_within(view, batch)
    yield from _registered_within(view, batch)
    if fate.fate is Fate.MOVED:
        yield from _moved_within(view, batch.id)
    told = max(fate.helped, fate.died)
    if min(fate.helped, fate.died) < 0 or told > (fate.eggs if fate.fate is Fate.HATCHED else 0):
        message = _("{batch}: more chicks helped or lost than hatched: correct the counts.")
        yield error("count", message.format(batch=_batch_called(view, batch)), "helped")


def _reading(view: YearView, reading: rows.Reading) -> Iterator[Problem]:
    sitting = view.year.sittings[reading.sitting]
    what = sitting_called(view, sitting)
    if reading.on < sitting.set_on or reading.on > view.today:
        message = _("{sitting}: a line of the log is dated {day}: it lies between the setting and today.")
        yield error("date", message.format(sitting=what, day=reading.on), "on")
    if reading.humidity is not None and not 0 <= reading.humidity <= 100:
        message = _("{sitting}: a humidity of {value} per cent cannot be: enter 0 to 100.")
        yield error("count", message.format(sitting=what, value=reading.humidity), "humidity")
    if reading.temperature is not None and not 0 <= reading.temperature <= 60:
        message = _("{sitting}: {value} degrees Celsius cannot be in a nest: enter 0 to 60.")
        yield error("count", message.format(sitting=what, value=reading.temperature), "temperature")
    if (reading.weight is None) != (reading.weighed is None):
        message = _("{sitting}: a weight goes with the number of eggs weighed: enter both or neither.")
        yield error("count", message.format(sitting=what), "weighed")


def _hatchling(view: YearView, hatchling: rows.Hatchling) -> Iterator[Problem]:
    batch = view.year.batches[hatchling.batch]
    yield from _registered_within(view, batch)
    others = [
        other
        for other in view.year.hatchlings.values()
        if other.bird == hatchling.bird and other != hatchling
    ]
    bird = view.bird_called(hatchling.bird)
    if others:
        message = _("{bird} would come from two batches of eggs: take it from one of them.")
        yield error("hatchling", message.format(bird=bird), "batch", bird)


def _trial(view: YearView, trial: rows.Trial) -> Iterator[Problem]:
    cock = view.bird_called(trial.cock)
    yield from is_cock(view, trial.cock, "cock")
    yield from _alive(view, trial.cock, trial.begun, "begun")
    if trial.counts_from < trial.begun:
        message = _("The trial of {cock}: eggs cannot count from {day}, before it began on {begun}.")
        text = message.format(cock=cock, day=trial.counts_from, begun=trial.begun)
        yield error("date", text, "counts_from", cock)
    if trial.ends is not None and trial.ends < trial.begun:
        message = _(
            "The trial of {cock} would end on {ends}, before it began on {begun}: correct one of the days."
        )
        text = message.format(cock=cock, ends=trial.ends, begun=trial.begun)
        yield error("date", text, "ends", cock)
    if not 0 < trial.share < 1 or not 0 < trial.confidence < 1:
        message = _(
            "The trial of {cock}: the share to show and the certainty lie between 0 and 100 per cent."
        )
        yield error("count", message.format(cock=cock), "share", cock)
    if trial.decision is not rows.Decision.OPEN and trial.decided is None:
        message = _("The trial of {cock}: enter the day of the decision.")
        yield error("date", message.format(cock=cock), "decided", cock)


def _trial_hen(view: YearView, row: rows.TrialHen) -> Iterator[Problem]:
    yield from is_hen(view, row.hen, "hens")


def _apart(view: YearView, apart: rows.Apart) -> Iterator[Problem]:
    bird = view.bird_called(apart.bird)
    yield from _span(view, _("The time apart of {bird}").format(bird=bird), apart.since, apart.until)
    yield from _alive(view, apart.bird, apart.since, "since")
    if apart.review is not None and apart.review < apart.since:
        message = _(
            "{bird} would be looked at on {review}, before it was set apart on {since}: choose a later day."
        )
        text = message.format(bird=bird, review=apart.review, since=apart.since)
        yield error("date", text, "review", bird)
    for other in view.year.apart_of.get(apart.bird, ()):
        if other.id != apart.id and _overlap(apart, other):
            message = _("{bird} is apart already since {since}: end that first, or change its reason.")
            yield error("apart", message.format(bird=bird, since=other.since), "since", bird)


def _job(view: YearView, job: rows.Job) -> Iterator[Problem]:
    if not job.text.strip():
        yield error("job", _("The job is empty: write what is to be done."), "text")
    if job.count < 1:
        message = _("“{job}” comes round every {count}: enter one or more.")
        yield error("count", message.format(job=job.text, count=job.count), "count")
    if job.until is not None and job.until < job.starts:
        message = _("“{job}” would end on {until}, before it starts on {starts}: correct one of the days.")
        yield error("date", message.format(job=job.text, until=job.until, starts=job.starts), "until")


def _figure(view: YearView, figure: rows.Figure) -> Iterator[Problem]:
    if figure.species not in all_species():
        message = _("The species {species} of a figure is not known: choose one of the list.")
        yield error("species", message.format(species=figure.species), "species")
        return
    of_species = [row for row in view.year.figures.values() if row.species == figure.species]
    if any(row.name == figure.name and row.id != figure.id for row in of_species):
        message = _("“{figure}” has a value of your own already: correct that one.")
        yield error("figure", message.format(figure=figure_word(figure.name)), "value")
    own = {row.name: row.value for row in of_species}
    published = practice(figure.species).figures
    name = _(species(figure.species).name)
    for fault in faults(figure.species, own):
        if figure.name not in (fault.name, fault.greater):
            continue
        values = [
            own.get(each, published[each].value if each in published else 0.0)
            for each in (fault.name, fault.greater)
        ]
        yield error("count", fault_text(fault, name, *values), "value")


def figure_problems(view: YearView) -> tuple[Problem, ...]:
    """What is wrong with the keeper's own figures of practice; they must hold before anything rests on them."""
    found = (problem for figure in view.year.figures.values() for problem in _figure(view, figure))
    return tuple(dict.fromkeys(found))


_RULES: Mapping[type[Any], tuple[str, Callable[[YearView, Any], Iterator[Problem]]]] = {
    rows.House: ("houses", _house),
    rows.Pen: ("pens", _pen),
    rows.Stay: ("stays", _stay),
    rows.Move: ("moves", _move),
    rows.Mating: ("matings", _mating),
    rows.Condition: ("conditions", _condition),
    rows.Collection: ("collections", _collection),
    rows.EggUse: ("egg_uses", _gathered),
    rows.Machine: ("machines", _machine),
    rows.Sitting: ("sittings", _sitting),
    rows.Trial: ("trials", _trial),
    rows.TrialHen: ("trial_hens", _trial_hen),
    rows.Batch: ("batches", _batch),
    rows.MixedIn: ("mixed_in", _mixed_in),
    rows.BatchPair: ("batch_pairs", _batch_pair),
    rows.Candling: ("candlings", _candling),
    rows.EggFate: ("egg_fates", _egg_fate),
    rows.Reading: ("readings", _reading),
    rows.Hatchling: ("hatchlings", _hatchling),
    rows.Apart: ("aparts", _apart),
    rows.Job: ("jobs", _job),
    rows.Figure: ("figures", _figure),
    choosing_rows.Choice: ("choices", choice),
    choosing_rows.Ban: ("bans", ban),
    choosing_rows.PlannedBird: ("planned_birds", planned_bird),
    choosing_rows.Rotation: ("rotations", rotation),
    choosing_rows.RotationPen: ("rotation_pens", rotation_pen),
}
