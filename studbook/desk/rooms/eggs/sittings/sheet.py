"""One sitting opened: where it stands, what to mind, its eggs and whose they are, its chicks, its log."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtWidgets import QFrame, QPushButton, QScrollArea, QVBoxLayout, QWidget

from studbook.book.changes import Change, Correct, Together, Withdraw
from studbook.book.husbandry.rows import Batch, Condition, ConditionKind, Reading, Sitting
from studbook.book.ids import SittingId
from studbook.book.records import Bird
from studbook.book.wording import sex_word, status_word
from studbook.desk.context import Context
from studbook.desk.deeds.foreseeing import apply_foreseen
from studbook.desk.deeds.several import StatusDialog
from studbook.desk.rooms.eggs.sittings.bar import SittingBar
from studbook.desk.rooms.eggs.sittings.candling import CandleDialog, PipDialog
from studbook.desk.rooms.eggs.sittings.hatching import HatchDialog
from studbook.desk.rooms.eggs.sittings.log import LogDialog
from studbook.desk.rooms.eggs.sittings.moving import MoveEggsDialog
from studbook.desk.rooms.eggs.sittings.parting import PartDialog
from studbook.desk.rooms.eggs.sittings.rearing import RearingDialog
from studbook.desk.rooms.eggs.sittings.setting import CorrectSittingDialog
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.sheets import ask_sheet
from studbook.desk.tables import Column, Paint, RowsModel, Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, button, label, link
from studbook.desk.wording import day_text, percent_text
from studbook.planning.sentences import Sentence
from studbook.planning.sittings.counts import count_batch, last_candling
from studbook.planning.sittings.days import kind_word
from studbook.planning.sittings.names import sitter_text
from studbook.planning.sittings.telling import (
    candling_text,
    chicks_text,
    count_text,
    eggs_text,
    laid_text,
    listed,
)
from studbook.planning.sittings.weights import loss_sentence, weighings
from studbook.planning.sittings.whose import batch_words
from studbook.words import _, plural

_MOST = 12
"""So many batches of a sitting are told at first; the rest by one press."""


class SittingSheet(QWidget):
    """A sitting with everything that can be done to it.

    Signals
    -------
    closed
        The keeper goes back to the list.
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    register_asked
        The chicks of a batch are to be registered (str, its BatchId).
    """

    closed = Signal()
    bird_asked = Signal(str)
    register_asked = Signal(str)

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setObjectName("sitting_sheet")
        self.context = context
        self._view: View | None = None
        self._sitting: Sitting | None = None
        self._tells_all = False
        whole = QVBoxLayout(self)
        whole.setContentsMargins(space(2), 0, 0, 0)
        self.area = QScrollArea()
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        whole.addWidget(self.area)
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, space(1), space(2), space(3))
        column.setSpacing(space(1))
        self.back = link(_("← all sittings"), self.closed.emit)
        self.back.setObjectName("close_sitting")
        column.addWidget(self.back)
        self.title = label("", Role.HEADING, wraps=True)
        self.title.setObjectName("sitting_title")
        column.addWidget(self.title)
        self.standing = label("", wraps=True)
        self.standing.setObjectName("sitting_standing")
        column.addWidget(self.standing)
        self.bar = SittingBar()
        column.addWidget(self.bar)
        self.remarks = label("", Role.CAUTION, wraps=True)
        self.remarks.setObjectName("sitting_remarks")
        column.addWidget(self.remarks)
        column.addWidget(self._deeds())
        column.addWidget(SectionHeading(_("Eggs")))
        self.eggs = Prose("sitting_eggs", _("The eggs of the sitting and whose they are"))
        self.eggs.bird_asked.connect(self.bird_asked)
        column.addWidget(self.eggs)
        self.more = link("", self.tell_all)
        self.more.setObjectName("more_batches")
        column.addWidget(self.more)
        registers = QWidget()
        self._registers = Flow(registers)
        column.addWidget(registers)
        self._chicks_heading = SectionHeading(_("Chicks"), *self._chick_deeds())
        column.addWidget(self._chicks_heading)
        self.chicks = self._chick_table()
        column.addWidget(self.chicks)
        self._log_heading = SectionHeading(_("Log"))
        column.addWidget(self._log_heading)
        self.log = label("", Role.FAINT, wraps=True)
        self.log.setObjectName("sitting_log")
        column.addWidget(self.log)
        column.addStretch(1)
        self.area.setWidget(inner)

    @property
    def sitting(self) -> SittingId | None:
        """Which sitting it is."""
        return self._sitting.id if self._sitting is not None else None

    def show_sitting(self, sitting: Sitting, view: View) -> None:
        """Show a sitting of a view."""
        another = self.sitting != sitting.id
        self._view, self._sitting = view, sitting
        self._tells_all = self._tells_all and not another
        self.title.setText(view.called(sitting))
        plan = view.standing(sitting)
        kind = _("{kind}, {sitter}").format(
            kind=kind_word(plan.plan.kind.kind), sitter=sitter_text(view.snapshot, sitting)
        )
        text = _("{standing} ({kind})")
        self.standing.setText(text.format(standing=view.sentence(sitting), kind=kind))
        self.bar.show_standing(plan)
        found = view.remarks(sitting)
        self.remarks.setText("\n".join(view.written(remark.sentence) for remark in found))
        self.remarks.setVisible(bool(found))
        self._show_deeds(view, sitting)
        self._show_eggs(view, sitting)
        self._show_chicks(view, sitting)
        self._show_log(view, sitting)
        if another:
            self.area.verticalScrollBar().setValue(0)

    def tell_all(self) -> None:
        """Tell every batch of the sitting, however many there are."""
        self._tells_all = True
        if self._view is not None and self._sitting is not None:
            self._show_eggs(self._view, self._sitting)
            self.eggs.setFocus()

    def _show_eggs(self, view: View, sitting: Sitting) -> None:
        """The batches and whose they are, then what can be registered of them; at first not more than fits a look."""
        batches = view.batches(sitting)
        told = batches if self._tells_all else batches[:_MOST]
        more = len(batches) - len(told)
        text = plural("and {count} more batch…", "and {count} more batches…", more)
        self.more.setText(text.format(count=more))
        self.eggs.show_paragraphs(self._paragraphs(view, told), view.snapshot)
        hatched = [
            (number, batch)
            for number, batch in enumerate(batches, 1)
            if count_batch(view.year, batch).unregistered
        ]
        self._show_registers(view, hatched if self._tells_all else hatched[:_MOST])
        self.more.setVisible(more > 0)

    def _paragraphs(self, view: View, batches: Sequence[Batch]) -> list[Paragraph]:
        found: list[Paragraph] = []
        for batch in batches:
            found.append(Paragraph(self._batch_head(view, batch)))
            whose = view.whose(batch)
            if batch.outside:
                told: Sentence = (_("Parents outside the book: {told}").format(told=batch.outside),)
                found.append(Paragraph((told,), Style.REMARK))
            else:
                words = batch_words(whose, day_text)
                found.append(Paragraph((words.verdict, *words.candidates), Style.ITEM))
                if why := (*words.reasons, *words.left_out):
                    found.append(Paragraph(why, Style.REMARK))
        if not found:
            found.append(Paragraph(((_("No eggs are entered for this sitting."),),), Style.REMARK))
        return found

    def _batch_head(self, view: View, batch: Batch) -> tuple[Sentence, ...]:
        text = _("{eggs} of {batch}, {laid}.")
        head = text.format(
            eggs=eggs_text(batch.eggs), batch=view.batch_called(batch), laid=laid_text(batch, day_text)
        )
        said = [head]
        counted = count_text(count_batch(view.year, batch))
        if counted:
            said.append(_("{counts}.").format(counts=counted))
        seen = last_candling(view.year, batch)
        if seen is not None:
            text = candling_text(seen, day_text)
            said.append(_("{candling}.").format(candling=text[:1].upper() + text[1:]))
        return tuple((each,) for each in said)

    def _show_registers(self, view: View, hatched: Sequence[tuple[int, Batch]]) -> None:
        self._registers.clear()
        if not self._can_edit:
            return
        for number, batch in hatched:
            count = count_batch(view.year, batch)
            text = _("Register {chicks} of {batch}…").format(
                chicks=chicks_text(count.unregistered), batch=view.batch_called(batch)
            )
            made = button(text, self._asking(str(batch.id)), icon="plus")
            made.setObjectName(f"register_{number}")
            self._registers.addWidget(made)

    def _asking(self, batch: str) -> Callable[[], None]:
        return lambda: self.register_asked.emit(batch)

    def _deeds(self) -> QWidget:
        deeds = QWidget()
        flow = Flow(deeds)
        named = (
            ("ask_candle", _("Candle…"), self.candle),
            ("ask_part", _("Part into compartments…"), self.part),
            ("ask_pips", _("Pips…"), self.enter_pips),
            ("ask_hatch_result", _("What hatched…"), self.enter_hatch),
            ("ask_move_eggs", _("Move eggs…"), self.move_eggs),
            ("ask_log", _("Log…"), self.enter_log),
            ("ask_close_sitting", _("Close the sitting"), self.close_sitting),
            ("ask_sitting_card", _("Card to hang up…"), self.print_card),
            ("ask_correct_sitting", _("Correct…"), self.correct),
            ("ask_withdraw_sitting", _("Take out…"), self.withdraw),
        )
        self.deeds: dict[str, QPushButton] = {}
        for name, words, run in named:
            made = button(words, run)
            made.setObjectName(name)
            flow.addWidget(made)
            self.deeds[name] = made
        return deeds

    @property
    def _can_edit(self) -> bool:
        book = self.context.record.open_book
        return book is not None and not book.read_only

    def _show_deeds(self, view: View, sitting: Sitting) -> None:
        left = view.standing(sitting).count.left
        with_eggs = ("ask_candle", "ask_part", "ask_pips", "ask_hatch_result", "ask_move_eggs")
        for name, made in self.deeds.items():
            made.setVisible(self._can_edit and (name not in with_eggs or left > 0))
        self.deeds["ask_sitting_card"].setVisible(True)
        self.deeds["ask_part"].setVisible(self._can_edit and left > 0 and sitting.machine is not None)
        closing = _("Open it again") if sitting.closed is not None else _("Close the sitting")
        self.deeds["ask_close_sitting"].setText(closing)

    def candle(self) -> None:
        """Ask what is seen of the eggs."""
        if self._view is not None and self._sitting is not None:
            CandleDialog(self.context, self._view, self._sitting, self.window()).begin()

    def part(self) -> None:
        """Ask for compartments."""
        if self._view is not None and self._sitting is not None:
            PartDialog(self.context, self._view, self._sitting, self.window()).ask()

    def enter_pips(self) -> None:
        """Ask how many have pipped."""
        if self._view is not None and self._sitting is not None:
            PipDialog(self.context, self._view, self._sitting, self.window()).begin()

    def enter_hatch(self) -> None:
        """Ask what hatched."""
        if self._view is not None and self._sitting is not None:
            HatchDialog(self.context, self._view, self._sitting, self.window()).begin()

    def move_eggs(self) -> None:
        """Ask which eggs go where."""
        if self._view is not None and self._sitting is not None:
            MoveEggsDialog(self.context, self._view, self._sitting, self.window()).begin()

    def enter_log(self) -> None:
        """Ask for a line of the log."""
        if self._view is not None and self._sitting is not None:
            LogDialog(self.context, self._view, self._sitting, self.window()).ask()

    def print_card(self) -> None:
        """Ask whether the card of this sitting is to be printed or written as PDF."""
        if self._view is not None and self._sitting is not None:
            name = _("card of {sitting}").format(sitting=self._view.called(self._sitting))
            ask_sheet(self.window(), self.context, "sitting-card", name, str(self._sitting.id))

    def correct(self) -> None:
        """Ask what is to be corrected."""
        if self._view is not None and self._sitting is not None:
            CorrectSittingDialog(self.context, self._view, self._sitting, self.window()).ask()

    def close_sitting(self) -> None:
        """Close the sitting, or open it again; eggs without an end are asked about first."""
        view, sitting = self._view, self._sitting
        if view is None or sitting is None:
            return
        if sitting.closed is not None:
            self.context.record.apply(Correct((sitting,), (replace(sitting, closed=None),)))
            return
        left = view.standing(sitting).count.left
        if not left:
            self._close_now()
            return
        text = plural(
            "{count} egg has no end yet. It would stay out of every figure of the hatch.",
            "{count} eggs have no end yet. They would stay out of every figure of the hatch.",
            left,
        )
        self.context.questions.choose(
            _("Close the sitting?"),
            text.format(count=left),
            (_("Enter what hatched"), _("Close all the same")),
            lambda verb: self.enter_hatch() if verb == 0 else self._close_now(),
        )

    def _close_now(self) -> None:
        if self._view is not None and self._sitting is not None:
            self.context.record.apply(self._closing(self._view, self._sitting))

    def _closing(self, view: View, sitting: Sitting) -> Change:
        """The sitting is over, and with it the broodiness it began."""
        title = _("close the sitting of {sitting}").format(sitting=view.called(sitting))
        closed = Correct((sitting,), (replace(sitting, closed=view.today),))
        over = tuple(
            each
            for broody in (sitting.broody, sitting.second_broody)
            if broody is not None
            for each in view.year.conditions_of.get(broody, ())
            if _began_with(each, sitting)
        )
        ended = Correct(over, tuple(replace(each, until=view.today) for each in over))
        return Together((closed, ended) if over else (closed,), title)

    def withdraw(self) -> None:
        """Take a sitting entered by mistake out of the book with everything told of it."""
        self.context.questions.choose(
            _("Take the sitting out of the book?"),
            _(
                "For a sitting entered by mistake. Its eggs, candlings and log go with it; Undo brings them back."
            ),
            (_("Take it out"),),
            lambda _verb: self._withdraw_now(),
        )

    def _withdraw_now(self) -> None:
        view, sitting = self._view, self._sitting
        if view is None or sitting is None:
            return
        year, batches = view.year, view.batches(sitting)
        told = (year.mixed_into, year.pairs_of, year.candlings_of, year.fates_of)
        rows = [row for batch in batches for kind in told for row in kind.get(batch.id, ())]
        readings = year.readings_of.get(sitting.id, ())
        apply_foreseen(self.context, Withdraw((*rows, *readings, *batches, sitting)), self)

    def _chick_deeds(self) -> tuple[QPushButton, ...]:
        self._rear = link(_("sexes and marks"), self.rear)
        self._rear.setObjectName("ask_rearing")
        self._lose = link(_("what became of the selected"), self.lose)
        self._lose.setObjectName("ask_losses")
        return self._rear, self._lose

    def _chick_table(self) -> Table:
        columns: tuple[Column[Bird], ...] = (
            Column(
                "bird",
                _("Chick"),
                lambda bird: bird.called,
                width=22,
                paint=Paint.BIRD,
                bird=lambda bird: bird,
            ),
            Column("sex", _("Sex"), lambda bird: sex_word(bird.sex), width=12),
            Column("colour", _("Colour"), lambda bird: bird.colour, width=10),
            Column("batch", _("Eggs of"), self._batch_of, width=18),
            Column("status", _("Status"), lambda bird: status_word(bird.status), width=10),
        )
        made = Table(RowsModel(columns, identity=lambda bird: bird.id), "sitting_chicks")
        made.setAccessibleName(_("Chicks of the sitting"))
        made.setFixedHeight(length(230))
        made.row_asked.connect(lambda bird: self.bird_asked.emit(str(bird.id)))
        return made

    def _batch_of(self, bird: Bird) -> str:
        if self._view is None:
            return ""
        batch = self._view.year.batches[self._view.year.batch_of[bird.id]]
        return self._view.batch_called(batch)

    def _show_chicks(self, view: View, sitting: Sitting) -> None:
        birds = [
            view.birds[bird]
            for batch in view.batches(sitting)
            for bird in view.year.birds_of.get(batch.id, ())
            if bird in view.birds
        ]
        self.chicks.rows.set_rows(birds)
        for widget in (self._chicks_heading, self.chicks):
            widget.setVisible(bool(birds))
        for deed in (self._rear, self._lose):
            deed.setVisible(self._can_edit)

    def rear(self) -> None:
        """Ask for sexes and marks of the living chicks."""
        living = tuple(bird for bird in self.chicks.rows.shown if bird.is_living)
        if self._view is not None and living:
            RearingDialog(self.context, self._view, living, self.window()).begin()

    def lose(self) -> None:
        """Ask what became of the selected chicks."""
        if self._view is None:
            return
        if not self.chicks.selected:
            self.context.say(_("Select the chicks in the table first."))
            return
        StatusDialog(self.context, self._view.snapshot, self.chicks.selected, self.window()).ask()

    def _show_log(self, view: View, sitting: Sitting) -> None:
        losses = {each.reading.id: each.loss for each in weighings(view.year, sitting)}
        lines: list[str] = []
        for reading in reversed(view.year.readings_of.get(sitting.id, ())):
            lines.append(_log_line(reading))
            loss = losses.get(reading.id)
            if loss is not None:
                lines.append(loss_sentence(loss, percent_text))
        if sitting.parted is not None:
            lines.insert(0, _("Parted into compartments on {day}.").format(day=day_text(sitting.parted)))
        if sitting.note:
            lines.append(sitting.note)
        self.log.setText("\n".join(lines))
        for widget in (self._log_heading, self.log):
            widget.setVisible(bool(lines))


def _began_with(condition: Condition, sitting: Sitting) -> bool:
    return (
        condition.kind is ConditionKind.BROODY
        and condition.until is None
        and condition.since == sitting.set_on
    )


def _log_line(reading: Reading) -> str:
    def figure(value: float, decimals: int) -> str:
        return QLocale().toString(value, "f", decimals)

    when = " ".join(part for part in (day_text(reading.on), reading.at) if part)
    parts = []
    if reading.temperature is not None:
        parts.append(_("{value} °C").format(value=figure(reading.temperature, 1)))
    if reading.humidity is not None:
        parts.append(_("{value} % humidity").format(value=figure(reading.humidity, 0)))
    if reading.weight is not None and reading.weighed:
        text = plural("{count} egg weighs {value} g", "{count} eggs weigh {value} g", reading.weighed)
        parts.append(text.format(count=reading.weighed, value=figure(reading.weight, 1)))
    if reading.note:
        parts.append(reading.note)
    return _("{when}: {what}").format(when=when, what=listed(parts))
