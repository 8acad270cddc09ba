"""A small invented flock of Andalusians for papers, and a relatedness with figures given by hand."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import numpy as np

from studbook.book.records import (
    Bird,
    BirdId,
    BookDetails,
    Mark,
    MarkId,
    MarkKind,
    Origin,
    OriginId,
    Pair,
    Sex,
    Snapshot,
)
from studbook.dates import PartialDate

TODAY = date(2022, 2, 14)
DETAILS = BookDetails(
    id="3f6c1b1e-8d0a-4a53-9f0e-6a2f6d1f7c11",
    keeper="Ann Marlow",
    yard="Withybrook",
    address="Upper Combe",
    flock_registration="FR 31/204",
    breed="Andalusian",
)
FALLOW = Origin(OriginId("fallow"), "Fallow Yard")


class GivenRelatedness:
    """Stands for the numbers of a snapshot: one F for all, ancestors counted by walking."""

    def __init__(self, snapshot: Snapshot, inbreeding: float = 0.125) -> None:
        self.inbreeding = np.full(len(snapshot.birds), inbreeding)
        self.generations = np.full(len(snapshot.birds), 2.5)
        self._snapshot = snapshot

    def known_ancestors(self, bird: BirdId) -> int:
        """The number of distinct ancestors."""
        met: set[BirdId] = set()
        waiting = [bird]
        while waiting:
            ancestor = self._snapshot.bird(waiting.pop())
            fresh = {*ancestor.sires, *ancestor.dams} - met
            met |= fresh
            waiting += fresh
        return len(met)


def bird(name: str, sex: Sex, year: int, *pairs: Pair, mark: str | None = None, **fields) -> Bird:
    """A ringed Andalusian whose id is its name."""
    code = f"W{year % 100:02d}-{name[:2]}" if mark is None else mark
    marks = (Mark(MarkId(name), MarkKind.RING, code, place="left leg", colour="blue"),) if code else ()
    fields.setdefault("colour", "blue")
    return Bird(
        id=BirdId(name),
        name=name,
        breed="Andalusian",
        sex=sex,
        hatched=PartialDate(year, 4, 14),
        marks=marks,
        pairs=pairs,
        **fields,
    )


def pair(sire: str | None, dam: str | None, weight: float = 1.0) -> Pair:
    """A candidate pair by names."""
    return Pair(BirdId(sire) if sire else None, BirdId(dam) if dam else None, weight)


def flock() -> tuple[Bird, ...]:
    """Five generations behind Meadowsweet; her parents are half sibs by Torridge."""
    cock, hen = Sex.COCK, Sex.HEN
    return (
        bird("Severn", cock, 2016, origin=FALLOW.id),
        bird("Sorrel", hen, 2016, founder=True, colour="splash"),
        bird("Tamar", cock, 2017, pair("Severn", "Sorrel")),
        bird("Tansy", hen, 2017, pair("Severn", "Sorrel")),
        bird("Wye", cock, 2018, pair("Tamar", "Tansy")),
        bird("Betony", hen, 2018, pair("Tamar", None)),
        bird("Torridge", cock, 2019, pair("Wye", "Betony")),
        bird("Mallow", hen, 2019, pair("Wye", "Betony"), colour="black"),
        bird("Campion", hen, 2019, founder=True),
        bird("Arrow", cock, 2020, pair("Torridge", "Mallow")),
        bird("Bryony", hen, 2020, pair("Torridge", "Campion")),
        bird("Meadowsweet", hen, 2021, pair("Arrow", "Bryony")),
    )


def book(birds: Iterable[Bird] | None = None, **fields) -> Snapshot:
    """A snapshot of a flock, parents first."""
    return Snapshot(1, DETAILS, tuple(flock() if birds is None else birds), origins=(FALLOW,), **fields)


def with_name(old: str, new: str) -> Snapshot:
    """The flock in which one bird has another name (its id stays)."""
    return book(replace(bird, name=new) if bird.name == old else bird for bird in flock())
