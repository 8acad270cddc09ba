"""The certificate of a bird beside its preview: what to show, for whom, written as PDF or printed."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from studbook.book.changes import IssueCertificate
from studbook.book.errors import Problem, StudbookError
from studbook.book.records import BirdId, Certificate, CertificateId, Snapshot
from studbook.desk import printing
from studbook.desk.context import Context
from studbook.desk.forms import Form
from studbook.desk.theme import Role, font, length, look, space
from studbook.desk.widgets.name_box import NameBox, contact_names
from studbook.desk.widgets.text import button, label, link
from studbook.desk.wording import bird_text
from studbook.desk.work import Progress
from studbook.words import _, plural

if TYPE_CHECKING:
    from studbook.book.relatedness import Relatedness
    from studbook.papers.certificate import CertificateContent, CertificateOptions

_WIDE = 820
_GENERATIONS = (3, 4, 5)
_PAPERS = ("A4", "Letter")


class Kin(Protocol):
    """A snapshot and how its birds are related by convention, for a worker."""

    @property
    def snapshot(self) -> Snapshot: ...

    @property
    def convention(self) -> Relatedness: ...


@dataclass(frozen=True)
class Wanted:
    """What the keeper chose for the paper."""

    bird: BirdId
    number: str
    owner: str
    generations: int
    paper: str
    photo: bytes | None
    shows_photo: bool
    shows_inbreeding: bool
    shows_colours: bool


@dataclass(frozen=True)
class Printed:
    """A certificate as a worker made it: the page, and the row that records it."""

    page: bytes
    certificate: Certificate


def _content(kin: Kin, wanted: Wanted, today: date) -> tuple[CertificateContent, CertificateOptions]:
    from studbook.papers.certificate import CertificateOptions, certificate_content

    options = CertificateOptions(
        wanted.generations, wanted.paper, wanted.shows_photo, wanted.shows_inbreeding, wanted.shows_colours
    )
    content = certificate_content(
        kin.snapshot, kin.convention, wanted.bird, options, today, wanted.number, wanted.owner
    )
    return content, options


def page_image(kin: Kin, wanted: Wanted, today: date) -> QImage:
    """The page as it will be printed; for a worker."""
    from studbook.papers.certificate import preview_certificate

    content, options = _content(kin, wanted, today)
    return QImage.fromData(preview_certificate(content, options, wanted.photo, "png"))


def print_page(kin: Kin, wanted: Wanted, today: date, *, as_svg: bool) -> Printed:
    """The page as PDF (or SVG for a printer) with the row to record; for a worker."""
    from studbook.papers.certificate import certificate_checksum, preview_certificate, render_certificate

    content, options = _content(kin, wanted, today)
    if as_svg:
        page = preview_certificate(content, options, wanted.photo, "svg")
    else:
        page = render_certificate(content, options, wanted.photo)
    row = Certificate(
        CertificateId(""),
        wanted.number,
        wanted.bird,
        today,
        wanted.owner,
        certificate_checksum(content),
        wanted.generations,
        wanted.paper,
    )
    return Printed(page, row)


class Sheet(QWidget):
    """The page on the table: as large as there is room for."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("certificate_preview")
        self.setAccessibleName(_("Preview of the certificate"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._page: QImage | None = None
        self._sentence = _("setting the page …")

    @property
    def page(self) -> QImage | None:
        """What is shown."""
        return self._page

    def show_page(self, page: QImage) -> None:
        """Show a page."""
        self._page = page
        self.update()

    def show_sentence(self, text: str) -> None:
        """Say why there is no page."""
        self._page, self._sentence = None, text
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(length(520), length(620))

    def minimumSizeHint(self) -> QSize:
        return QSize(length(260), length(300))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if self._page is None:
            painter.setFont(font())
            painter.setPen(look().faint)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(space(2), 0, -space(2), 0), flags, self._sentence)
            return
        ratio = self.devicePixelRatioF()
        room = self.size() * ratio
        shown = self._page.scaled(
            room - QSize(4, 4), Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        shown.setDevicePixelRatio(ratio)
        place = QRectF(0, 0, shown.width() / ratio, shown.height() / ratio)
        place.moveCenter(QRectF(self.rect()).center())
        place.moveTop(1)
        painter.drawImage(place.topLeft(), shown)
        painter.setPen(QPen(look().hair, 1))
        painter.drawRect(place.adjusted(-0.5, -0.5, 0.5, 0.5))


class CertificatePanel(QWidget):
    """Chooses what the certificate of one bird says and shows the page as it will be printed.

    Signals
    -------
    closed
        The keeper is done.
    """

    closed = Signal()

    def __init__(self, context: Context, kin: Kin, bird: BirdId) -> None:
        super().__init__()
        self.setObjectName("certificate_panel")
        self.context = context
        self._kin = kin
        self._bird = bird
        self._photo: bytes | None = None
        self._tickets: list[int] = []
        self._asked: list[int] = []
        self._busy = False
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(space(1))
        top = QHBoxLayout()
        title = label(
            _("Certificate of {bird}").format(bird=bird_text(kin.snapshot.bird(bird))), Role.TITLE, wraps=True
        )
        top.addWidget(title, 1)
        back = link(_("← back to the bird"), self.closed.emit)
        back.setObjectName("close_certificate")
        top.addWidget(back)
        whole.addLayout(top)
        scrolled = QScrollArea()
        scrolled.setFrameShape(QFrame.Shape.NoFrame)
        scrolled.setWidgetResizable(True)
        scrolled.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight, inner)
        self._halves.setContentsMargins(0, 0, space(1), 0)
        self._halves.setSpacing(space(4))
        self._halves.addWidget(self._choices(), 2)
        self.sheet = Sheet()
        self._halves.addWidget(self.sheet, 3)
        scrolled.setWidget(inner)
        whole.addWidget(scrolled, 1)
        self._connect()

    def begin(self) -> None:
        """Show the page and put the cursor on the new owner."""
        self.owner.setFocus()
        photo = next((each for each in self._kin.snapshot.photos if each.bird == self._bird), None)
        self.photo.setVisible(photo is not None)
        if photo is None:
            self._draw()
            return

        def take(content: bytes) -> None:
            self._photo = content
            self._draw()

        self._asked.append(self.context.record.ask(lambda book: book.photo(photo.sha256), take))

    def show_snapshot(self, kin: Kin) -> None:
        """The book has changed: the page may say something else."""
        self._kin = kin
        if not kin.snapshot.has(self._bird):
            self.closed.emit()
        elif not self._busy:
            self._draw()

    def leave(self) -> None:
        """The panel closes: no page is waited for any more."""
        for ticket in self._tickets:
            self.context.workers.cancel(ticket)
        for ticket in self._asked:
            self.context.record.cancel(ticket)

    def write_pdf(self) -> None:
        """Ask where to write the certificate."""
        called = self._kin.snapshot.bird(self._bird).called
        name = _("certificate {number} {bird}.pdf").format(number=self.number.text().strip(), bird=called)
        safe = "".join("-" if sign in '\\/:*?"<>|' else sign for sign in name)
        book = self.context.record.open_book
        folder = book.path.parent if book is not None else Path.home()
        self.context.questions.file_to_save(
            _("Write the certificate"), _("PDF (*.pdf)"), folder / safe, self._write_to
        )

    def print_it(self) -> None:
        """Show how the certificate will come out of the printer; printing records it."""
        self._make(self._preview_print, as_svg=True)

    def _choices(self) -> QWidget:
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, space(1), 0)
        column.setSpacing(space(1.5))
        self.form = Form()
        self.owner = NameBox(
            contact_names(self._kin.snapshot.contacts),
            placeholder=_("name, or leave it empty to write by hand"),
        )
        self.form.add("owner", _("New owner"), self.owner)
        self.number = self.form.add_line("number", _("Certificate number"), self._proposed_number())
        self.paper = self.form.add_choice("paper", _("Paper"), [(paper, paper) for paper in _PAPERS])
        self.generations = self.form.add_choice(
            "generations",
            _("Generations of ancestors"),
            [(plural("{n} generation", "{n} generations", n).format(n=n), n) for n in _GENERATIONS],
            4,
        )
        column.addWidget(self.form)
        column.addWidget(label(_("What to show"), Role.CAPTION))
        self.photo = _tick("show_photo", _("the photo"))
        self.inbreeding = _tick("show_inbreeding", _("the inbreeding coefficient F"))
        self.colours = _tick("show_colours", _("the colours of the ancestors"))
        for box in (self.photo, self.inbreeding, self.colours):
            column.addWidget(box)
        self._problem = label("", Role.ERROR, wraps=True)
        self._problem.setObjectName("certificate_problem")
        column.addWidget(self._problem)
        self._done = label("", Role.GOOD, wraps=True)
        self._done.setObjectName("certificate_done")
        column.addWidget(self._done)
        row = QHBoxLayout()
        row.setSpacing(space(1.5))
        self._write = button(_("Write PDF…"), self.write_pdf, primary=True)
        self._write.setObjectName("write_certificate")
        self._print = button(_("Print…"), self.print_it, icon="printer")
        self._print.setObjectName("print_certificate")
        row.addWidget(self._write)
        row.addWidget(self._print)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(
            label(
                _("Writing or printing records the certificate in the book under its number."),
                Role.SMALL,
                wraps=True,
            )
        )
        column.addStretch(1)
        return inner

    def _connect(self) -> None:
        self.owner.editTextChanged.connect(self._draw)
        self.number.textChanged.connect(self._draw)
        for choice in (self.paper, self.generations):
            choice.currentIndexChanged.connect(self._draw)
        for box in (self.photo, self.inbreeding, self.colours):
            box.toggled.connect(self._draw)

    def _proposed_number(self) -> str:
        from studbook.papers.certificate import new_certificate_number

        return new_certificate_number(self._kin.snapshot, self.context.today)

    def _wanted(self) -> Wanted:
        return Wanted(
            self._bird,
            self.number.text().strip(),
            self.owner.currentText().strip(),
            int(self.generations.currentData()),
            str(self.paper.currentData()),
            self._photo if self.photo.isChecked() else None,
            self.photo.isChecked() and self._photo is not None,
            self.inbreeding.isChecked(),
            self.colours.isChecked(),
        )

    def _draw(self) -> None:
        kin, wanted, today = self._kin, self._wanted(), self.context.today

        def work(_progress: Progress) -> QImage:
            return page_image(kin, wanted, today)

        self._tickets.append(
            self.context.workers.run(
                work, self._show_page, failed=self._cannot_show, key="certificate preview"
            )
        )

    def _show_page(self, page: QImage) -> None:
        self._problem.clear()
        self.sheet.show_page(page)

    def _cannot_show(self, error: Exception) -> None:
        if isinstance(error, StudbookError):
            self.sheet.show_sentence(str(error))
        else:
            self.context.workers.broke.emit(error)

    def _make(self, then: Callable[[Printed], None], *, as_svg: bool) -> None:
        """Make the page on a worker, once the record would take it."""
        if self._busy:
            return
        self._busy = True
        self._done.clear()
        self._problem.clear()
        self.form.show_problems(())
        self._set_enabled(False)
        kin, wanted, today = self._kin, self._wanted(), self.context.today

        def work(_progress: Progress) -> Printed:
            return print_page(kin, wanted, today, as_svg=as_svg)

        def failed(error: Exception) -> None:
            self._end()
            if isinstance(error, StudbookError):
                self._problem.setText(str(error))
            else:
                self.context.workers.broke.emit(error)

        def checked(problems: tuple[Problem, ...]) -> None:
            if any(problem.is_error for problem in problems):
                self._refused(problems)
                return
            self._tickets.append(self.context.workers.run(work, then, failed=failed))

        probe = Certificate(CertificateId(""), wanted.number, wanted.bird, today, wanted.owner)
        self._asked.append(
            self.context.record.preview(IssueCertificate(probe), checked, key="certificate check")
        )

    def _write_to(self, path: Path) -> None:
        def write(printed: Printed) -> None:
            try:
                waiting = _write_beside(path, printed.page)
            except OSError as error:
                self._end()
                text = _("{file} cannot be written: {reason}.")
                self._problem.setText(text.format(file=path.name, reason=error.strerror))
                return

            def done(_entry: object, _snapshot: object) -> None:
                waiting.replace(path)
                self._issued(_("Written to {file}.").format(file=path.name))

            def refused(problems: tuple[Problem, ...]) -> None:
                waiting.unlink()
                self._refused(problems)

            self.context.record.apply(IssueCertificate(printed.certificate), done=done, refused=refused)

        self._make(write, as_svg=False)

    def _preview_print(self, printed: Printed) -> None:
        def paint(printer: QPrinter, painter: QPainter) -> None:
            page = printer.pageLayout().paintRectPixels(printer.resolution())
            drawn = QSvgRenderer(QByteArray(printed.page))
            size = drawn.defaultSize().scaled(page.size(), Qt.AspectRatioMode.KeepAspectRatio)
            drawn.render(painter, QRectF(0, 0, size.width(), size.height()))

        dialog = printing.preview(
            self.window(), _("Certificate {number}").format(number=self.number.text()), paint
        )
        dialog.accepted.connect(lambda: self._record_print(printed))
        dialog.rejected.connect(self._end)

    def _record_print(self, printed: Printed) -> None:
        def done(_entry: object, _snapshot: object) -> None:
            self._issued(_("Sent to the printer."))

        self.context.record.apply(IssueCertificate(printed.certificate), done=done, refused=self._refused)

    def _issued(self, text: str) -> None:
        number = self.number.text()
        self._end()
        self._done.setText(_("{done} Certificate {number} is in the book.").format(done=text, number=number))
        self.number.setText(self._proposed_number())

    def _refused(self, problems: tuple[Problem, ...]) -> None:
        self._end()
        self.form.show_problems(problems)

    def _end(self) -> None:
        self._busy = False
        self._set_enabled(True)

    def _set_enabled(self, enabled: bool) -> None:
        self._write.setEnabled(enabled)
        self._print.setEnabled(enabled)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        narrow = self.width() < length(_WIDE)
        self._halves.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not self._busy:
            self.closed.emit()
        else:
            super().keyPressEvent(event)


def _tick(name: str, text: str) -> QCheckBox:
    box = QCheckBox(text)
    box.setObjectName(name)
    box.setChecked(True)
    return box


def _write_beside(path: Path, content: bytes) -> Path:
    """Write `content` to a file beside `path`, to be put in its place once the book has it."""
    handle, name = tempfile.mkstemp(prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent)
    with contextlib.closing(os.fdopen(handle, "wb")) as file:
        file.write(content)
    return Path(name)
