"""The list of the birds: filters above, the table, what can be done with the chosen ones below."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtWidgets import QMenu, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.records import Bird, BirdId, Snapshot, StoredFigures
from studbook.desk.context import Context
from studbook.desk.deeds.several import MarkDialog, StatusDialog, StrikeOutDialog, restore
from studbook.desk.kin import Kin
from studbook.desk.rooms.birds.columns import Facts, Figures, bird_columns
from studbook.desk.rooms.birds.filters import Filter, FilterBar, Standing
from studbook.desk.rooms.birds.index import BirdIndex
from studbook.desk.rooms.birds.model import BirdsModel
from studbook.desk.table_paper import TablePaper, print_table
from studbook.desk.tables import Table
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.flow import Flow
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import day_text, number_text
from studbook.desk.work import Progress
from studbook.words import _, plural

_TEXT_SIZE = "birds/text_size"
_LARGE = 20_000
"""A book of more birds is looked up and sorted on a worker: the window would stand still."""
_FIGURES = ("inbreeding", "generations")
"""The columns whose values a worker finds."""


class BirdsTable(QWidget):
    """Every bird of the book in a table one can search, filter, sort, and act on.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    current_moved
        The keyboard is on another bird (str, its BirdId).
    """

    bird_asked = Signal(str)
    current_moved = Signal(str)

    def __init__(self, context: Context, *buttons: QWidget) -> None:
        super().__init__()
        self.context = context
        self.facts = Facts.none()
        self._is_begun = False
        self._tickets: dict[str, int] = {}
        self._is_waiting = False
        self._then_select: BirdId | None = None
        self._text_size = length(100)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1.5))
        head = Flow(gap=1.5)
        head.addWidget(label(_("Birds"), Role.TITLE))
        for each in buttons:
            head.addWidget(each)
        column.addLayout(head)
        self.filters = FilterBar()
        self.filters.changed.connect(self._filter)
        self.filters.down_asked.connect(self._go_down)
        column.addWidget(self.filters)
        self.model = BirdsModel(bird_columns(self.facts), parent=self)
        self.model.order_wanted.connect(self._find_order)
        self.table = Table(self.model, "birds")
        self.table.setAccessibleName(_("Birds"))
        self.table.horizontalHeader().setStretchLastSection(False)
        self.table.row_asked.connect(lambda bird: self.bird_asked.emit(str(bird.id)))
        self.table.selection_changed.connect(self._count)
        self.table.selectionModel().currentRowChanged.connect(self._moved)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.table.customContextMenuRequested.connect(self._ask_menu)
        self._nobody = label("", Role.FAINT, wraps=True)
        self._nobody.setObjectName("nobody")
        self._nobody.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._look_wider = button(_("Look among all birds"), self.filters.widen)
        self._look_wider.setObjectName("look_wider")
        nothing = QWidget()
        nothing_column = QVBoxLayout(nothing)
        nothing_column.addStretch(1)
        nothing_column.addWidget(self._nobody)
        nothing_column.addWidget(self._look_wider, 0, Qt.AlignmentFlag.AlignHCenter)
        nothing_column.addStretch(2)
        self._stack = QStackedWidget()
        self._stack.addWidget(self.table)
        self._stack.addWidget(nothing)
        column.addWidget(self._stack, 1)
        column.addLayout(self._foot())
        self.model.shown_changed.connect(self._count)
        self._count()

    def show_snapshot(self, snapshot: Snapshot, kin: Kin) -> None:
        """Show the birds as they are now; F follows from a worker, of a large book the birds do too."""
        self._cancel("figures")
        if not self._is_begun:
            self._is_begun = True
            self._begin(len(snapshot.birds))
        before, sorting, today = self.model.index_of_birds, self.model.sorting, self.context.today

        def made() -> BirdIndex:
            index = BirdIndex(snapshot, today, before)
            index.order(sorting)
            return index

        if len(snapshot.birds) <= _LARGE:
            self._show_index(made(), kin)
            return

        def work(_progress: Progress) -> BirdIndex:
            index = made()
            index.prepare()
            return index

        self._is_waiting = True
        self._tickets["birds"] = self.context.workers.run(
            work, lambda index: self._show_index(index, kin), key="birds index"
        )

    def go_to(self, bird: BirdId) -> None:
        """Go to a bird and select it, once it is there."""
        self._then_select = bird if self._is_waiting else None
        self.table.select(bird)

    def _show_index(self, index: BirdIndex, kin: Kin) -> None:
        self._is_waiting = False
        snapshot = index.snapshot
        self.facts.snapshot, self.facts.today, self.facts.figures = snapshot, self.context.today, None
        self.filters.offer(index.years, index.breeds)
        self.model.show_index(index, self.filters.filter)
        if self._then_select is not None:
            bird, self._then_select = self._then_select, None
            self.table.select(bird)

        def work(_progress: Progress) -> tuple[Figures, StoredFigures | None]:
            relatedness = kin.convention
            figures = Figures(tuple(relatedness.inbreeding.tolist()), tuple(relatedness.generations.tolist()))
            return figures, relatedness.figures_to_store()

        self._tickets["figures"] = self.context.workers.run(work, self._take_figures, key="birds figures")

    def save_state(self) -> None:
        """Keep the columns, and for which text size they are as wide as they are."""
        self.table.save_state(self.context.settings)
        self.context.settings.setValue(_TEXT_SIZE, self._text_size)

    def leave(self) -> None:
        """The window closes: nothing is wanted any more."""
        for job in tuple(self._tickets):
            self._cancel(job)

    def _cancel(self, job: str) -> None:
        if job in self._tickets:
            self.context.workers.cancel(self._tickets.pop(job))

    @property
    def chosen(self) -> tuple[Bird, ...]:
        """The selected birds, from top to bottom."""
        return self.table.selected

    def change_status(self) -> None:
        """Ask what became of the chosen birds."""
        if self.chosen:
            StatusDialog(self.context, self.facts.snapshot, self.chosen, self.window()).ask()

    def add_mark(self) -> None:
        """Ask for a mark for the chosen birds."""
        if self.chosen:
            MarkDialog(self.context, self.facts.snapshot, self.chosen, self.window()).ask()

    def strike_out(self) -> None:
        """Ask why the chosen birds are to be struck out, or restore those that are."""
        struck = [bird for bird in self.chosen if bird.struck is not None]
        if struck:
            restore(self.context, struck)
        elif self.chosen:
            StrikeOutDialog(self.context, self.chosen, self.window()).ask()

    def export(self) -> None:
        """Ask where to write what is shown, as it is shown."""
        book = self.context.record.open_book
        folder = book.path.parent if book is not None else Path.home()
        proposed = folder / _("birds.csv")
        self.context.questions.file_to_save(
            _("Export the birds shown"), _("Lists (*.csv)"), proposed, self._export_to
        )

    def print_list(self) -> None:
        """Show on paper what is shown, as it is shown."""
        details = self.facts.snapshot.details
        remark = ", ".join(
            part
            for part in (details.yard or details.keeper, day_text(self.facts.today), self.count.text())
            if part
        )
        paper = TablePaper(_("Birds"), remark, self.table.shown_as_columns(), self.model.shown)
        print_table(self.window(), paper)

    def select_all(self) -> None:
        """Choose every bird that is shown."""
        self.table.selectAll()
        self.table.setFocus()

    def menu(self) -> QMenu:
        """What can be done with the chosen birds."""
        menu = QMenu(self)
        menu.setAccessibleName(_("Chosen birds"))
        some = bool(self.chosen)
        struck = any(bird.struck is not None for bird in self.chosen)
        if len(self.chosen) == 1 and not struck:
            opened = menu.addAction(_("Open the page"))
            opened.triggered.connect(lambda: self.bird_asked.emit(str(self.chosen[0].id)))
            menu.addSeparator()
        for words, run, enabled in (
            (_("Change status…"), self.change_status, some and not struck),
            (_("Add a mark…"), self.add_mark, some and not struck),
            (_("Restore to the book") if struck else _("Strike out…"), self.strike_out, some),
        ):
            action = menu.addAction(words)
            action.triggered.connect(run)
            action.setEnabled(enabled)
        menu.addSeparator()
        copy = menu.addAction(_("Copy"))
        copy.triggered.connect(self.table.copy)
        copy.setEnabled(some)
        menu.addAction(_("Choose all")).triggered.connect(self.select_all)
        menu.addAction(_("Export what is shown…")).triggered.connect(self.export)
        return menu

    def _foot(self) -> Flow:
        self.count = self.filters.remark
        self.count.setObjectName("birds_count")
        self._status = link(_("Change status…"), self.change_status)
        self._status.setObjectName("change_status")
        self._mark = link(_("Add a mark…"), self.add_mark)
        self._mark.setObjectName("add_mark")
        self._strike = link(_("Strike out…"), self.strike_out)
        self._strike.setObjectName("strike_out")
        columns = link(_("Columns…"), self._ask_columns)
        columns.setObjectName("choose_columns")
        self._columns = columns
        export = link(_("Export…"), self.export)
        export.setObjectName("export_birds")
        printed = link(_("Print…"), self.print_list)
        printed.setObjectName("print_birds")
        flow = Flow(gap=1.5)
        for widget in (self._status, self._mark, self._strike, columns, export, printed):
            flow.addWidget(widget)
        return flow

    def _ask_columns(self) -> None:
        menu = self.table.column_menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self._columns.mapToGlobal(QPoint(0, self._columns.height())))

    def _ask_menu(self, at: QPoint) -> None:
        menu = self.menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.table.viewport().mapToGlobal(at))

    def _begin(self, birds: int) -> None:
        """Take back the columns there were, else sort by mark; a very large book stays in its own order."""
        if self.context.settings.value(_TEXT_SIZE, 0, int) == length(100):
            self.table.restore_state(self.context.settings)
        elif birds <= _LARGE:
            self.table.sortByColumn(0, Qt.SortOrder.AscendingOrder)

    def _take_figures(self, found: tuple[Figures, StoredFigures | None]) -> None:
        self._tickets.pop("figures", None)
        self.facts.figures, to_store = found
        self.context.record.keep_figures(to_store)
        index, sorting = self.model.index_of_birds, self.model.sorting
        changed = [number for number, column in enumerate(self.model.columns) if column.key in _FIGURES]
        if index is not None:
            index.take_figures(self.facts.figures, changed)
        if sorting is not None and sorting[0] in changed:
            self.model.sort(*sorting)
        last = self.model.rowCount() - 1
        if last >= 0:
            for number in changed:
                self.model.dataChanged.emit(self.model.index(0, number), self.model.index(last, number))

    def _find_order(self) -> None:
        """Sort the birds as the header asks, and show them so."""
        index, sorting = self.model.index_of_birds, self.model.sorting
        if index is None or sorting is None:
            return

        def show(_order: list[int]) -> None:
            if self.model.index_of_birds is index and self.model.sorting == sorting:
                self.model.sort(*sorting)

        if len(index.rows) <= _LARGE:
            show(index.order(sorting))
            return
        self._tickets["order"] = self.context.workers.run(
            lambda _progress: index.order(sorting), show, key="birds order"
        )

    def _filter(self) -> None:
        self.model.show_only(self.filters.filter)

    def _count(self) -> None:
        shown = self.model.rowCount()
        selection = self.table.selectionModel().selection()
        chosen = sum(selection.at(block).height() for block in range(selection.count()))
        index = self.model.index_of_birds
        birds = index.birds if index is not None else 0
        text = plural("{count} bird, {shown} shown", "{count} birds, {shown} shown", birds).format(
            count=number_text(birds), shown=number_text(shown)
        )
        if chosen > 1:
            text = _("{text}, {chosen} chosen").format(text=text, chosen=number_text(chosen))
        self.count.setText(text)
        struck = self.model.wanted.standing is Standing.STRUCK
        self._status.setEnabled(bool(chosen) and not struck)
        self._mark.setEnabled(bool(chosen) and not struck)
        self._strike.setEnabled(bool(chosen))
        self._strike.setText(_("Restore") if struck else _("Strike out…"))
        self._show_nothing(shown)

    def _show_nothing(self, shown: int) -> None:
        """In place of an empty table, say why and how many there are elsewhere."""
        if shown:
            self._stack.setCurrentIndex(0)
            return
        index, wanted = self.model.index_of_birds, self.model.wanted
        if index is None:
            self._look_wider.hide()
            self._nobody.setText(_("Looking up the birds…"))
            self._stack.setCurrentIndex(1)
            return
        wide = Filter(standing=Standing.ALL, words=wanted.words)
        elsewhere = len(index.places(wide, range(len(index.rows))))
        is_narrow = wanted.standing is not Standing.ALL or wanted.narrowed > 0
        self._look_wider.setVisible(bool(elsewhere) and is_narrow)
        if elsewhere and is_narrow:
            text = plural(
                "No bird here fits. Among all birds of the book {count} does.",
                "No bird here fits. Among all birds of the book {count} do.",
                elsewhere,
            ).format(count=number_text(elsewhere))
        else:
            text = _("No bird of the book fits.")
        self._nobody.setText(text)
        self._stack.setCurrentIndex(1)

    def _go_down(self) -> None:
        if self.model.rowCount():
            self.table.setFocus()
            if self.table.current is None or not self.chosen:
                self.table.select(self.model.shown[0].id)

    def _moved(self) -> None:
        current = self.table.current
        if current is not None and current.struck is None:
            self.current_moved.emit(str(current.id))

    def _export_to(self, path: Path) -> None:
        try:
            self.table.export(path)
        except OSError as error:
            self.context.questions.tell(
                _("The list was not written"),
                _("{file} cannot be written: {reason}.").format(file=path.name, reason=error.strerror),
            )
            return
        rows = self.model.rowCount()
        text = plural("Wrote {count} bird to {file}.", "Wrote {count} birds to {file}.", rows)
        self.context.say(text.format(count=number_text(rows), file=path.name))

    def minimumSizeHint(self) -> QSize:
        return QSize(space(30), super().minimumSizeHint().height())


def empty_room(
    add: Callable[[], None], hatch: Callable[[], None], import_list: Callable[[], None]
) -> EmptyState:
    """What a book without birds shows."""
    return EmptyState(
        "bird",
        _("No bird in the book yet"),
        _(
            "Here every bird of the flock will stand with its mark, parents and whereabouts. Begin with the "
            "birds you bought or have always had; their chicks follow."
        ),
        (_("Add your first birds"), add),
        (_("Register hatchlings"), hatch),
        (_("Import a list"), import_list),
    )
