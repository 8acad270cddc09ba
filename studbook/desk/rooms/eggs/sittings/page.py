"""Sittings: what is under way, how is it going, and from hatched eggs to chicks in the book."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from studbook.book.ids import BatchId, SittingId
from studbook.book.records import Snapshot
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.desk.kin import Kin
from studbook.desk.page import Page
from studbook.desk.rooms.eggs.sittings.lines import SittingLines
from studbook.desk.rooms.eggs.sittings.reference import ReferencePage
from studbook.desk.rooms.eggs.sittings.registering import RegisterForm
from studbook.desk.rooms.eggs.sittings.setting import SetEggsDialog
from studbook.desk.rooms.eggs.sittings.sheet import SittingSheet
from studbook.desk.rooms.eggs.sittings.view import View
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.text import button, label, link
from studbook.words import _, plural

_NARROW = 820


class SittingsPage(Page):
    """The list of sittings and the one that is open beside it, or in its place where there is little room."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "sittings_page")
        self._view: View | None = None
        self._opened: SittingId | None = None
        self._form: RegisterForm | None = None
        self._reference: ReferencePage | None = None
        whole = QVBoxLayout(self.content)
        whole.setContentsMargins(0, space(1), 0, 0)
        self._stack_of_forms = QStackedWidget()
        whole.addWidget(self._stack_of_forms)
        self._browse = QWidget()
        self._stack_of_forms.addWidget(self._browse)
        column = QVBoxLayout(self._browse)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(1))
        top = QHBoxLayout()
        self.summary = label("", Role.FAINT, wraps=True)
        self.summary.setObjectName("sittings_summary")
        top.addWidget(self.summary, 1)
        reference = link(_("what eggs need"), self.show_reference)
        reference.setObjectName("ask_reference")
        top.addWidget(reference)
        self._set = button(_("Set eggs…"), self.set_eggs, primary=True)
        self._set.setObjectName("ask_set_eggs")
        top.addWidget(self._set)
        column.addLayout(top)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setChildrenCollapsible(False)
        self.lines = SittingLines()
        self.lines.setMinimumWidth(length(240))
        self.lines.opened.connect(lambda sitting: self.open_sitting(SittingId(sitting)))
        self.sheet = SittingSheet(context)
        self.sheet.closed.connect(self.close_sitting)
        self.sheet.bird_asked.connect(self.bird_asked)
        self.sheet.register_asked.connect(lambda batch: self.register(BatchId(batch)))
        self.split.addWidget(self.lines)
        self.split.addWidget(self.sheet)
        self.split.setStretchFactor(0, 4)
        self.split.setStretchFactor(1, 9)
        self.split.setSizes([length(330), length(760)])
        column.addWidget(self.split, 1)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the sittings of the book as it is now."""
        view = View(snapshot, self.context.today)
        added = set(view.year.sittings) - set(self._view.year.sittings) if self._view is not None else set()
        self._view = view
        self._set.setVisible(self._can_edit())
        if self._form is not None:
            if self._form.batch in view.year.batches:
                self._form.show_snapshot(Kin(snapshot))
            else:
                self._close_form()
        if not view.year.sittings:
            self._opened = None
            self._close_form()
            self.show_missing(
                EmptyState(
                    "egg",
                    _("No eggs are set yet"),
                    _(
                        "Set eggs under a broody or in a machine: the program tells the days of candling, lockdown and "
                        "hatch, and whose each egg is."
                    ),
                    (_("Set eggs…"), self.set_eggs) if self._can_edit() else None,
                    (_("What eggs need"), self.show_reference),
                )
            )
            return
        self.show_content()
        if self._opened not in view.year.sittings:
            self._opened = None
        if len(added) == 1:
            # what was set just now is what one goes on with
            self._opened = added.pop()
        if self._opened is None and not self.is_narrow:
            self._opened = (view.open or view.past)[0].id
        self.lines.show_view(view, self._opened)
        self._show_summary(view)
        self._show_opened()

    def actions_here(self) -> tuple[Action, ...]:
        return (
            Action(
                "eggs.set",
                _("&Set eggs…"),
                self.set_eggs,
                Menu.BIRDS,
                ("Ctrl+Shift+E",),
                enabled=self._can_edit,
                icon="egg",
            ),
            Action("eggs.reference", _("&What eggs need"), self.show_reference, Menu.HELP),
        )

    def leave(self) -> None:
        self._close_form()

    def _can_edit(self) -> bool:
        book = self.context.record.open_book
        return book is not None and not book.read_only

    @property
    def opened(self) -> SittingId | None:
        """The sitting that is open."""
        return self._opened

    @property
    def is_narrow(self) -> bool:
        """True where there is no room for list and sitting beside each other."""
        return self.width() < length(_NARROW)

    def set_eggs(self) -> None:
        """Ask for a new sitting."""
        if self._view is not None:
            dialog = SetEggsDialog(self.context, self._view, self.window())
            dialog.ask()
            dialog.begin()

    def open_sitting(self, sitting: SittingId) -> None:
        """Open a sitting."""
        if self._view is None or sitting not in self._view.year.sittings:
            return
        self._opened = sitting
        self._show_opened()

    def close_sitting(self) -> None:
        """Go back to the list."""
        if self.is_narrow:
            self._opened = None
        self._show_opened()
        self.lines.setFocus()

    def register(self, batch_id: BatchId) -> None:
        """Open the form that registers the chicks of a batch."""
        view = self._view
        if view is None or batch_id not in view.year.batches:
            return
        self._close_form()
        form = RegisterForm(self.context, view, view.year.batches[batch_id])
        form.closed.connect(self._close_form)
        form.birds_asked.connect(self.birds_asked)
        self._form = form
        self._stack_of_forms.addWidget(form)
        self._stack_of_forms.setCurrentWidget(form)
        form.begin()

    def show_reference(self) -> None:
        """Show the incubation table."""
        self.show_content()
        if self._reference is None:
            self._reference = ReferencePage()
            self._reference.closed.connect(self._close_reference)
            self._stack_of_forms.addWidget(self._reference)
        self._stack_of_forms.setCurrentWidget(self._reference)
        self._reference.table.setFocus()

    def _close_reference(self) -> None:
        self._stack_of_forms.setCurrentWidget(self._browse)
        if self._view is not None:
            self.show_snapshot(self._view.snapshot)

    def _close_form(self) -> None:
        """The form of registering goes; the list stands in its place again."""
        if self._form is not None:
            self._form.leave()
            self._stack_of_forms.removeWidget(self._form)
            self._form.deleteLater()
            self._form = None
        self._stack_of_forms.setCurrentWidget(self._browse)

    def _show_summary(self, view: View) -> None:
        eggs = sum(view.standing(sitting).count.left for sitting in view.open)
        waiting = sum(view.standing(sitting).count.unregistered for sitting in (*view.open, *view.past))
        sittings = plural("{count} sitting under way", "{count} sittings under way", len(view.open))
        said = _("{sittings}, {eggs} in all.").format(
            sittings=sittings.format(count=len(view.open)),
            eggs=plural("{count} egg", "{count} eggs", eggs).format(count=eggs),
        )
        if waiting:
            text = plural(
                "{count} chick hatched and is not in the book yet.",
                "{count} chicks hatched and are not in the book yet.",
                waiting,
            )
            said = _("{first} {second}").format(first=said, second=text.format(count=waiting))
        self.summary.setText(said)

    def _show_opened(self) -> None:
        view, narrow = self._view, self.is_narrow
        self.lines.follows = not narrow
        if view is None:
            return
        has_one = self._opened is not None
        if self._opened is not None:
            self.sheet.show_sitting(view.year.sittings[self._opened], view)
            self.lines.choose(self._opened)
        self.sheet.setVisible(has_one)
        self.lines.setVisible(not (narrow and has_one))
        self.sheet.back.setVisible(narrow)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        was_narrow = event.oldSize().width() < length(_NARROW)
        if self._view is not None and was_narrow != self.is_narrow and self._view.year.sittings:
            if not self.is_narrow and self._opened is None:
                self._opened = (self._view.open or self._view.past)[0].id
            self._show_opened()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._stack_of_forms.currentWidget() is self._reference:
            self._close_reference()
        elif event.key() == Qt.Key.Key_Escape and self.is_narrow and self._opened is not None:
            self.close_sitting()
        else:
            super().keyPressEvent(event)


def build_sittings(context: Context) -> Page:
    """The page."""
    return SittingsPage(context)
