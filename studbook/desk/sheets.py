"""The sheets to hang in the yard: printed with a preview, or written as PDF."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QByteArray, QLocale, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QWidget

from studbook.book.errors import StudbookError
from studbook.desk import printing
from studbook.desk.actions import Action, Menu
from studbook.desk.context import Context
from studbook.words import _


def sheet_actions(window: QWidget, context: Context) -> tuple[Action, ...]:
    """An action for each kind of sheet."""
    has_book = _has_book(context)
    return tuple(
        Action(
            f"sheets.{kind}",
            text,
            lambda kind=kind, name=name: ask_sheet(window, context, kind, name),  # type: ignore[misc]
            Menu.BOOK,
            enabled=has_book,
            icon="printer",
            group=4,
        )
        for kind, text, name in (
            ("evening-round", _("Sheet of the evening &round…"), _("evening round")),
            ("egg-tally", _("Sheet to tally the e&ggs of the week…"), _("egg tally")),
            ("pen-card", _("Cards of the p&ens…"), _("pen cards")),
            ("sitting-card", _("Cards of the sittin&gs…"), _("sitting cards")),
        )
    )


def ask_sheet(window: QWidget, context: Context, kind: str, name: str, only: str | None = None) -> None:
    """Ask whether a sheet is to be printed or written as PDF, and do it; `only` is the id of the one pen or sitting."""
    wanted = None if only is None else (only,)

    def answered(verb: int) -> None:
        if verb == 0:
            _print(window, context, kind, name, wanted)
        else:
            proposed = Path.home() / _("{sheet}.pdf").format(sheet=name)
            context.questions.file_to_save(
                _("Write the sheet"),
                _("PDF (*.pdf)"),
                proposed,
                lambda path: _write(context, kind, path, wanted),
            )

    text = _("A sheet to hang in the yard, with blanks for a pencil. It shows the book as it is today.")
    title = _("Sheet for the yard: {sheet}").format(sheet=name)
    context.questions.choose(title, text, (_("Print…"), _("Write as PDF…")), answered)


def paper_here() -> str:
    """The paper of the user's country."""
    metric = QLocale().measurementSystem() is not QLocale.MeasurementSystem.ImperialUSSystem
    return "A4" if metric else "Letter"


def _print(window: QWidget, context: Context, kind: str, name: str, only: tuple[str, ...] | None) -> None:
    snapshot, today, paper = context.record.snapshot, context.today, paper_here()
    if snapshot is None:
        return

    def job(_progress: object) -> tuple[bytes, ...]:
        from studbook.papers.sheets.kinds import sheet_of
        from studbook.papers.sheets.sheet import preview_sheet

        return preview_sheet(sheet_of(kind, snapshot, today, only), paper)

    def show(pages: tuple[bytes, ...]) -> None:
        title = _("Sheet for the yard: {sheet}").format(sheet=name)
        printing.preview(window, title, lambda printer, painter: paint_pages(pages, printer, painter))

    context.workers.run(job, show, failed=_failed(context), key="sheets")


def _write(context: Context, kind: str, path: Path, only: tuple[str, ...] | None) -> None:
    snapshot, today, paper = context.record.snapshot, context.today, paper_here()
    if snapshot is None:
        return

    def job(_progress: object) -> None:
        from studbook.papers.sheets.kinds import sheet_of
        from studbook.papers.sheets.sheet import render_sheet

        path.write_bytes(render_sheet(sheet_of(kind, snapshot, today, only), paper))

    def done(_nothing: None) -> None:
        context.say(_("Wrote the sheet to {file}.").format(file=path.name))

    context.workers.run(job, done, failed=_failed(context))


def paint_pages(pages: tuple[bytes, ...], printer: QPrinter, painter: QPainter) -> None:
    """Paint the pages of a sheet, each as large as the paper allows."""
    for number, page in enumerate(pages):
        if number:
            printer.newPage()
        paper = printer.pageLayout().paintRectPixels(printer.resolution())
        drawn = QSvgRenderer(QByteArray(page))
        size = drawn.defaultSize().scaled(paper.size(), Qt.AspectRatioMode.KeepAspectRatio)
        drawn.render(painter, QRectF(0, 0, size.width(), size.height()))


def _has_book(context: Context) -> Callable[[], bool]:
    return lambda: context.record.snapshot is not None


def _failed(context: Context) -> Callable[[Exception], None]:
    def failed(error: Exception) -> None:
        title = _("The sheet is not made")
        if isinstance(error, OSError):
            text = _("{file} could not be written: {reason}.")
            context.questions.tell(title, text.format(file=error.filename, reason=error.strerror))
        elif isinstance(error, StudbookError):
            context.questions.tell(title, str(error))
        else:
            context.workers.broke.emit(error)

    return failed
