"""The details of the book, each kept as soon as one leaves its field."""

from dataclasses import replace

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from studbook.book.changes import EditDetails
from studbook.book.records import BookDetails, Snapshot
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.text import label
from studbook.season.species import all_species
from studbook.words import _


class DetailsPage(QScrollArea):
    """Keeper, yard, address, registration and what the book usually records."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._details: BookDetails | None = None
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, space(3), 0, space(2))
        column.setSpacing(space(2))
        self._form = Form(2)
        self._form.setMaximumWidth(length(760))
        self._lines = {
            "keeper": self._form.add_line("keeper", _("Keeper"), hint=_("As it stands on certificates.")),
            "yard": self._form.add_line("yard", _("Yard")),
            "flock_registration": self._form.add_line(
                "flock_registration",
                _("Flock registration number"),
                hint=_("Where the law asks for one; your authority gives it."),
            ),
            "breed": self._form.add_line("breed", _("Usual breed"), hint=_("Filled in for new birds.")),
        }
        kinds = ((_(kind.name), kind.code) for kind in all_species().values())
        self._species = self._form.add_choice("species", _("Usual species"), kinds)
        self._address = self._form.add_text("address", _("Address"))
        for line in self._lines.values():
            line.editingFinished.connect(self._keep)
        self._species.activated.connect(lambda: self._keep())
        self._address.installEventFilter(self)
        column.addWidget(self._form)
        self._file = label("", Role.SMALL, wraps=True)
        column.addWidget(self._file)
        column.addStretch(1)
        self.setWidget(page)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Show the details as they are in the book."""
        self._details = details = snapshot.details
        for key, line in self._lines.items():
            if line.text() != getattr(details, key):
                line.setText(getattr(details, key))
        self._species.setCurrentIndex(self._species.findData(details.species))
        if self._address.toPlainText() != details.address:
            self._address.setPlainText(details.address)
        self._form.show_problems(())
        book = self._context.record.open_book
        if book is not None:
            kept = _("Kept in {file}. Every change is saved at once.")
            self._file.setText(kept.format(file=book.path))

    def _keep(self) -> None:
        before = self._details
        if before is None:
            return
        after = replace(
            before,
            keeper=self._lines["keeper"].text().strip(),
            yard=self._lines["yard"].text().strip(),
            flock_registration=self._lines["flock_registration"].text().strip(),
            breed=self._lines["breed"].text().strip(),
            species=self._species.currentData(),
            address=self._address.toPlainText().strip(),
        )
        if after != before:
            self._context.record.apply(EditDetails(before, after), refused=self._form.show_problems)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._address and event.type() == QEvent.Type.FocusOut:
            self._keep()
        return super().eventFilter(watched, event)
