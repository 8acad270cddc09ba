"""The tables of a book: typed models on one SQLite file.

Each row has an integer ``key`` for joins inside this file and a ``uuid`` by which it is known outside.
Only `studbook.book` sees these classes; the rest of the program gets the frozen rows of `records`.
"""

from datetime import date
from typing import Any, ClassVar

from sqlalchemy import (
    BLOB,
    INTEGER,
    REAL,
    TEXT,
    CheckConstraint,
    ForeignKey,
    Index,
    MetaData,
    UniqueConstraint,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import TypeDecorator

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.husbandry.rows import (
    ConditionKind,
    Decision,
    EggUseKind,
    Every,
    Fate,
    MatingKind,
)
from studbook.book.records import Basis, EntryKind, MarkKind, Sex, Status
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.season.practice import ApartReason


class DateText(TypeDecorator[PartialDate]):
    """A partial date as its ISO 8601 text; empty is unknown."""

    impl = TEXT
    cache_ok = True

    def process_bind_param(self, value: PartialDate | None, dialect: Dialect) -> str | None:
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> PartialDate | None:
        return None if value is None else PartialDate.parse(value)


class DayText(TypeDecorator[date]):
    """A day as its ISO 8601 text."""

    impl = TEXT
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> str | None:
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, dialect: Dialect) -> date | None:
        return None if value is None else date.fromisoformat(value)


class Numbers(TypeDecorator[tuple[float, ...]]):
    """A few numbers as text, parted by spaces."""

    impl = TEXT
    cache_ok = True

    def process_bind_param(self, value: tuple[float, ...] | None, dialect: Dialect) -> str | None:
        return None if value is None else " ".join(format(number, "g") for number in value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[float, ...] | None:
        return None if value is None else tuple(float(number) for number in value.split())


class YesNo(TypeDecorator[bool]):
    """A truth as 0 or 1: STRICT tables know no boolean."""

    impl = INTEGER
    cache_ok = True

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> int | None:
        return None if value is None else int(value)

    def process_result_value(self, value: int | None, dialect: Dialect) -> bool | None:
        return None if value is None else bool(value)


def _word_type(words: type[Any]) -> TypeDecorator[Any]:
    class Word(TypeDecorator[Any]):
        impl = TEXT
        cache_ok = True

        def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
            return None if value is None else words(value).value

        def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
            return None if value is None else words(value)

    return Word()


class Base(DeclarativeBase):
    """The base of every table: STRICT, each constraint named."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_name)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map: ClassVar = {
        str: TEXT,
        int: INTEGER,
        float: REAL,
        bytes: BLOB,
        bool: YesNo,
        PartialDate: DateText,
        date: DayText,
        tuple[float, ...]: Numbers,
        Sex: _word_type(Sex),
        Status: _word_type(Status),
        MarkKind: _word_type(MarkKind),
        Basis: _word_type(Basis),
        EntryKind: _word_type(EntryKind),
        MatingKind: _word_type(MatingKind),
        ConditionKind: _word_type(ConditionKind),
        EggUseKind: _word_type(EggUseKind),
        Fate: _word_type(Fate),
        Decision: _word_type(Decision),
        ApartReason: _word_type(ApartReason),
        Every: _word_type(Every),
        Verdict: _word_type(Verdict),
    }
    __table_args__: Any = {"sqlite_strict": True}  # noqa: RUF012 - SQLAlchemy declares it as of the instance


class Journaled(Base):
    """A row whose every change is written to the journal."""

    __abstract__ = True

    key: Mapped[int] = mapped_column(primary_key=True, sort_order=-2)
    uuid: Mapped[str] = mapped_column(unique=True, sort_order=-1)


class DetailsRow(Journaled):
    """Whose book it is: the one row of its table; its uuid is the book's id."""

    __tablename__ = "details"

    keeper: Mapped[str] = mapped_column(default="")
    yard: Mapped[str] = mapped_column(default="")
    address: Mapped[str] = mapped_column(default="")
    flock_registration: Mapped[str] = mapped_column(default="")
    species: Mapped[str] = mapped_column(default="chicken")
    breed: Mapped[str] = mapped_column(default="")
    sample: Mapped[bool] = mapped_column(default=False)


class ContactRow(Journaled):
    """A person birds come from or go to."""

    __tablename__ = "contact"

    name: Mapped[str]
    address: Mapped[str] = mapped_column(default="")
    phone: Mapped[str] = mapped_column(default="")
    email: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")


class OriginRow(Journaled):
    """A yard birds were bought from, with the assumed relationship of its birds."""

    __tablename__ = "origin"
    __table_args__ = (
        CheckConstraint("self_relationship BETWEEN 0 AND 2", name="self_relationship"),
        {"sqlite_strict": True},
    )

    name: Mapped[str]
    self_relationship: Mapped[float] = mapped_column(default=0.0)
    note: Mapped[str] = mapped_column(default="")


class OriginRelationRow(Journaled):
    """Two yards whose birds are assumed to be related; the origin whose uuid sorts first stands first."""

    __tablename__ = "origin_relation"
    __table_args__ = (
        CheckConstraint("relationship > 0 AND relationship <= 2", name="relationship"),
        CheckConstraint("origin_key <> other_key", name="others"),
        UniqueConstraint("origin_key", "other_key"),
        {"sqlite_strict": True},
    )

    origin_key: Mapped[int] = mapped_column(ForeignKey("origin.key"))
    other_key: Mapped[int] = mapped_column(ForeignKey("origin.key"))
    relationship: Mapped[float]


class BirdRow(Journaled):
    """One bird; its marks and its candidate parents are rows of their own."""

    __tablename__ = "bird"

    name: Mapped[str] = mapped_column(default="")
    species: Mapped[str] = mapped_column(default="chicken")
    breed: Mapped[str] = mapped_column(default="")
    sex: Mapped[Sex] = mapped_column(default=Sex.UNKNOWN)
    hatched: Mapped[PartialDate] = mapped_column(default=UNKNOWN_DATE)
    colour: Mapped[str] = mapped_column(default="")
    comb: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
    placeholder: Mapped[bool] = mapped_column(default=False)
    founder: Mapped[bool] = mapped_column(default=False)
    origin_key: Mapped[int | None] = mapped_column(ForeignKey("origin.key"))
    breeder_key: Mapped[int | None] = mapped_column(ForeignKey("contact.key"))
    rearer_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"), index=True)
    arrived: Mapped[PartialDate | None]
    status: Mapped[Status] = mapped_column(default=Status.LIVING)
    left: Mapped[PartialDate] = mapped_column(default=UNKNOWN_DATE)
    cause: Mapped[str] = mapped_column(default="")
    taker_key: Mapped[int | None] = mapped_column(ForeignKey("contact.key"))
    struck: Mapped[str | None]


class MarkRow(Journaled):
    """A mark a bird wears or wore."""

    __tablename__ = "mark"
    __table_args__ = (CheckConstraint("code <> ''", name="code"), {"sqlite_strict": True})

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    kind: Mapped[MarkKind] = mapped_column(default=MarkKind.RING)
    code: Mapped[str] = mapped_column(index=True)
    place: Mapped[str] = mapped_column(default="")
    colour: Mapped[str] = mapped_column(default="")
    size: Mapped[str] = mapped_column(default="")
    since: Mapped[PartialDate] = mapped_column(default=UNKNOWN_DATE)
    until: Mapped[PartialDate | None]


class ParentageRow(Journaled):
    """One candidate pair of a bird's parents."""

    __tablename__ = "parentage"
    __table_args__ = (
        CheckConstraint("weight > 0 AND weight <= 1", name="weight"),
        Index("ix_parentage_sire_key", "sire_key"),
        Index("ix_parentage_dam_key", "dam_key"),
        {"sqlite_strict": True},
    )

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    sire_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    dam_key: Mapped[int | None] = mapped_column(ForeignKey("bird.key"))
    weight: Mapped[float] = mapped_column(default=1.0)
    basis: Mapped[Basis] = mapped_column(default=Basis.KEEPER)
    reason: Mapped[str] = mapped_column(default="")


class NoteRow(Journaled):
    """A dated remark about a bird."""

    __tablename__ = "note"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    on: Mapped[PartialDate] = mapped_column(default=UNKNOWN_DATE)
    text: Mapped[str]


class PhotoRow(Journaled):
    """A picture of a bird; the bytes are in `PictureRow` under the same hash."""

    __tablename__ = "photo"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    sha256: Mapped[str] = mapped_column(ForeignKey("picture.sha256"))
    width: Mapped[int]
    height: Mapped[int]
    caption: Mapped[str] = mapped_column(default="")
    taken: Mapped[PartialDate] = mapped_column(default=UNKNOWN_DATE)


class CertificateRow(Journaled):
    """A certificate that was issued."""

    __tablename__ = "certificate"

    number: Mapped[str] = mapped_column(unique=True)
    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    issued: Mapped[PartialDate]
    owner: Mapped[str] = mapped_column(default="")
    checksum: Mapped[str] = mapped_column(default="")
    generations: Mapped[int] = mapped_column(default=4)
    paper: Mapped[str] = mapped_column(default="A4")


class PictureRow(Base):
    """The bytes of a photo and its thumbnail, kept once for each content and never altered."""

    __tablename__ = "picture"

    sha256: Mapped[str] = mapped_column(primary_key=True)
    content: Mapped[bytes]
    thumbnail: Mapped[bytes]


class StoredDiagonalRow(Base):
    """What is stored of the numbers of one bird (or of a mean of birds) in one way of figuring.

    A cache outside the journal; `stamp` stands for all that the figures rest on.
    """

    __tablename__ = "stored_diagonal"

    way: Mapped[str] = mapped_column(primary_key=True)
    stamp: Mapped[bytes] = mapped_column(primary_key=True)
    bird_key: Mapped[int | None] = mapped_column(index=True)
    self_relationship: Mapped[float]
    sampling_variance: Mapped[float]


class EntryRow(Base):
    """One entry of the journal; `images` is JSON and `hash` chains it to the entry before."""

    __tablename__ = "journal"

    number: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[str]
    kind: Mapped[EntryKind]
    target: Mapped[int | None]
    label: Mapped[str]
    why: Mapped[str] = mapped_column(default="")
    schema_version: Mapped[int]
    images: Mapped[str]
    hash: Mapped[str]
