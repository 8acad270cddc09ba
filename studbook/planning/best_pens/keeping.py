"""A plan as rows of the record, and wishes as text; what stands there is what was known on the day."""

import json
from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date
from typing import Any

from studbook.book.husbandry.choosing_rows import Plan, PlannedBird, PlannedPen
from studbook.book.husbandry.rows import Move
from studbook.book.ids import BirdId, PenId, PlanId, PlannedBirdId, PlannedPenId
from studbook.book.records import Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.best_pens.by_hand import Kin, Worth
from studbook.planning.best_pens.wishes import BestPen, PensPlan, Place, Wishes

Rows = tuple[Plan | PlannedPen | PlannedBird, ...]


def wishes_text(wishes: Wishes) -> str:
    """Wishes as JSON."""
    held: dict[str, Any] = {each.name: getattr(wishes, each.name) for each in fields(wishes)}
    held["places"] = [
        {"pen": place.pen, "hens": place.hens, "second_yard": place.second_yard} for place in wishes.places
    ]
    held["eggs"], held["most_share"] = dict(wishes.eggs), dict(wishes.most_share)
    return json.dumps(held, ensure_ascii=False, sort_keys=True)


def wishes_from(text: str) -> Wishes | None:
    """Wishes from JSON; None where the text holds none."""
    held = json.loads(text or "{}")
    if "cocks" not in held:
        return None

    def birds(values: list[str]) -> tuple[BirdId, ...]:
        return tuple(BirdId(value) for value in values)

    def pairs(values: list[list[str]]) -> tuple[tuple[BirdId, BirdId], ...]:
        return tuple((BirdId(one), BirdId(other)) for one, other in values)

    known = {each.name for each in fields(Wishes)}
    read = {name: value for name, value in held.items() if name in known}
    read |= {
        "cocks": birds(held["cocks"]),
        "hens": birds(held["hens"]),
        "places": tuple(
            Place(PenId(place["pen"]), place["hens"], place["second_yard"]) for place in held["places"]
        ),
        "together": pairs(held["together"]),
        "never": pairs(held["never"]),
        "unknown": Unknown(held["unknown"]),
    }
    return Wishes(**read)


def plan_rows(
    new_id: Callable[[], str],
    plan: PensPlan,
    wishes: Wishes,
    worth: Worth,
    kin: Kin,
    season: int,
    made: date,
    *,
    name: str = "",
    note: str = "",
    reasons: str = "",
    of_hens: Mapping[BirdId, str] | None = None,
    present: Worth | None = None,
    is_own: bool = False,
    chicks: int | None = None,
) -> Rows:
    """The rows of a plan with its pens and birds.

    `worth` is what the pens of the plan do, `present` what the pens of the day did; `is_own` for pens the keeper
    put together by hand, which have no bound.
    """
    row = Plan(
        PlanId(new_id()),
        season,
        made,
        name,
        wishes_text(wishes),
        reasons,
        wishes.weight,
        worth.inbreeding,
        worth.kinship,
        None if is_own else plan.bound,
        present.inbreeding if present is not None else None,
        present.kinship if present is not None else None,
        chicks,
        note,
    )
    rows: list[Plan | PlannedPen | PlannedBird] = [row]
    words = of_hens or {}
    for position, pen in enumerate(plan.pens):
        planned = PlannedPen(PlannedPenId(new_id()), row.id, position, pen.inbreeding, pen.place)
        rows.append(planned)
        rows.append(
            PlannedBird(PlannedBirdId(new_id()), planned.id, pen.cock, worth.shares.get(pen.cock, 0.0))
        )
        rows += [
            PlannedBird(
                PlannedBirdId(new_id()),
                planned.id,
                hen,
                worth.shares.get(hen, 0.0),
                kin[pen.cock, hen],
                words.get(hen, ""),
            )
            for hen in pen.hens
        ]
    return tuple(rows)


def rows_of(snapshot: Snapshot, plan: PlanId) -> Rows:
    """Every row of a kept plan, for withdrawing it."""
    year = snapshot.husbandry
    pens = year.pens_of_plan.get(plan, ())
    birds = tuple(bird for pen in pens for bird in year.birds_of_planned_pen.get(pen.id, ()))
    return (*birds, *pens, year.plans[plan])


def pens_of(snapshot: Snapshot, plan: PlanId) -> tuple[BestPen, ...]:
    """The pens of a kept plan, of birds that are still in the book."""
    year, found = snapshot.husbandry, []
    for pen in year.pens_of_plan.get(plan, ()):
        birds = [row.bird for row in year.birds_of_planned_pen.get(pen.id, ()) if snapshot.has(row.bird)]
        cocks = [bird for bird in birds if snapshot.bird(bird).sex is Sex.COCK]
        if cocks:
            hens = tuple(bird for bird in birds if bird not in cocks)
            found.append(BestPen(cocks[0], hens, pen.expected, pen.pen))
    return tuple(found)


def moves_left(snapshot: Snapshot, plan: PlanId) -> tuple[Move, ...]:
    """The planned moves that a kept plan asked for and that are still to be made."""
    home = {bird: pen.place for pen in pens_of(snapshot, plan) for bird in (pen.cock, *pen.hens)}
    return tuple(
        move
        for move in snapshot.husbandry.moves.values()
        if move.pen is not None and home.get(move.bird) == move.pen
    )
