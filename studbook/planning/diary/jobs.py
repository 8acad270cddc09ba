"""The keeper's own jobs, once or coming round."""

from collections.abc import Iterator
from datetime import date, timedelta

from studbook.book.husbandry.rows import Every, Job
from studbook.book.husbandry.wording import every_word
from studbook.planning.diary.outlook import Outlook
from studbook.planning.diary.task import Kind, Task
from studbook.season.recurring import Recurrence, Unit

_MONTHS = {Unit.MONTHS: 1, Unit.YEARS: 12}


def recurrence(job: Job) -> Recurrence:
    """The days of a job."""
    return Recurrence(job.starts, Unit(job.every.value), job.count, job.until)


def job_tasks(outlook: Outlook) -> Iterator[Task]:
    """Every turn of every job in the days asked about; a turn is let go when the next one comes."""
    for job in outlook.year.jobs.values():
        days = recurrence(job)
        for day in days.between(outlook.first, outlook.last):
            yield _turn(outlook, job, days, day)


def turn_of(days: Recurrence, day: date) -> int:
    """Which turn of a job falls on one of its days; the first is 0."""
    if days.unit is Unit.ONCE:
        return 0
    if days.unit in _MONTHS:
        months = (day.year - days.starts.year) * 12 + day.month - days.starts.month
        return months // (days.count * _MONTHS[days.unit])
    return (day - days.starts).days // (days.count * (7 if days.unit is Unit.WEEKS else 1))


def _turn(outlook: Outlook, job: Job, days: Recurrence, day: date) -> Task:
    key = f"job/{job.id}/{turn_of(days, day) + 1}"
    gone = Recurrence(job.starts, days.unit, days.count).next_from(day + timedelta(days=1))
    if job.until is not None:
        ended = job.until + timedelta(days=1)
        gone = ended if gone is None else min(gone, ended)
    before = _turn_before(days, day)
    return Task(
        key,
        Kind.JOB,
        day,
        day,
        job.text,
        _hint(outlook, job),
        gone=gone,
        row=job,
        # a tick made before the turn before was due belongs to a rhythm the job had then
        ticks=tuple(tick for tick in outlook.ticks(key) if before is None or tick.on > before),
    )


def _turn_before(days: Recurrence, day: date) -> date | None:
    """The day of the turn before; None for the first."""
    if turn_of(days, day) == 0:
        return None
    if days.unit in _MONTHS:
        month = day.year * 12 + day.month - 1 - days.count * _MONTHS[days.unit]
        return days.next_from(date(month // 12, month % 12 + 1, 1))
    return day - timedelta(days=days.count * (7 if days.unit is Unit.WEEKS else 1))


def _hint(outlook: Outlook, job: Job) -> str:
    house = outlook.year.houses.get(job.house) if job.house is not None else None
    rhythm = every_word(job.every, job.count) if job.every is not Every.ONCE else ""
    parts = (house.name if house is not None else "", rhythm, job.note)
    return "; ".join(part for part in parts if part)
