"""A planned season in sentences: what to set, what may come of it, and where it does not work out."""

from collections.abc import Callable
from datetime import date, timedelta

from studbook.book.wording import figure, per_cent
from studbook.planning.next_season.figures import Step, StepFigure
from studbook.planning.next_season.plan import SeasonPlan
from studbook.planning.next_season.wish import Way, chance_text
from studbook.season.backwards import Expected
from studbook.words import _, plural

DayText = Callable[[date], str]
"""Writes a day for the reader: by the locale of the desktop, or by the language of the texts."""


def eggs_text(eggs: int | None) -> str:
    """How many eggs."""
    if eggs is None:
        return _("more eggs than anyone sets")
    return plural("{count} egg", "{count} eggs", eggs).format(count=eggs)


def answer_sentence(plan: SeasonPlan, day_text: DayText) -> str:
    """The answer: how many eggs."""
    birds = wanted_text(plan)
    day = day_text(plan.wish.choose_on)
    chance = chance_text(plan.wish.chance)
    if plan.eggs is None:
        text = _("No number of eggs gives at least {birds} to choose from on {day} {chance}: wish for fewer.")
        return text.format(birds=birds, day=day, chance=chance)
    if plan.eggs == 0:
        return _(
            "Say how many young birds you want to choose from: then it stands here how many eggs to set."
        )
    text = _("To have at least {birds} to choose from on {day} {chance}, set {eggs}.")
    return text.format(birds=birds, day=day, chance=chance, eggs=eggs_text(plan.eggs))


def wanted_text(plan: SeasonPlan) -> str:
    """The young birds wanted: "8 pullets and 3 cockerels"."""
    wish = plan.wish
    pullets = plural("{count} pullet", "{count} pullets", wish.pullets).format(count=wish.pullets)
    cockerels = plural("{count} cockerel", "{count} cockerels", wish.cockerels).format(count=wish.cockerels)
    if not wish.cockerels:
        return pullets
    if not wish.pullets:
        return cockerels
    return _("{pullets} and {cockerels}").format(pullets=pullets, cockerels=cockerels)


def expected_sentences(plan: SeasonPlan) -> tuple[str, ...]:
    """What those eggs come to on average, and between what in eight seasons of ten."""
    found = plan.expected
    if found is None:
        return ()
    average = _(
        "On average they give {hatched} chicks, and of these {reared} grown birds: {pullets} of each sex."
    )
    spread = _(
        "In eight seasons of ten there are {pullets} pullets and {cockerels} cockerels: eggs, broodies and foxes "
        "differ from year to year, and half of the chicks are cockerels only on average."
    )
    others = [
        _("{eggs} {chance}").format(chance=chance_text(chance), eggs=eggs_text(eggs))
        for chance, eggs in plan.by_chance
        if chance != plan.wish.chance
    ]
    said = [
        average.format(
            hatched=about(found.hatched.mean),
            reared=about(found.reared.mean),
            pullets=about(found.pullets.mean),
        ),
        spread.format(pullets=span_text(found.pullets), cockerels=span_text(found.cockerels)),
    ]
    if len(others) == 3:
        text = _("Other chances: {first}, {second}, {third}.")
        said.append(text.format(first=others[0], second=others[1], third=others[2]))
    return tuple(said)


def about(number: float) -> str:
    """A mean that is told in whole birds."""
    return str(round(number))


def span_text(expected: Expected) -> str:
    """The span of a number: "7 to 17"."""
    if expected.low == expected.high:
        return str(expected.low)
    return _("{low} to {high}").format(low=expected.low, high=expected.high)


def means_sentences(plan: SeasonPlan, day_text: DayText) -> tuple[str, ...]:
    """With what it is done: lots, sittings, the days of collecting and the last day of setting."""
    made, means = plan.schedule, plan.means
    if plan.expected is None or not made.settings:
        return ()
    hens = plural("{count} hen lays", "{count} hens lay", means.hens).format(count=means.hens)
    week = plural("{count} egg", "{count} eggs", means.eggs_per_lot).format(count=means.eggs_per_lot)
    days = plural("{count} day", "{count} days", means.keep_days).format(count=means.keep_days)
    laid = _("{hens} about {eggs} fit to set in the {days} an egg is kept at most").format(
        hens=hens, eggs=week, days=days
    )
    lots = plural(
        "the eggs are set in one lot", "the eggs are set in {count} lots", len(made.settings)
    ).format(count=len(made.settings))
    over = plural("over {count} day", "over {count} days", made.collecting_days)
    text = _("{laid}: {lots}, collected {over}.")
    said = [text.format(laid=laid, lots=lots, over=over.format(count=made.collecting_days))]
    if plan.wish.way is Way.BROODY:
        broodies = plural("{count} broody", "{count} broodies", made.sittings).format(count=made.sittings)
        each = eggs_text(means.per_broody)
        text = _("That takes {broodies}, {eggs} under each at most.")
        said.append(text.format(broodies=broodies, eggs=each))
    else:
        said.append(_machine_sentence(plan))
    last = _("Eggs set after {day} give birds too young to choose in time.")
    said.append(last.format(day=day_text(made.last_set)))
    return tuple(said)


def _machine_sentence(plan: SeasonPlan) -> str:
    if not plan.machines:
        return _("The book knows of no machine, so its places are not reckoned with.")
    if plan.means.places is None:
        return _("How many eggs the machine takes is not in the book, so its places are not reckoned with.")
    text = plural(
        "The machine takes {places} eggs at a time.",
        "The {count} machines take {places} eggs at a time.",
        len(plan.machines),
    )
    return text.format(count=len(plan.machines), places=plan.means.places)


def room_sentences(plan: SeasonPlan) -> tuple[str, ...]:
    """The room the young birds need, beside what the pens have."""
    found, room = plan.expected, plan.room
    if found is None:
        return ()
    needs = _("Count on {hatched} chicks under heat or hens, and on room for {reared} grown birds.").format(
        hatched=span_text(found.hatched), reared=span_text(found.reared)
    )
    if not room.places:
        return (needs, _("The book does not say how many birds the pens take: say so in the room Pens."))
    text = plural(
        "The pens in use have {free} of {places} place free now.",
        "The pens in use have {free} of {places} places free now.",
        room.places,
    )
    said = [needs, text.format(free=room.free, places=room.places)]
    if room.untold:
        text = plural(
            "Of {count} pen the book does not say how many it takes.",
            "Of {count} pens the book does not say how many they take.",
            room.untold,
        )
        said.append(text.format(count=room.untold))
    return tuple(said)


def surplus_sentences(plan: SeasonPlan) -> tuple[str, ...]:
    """The males there will be too many of, and what to think of before an egg is set."""
    found = plan.expected
    if found is None:
        return ()
    cockerels, surplus = found.cockerels, round(plan.surplus)
    if surplus < 1:
        return ()
    text = plural(
        "About {cockerels} of the grown birds are cockerels, {count} more than you want to choose from; it may be "
        "{high} cockerels in all.",
        "About {cockerels} of the grown birds are cockerels, {count} more than you want to choose from; it may be "
        "{high} cockerels in all.",
        surplus,
    )
    said = text.format(cockerels=about(cockerels.mean), count=surplus, high=cockerels.high)
    care = _(
        "Know before you set an egg what becomes of them: homes are few, they need a run of their own once they "
        "fight or tread the pullets, and killing must be quick and without pain, by a person who has learned it. "
        "Local rules and a vet decide."
    )
    return (said, care)


def warnings(plan: SeasonPlan, today: date, day_text: DayText) -> tuple[str, ...]:
    """Where the plan does not work out, and what would help."""
    made, means = plan.schedule, plan.means
    said = []
    if not plan.eggs:
        return ()
    if not means.hens:
        return (_("The flock has no hens that could lay these eggs."),)
    if made.missing:
        place = (
            _("there is no room for them in the machine")
            if means.places is not None and means.places < means.eggs_per_lot
            else _("the hens do not lay so many in time")
        )
        text = plural(
            "{count} egg finds no place in the plan: {why}.",
            "{count} eggs find no place in the plan: {why}.",
            made.missing,
        )
        said.append(text.format(count=made.missing, why=place))
    if made.late:
        text = plural(
            "{count} egg should have been set before today.",
            "{count} eggs should have been set before today.",
            made.late,
        )
        said.append(text.format(count=made.late))
    elif made.collect_from is not None and made.collect_from < today:
        said.append(_("Collecting should have begun on {day}.").format(day=day_text(made.collect_from)))
    elif made.join is not None and made.join < today:
        text = _("Cocks and hens should have been together from {day}: the first eggs may be clear.")
        said.append(text.format(day=day_text(made.join)))
    if plan.reachable is not None:
        text = _(
            "With the eggs that can still be set the chance is {share}: choose later in the year, wish for fewer, "
            "or let more hens lay."
        )
        said.append(text.format(share=per_cent(plan.reachable, 0)))
    return tuple(said)


def step_name(step: Step) -> str:
    """What a step is called."""
    return {
        Step.FERTILE: _("fertile"),
        Step.HATCHED: _("hatched"),
        Step.REARED: _("grown"),
    }[step]


def basis_text(found: StepFigure) -> str:
    """What the share of a step rests on, shortly."""
    if found.own is not None:
        return _("your own figure")
    if found.usual is not None:
        return usual_text(per_cent(found.usual.value, 0))
    seen = found.seen
    return _("{count} of {of} · {low}–{high} %").format(
        count=seen.count, of=seen.of, low=figure(100 * seen.lower, 0), high=figure(100 * seen.upper, 0)
    )


def join_sentence(plan: SeasonPlan, day_text: DayText) -> str:
    """When cocks and hens have to be together, and what that means for hens that ran with another cock."""
    made, days = plan.schedule, plan.practice
    if made.collect_from is None or made.join is None:
        return ""
    clear = made.collect_from - timedelta(days.clear_days)
    text = _(
        "Cocks and hens together by {join}; a hen that ran with another cock without him from {clear}; eggs are kept "
        "from {collect}."
    )
    return text.format(join=day_text(made.join), clear=day_text(clear), collect=day_text(made.collect_from))


def under_text(plan: SeasonPlan, sittings: int) -> str:
    """Under what one lot lies."""
    if plan.wish.way is Way.MACHINE:
        return _("machine")
    return plural("{count} broody", "{count} broodies", sittings).format(count=sittings)


def usual_text(figure: str) -> str:
    """A figure of practice that stands in for the book's own."""
    return _("usual: {figure}").format(figure=figure)
