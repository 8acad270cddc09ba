"""Where a sitting stands on a day: its stage and the one sentence about it."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from studbook.book.husbandry.rows import Husbandry, Sitting
from studbook.planning.pens.naming import When
from studbook.planning.sittings.counts import EggCount, count_sitting, last_candling, with_eggs
from studbook.planning.sittings.days import plan_of
from studbook.season.incubation import Candling, IncubationPlan
from studbook.words import _, plural


class Stage(Enum):
    """What a sitting asks for."""

    QUIET = "quiet"  # nothing to do today
    CANDLE = "candle"  # within the days of a candling not made yet, or past them
    LOCKDOWN = "lockdown"  # turning stops today
    RESTING = "resting"  # after the lockdown, before the first chick can hatch
    HATCHING = "hatching"  # within the window of the hatch
    OVERDUE = "overdue"  # past the last usual day with eggs left
    COUNTED = "counted"  # every egg has its end, the sitting is still open
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class Standing:
    """A sitting on a day.

    Attributes
    ----------
    candling
        The next candling not made yet, None when there is none to come.
    """

    sitting: Sitting
    today: date
    plan: IncubationPlan
    count: EggCount
    stage: Stage
    candling: Candling | None

    @property
    def day(self) -> int:
        """Which day of incubation it is."""
        return self.plan.day(self.today)

    @property
    def days(self) -> int:
        """The usual days of incubation."""
        return self.plan.day(self.plan.due)


def standing_of(year: Husbandry, sitting: Sitting, today: date) -> Standing:
    """Where a sitting stands on a day."""
    plan = plan_of(sitting)
    count = count_sitting(year, sitting)
    candling = None if sitting.closed is not None else _next_candling(year, sitting, plan, today)
    return Standing(sitting, today, plan, count, _stage(sitting, today, plan, count, candling), candling)


def _next_candling(year: Husbandry, sitting: Sitting, plan: IncubationPlan, today: date) -> Candling | None:
    """The first candling whose days have begun without all batches being looked at, or the next to come."""
    batches = with_eggs(year, year.batches_of.get(sitting.id, ()))
    days = [seen.on if (seen := last_candling(year, batch)) is not None else None for batch in batches]
    for place, candling in enumerate(plan.candlings):
        over = place + 1 < len(plan.candlings) and plan.candlings[place + 1].on <= today
        made = bool(days) and all(day is not None and day >= candling.on for day in days)
        if not made and not over:
            return candling
    return None


def _stage(
    sitting: Sitting, today: date, plan: IncubationPlan, count: EggCount, candling: Candling | None
) -> Stage:
    if sitting.closed is not None:
        return Stage.CLOSED
    if count.eggs and not count.left:
        return Stage.COUNTED
    if today > plan.due_last:
        return Stage.OVERDUE
    if today >= plan.due_first:
        return Stage.HATCHING
    if today > plan.lockdown:
        return Stage.RESTING
    if today == plan.lockdown and sitting.parted is None:
        return Stage.LOCKDOWN
    if candling is not None and candling.on <= today:
        return Stage.CANDLE
    return Stage.QUIET


def standing_sentence(standing: Standing, day_text: When) -> str:
    """Where a sitting stands, in one sentence.

    "Day 8 of 21: candle today or tomorrow; lockdown 2 Apr, due 5 Apr ± 1 day."
    """
    if standing.stage is Stage.CLOSED:
        return _closed(standing, day_text)
    if standing.stage is Stage.COUNTED:
        return _("Every egg has its end: {result}. Close the sitting.").format(
            result=result_text(standing.count)
        )
    clauses = [*_candling(standing, day_text), _due(standing, day_text)]
    said = clauses[0] if len(clauses) == 1 else _("{first}; {rest}").format(first=clauses[0], rest=clauses[1])
    text = _("Day {day} of {days}: {what}.")
    return text.format(day=standing.day, days=standing.days, what=said)


def _closed(standing: Standing, day_text: When) -> str:
    closed = standing.sitting.closed or standing.today
    return _("Closed on {day}: {result}.").format(day=day_text(closed), result=result_text(standing.count))


def result_text(count: EggCount) -> str:
    """The chicks of the eggs set: "9 chicks of 12 eggs"."""
    chicks = plural("{count} chick", "{count} chicks", count.hatched).format(count=count.hatched)
    eggs = plural("{count} egg", "{count} eggs", count.eggs).format(count=count.eggs)
    return _("{chicks} of {eggs}").format(chicks=chicks, eggs=eggs)


def _candling(standing: Standing, day_text: When) -> list[str]:
    """What is to be said of the next candling; nothing once turning has stopped."""
    candling, today = standing.candling, standing.today
    if candling is None or standing.stage in (Stage.RESTING, Stage.HATCHING, Stage.OVERDUE):
        return []
    if today > candling.until:
        return [_("candling was due by {day}").format(day=day_text(candling.until))]
    if today == candling.until:
        return [_("candle today")]
    if today >= candling.on:
        if candling.until - today == timedelta(1):
            return [_("candle today or tomorrow")]
        return [_("candle today or until {day}").format(day=day_text(candling.until))]
    if candling.on - today == timedelta(1):
        return [_("candle from tomorrow on")]
    return [_("candle from {day} on").format(day=day_text(candling.on))]


def _due(standing: Standing, day_text: When) -> str:
    plan, today = standing.plan, standing.today
    under_a_broody = standing.sitting.broody is not None
    if standing.stage is Stage.OVERDUE:
        late = (today - plan.due_last).days
        text = plural(
            "the last usual day was yesterday, count the eggs out",
            "the last usual day was {count} days ago, count the eggs out",
            late,
        )
        return text.format(count=late)
    due = due_text(plan, day_text)
    if today == plan.due:
        return _("due today")
    if standing.stage is Stage.HATCHING:
        if today < plan.due:
            return _("chicks may hatch from today on, {due}").format(due=due)
        return _("due since {day}, until {last}").format(day=day_text(plan.due), last=day_text(plan.due_last))
    if today > plan.lockdown or (today == plan.lockdown and standing.sitting.parted is not None):
        return due
    if today == plan.lockdown:
        first = _("leave her in peace from today") if under_a_broody else _("turning stops today")
    else:
        text = _("leave her in peace from {day}") if under_a_broody else _("lockdown {day}")
        first = text.format(day=day_text(plan.lockdown))
    return _("{lockdown}, {due}").format(lockdown=first, due=due)


def due_text(plan: IncubationPlan, day_text: When) -> str:
    """The day of the hatch with its window: "due 5 Apr ± 1 day"."""
    before, after = (plan.due - plan.due_first).days, (plan.due_last - plan.due).days
    if before == after:
        text = plural("due {day} ± {count} day", "due {day} ± {count} days", after)
        return text.format(day=day_text(plan.due), count=after)
    return _("due {day} ({first} to {last})").format(
        day=day_text(plan.due), first=day_text(plan.due_first), last=day_text(plan.due_last)
    )
