"""What is done to one bird or several at once: status, a mark, striking out and restoring."""

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from studbook.book.changes import AddMarks, Change, Restore, SetStatus, StrikeOut
from studbook.book.changes.together import Together
from studbook.book.errors import Problem
from studbook.book.records import DEAD, HANDED_OVER, Bird, ContactId, MarkKind, Snapshot, Status
from studbook.book.wording import status_word
from studbook.dates import PartialDate
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import ForeseeingDialog
from studbook.desk.deeds.marks import MarkFields, mark_caution
from studbook.desk.deeds.series import mark_series, worn_codes
from studbook.desk.widgets.date_field import DateField
from studbook.desk.widgets.form_dialog import FormDialog
from studbook.desk.widgets.name_box import NameBox, Named, contact_names
from studbook.desk.wording import bird_text
from studbook.words import _, plural


def those(birds: Sequence[Bird]) -> str:
    """The birds of a heading: the one by name, several by number."""
    if len(birds) == 1:
        return bird_text(birds[0])
    return plural("{count} bird", "{count} birds", len(birds)).format(count=len(birds))


class StatusDialog(ForeseeingDialog):
    """Say what became of birds, when, and to whom they went."""

    def __init__(self, context: Context, snapshot: Snapshot, birds: Sequence[Bird], parent: QWidget) -> None:
        super().__init__(context, _("What became of {birds}?").format(birds=those(birds)), _("Save"), parent)
        self.setObjectName("status_dialog")
        self._birds = birds
        held = birds[0]
        self.status = self.form.add_choice(
            "status", _("Status"), [(status_word(status), status) for status in Status], held.status
        )
        if held.status is Status.LIVING:
            self.status.setCurrentIndex(self.status.findData(Status.SOLD))
        self.left = DateField(context.today)
        self.left.setObjectName("left")
        self.form.add("left", _("When"), self.left)
        self.left.set_value(held.left if held.left.is_known else PartialDate.of(context.today))
        self.taker = NameBox(contact_names(snapshot.contacts))
        self.form.add("taker", _("Went to"), self.taker)
        self.taker.choose(held.taker)
        self.cause = self.form.add_line("cause", _("Cause"), held.cause)
        self.status.currentIndexChanged.connect(self._suit_status)
        self.set_change(self._read)
        self._suit_status()

    def _suit_status(self) -> None:
        status = Status(self.status.currentData())
        fields = self.form.fields
        fields["left"].setVisible(status is not Status.LIVING)
        fields["taker"].setVisible(status in HANDED_OVER)
        fields["cause"].setVisible(status in DEAD or status is Status.LOST)
        if status is Status.CULLED:
            self.set_caution(
                _(
                    "Killing must be quick and without pain, by a person who has learned it. Local rules and a "
                    "vet decide who may do it and how."
                )
            )
        elif status is Status.DIED:
            self.set_caution(
                _("When several birds die or fall ill, ask a vet: some diseases must be reported by law.")
            )
        else:
            self.set_caution("")

    def _read(self) -> Change | None:
        status = Status(self.status.currentData())
        ids = tuple(bird.id for bird in self._birds)
        if status is Status.LIVING:
            return SetStatus(ids, status)
        if self.left.error:
            self.form.show_problems((Problem("date", self.left.error, field="left"),))
            return None
        taker = self.taker.named if status in HANDED_OVER else Named()
        cause = "" if status in HANDED_OVER else self.cause.text().strip()
        known = taker.known_as(self.new_id)
        change = SetStatus(ids, status, self.left.value, cause, ContactId(known) if known else None)
        if not taker.new:
            return change
        title = _("mark {birds} as {status}, to {taker}").format(
            birds=those(self._birds), status=status_word(status), taker=taker.new
        )
        return Together((*taker.contact(self.new_id), change), title)


class MarkDialog(FormDialog):
    """Put a mark on birds: an own mark counts on from bird to bird, a group mark is the same for all."""

    def __init__(self, context: Context, snapshot: Snapshot, birds: Sequence[Bird], parent: QWidget) -> None:
        super().__init__(context, _("Mark {birds}").format(birds=those(birds)), _("Add the mark"), parent)
        self.setObjectName("mark_dialog")
        self._birds = birds
        self._worn = worn_codes(snapshot)
        self.mark = MarkFields(self.form)
        if len(birds) > 1:
            self.mark.code.setPlaceholderText(_("the first of the series, such as B27-01"))
        self.since = DateField(context.today)
        self.form.add("since", _("Since"), self.since)
        self.since.set_value(PartialDate.of(context.today))
        self.mark.kind.currentIndexChanged.connect(self._suit_kind)
        self._suit_kind()
        self.set_change(self._read)

    def _suit_kind(self) -> None:
        self.set_caution(mark_caution(self.mark.chosen_kind))

    def _read(self) -> Change | None:
        if self.since.error:
            self.form.show_problems((Problem("date", self.since.error, field="since"),))
            return None
        since = self.since.value
        mark = self.mark.read(since)
        if not mark.code:
            field = "webs" if mark.kind is MarkKind.TOE_PUNCH else "marks"
            message = _("The mark is empty: enter what stands on it.")
            self.form.show_problems((Problem("mark", message, field=field),))
            return None
        if len(self._birds) == 1 or not mark.kind.is_own:
            return AddMarks(tuple((bird.id, mark) for bird in self._birds))
        try:
            codes = mark_series(mark.code, len(self._birds), self._worn)
        except ValueError as error:
            self.form.show_problems((Problem("mark", str(error), field="marks"),))
            return None
        return AddMarks(
            tuple(
                (bird.id, self.mark.read(since, code)) for bird, code in zip(self._birds, codes, strict=True)
            )
        )


class StrikeOutDialog(FormDialog):
    """Strike birds out of the book, with the reason; nothing is ever deleted."""

    def __init__(self, context: Context, birds: Sequence[Bird], parent: QWidget) -> None:
        super().__init__(
            context,
            _("Strike {birds} out of the book?").format(birds=those(birds)),
            _("Strike out"),
            parent,
        )
        self.setObjectName("strike_dialog")
        self._birds = birds
        self.reason = self.form.add_line(
            "reason",
            _("Reason"),
            hint=_(
                "For a bird entered by mistake or twice. A bird that died or went away stays in the book: "
                "change its status. What is struck out can be restored."
            ),
        )
        self.set_change(lambda: StrikeOut(tuple(bird.id for bird in self._birds), self.reason.text().strip()))


def restore(context: Context, birds: Sequence[Bird]) -> None:
    """Bring struck birds back."""
    context.record.apply(Restore(tuple(bird.id for bird in birds)))
