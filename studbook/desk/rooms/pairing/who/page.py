"""The page Who may breed: each bird on one line, what speaks for and against it beside, and the best set to keep."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QPoint, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QButtonGroup,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QMenu,
    QScrollArea,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from studbook.book.errors import Problem
from studbook.book.husbandry.choosing_rows import Verdict
from studbook.book.records import BirdId, Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage
from studbook.desk.rooms.pairing.who.best_panel import BestPanel
from studbook.desk.rooms.pairing.who.columns import PARTING, columns
from studbook.desk.rooms.pairing.who.detail import Detail
from studbook.desk.rooms.pairing.who.marking import chosen_set, marked, reasoned
from studbook.desk.rooms.pairing.who.numbers import Numbers
from studbook.desk.table_paper import TablePaper, print_table
from studbook.desk.tables import RowsModel, Table
from studbook.desk.theme import Role, font, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label
from studbook.desk.widgets.unknown_switch import UnknownSwitch
from studbook.desk.wording import bird_text
from studbook.planning.bloodlines.report import Standing
from studbook.planning.breeders.lines import Line, Lines, with_choices
from studbook.planning.breeders.telling import last_copy_names, risk_names, summary
from studbook.planning.sentences import Sentence, plain
from studbook.words import _

if TYPE_CHECKING:
    from studbook.book.changes import Change
    from studbook.planning.breeders.lines import Flock

_BESIDE = 360
_NARROW = 980
_LEAST_TABLE = 260

Filter = tuple[str, Callable[[Line], bool]]


class BreederTable(Table):
    """The table of birds; one key marks those selected.

    Signals
    -------
    mark_asked
        The selected birds are to be marked (Verdict or None).
    """

    mark_asked = Signal(object)

    def fit_to_text(self) -> None:
        """Give the columns the widths of another text size, as when the table was made."""
        metrics = QFontMetricsF(font())
        for number, column in enumerate(self.rows.columns):
            least = metrics.horizontalAdvance(column.title) + space(4)
            wanted = metrics.averageCharWidth() * column.width + space(2)
            self.setColumnWidth(number, round(max(wanted, least)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        marks = {
            Qt.Key.Key_C: Verdict.CHOSEN,
            Qt.Key.Key_R: Verdict.RESERVE,
            Qt.Key.Key_N: Verdict.NO,
            Qt.Key.Key_Backspace: None,
        }
        key = Qt.Key(event.key())
        if event.modifiers() == Qt.KeyboardModifier.NoModifier and key in marks and self.selected:
            self.mark_asked.emit(marks[key])
        else:
            super().keyPressEvent(event)


class WhoPage(ChoosingPage):
    """Who may breed?"""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_who")
        self._choosing: Choosing | None = None
        self._numbers = Numbers()
        self._lines: Lines | None = None
        self._sought: BirdId | None = None
        self._ticket = 0
        self._model: RowsModel[Line] = RowsModel(
            columns(self._flock_now, self._risks_named, self._last_named), identity=lambda line: line.bird.id
        )
        self.table = BreederTable(self._model, "who_table")
        self._model.setParent(self.table)
        self.table.setAccessibleName(_("Birds that may breed"))
        self.table.restore_state(context.settings)
        self.table.selection_changed.connect(self._show_selected)
        self.table.row_asked.connect(lambda line: self.bird_asked.emit(str(line.bird.id)))
        self.table.mark_asked.connect(self.mark)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.table.customContextMenuRequested.connect(self._ask_menu)
        self.switch = UnknownSwitch("who")
        self.switch.changed.connect(self._ask)
        self.detail = Detail()
        self.detail.bird_asked.connect(self.bird_asked)
        self.detail.mark_asked.connect(self.mark)
        self.detail.reason_given.connect(self._note_reason)
        self.best = BestPanel(context, self._numbers)
        self.best.bird_asked.connect(self.bird_asked)
        self.best.choosing_asked.connect(self._choose_set)
        self._build()
        self._text_size = length(100)
        context.theme.changed.connect(self._dress)

    def _build(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        column.addLayout(self._head())
        column.addLayout(self._filters())
        self.summary = label("", wraps=True)
        self.summary.setObjectName("who_summary")
        column.addWidget(self.summary)
        self.table.setMinimumHeight(length(_LEAST_TABLE))
        column.addWidget(self.table, 1)
        keys = _(
            "C marks as chosen, R as reserve, N as no, Backspace takes the mark off; Enter opens the bird's page."
        )
        column.addWidget(label(keys, Role.SMALL, wraps=True))
        self._sides = QStackedWidget()
        for side in (self.detail, self.best):
            self._sides.addWidget(_scrolled(side))
        self._beside = QWidget()
        beside = QVBoxLayout(self._beside)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(space(1))
        beside.addLayout(self._side_switch())
        beside.addWidget(self._sides, 1)
        self._beside.setMinimumWidth(length(_BESIDE))
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, self.content)
        self._halves.setContentsMargins(0, space(1.5), 0, 0)
        self._halves.setSpacing(space(3))
        self._halves.addWidget(left, 2)
        self._halves.addWidget(self._beside, 1)

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1))
        row.addWidget(self.switch)
        row.addStretch(1)
        export = button(_("Export…"), self.export, icon="export")
        export.setObjectName("who_export")
        prints = button(_("Print…"), self.print_pages, icon="printer")
        prints.setObjectName("who_print")
        row.addWidget(export)
        row.addWidget(prints)
        return row

    def _filters(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(1))
        self._columns_shown = _box("who_columns", _("What is shown of each bird"))
        self._columns_shown.addItem(_("for and against"), False)
        self._columns_shown.addItem(_("keep or part"), True)
        self._columns_shown.currentIndexChanged.connect(lambda _index: self._show_columns())
        self._sexes = _box("who_sexes", _("Cocks or hens"))
        for words, fits in _sexes():
            self._sexes.addItem(words, fits)
        self._which = _box("who_which", _("Which birds"))
        for words, fits in _states():
            self._which.addItem(words, fits)
        for box in (self._sexes, self._which):
            box.currentIndexChanged.connect(lambda _index: self._filter())
        for box in (self._columns_shown, self._sexes, self._which):
            row.addWidget(box)
        row.addStretch(1)
        return row

    def _side_switch(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(space(0.5))
        group = QButtonGroup(self)
        self._side_buttons = []
        for place, (name, words) in enumerate(
            (("who_side_bird", _("One bird")), ("who_side_best", _("Best set to keep")))
        ):
            made = QToolButton()
            made.setObjectName(name)
            made.setText(words)
            made.setCheckable(True)
            made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            made.clicked.connect(lambda _on=False, place=place: self._turn_side(place))
            group.addButton(made)
            row.addWidget(made)
            self._side_buttons.append(made)
        self._side_buttons[0].setChecked(True)
        row.addStretch(1)
        return row

    @property
    def lines(self) -> Lines | None:
        """What is shown."""
        return self._lines

    @property
    def can_edit(self) -> bool:
        """Whether the book takes changes."""
        book = self.context.record.open_book
        return book is not None and not book.read_only

    def actions_here(self) -> tuple[Action, ...]:
        def has_birds() -> bool:
            return self._lines is not None and bool(self._lines.lines)

        def can_mark() -> bool:
            return self.can_edit and self.isVisible() and bool(self.table.selected)

        marks = (
            ("chosen", _("Mark as &chosen"), Verdict.CHOSEN),
            ("reserve", _("Keep in &reserve"), Verdict.RESERVE),
            ("no", _("Mark “&no”: not to breed"), Verdict.NO),
            ("none", _("&Take the mark off"), None),
        )
        return (
            *(
                Action(
                    f"who.{name}", words, lambda verdict=verdict: self.mark(verdict), Menu.BIRDS,  # type: ignore[misc]
                    enabled=can_mark, group=4,
                )
                for name, words, verdict in marks
            ),
            Action(
                "who.best", _("The &best set to keep"), lambda: self._turn_side(1), Menu.BIRDS, enabled=has_birds,
                group=4,
            ),
            Action(
                "who.export", _("E&xport who may breed…"), self.export, Menu.BIRDS, enabled=has_birds,
                icon="export", group=4,
            ),
            Action(
                "who.print", _("Print who &may breed…"), self.print_pages, Menu.BIRDS, enabled=has_birds,
                icon="printer", group=4,
            ),
        )  # fmt: skip

    def show_choosing(self, choosing: Choosing) -> None:
        another = self._choosing is None or self._choosing.species != choosing.species
        self._choosing = choosing
        if another:
            self._lines = None
        elif self._lines is not None:
            # what was marked stands there at once; the figures follow
            self._model.set_rows(with_choices(self._lines.lines, choosing.snapshot, choosing.season))
        self._ask()

    def show_bird(self, bird: BirdId) -> None:
        """Go to a bird, once its line is there."""
        self._sought = bird
        self._seek()

    def save_state(self) -> None:
        self.table.save_state(self.context.settings)

    def leave(self) -> None:
        self.context.workers.cancel(self._ticket)
        self.best.leave()

    def mark(self, verdict: Verdict | None) -> None:
        """Mark the selected birds for the season."""
        choosing, birds = self._choosing, self._selected_birds()
        if choosing is not None and birds and self.can_edit:
            self._apply(marked(choosing.snapshot, birds, verdict, choosing.season, self.context.today))
        if self.table.isVisible():
            self.table.setFocus()

    def export(self) -> None:
        """Write the table as it stands."""
        self.context.questions.file_to_save(
            _("Export who may breed"),
            _("Numbers (*.csv)"),
            Path.home() / f"{_('Who may breed')}.csv",
            self._write,
        )

    def print_pages(self) -> None:
        """Open the preview of the table."""
        if self._lines is not None:
            title = _("Who may breed in {season}").format(season=self._lines.season)
            remark = self.summary.text()
            print_table(self, TablePaper(title, remark, self.table.shown_as_columns(), self._model.shown))

    def _ask(self) -> None:
        choosing, numbers, cautious, today = (
            self._choosing, self._numbers, self.switch.is_cautious, self.context.today,
        )  # fmt: skip
        if choosing is None:
            return
        self._ticket = self.context.workers.run(
            lambda progress: numbers.lines(choosing, cautious, today, progress),
            self._show,
            key=("pairing", "who"),
        )

    def _show(self, found: Lines) -> None:
        choosing = self._choosing
        if choosing is None:
            return
        self._lines = found
        if not found.lines:
            self._model.set_rows(())
            self.show_missing(self._nothing(choosing.snapshot))
            return
        self.show_content()
        self._model.set_rows(found.lines)
        self.summary.setText(" ".join(_plain(sentence, choosing.snapshot) for sentence in summary(found)))
        self._seek()
        self.best.show_lines(choosing, found, can_edit=self.can_edit)
        self._show_selected()

    def _nothing(self, snapshot: Snapshot) -> EmptyState:
        text = _(
            "Here stands each grown bird with all that speaks for and against it: how rare its lines are, how "
            "inbred it is, how its eggs were fertile and hatched, what its chicks are; and what would go with it. "
            "You mark who is chosen, who is in reserve and who is not to breed."
        )
        heading = _("No grown bird yet") if snapshot.living else _("Nobody to choose from yet")
        return EmptyState(
            "list-checks", heading, text, (_("Go to the birds"), lambda: self.room_asked.emit("birds"))
        )

    def _seek(self) -> None:
        if self._sought is not None and self._lines is not None and self.table.select(self._sought):
            self._sought = None

    def _show_selected(self) -> None:
        choosing, lines = self._choosing, self._lines
        if choosing is None or lines is None:
            return
        shown = tuple(line for line in self.table.selected if choosing.snapshot.has(line.bird.id))
        self.detail.show_lines(shown, lines, choosing.snapshot, can_edit=self.can_edit)

    def _turn_side(self, place: int) -> None:
        self._side_buttons[place].setChecked(True)
        self._sides.setCurrentIndex(place)
        area = self._stack.widget(0)
        if isinstance(area, QScrollArea):
            # on a narrow window it stands below
            area.ensureWidgetVisible(self._beside)

    def _show_columns(self) -> None:
        """The other list of columns; each keeps its own widths and choice."""
        parting = bool(self._columns_shown.currentData())
        self.table.save_state(self.context.settings)
        self.table.setObjectName("who_parting" if parting else "who_table")
        for number, column in enumerate(self._model.columns):
            self.table.setColumnHidden(number, column.key not in PARTING if parting else not column.shown)
        self.table.restore_state(self.context.settings)

    def _dress(self) -> None:
        """Another text size needs other widths; another colour needs nothing."""
        if length(100) != self._text_size:
            self._text_size = length(100)
            self.table.fit_to_text()

    def _filter(self) -> None:
        of_sex, of_state = self._sexes.currentData(), self._which.currentData()
        self._model.set_filter(lambda line: of_sex(line) and of_state(line))
        self._show_selected()

    def _selected_birds(self) -> tuple[BirdId, ...]:
        return tuple(line.bird.id for line in self.table.selected)

    def _note_reason(self, reason: str, birds: Sequence[BirdId]) -> None:
        choosing = self._choosing
        if choosing is not None and self.can_edit:
            self._apply(reasoned(choosing.snapshot, birds, choosing.season, reason))

    def _choose_set(self, birds: Sequence[BirdId]) -> None:
        choosing, lines = self._choosing, self._lines
        if choosing is None or lines is None or not self.can_edit:
            return
        others = [line.bird.id for line in lines.lines]
        change = chosen_set(choosing.snapshot, birds, others, choosing.season, self.context.today)
        if change is None:
            self.context.say(_("These are marked as chosen already."))
        self._apply(change)

    def _apply(self, change: Change | None) -> None:
        if change is not None:
            self.context.record.apply(change, refused=self._refused)

    def _refused(self, problems: tuple[Problem, ...]) -> None:
        text = "\n".join(problem.message for problem in problems)
        self.context.questions.tell(_("The mark is not saved"), text)

    def _ask_menu(self, at: QPoint) -> None:
        if not self.table.selected:
            return
        menu = QMenu(self)
        menu.setObjectName("who_menu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if self.can_edit:
            for words, verdict in (
                (_("Mark as chosen"), Verdict.CHOSEN),
                (_("Keep in reserve"), Verdict.RESERVE),
                (_("Mark “no”: not to breed"), Verdict.NO),
                (_("Take the mark off"), None),
            ):
                menu.addAction(words, lambda verdict=verdict: self.mark(verdict))  # type: ignore[misc]
            menu.addSeparator()
        menu.addAction(_("Open the page of the bird"), self._open_current)
        menu.popup(self.table.viewport().mapToGlobal(at))

    def _open_current(self) -> None:
        if self.table.current is not None:
            self.bird_asked.emit(str(self.table.current.bird.id))

    def _write(self, path: Path) -> None:
        try:
            self.table.export(path)
        except OSError as error:
            reason = _("{file} could not be written: {reason}.").format(file=path, reason=error.strerror)
            self.context.questions.tell(_("The table is not written"), reason)
        else:
            self.context.say(_("Wrote the table to {file}.").format(file=path.name))

    def _flock_now(self) -> Flock | None:
        return self._lines.flock if self._lines is not None else None

    def _risks_named(self, line: Line) -> str:
        return self._named(risk_names, line)

    def _last_named(self, line: Line) -> str:
        return self._named(last_copy_names, line)

    def _named(self, names: Callable[[Line, Snapshot], Sentence], line: Line) -> str:
        choosing = self._choosing
        return _plain(names(line, choosing.snapshot), choosing.snapshot) if choosing is not None else ""

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_NARROW)
        directions = QBoxLayout.Direction
        self._halves.setDirection(directions.TopToBottom if narrow else directions.LeftToRight)
        self._beside.setMinimumHeight(length(_LEAST_TABLE * 2) if narrow else 0)


def _plain(sentence: Sentence, snapshot: Snapshot) -> str:
    def called(bird: BirdId) -> str:
        return bird_text(snapshot.bird(bird))

    return plain(sentence, called, lambda number, places: QLocale().toString(number, "f", places))


def _scrolled(inner: QWidget) -> QScrollArea:
    area = QScrollArea()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(inner)
    return area


def _box(name: str, spoken: str) -> QComboBox:
    made = QComboBox()
    made.setObjectName(name)
    made.setAccessibleName(spoken)
    made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
    return made


def _sexes() -> tuple[Filter, ...]:
    return (
        (_("cocks and hens"), lambda line: True),
        (_("cocks"), lambda line: line.is_cock),
        (_("hens"), lambda line: not line.is_cock),
    )


def _states() -> tuple[Filter, ...]:
    return (
        (_("all"), lambda line: True),
        (_("not marked yet"), lambda line: line.verdict is None),
        (_("chosen"), lambda line: line.verdict is Verdict.CHOSEN),
        (_("in reserve"), lambda line: line.verdict is Verdict.RESERVE),
        (_("marked “no”"), lambda line: line.verdict is Verdict.NO),
        (_("apart"), lambda line: line.apart is not None),
        (_("fertility not proven"), lambda line: not line.is_tested),
        (_("carrying what is rare"), lambda line: line.standing is Standing.RARE),
        (_("only looking rare"), lambda line: line.standing is Standing.LOOKS_RARE),
        (_("carrying founders at risk"), lambda line: bool(line.at_risk)),
        (_("last copy of a founder"), lambda line: bool(line.parting.last_of)),
        (_("young"), lambda line: not line.is_grown),
    )
