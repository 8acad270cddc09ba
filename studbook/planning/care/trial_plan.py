"""Planning a fertility trial: how many eggs, from which day each hen's eggs count, and on which days what is due."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from studbook.book.husbandry.rows import Husbandry, Stay
from studbook.book.husbandry.whose_egg import WhoseEgg
from studbook.book.ids import BirdId, PenId, StayId
from studbook.book.records import Snapshot
from studbook.planning.care.pen_mates import listed
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.season.fertility import Counting, TrialDates, TrialPlan, counting, trial_dates, trial_plans
from studbook.season.incubation import incubation, kinds_of
from studbook.season.paternity import Meeting
from studbook.season.practice import Practice
from studbook.words import _, plural

GOOD_SHARE = 0.95
MOST_CLEAR = 2
OWN_PEN = PenId("")
"""Stands for a pen that is not in the book yet."""

Written = Callable[[date], str]
"""How a day is written for whoever reads it."""


@dataclass(frozen=True)
class Draft:
    """A trial as it is being planned; `wait_days` pass before the first egg counts."""

    cock: BirdId
    hens: tuple[BirdId, ...]
    begun: date
    wait_days: int
    pen: PenId = OWN_PEN
    eggs: int = 19
    eggs_per_week: float = 4.0


@dataclass(frozen=True)
class HenOutlook:
    """From which day the eggs of one hen would count, and the cocks whose they may be before.

    `counts_from` is None when they would never count, as things stand.
    """

    hen: BirdId
    counting: Counting
    counts_from: date | None
    earlier: tuple[BirdId | None, ...]


@dataclass(frozen=True)
class Outlook:
    """What a draft comes to; `dates` is None when no hen's eggs would count."""

    hens: tuple[HenOutlook, ...]
    dates: TrialDates | None
    practice: Practice


def with_moved(year: Husbandry, birds: Iterable[BirdId], pen: PenId, on: date) -> Husbandry:
    """The year as it would stand with these birds moved to a pen on that day."""
    stays = dict(year.stays)
    for bird in birds:
        held = year.stays_of.get(bird, ())
        now = next((stay for stay in reversed(held) if stay.covers(on) and stay.until != on), None)
        if now is not None and now.pen == pen:
            continue
        if now is not None:
            stays[now.id] = replace(now, until=on)
        following = min((stay.since for stay in held if stay.since > on), default=None)
        moved = StayId(f"moved {bird}")
        stays[moved] = Stay(moved, bird, pen, on, following)
    return replace(year, stays=stays)


def foresee(snapshot: Snapshot, draft: Draft) -> Outlook:
    """From which day each hen's eggs would count, and the days of the trial at that rate of laying."""
    year = with_moved(snapshot.husbandry, (draft.cock, *draft.hens), draft.pen, draft.begun)
    asking = WhoseEgg({bird.id: bird for bird in (*snapshot.birds, *snapshot.struck)}, year)
    code = snapshot.bird(draft.cock).species
    figures = asking.practice(code)
    least = draft.begun + timedelta(days=draft.wait_days)
    hens = []
    for hen in draft.hens:
        meetings = asking.meetings(hen)
        found = counting(meetings, draft.cock, figures)
        counts_from = max(found.counts_from, least) if found.counts_from is not None else None
        hens.append(
            HenOutlook(hen, found, counts_from, _earlier(meetings, draft.cock, least, found, figures))
        )
    ready = [replace(hen.counting, counts_from=hen.counts_from) for hen in hens]
    dates = None
    if any(hen.counts_from is not None for hen in ready) and draft.eggs_per_week > 0:
        dates = trial_dates(draft.begun, ready, draft.eggs, draft.eggs_per_week / 7, candling_day(code))
    return Outlook(tuple(hens), dates, figures)


def candling_day(code: str) -> int:
    """The first day of incubation on which eggs of a species are candled."""
    kind = next(iter(kinds_of(code)), "chicken")
    return incubation(kind).candling_days[0][0]


def _earlier(
    meetings: Iterable[Meeting], cock: BirdId, least: date, found: Counting, figures: Practice
) -> tuple[BirdId | None, ...]:
    """The other cocks whose an egg laid on the first day that could count may still be."""
    rivals = [
        meeting.cock
        for meeting in meetings
        if meeting.cock != cock
        and meeting.was_fertile
        and (meeting.last is None or meeting.last + timedelta(days=figures.strict_clear_days) > least)
    ]
    return tuple(BirdId(str(rival)) if rival is not None else None for rival in dict.fromkeys(rivals))


def good_share_for(share: float) -> float:
    """The true fertility of the good cock a plan is tried on; above what is to be shown."""
    return max(GOOD_SHARE, (1 + share) / 2)


def plan_sentences(share: float, confidence: float) -> tuple[Sentence, ...]:
    """How many eggs the wanted certainty takes, and how often a good cock would fail; then what else would do.

    Raises
    ------
    ValueError
        If share or confidence is not between 0 and 1, or more eggs would be needed than anyone sets.
    """
    plans = trial_plans(share, confidence, MOST_CLEAR, good_share_for(share))
    return tuple(_plan_sentence(plan) for plan in plans)


def _plan_sentence(plan: TrialPlan) -> Sentence:
    times = round(plan.good_passes * 100)
    if plan.clear_allowed == 0 and times >= 50:
        text = _(
            "To show at least {share} with {confidence} confidence you need {fertile} of {eggs}; a cock of true "
            "{good} passes that {times} times in 100."
        )
    elif plan.clear_allowed == 0:
        text = plural(
            "To show at least {share} with {confidence} confidence you need {fertile} of {eggs}; a cock of true "
            "{good} passes that only {times} time in 100.",
            "To show at least {share} with {confidence} confidence you need {fertile} of {eggs}; a cock of true "
            "{good} passes that only {times} times in 100.",
            times,
        )
    else:
        text = plural(
            "If {count} clear egg is allowed, you need {fertile} of {eggs}; he passes that {times} times in 100.",
            "If {count} clear eggs are allowed, you need {fertile} of {eggs}; he passes that {times} times in 100.",
            plan.clear_allowed,
        )
    return compose(
        text,
        share=share_part(plan.share),
        confidence=share_part(plan.confidence),
        good=share_part(plan.good_share),
        count=str(plan.clear_allowed),
        fertile=str(plan.eggs - plan.clear_allowed),
        eggs=str(plan.eggs),
        times=str(times),
    )


def share_part(share: float) -> SharePart:
    """A share the keeper chose, without a needless decimal."""
    return SharePart(share, decimals=0 if abs(share * 100 - round(share * 100)) < 1e-9 else 1)


def hen_sentences(outlook: Outlook, written: Written) -> tuple[Sentence, ...]:
    """Hen by hen the day from which her eggs would count, and why not sooner."""
    return tuple(_hen_sentence(hen, written) for hen in outlook.hens)


def _hen_sentence(hen: HenOutlook, written: Written) -> Sentence:
    who = BirdPart(hen.hen)
    rivals = rivals_part(hen.earlier)
    if hen.counts_from is None and hen.earlier:
        text = _("{hen}: her eggs cannot count, since they may be by {cocks} all the while.")
        return compose(text, hen=who, cocks=rivals)
    if hen.counts_from is None:
        return compose(_("{hen}: the book knows of no day on which the cock is with her."), hen=who)
    day = written(hen.counts_from)
    if hen.earlier:
        text = _("{hen}: her eggs count from {day}; before that day they may be by {cocks}.")
        return compose(text, hen=who, day=day, cocks=rivals)
    return compose(_("{hen}: her eggs count from {day}."), hen=who, day=day)


def rivals_part(cocks: tuple[BirdId | None, ...]) -> Sentence:
    """Other cocks in a sentence; one that is not known stands last."""
    known = [cock for cock in cocks if cock is not None]
    if len(known) == len(cocks):
        return listed(known)
    unknown = _("an unknown cock of the yard she came from")
    return (*listed(known), _(", "), unknown) if known else (unknown,)


def date_sentences(outlook: Outlook, written: Written) -> tuple[Sentence, ...]:
    """The days of the trial in a sentence, with what they assume."""
    days = outlook.dates
    if days is None:
        return (compose(_("No hen's eggs would count: choose other hens, or wait until they are clear.")),)
    text = _(
        "At this rate the last egg is laid about {laid}; set on {set_on}, they are candled on {candled}. "
        "The diary shows each sitting's own days once it is set."
    )
    said = [
        compose(
            text, laid=written(days.laid_by), set_on=written(days.set_on), candled=written(days.candled_on)
        )
    ]
    span = (days.laid_by - days.counts_from).days
    if span > outlook.practice.storage_warn_days:
        text = _(
            "Collecting takes {days} days: set the eggs in lots, none older than {most} days, since old eggs "
            "look like a poor cock."
        )
        said.append(compose(text, days=str(span), most=str(outlook.practice.storage_warn_days)))
    return tuple(said)


def hens_sentence(hens: int, practice: Practice) -> str:
    """How many hens are advised, and what a cock does to few of them."""
    advised = plural(
        "At least {count} hen is advised.", "At least {count} hens are advised.", practice.trial_hens
    ).format(count=practice.trial_hens)
    if 0 < hens < practice.trial_hens:
        few = plural(
            "With {count} hen the result may be hers as much as his, and he treads her the more.",
            "With {count} hens the result may be theirs as much as his, and he treads each the more.",
            hens,
        ).format(count=hens)
        return f"{advised} {few}"
    return advised


def wear_caution() -> str:
    """What a trial asks of the hens."""
    return _(
        "A few hens alone with a cock wear: look at backs, combs and heads every day, take a worn hen out, and "
        "end the trial on its day."
    )
