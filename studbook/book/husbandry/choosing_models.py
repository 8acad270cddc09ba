"""The tables of choosing; see `choosing_rows` for what each holds."""

from datetime import date

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.models import Journaled


class ChoiceRow(Journaled):
    """What the keeper decided of a bird for one season, and why."""

    __tablename__ = "choice"

    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    season: Mapped[int]
    verdict: Mapped[Verdict]
    on: Mapped[date]
    reason: Mapped[str] = mapped_column(default="")


class BanRow(Journaled):
    """A cock and a hen the keeper does not want together."""

    __tablename__ = "ban"

    cock_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    hen_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    since: Mapped[date]
    reason: Mapped[str] = mapped_column(default="")


class PlanRow(Journaled):
    """The pens planned for a season, with the reasons and the predictions of the day."""

    __tablename__ = "plan"

    season: Mapped[int]
    made: Mapped[date]
    name: Mapped[str] = mapped_column(default="")
    wishes: Mapped[str] = mapped_column(default="{}")
    reasons: Mapped[str] = mapped_column(default="")
    weight: Mapped[float] = mapped_column(default=0.5)
    inbreeding: Mapped[float] = mapped_column(default=0.0)
    kinship: Mapped[float] = mapped_column(default=0.0)
    bound: Mapped[float | None]
    present_inbreeding: Mapped[float | None]
    present_kinship: Mapped[float | None]
    chicks: Mapped[int | None]
    note: Mapped[str] = mapped_column(default="")


class PlannedPenRow(Journaled):
    """One pen of a plan."""

    __tablename__ = "planned_pen"

    plan_key: Mapped[int] = mapped_column(ForeignKey("plan.key"), index=True)
    position: Mapped[int]
    expected: Mapped[float]
    pen_key: Mapped[int | None] = mapped_column(ForeignKey("pen.key"), index=True)


class PlannedBirdRow(Journaled):
    """One bird of a planned pen."""

    __tablename__ = "planned_bird"
    __table_args__ = (CheckConstraint("share >= 0 AND share <= 1", name="share"), {"sqlite_strict": True})

    planned_pen_key: Mapped[int] = mapped_column(ForeignKey("planned_pen.key"), index=True)
    bird_key: Mapped[int] = mapped_column(ForeignKey("bird.key"), index=True)
    share: Mapped[float]
    expected: Mapped[float | None]
    reason: Mapped[str] = mapped_column(default="")


class RotationRow(Journaled):
    """Pen families between which young cocks move on."""

    __tablename__ = "rotation"

    name: Mapped[str]
    begun: Mapped[date]
    ended: Mapped[date | None]
    note: Mapped[str] = mapped_column(default="")


class RotationPenRow(Journaled):
    """One pen of a rotation."""

    __tablename__ = "rotation_pen"

    rotation_key: Mapped[int] = mapped_column(ForeignKey("rotation.key"), index=True)
    pen_key: Mapped[int] = mapped_column(ForeignKey("pen.key"), index=True)
    position: Mapped[int]
