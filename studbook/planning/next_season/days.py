"""The days of a planned season as a list, and as jobs of the diary."""

from dataclasses import dataclass
from datetime import date
from enum import Enum

from studbook.book.husbandry.rows import Job
from studbook.book.ids import JobId
from studbook.book.records import Snapshot
from studbook.planning.candidates import living_species
from studbook.planning.next_season.plan import SeasonPlan
from studbook.planning.next_season.wish import Way
from studbook.season.species import all_species
from studbook.words import _, plural


class DayKind(Enum):
    """What a day of the season is for, in the order of one and the same day."""

    JOIN = "join"
    COLLECT = "collect"
    SET = "set"
    CHOOSE = "choose"


@dataclass(frozen=True, slots=True)
class SeasonDay:
    """One day.

    Attributes
    ----------
    lot
        Which lot of eggs it belongs to, from 1; 0 for none.
    """

    kind: DayKind
    on: date
    eggs: int = 0
    sittings: int = 0
    lot: int = 0


def season_days(plan: SeasonPlan) -> tuple[SeasonDay, ...]:
    """All days of a plan, the earliest first; none without eggs to set."""
    made = plan.schedule
    if not made.settings or made.join is None or made.collect_from is None:
        return ()
    days = [
        SeasonDay(DayKind.JOIN, made.join),
        SeasonDay(DayKind.COLLECT, made.collect_from),
        SeasonDay(DayKind.CHOOSE, plan.wish.choose_on),
    ]
    for lot, setting in enumerate(made.settings, start=1):
        eggs, sittings = setting.eggs, setting.sittings
        days.append(SeasonDay(DayKind.SET, setting.set_on, eggs, sittings, lot))
    order = list(DayKind)
    return tuple(sorted(days, key=lambda day: (day.on, order.index(day.kind), day.lot)))


def day_title(day: SeasonDay, way: Way) -> str:
    """What is to be done on a day."""
    match day.kind:
        case DayKind.JOIN:
            return _("Cocks and hens together")
        case DayKind.COLLECT:
            return _("Keep eggs for setting from now on")
        case DayKind.SET if way is Way.MACHINE:
            text = plural("Set {eggs} egg in the machine", "Set {eggs} eggs in the machine", day.eggs)
            return text.format(eggs=day.eggs)
        case DayKind.SET:
            eggs = plural("{count} egg", "{count} eggs", day.eggs).format(count=day.eggs)
            under = plural("{count} broody", "{count} broodies", day.sittings).format(count=day.sittings)
            return _("Set {eggs} under {broodies}").format(eggs=eggs, broodies=under)
        case DayKind.CHOOSE:
            return _("Choose among the young birds")


def diary_note(snapshot: Snapshot, plan: SeasonPlan) -> str:
    """The note by which the jobs of a planned season are known again."""
    season = plan.wish.choose_on.year
    if len(living_species(snapshot)) < 2:
        return _("season {season}, planned backwards").format(season=season)
    kinds = all_species()
    words = _(kinds[plan.species].plural) if plan.species in kinds else plan.species
    return _("season {season}, {birds}, planned backwards").format(season=season, birds=words)


def diary_jobs(snapshot: Snapshot, plan: SeasonPlan, today: date) -> tuple[Job, ...]:
    """The jobs that bring a plan into the diary: what is to be done until the eggs are set, and the choosing.

    Candling and hatch are left to the diary itself, which knows their days once the eggs are set.
    """
    note = diary_note(snapshot, plan)
    return tuple(
        Job(JobId(""), day_title(day, plan.wish.way), day.on, note=note)
        for day in season_days(plan)
        if day.on >= today
    )


def diary_jobs_before(snapshot: Snapshot, plan: SeasonPlan, today: date) -> tuple[Job, ...]:
    """The jobs to come that an earlier plan of the same season left in the diary."""
    note = diary_note(snapshot, plan)
    return tuple(job for job in snapshot.husbandry.jobs.values() if job.note == note and job.starts >= today)
