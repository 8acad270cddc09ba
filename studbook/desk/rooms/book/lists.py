"""Lists in and out: choose a file, answer what only the keeper knows, see what it would do, import it."""

from pathlib import Path

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from studbook.book.changes.importing import ImportBirds
from studbook.book.clock import new_uuid
from studbook.book.errors import BookUnusable, Problem
from studbook.book.export import export_csv
from studbook.book.importing.plan import ImportPlan
from studbook.book.importing.planning import read_list
from studbook.book.records import Entry, Snapshot
from studbook.desk.context import Context
from studbook.desk.rooms.book.preview import ImportPreview
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.work import Progress
from studbook.words import _, plural


class ListsPage(QWidget):
    """Import with preview, and export of all birds."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._path: Path | None = None
        self._snapshot: Snapshot | None = None
        self._pages = QStackedWidget()
        self._begin = EmptyState(
            "download-simple",
            _("Bring in a list"),
            _(
                "A spreadsheet or CSV file with a line for each bird: its mark or name, sex, hatch date, sire and "
                "dam, in any order. You see what it would do before anything is saved. A file can also be dropped "
                "onto the window."
            ),
            (_("Choose a list…"), self.ask),
            (_("Export all birds…"), self.export),
        )
        self._preview = ImportPreview()
        self._preview.replied.connect(self._reread)
        self._preview.accepted.connect(self._import)
        self._preview.left.connect(self._leave)
        self._preview.other_asked.connect(self.ask)
        self._pages.addWidget(self._begin)
        self._pages.addWidget(self._preview)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._pages)

    def show_snapshot(self, snapshot: Snapshot) -> None:
        """Read the list again when the book it was compared with has changed."""
        self._snapshot = snapshot
        if self._path is not None:
            self._reread()

    def ask(self) -> None:
        """Ask which list to read."""
        kinds = _("Lists of birds (*.csv *.txt *.tsv *.xlsx)")
        self._context.questions.file_to_open(_("Import a list"), kinds, lambda path: self.read(str(path)))

    def read(self, path: str) -> None:
        """Read a list and show what importing it would do."""
        self._path = Path(path)
        self._preview.begin(self._path.name)
        self._pages.setCurrentWidget(self._preview)
        self._reread()

    def export(self) -> None:
        """Write all birds to a file the keeper chooses."""
        snapshot, book = self._snapshot, self._context.record.open_book
        if snapshot is None or book is None:
            return

        def write(path: Path) -> None:
            def job(_progress: Progress) -> None:
                export_csv(snapshot, path)

            count = len(snapshot.birds)
            words = plural("Wrote {count} bird to {file}.", "Wrote {count} birds to {file}.", count)
            self._context.workers.run(
                job,
                lambda _done: self._context.say(words.format(count=count, file=path.name)),
                failed=self._cannot,
            )

        kinds = _("CSV files (*.csv);;Spreadsheets (*.xlsx)")
        proposed = book.path.with_suffix(".csv")
        self._context.questions.file_to_save(_("Export all birds"), kinds, proposed, write)

    def _reread(self) -> None:
        path, snapshot, replies = self._path, self._snapshot, self._preview.replies
        if path is None or snapshot is None:
            return
        today = self._context.today

        def job(_progress: Progress) -> ImportPlan:
            return read_list(
                path,
                snapshot,
                ids=new_uuid,
                today=today,
                date_order=replies.date_order,
                answers=replies.answers,
            )

        self._context.workers.run(
            job, lambda plan: self._preview.show_plan(plan, snapshot), failed=self._cannot, key="import list"
        )

    def _import(self, plan: ImportPlan) -> None:
        path = self._path
        if path is None or not plan.is_accepted:
            return
        self._path = None

        def done(_entry: Entry, _snapshot: Snapshot) -> None:
            self._leave()

        def refused(problems: tuple[Problem, ...]) -> None:
            self._path = path
            self._preview.show_refused(problems)

        self._context.record.apply(ImportBirds.of(plan, path.name), done=done, refused=refused)

    def _leave(self) -> None:
        self._path = None
        self._pages.setCurrentWidget(self._begin)

    def _cannot(self, error: Exception) -> None:
        if not isinstance(error, BookUnusable):
            self._context.workers.broke.emit(error)
            return
        self._leave()
        self._context.questions.tell(_("This file cannot be used"), str(error))
