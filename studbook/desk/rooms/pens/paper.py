"""The board on paper, in the order of the walk: each pen with its figures, its birds and what is not well."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtPrintSupport import QPrinter

from studbook.book.husbandry.wording import apart_word
from studbook.book.records import Snapshot
from studbook.desk.deeds.saying import said
from studbook.desk.look import read_look
from studbook.desk.rooms.pens.numbers import Answer
from studbook.desk.theme import Type, typeface
from studbook.desk.wording import bird_text, day_text, percent_text
from studbook.planning.pens.board import Occupant, PenOn
from studbook.planning.pens.naming import pen_name
from studbook.planning.pens.telling import coming_words, condition_words, figure_lines, move_words
from studbook.words import _

_DPI = 96
_INDENT = 14
_ROOM = 10_000


class BoardPaper:
    """The pages of one board."""

    def __init__(self, answer: Answer, snapshot: Snapshot) -> None:
        self._answer = answer
        self._snapshot = snapshot
        self._look = read_look(dark=False)

    def paint(self, printer: QPrinter, painter: QPainter) -> None:
        """Paint all pages."""
        scale = printer.resolution() / _DPI
        paper = printer.pageLayout().paintRectPixels(printer.resolution())
        self._page = QRectF(0, 0, paper.width() / scale, paper.height() / scale)
        self._printer, self._painter = printer, painter
        painter.scale(scale, scale)
        self._y = 0.0
        self._head()
        for house in self._answer.board.houses:
            self._y += 8
            name = house.house.name if house.house is not None else _("On their own")
            self._text(name, typeface(Type.HEADING, serif=True), self._look.ink, keep=70)
            for pen in house.pens:
                self._pen(pen)
        self._elsewhere()

    def _head(self) -> None:
        details, day = self._snapshot.details, self._answer.board.day
        title = _("Pens of {yard}").format(yard=details.yard) if details.yard else _("Pens")
        self._text(title, typeface(Type.TITLE, serif=True), self._look.ink)
        self._text(day_text(day), typeface(Type.SMALL), self._look.faint)

    def _pen(self, pen: PenOn) -> None:
        ink, faint = self._look.ink, self._look.faint
        self._y += 4
        self._text(pen.pen.name, typeface(Type.LARGE, serif=True, bold=True), ink, keep=50)
        lines = figure_lines(pen, self._answer.board.day, day_text)
        self._text("; ".join(said(line, self._snapshot) for line in lines), typeface(Type.SMALL), faint)
        birds = ", ".join(self._bird(occupant) for occupant in pen.occupants)
        self._text(birds, typeface(Type.BODY), ink, indent=_INDENT)
        year = self._snapshot.husbandry
        moves = [coming_words(move, day_text) for move in pen.coming]
        moves += [move_words(move, pen_name(year, move.pen), day_text) for move in pen.going]
        for sentence in moves:
            words = said(sentence, self._snapshot)
            self._text(words, typeface(Type.SMALL), ink, indent=_INDENT)
        for warning in self._answer.warnings.get(pen.pen.id, ()):
            words = said(warning.sentence, self._snapshot)
            self._text(words, typeface(Type.SMALL), self._look.straw, indent=_INDENT)

    def _bird(self, occupant: Occupant) -> str:
        words = bird_text(self._snapshot.bird(occupant.bird))
        remarks = [condition_words(occupant.conditions, day_text)]
        if occupant.worst is not None:
            remarks.insert(0, percent_text(occupant.worst))
        told = ", ".join(remark for remark in remarks if remark)
        return _("{bird} ({remarks})").format(bird=words, remarks=told) if told else words

    def _elsewhere(self) -> None:
        found = self._answer.board
        face, ink = typeface(Type.BODY), self._look.ink
        heading = typeface(Type.HEADING, serif=True)
        if found.apart:
            self._y += 8
            self._text(_("Apart"), heading, ink, keep=50)
            for row in found.apart:
                text = _("{bird}: {reason} since {day}")
                bird = bird_text(self._snapshot.bird(row.bird))
                self._text(
                    text.format(bird=bird, reason=apart_word(row.reason), day=day_text(row.since)), face, ink
                )
        if found.loose:
            self._y += 8
            self._text(_("In no pen"), heading, ink, keep=50)
            birds = ", ".join(bird_text(self._snapshot.bird(bird)) for bird in found.loose)
            self._text(birds, face, ink)

    def _text(self, text: str, face: QFont, ink: QColor, *, indent: float = 0, keep: float = 0) -> None:
        """A paragraph across the page; `keep` is the room it needs with what follows it."""
        if not text:
            return
        self._painter.setFont(face)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        wide = self._page.width() - indent
        needed = self._painter.boundingRect(QRectF(indent, self._y, wide, _ROOM), flags, text).height()
        if self._y + max(needed, keep) > self._page.height() and self._y > 0:
            self._printer.newPage()
            self._y = 0.0
            self._painter.setFont(face)
        self._painter.setPen(ink)
        self._painter.drawText(QRectF(indent, self._y, wide, needed + 2), flags, text)
        self._y += needed + 3
