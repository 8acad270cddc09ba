"""Incubation: the days of a sitting from the day it was set, the age of stored eggs, the weight eggs lose.

The day of setting is day 0, so a hen's egg of 21 days set on the first of a month hatches on the 22nd. All days
are local calendar days: an hour of setting plays no part. Nothing here forbids: it dates and it warns.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from functools import cache
from typing import Any

from studbook.places import resource
from studbook.season.practice import Evidence, Practice

MOST_DAYS = 60


@dataclass(frozen=True, slots=True)
class Span:
    """A lowest and a highest value."""

    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Climate:
    """What guides print about a machine: degrees Celsius and per cent of humidity; its maker's guide comes first."""

    moving_air_c: Span
    still_air_c: float
    humidity: Span
    hatcher_humidity: Span
    source: str


@dataclass(frozen=True, slots=True)
class Incubation:
    """One kind of egg, from ``resources/incubation.json``; days count from the day of setting.

    Attributes
    ----------
    kind
        Its name in the table: a species code, or ``bantam`` or ``call duck``.
    first_day, days, last_day
        The earliest, the usual and the latest day of hatching.
    transfer_day
        Turning stops and eggs go to the hatcher or into compartments.
    candling_days
        The first and last day of each candling.
    weight_loss
        The share of its weight an egg loses until the transfer, from memory.
    """

    kind: str
    species: str
    first_day: int
    days: int
    last_day: int
    transfer_day: int
    candling_days: tuple[tuple[int, int], ...]
    evidence: Evidence
    source: str
    candling_evidence: Evidence
    candling_source: str
    climate: Climate
    weight_loss: Span

    def expected_loss(self, day: int) -> Span:
        """The usual share of weight lost by `day`, in even steps up to the transfer.

        Raises
        ------
        ValueError
            If the day is before that of setting.
        """
        if day < 0:
            raise ValueError("an egg is not weighed for its loss before it is set")
        part = min(day, self.transfer_day) / self.transfer_day
        return Span(self.weight_loss.low * part, self.weight_loss.high * part)


@dataclass(frozen=True, slots=True)
class Candling:
    """A candling due from the day `on` until `until`."""

    on: date
    until: date


@dataclass(frozen=True, slots=True)
class IncubationPlan:
    """The days of one sitting.

    Attributes
    ----------
    lockdown
        Turning stops; eggs are moved or parted into compartments.
    due_first, due, due_last
        The window of the hatch around the usual day; never one certain day.
    """

    set_on: date
    kind: Incubation
    candlings: tuple[Candling, ...]
    lockdown: date
    due_first: date
    due: date
    due_last: date

    def day(self, on: date) -> int:
        """Which day of incubation it is; the day of setting is day 0."""
        return (on - self.set_on).days


def plan(set_on: date, kind: str | Incubation, days: int | None = None) -> IncubationPlan:
    """The days of eggs of this kind set on `set_on`; `days` are the keeper's own usual days of incubation.

    The keeper's days move the transfer and the window of the hatch with them.

    Raises
    ------
    KeyError
        If the table has no such kind.
    ValueError
        If `days` are not between 10 and 60.
    """
    eggs = incubation(kind) if isinstance(kind, str) else kind
    if days is not None and not 10 <= days <= MOST_DAYS:
        raise ValueError(f"{days} days of incubation are not between 10 and {MOST_DAYS}")
    moved = 0 if days is None else days - eggs.days
    transfer = eggs.transfer_day + moved

    def after(day: int) -> date:
        return set_on + timedelta(day)

    candlings = tuple(
        Candling(after(first), after(min(last, transfer)))
        for first, last in eggs.candling_days
        if first <= transfer
    )
    return IncubationPlan(
        set_on,
        eggs,
        candlings,
        after(transfer),
        after(eggs.first_day + moved),
        after(eggs.days + moved),
        after(eggs.last_day + moved),
    )


def incubation(kind: str) -> Incubation:
    """The row of the table for this kind.

    Raises
    ------
    KeyError
        If there is none.
    """
    return all_incubations()[kind]


@cache
def all_incubations() -> Mapping[str, Incubation]:
    """Every kind of the table, by name."""
    table = _table()
    return {kind: _incubation(kind, row, table["climate_source"]) for kind, row in table["kinds"].items()}


def kinds_of(species_code: str) -> tuple[str, ...]:
    """The kinds of a species, the species itself first (a chicken's: ``chicken``, ``bantam``)."""
    return tuple(kind for kind, row in all_incubations().items() if row.species == species_code)


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(resource("incubation.json").read_text(encoding="utf-8"))
    return table


def _incubation(kind: str, row: Mapping[str, Any], climate_source: str) -> Incubation:
    first_day, days, last_day = row["days"]
    return Incubation(
        kind=kind,
        species=row["species"],
        first_day=first_day,
        days=days,
        last_day=last_day,
        transfer_day=row["transfer_day"],
        candling_days=tuple((first, last) for first, last in row["candling_days"]),
        evidence=Evidence(row["evidence"]),
        source=row["source"],
        candling_evidence=Evidence(row["candling_evidence"]),
        candling_source=row["candling_source"],
        climate=Climate(
            Span(*row["moving_air_c"]),
            row["still_air_c"],
            Span(*row["humidity"]),
            Span(*row["hatcher_humidity"]),
            climate_source,
        ),
        weight_loss=Span(*row["weight_loss"]),
    )


class StorageGrade(Enum):
    """How well an egg of this age may still hatch."""

    FRESH = "fresh"
    AGEING = "ageing"  # past the days after which hatching falls
    OLD = "old"  # past the outer limit of the species: next to nothing hatches


@dataclass(frozen=True, slots=True)
class Storage:
    """How long eggs were kept before they were set; the grade is that of the oldest."""

    youngest_days: int
    oldest_days: int
    grade: StorageGrade


def storage(laid_first: date, laid_last: date, set_on: date, practice: Practice) -> Storage:
    """The age on the day of setting of eggs laid between two days. A warning, never a refusal.

    Raises
    ------
    ValueError
        If an egg was laid after it was set, or the last day of laying is before the first.
    """
    if laid_last < laid_first:
        raise ValueError("the last laying day is before the first")
    if laid_last > set_on:
        raise ValueError("an egg cannot be laid after it was set")
    oldest = (set_on - laid_first).days
    if oldest > practice.storage_most_days:
        grade = StorageGrade.OLD
    elif oldest > practice.storage_warn_days:
        grade = StorageGrade.AGEING
    else:
        grade = StorageGrade.FRESH
    return Storage((set_on - laid_last).days, oldest, grade)


def storage_temperature(planned_days: int) -> Span:
    """The degrees Celsius advised for eggs to be kept so many days: the longer, the cooler."""
    return next(
        Span(low, high)
        for up_to, low, high in _table()["storage_temperatures"]
        if up_to is None or planned_days <= up_to
    )


class LossVerdict(Enum):
    """How the weight lost stands to the usual band."""

    LITTLE = "little"  # air too moist, as a rule
    USUAL = "usual"
    MUCH = "much"  # air too dry, as a rule


@dataclass(frozen=True, slots=True)
class WeightLoss:
    """The share of weight lost by a day, beside the usual band."""

    day: int
    lost: float
    usual: Span
    verdict: LossVerdict


def weight_loss(kind: Incubation, day: int, weight_set_g: float, weight_g: float) -> WeightLoss:
    """How much eggs weighing `weight_set_g` when set have lost by `day`; the same eggs both times.

    Raises
    ------
    ValueError
        If a weight is not above zero, the eggs have gained weight or the day is before that of setting.
    """
    if weight_g <= 0 or weight_set_g < weight_g:
        raise ValueError("eggs lose weight: the later weight lies between zero and the first")
    usual = kind.expected_loss(day)
    lost = 1 - weight_g / weight_set_g
    verdict = LossVerdict.USUAL
    if lost not in usual:
        verdict = LossVerdict.LITTLE if lost < usual.low else LossVerdict.MUCH
    return WeightLoss(day, lost, usual, verdict)
