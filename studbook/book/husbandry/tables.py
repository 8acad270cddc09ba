"""Which table holds which row of the year, and how rows go in and come out."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

from sqlalchemy import inspect, select
from sqlalchemy.orm import Session, aliased

from studbook.book.husbandry import choosing_models, choosing_rows, models, rows
from studbook.book.husbandry.rows import Husbandry
from studbook.book.journal import Image
from studbook.book.models import Base, Journaled
from studbook.book.writing import Writing

_BATCH = 500


@dataclass(frozen=True)
class Table:
    """One kind of row: its frozen class, its model, and the field of `Husbandry` that holds them all."""

    row: type[Any]
    model: type[Journaled]
    place: str

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The fields of the row but its id, in order."""
        return tuple(field.name for field in fields(self.row) if field.name != "id")

    @cached_property
    def links(self) -> Mapping[str, type[Journaled]]:
        """The fields that point to another row, with the model they point to."""
        of_table = {mapper.local_table: mapper.class_ for mapper in Base.registry.mappers}
        columns = inspect(self.model).columns
        return {
            name: of_table[next(iter(columns[f"{name}_key"].foreign_keys)).column.table]
            for name in self.names
            if f"{name}_key" in columns
        }

    def values(self, writing: Writing, row: Any) -> dict[str, Any]:
        """The columns of `row`, links as keys."""
        found = {}
        for name in self.names:
            value = getattr(row, name)
            if name in self.links:
                found[f"{name}_key"] = writing.key_or_none(self.links[name], value)
            else:
                found[name] = value
        return found

    def read(self, session: Session, uuids: Collection[str] | None = None) -> dict[str, Any]:
        """The rows with these ids, or all, by id in the order of writing."""
        found: dict[str, Any] = {}
        if uuids is None:
            self._read_into(found, session, None)
        else:
            wanted = list(uuids)
            for start in range(0, len(wanted), _BATCH):
                self._read_into(found, session, wanted[start : start + _BATCH])
        return found

    def _read_into(self, found: dict[str, Any], session: Session, uuids: list[str] | None) -> None:
        table = self.model.__table__
        columns, joined = [table.c.uuid], table
        for name in self.names:
            if name in self.links:
                target = aliased(self.links[name].__table__)
                joined = joined.outerjoin(target, target.c.key == table.c[f"{name}_key"])
                columns.append(target.c.uuid)
            else:
                columns.append(table.c[name])
        query = select(*columns).select_from(joined).order_by(table.c.key)
        if uuids is not None:
            query = query.where(table.c.uuid.in_(uuids))
        for values in session.execute(query):
            found[values[0]] = self.row(*values)


TABLES = (
    Table(rows.House, models.HouseRow, "houses"),
    Table(rows.Pen, models.PenRow, "pens"),
    Table(rows.Stay, models.StayRow, "stays"),
    Table(rows.Move, models.MoveRow, "moves"),
    Table(rows.Mating, models.MatingRow, "matings"),
    Table(rows.Condition, models.ConditionRow, "conditions"),
    Table(rows.Collection, models.CollectionRow, "collections"),
    Table(rows.EggUse, models.EggUseRow, "egg_uses"),
    Table(rows.Machine, models.MachineRow, "machines"),
    Table(rows.Sitting, models.SittingRow, "sittings"),
    Table(rows.Trial, models.TrialRow, "trials"),
    Table(rows.TrialHen, models.TrialHenRow, "trial_hens"),
    Table(rows.Batch, models.BatchRow, "batches"),
    Table(rows.MixedIn, models.MixedInRow, "mixed_in"),
    Table(rows.BatchPair, models.BatchPairRow, "batch_pairs"),
    Table(rows.Candling, models.CandlingRow, "candlings"),
    Table(rows.EggFate, models.EggFateRow, "egg_fates"),
    Table(rows.Reading, models.ReadingRow, "readings"),
    Table(rows.Hatchling, models.HatchlingRow, "hatchlings"),
    Table(rows.Apart, models.ApartRow, "aparts"),
    Table(rows.Job, models.JobRow, "jobs"),
    Table(rows.Tick, models.TickRow, "ticks"),
    Table(rows.Figure, models.FigureRow, "figures"),
    Table(choosing_rows.Choice, choosing_models.ChoiceRow, "choices"),
    Table(choosing_rows.Ban, choosing_models.BanRow, "bans"),
    Table(choosing_rows.Plan, choosing_models.PlanRow, "plans"),
    Table(choosing_rows.PlannedPen, choosing_models.PlannedPenRow, "planned_pens"),
    Table(choosing_rows.PlannedBird, choosing_models.PlannedBirdRow, "planned_birds"),
    Table(choosing_rows.Rotation, choosing_models.RotationRow, "rotations"),
    Table(choosing_rows.RotationPen, choosing_models.RotationPenRow, "rotation_pens"),
)

_OF_ROW = {table.row: table for table in TABLES}
_OF_NAME = {table.model.__tablename__: table for table in TABLES}


def table_of(row: Any) -> Table:
    """The table that holds rows of this kind."""
    return _OF_ROW[type(row)]


def put(writing: Writing, row: Any) -> str:
    """Write a new row; an empty id is given one. Its id."""
    table = table_of(row)
    key, uuid = writing.reserve(table.model, row.id)
    writing.add_reserved(table.model, key, uuid, **table.values(writing, row))
    return uuid


def alter(writing: Writing, before: Any, after: Any) -> None:
    """Write the fields in which `after` differs from `before`.

    Raises
    ------
    RecordProblems
        If the book no longer has the row.
    """
    table = table_of(before)
    stored = writing.row(table.model, before.id)
    old, new = table.values(writing, before), table.values(writing, after)
    for name, value in new.items():
        if value != old[name]:
            setattr(stored, name, value)


def drop(writing: Writing, row: Any) -> None:
    """Take a row out of the book; undo brings it back."""
    writing.session.delete(writing.row(table_of(row).model, row.id))


def read_husbandry(session: Session) -> Husbandry:
    """Every row of the year."""
    parts: dict[str, Any] = {table.place: table.read(session) for table in TABLES}
    return Husbandry(**parts)


def touched_rows(images: Iterable[Image]) -> dict[Table, list[str]]:
    """The ids of the rows of the year that the images hold, by table."""
    found: dict[Table, list[str]] = {}
    for image in images:
        table = _OF_NAME.get(image.table)
        if table is not None:
            found.setdefault(table, []).append(image.uuid)
    return found


def husbandry_after(
    session: Session, before: Husbandry, touched: Mapping[Table, Collection[str]]
) -> Husbandry:
    """The rows of the year with those of `touched` read again."""
    parts: dict[str, Any] = {}
    for table, uuids in touched.items():
        fresh = table.read(session, uuids)
        held = dict(getattr(before, table.place))
        for uuid in uuids:
            if uuid in fresh:
                held[uuid] = fresh[uuid]
            else:
                held.pop(uuid, None)
        parts[table.place] = held
    return replace(before, **parts) if parts else before
