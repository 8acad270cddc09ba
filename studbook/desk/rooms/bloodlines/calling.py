"""Calling home: birds lent, sold or given away that may still live and carry what the flock is losing."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from studbook.book.errors import StudbookError
from studbook.book.records import Snapshot
from studbook.book.wording import status_word
from studbook.desk import printing
from studbook.desk.context import Context
from studbook.desk.rooms.bloodlines.figures import method_paragraphs
from studbook.desk.rooms.bloodlines.numbers import CallAnswer, Calls, Numbers
from studbook.desk.rooms.bloodlines.page import Page, clear
from studbook.desk.theme import Role, length, space
from studbook.desk.widgets.bird_line import BirdLink
from studbook.desk.widgets.empty_state import EmptyState
from studbook.desk.widgets.prose import Prose
from studbook.desk.widgets.sentence_view import Paragraph, Style
from studbook.desk.widgets.text import SectionHeading, label, link
from studbook.desk.wording import date_text, percent_text, sentence_text
from studbook.planning.bloodlines.report import AwayBird, Borrowing, FounderKey
from studbook.words import _, plural


class CallingPage(Page):
    """Whom could we borrow back?

    Signals
    -------
    founder_asked
        A founder is to be followed (FounderKey).
    """

    founder_asked = Signal(object)

    def __init__(self, context: Context) -> None:
        super().__init__(context, "bloodlines_calling")
        self._numbers: Numbers | None = None
        self._tickets: list[int] = []
        self._waiting: list[CallAnswer] = []
        self._more = QTimer(self)
        self._more.setInterval(0)
        self._more.timeout.connect(self._add_next)
        self._is_laid_narrow = False
        self.calls: Calls | None = None
        self.intro = Prose("calling_intro", _("What calling home means"))
        self.intro.setMaximumWidth(length(860))
        self.column.addWidget(self.intro)
        self._list = QVBoxLayout()
        self._list.setSpacing(space(1))
        self.column.addLayout(self._list)
        self.column.addStretch(1)

    def show_calls(self, calls: Calls, numbers: Numbers) -> None:
        """Show who could be called home."""
        self.calls, self._numbers = calls, numbers
        self._is_laid_narrow = self.is_narrow
        snapshot = numbers.snapshot
        self._more.stop()
        clear(self._list)
        if not calls.answers:
            self.show_missing(
                EmptyState(
                    "check",
                    _("Nobody needs calling home"),
                    _(
                        "No founder of the living flock is about to be lost. When one is, you will see here which "
                        "birds you lent, sold or gave away still carry it, and who has them."
                    ),
                )
            )
            return
        self.show_content()
        lead = _(
            "Birds you lent, sold or gave away may still carry founders that are fading here. Ask for your own "
            "back, or borrow one for a season: it can bring back what is fading."
        )
        self.intro.show_paragraphs([Paragraph(((lead,),), Style.LEAD)], snapshot)
        self._waiting = [*calls.answers]
        self._more.start()
        self._add_next()

    def _add_next(self) -> None:
        """Add one founder, and behind the last the method: all at once would hold the window up."""
        if self.calls is None or self._numbers is None:
            return
        snapshot, calls = self._numbers.snapshot, self.calls
        self._list.addWidget(self._call(self._waiting.pop(0), snapshot))
        if self._waiting:
            return
        self._more.stop()
        reckoned = Prose("borrowing_method", calls.method.name)
        reckoned.setMaximumWidth(length(860))
        reckoned.show_paragraphs(method_paragraphs(calls.method), snapshot)
        self._list.addWidget(SectionHeading(calls.method.name))
        self._list.addWidget(reckoned)

    def cancel(self) -> None:
        for ticket in self._tickets:
            self.context.workers.cancel(ticket)

    def _call(self, answer: CallAnswer, snapshot: Snapshot) -> QWidget:
        made = QWidget()
        column = QVBoxLayout(made)
        column.setContentsMargins(0, 0, 0, space(1))
        column.setSpacing(space(0.5))
        follow = link(_("follow this founder"), lambda: self.founder_asked.emit(answer.call.founder))
        called = sentence_text(answer.called, snapshot)
        follow.setAccessibleName(_("Follow {founder}").format(founder=called))
        column.addWidget(SectionHeading(called, follow))
        words = Prose("call_sentences", called)
        words.setMaximumWidth(length(860))
        words.bird_asked.connect(self.bird_asked)
        words.show_paragraphs([Paragraph(answer.sentences)], snapshot)
        column.addWidget(words)
        if not answer.call.birds:
            return made
        grid = QGridLayout()
        grid.setHorizontalSpacing(space(3))
        grid.setVerticalSpacing(space(0.5))
        grid.setColumnStretch(4, 1)
        titles = (_("Bird"), _("Carries"), _("Left of it here after a season"), _("Who has it"))
        for place, title in enumerate(titles[:3] if self.is_narrow else titles):
            grid.addWidget(label(title, Role.CAPTION), 0, place)
        for number, away in enumerate(answer.call.birds):
            self._add_bird(grid, 1 + 2 * number, away, answer.call.founder, snapshot)
        column.addLayout(grid)
        more = answer.call.found - len(answer.call.birds)
        if more > 0:
            text = plural("and {n} more bird elsewhere", "and {n} more birds elsewhere", more)
            column.addWidget(label(text.format(n=more), Role.SMALL))
        return made

    def _add_bird(
        self, grid: QGridLayout, row: int, away: AwayBird, founder: FounderKey, snapshot: Snapshot
    ) -> None:
        """A bird elsewhere in one row, in two where the window is narrow."""
        bird = snapshot.bird(away.bird)
        head = BirdLink(bird)
        head.asked.connect(self.bird_asked)
        grid.addWidget(head, row, 0)
        grid.addWidget(label(percent_text(away.share)), row, 1)
        grid.addWidget(label(_borrowing_text(away.borrowing)), row, 2)
        where = label(_whereabouts(away, snapshot), wraps=self.is_narrow)
        deeds = QHBoxLayout()
        deeds.setSpacing(space(1))
        for name, words, run, deed in (
            ("letter_print", _("print the letter…"), self.print_letter, _("Print the letter about {bird}")),
            ("letter_write", _("as PDF…"), self.write_letter, _("Write the letter about {bird} as PDF")),
        ):
            made = link(words, lambda run=run: run(away, founder))  # type: ignore[misc]
            made.setObjectName(f"{name}_{bird.called}")
            made.setAccessibleName(deed.format(bird=bird.called))
            deeds.addWidget(made)
        deeds.addStretch(1)
        if self.is_narrow:
            below = QVBoxLayout()
            below.setContentsMargins(space(2), 0, 0, space(1))
            below.addWidget(where)
            below.addLayout(deeds)
            grid.addLayout(below, row + 1, 0, 1, 5)
        else:
            grid.addWidget(where, row, 3)
            grid.addLayout(deeds, row, 4)

    def print_letter(self, away: AwayBird, founder: FounderKey) -> None:
        """Open the preview of the letter that asks for a bird."""
        numbers, today = self._numbers, self.context.today
        if numbers is None:
            return

        def job(_progress: object) -> bytes:
            from studbook.papers.calling_home import preview_letter

            return preview_letter(numbers.letter(away.bird, founder, today))

        def show(page: bytes) -> None:
            called = numbers.snapshot.bird(away.bird).called
            printing.preview(
                self.window(),
                _("Letter about {bird}").format(bird=called),
                lambda printer, painter: _paint_page(page, printer, painter),
            )

        self._tickets.append(
            self.context.workers.run(job, show, failed=self._failed, key=("bloodlines", "letter"))
        )

    def write_letter(self, away: AwayBird, founder: FounderKey) -> None:
        """Ask where to write the letter."""
        numbers, today = self._numbers, self.context.today
        if numbers is None:
            return

        def write(path: Path) -> None:
            def job(_progress: object) -> None:
                from studbook.papers.calling_home import render_letter

                path.write_bytes(render_letter(numbers.letter(away.bird, founder, today)))

            def done(_nothing: None) -> None:
                self.context.say(_("Wrote the letter to {file}.").format(file=path.name))

            self._tickets.append(self.context.workers.run(job, done, failed=self._failed))

        name = _("letter about {bird}.pdf").format(bird=numbers.snapshot.bird(away.bird).called)
        safe = "".join("-" if sign in '\\/:*?"<>|' else sign for sign in name)
        self.context.questions.file_to_save(
            _("Write the letter"), _("PDF (*.pdf)"), Path.home() / safe, write
        )

    def _failed(self, error: Exception) -> None:
        if isinstance(error, OSError):
            reason = _("{file} could not be written: {reason}.")
            self._refuse(reason.format(file=error.filename, reason=error.strerror))
        elif isinstance(error, StudbookError):
            self._refuse(str(error))
        else:
            self.context.workers.broke.emit(error)

    def _refuse(self, reason: str) -> None:
        self.context.questions.tell(_("The letter is not written"), reason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.calls is not None and self._numbers is not None and self.is_narrow != self._is_laid_narrow:
            self.show_calls(self.calls, self._numbers)


def _whereabouts(away: AwayBird, snapshot: Snapshot) -> str:
    taker = snapshot.contact(away.taker)
    left = date_text(away.left)
    gone = _("{status} {date}").format(status=status_word(away.status), date=left).strip()
    if away.is_lent:
        if taker is None:
            return _("not recorded, {gone}; yours still: ask for it back").format(gone=gone)
        return _("{name}, {gone}; yours still: ask for it back").format(name=taker.name, gone=gone)
    if taker is None:
        return _("not recorded, {gone}").format(gone=gone)
    return _("{name}, {gone}").format(name=taker.name, gone=gone)


def _borrowing_text(borrowing: Borrowing | None) -> str:
    if borrowing is None:
        return _("no mate for it in the flock")
    return _("{before} → {after}").format(
        before=percent_text(borrowing.retained_before, 0), after=percent_text(borrowing.retained_after, 0)
    )


def _paint_page(page: bytes, printer: QPrinter, painter: QPainter) -> None:
    paper = printer.pageLayout().paintRectPixels(printer.resolution())
    drawn = QSvgRenderer(QByteArray(page))
    size = drawn.defaultSize().scaled(paper.size(), Qt.AspectRatioMode.KeepAspectRatio)
    drawn.render(painter, QRectF(0, 0, size.width(), size.height()))
