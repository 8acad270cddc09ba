"""Sentences with birds in them: each is written with shape, chip and name, and leads to its page."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from time import perf_counter

from PySide6.QtCore import QEvent, QRectF, Qt, QTimer, QUrl, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QPainter,
    QPaintEvent,
    QTextBlock,
    QTextBlockFormat,
    QTextCharFormat,
    QTextCursor,
)
from PySide6.QtWidgets import QFrame, QTextBrowser, QWidget

from studbook.book.records import Bird, BirdId, Mark, Snapshot
from studbook.desk.look import Look
from studbook.desk.theme import Type, font, length, look, space
from studbook.desk.widgets.chips import paint_chip
from studbook.desk.widgets.shapes import paint_shape
from studbook.desk.wording import percent_text, spoken
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart
from studbook.words import _

_SPACE = "\N{NO-BREAK SPACE}"
_JOINER = "\N{WORD JOINER}"
_BREATH_S = 0.015
"""So long is written in one go before the window has its turn."""


class Style(Enum):
    """How a paragraph is set."""

    LEAD = "lead"
    HEAD = "head"
    BODY = "body"
    REMARK = "remark"
    ITEM = "item"


@dataclass(frozen=True)
class Paragraph:
    """Some sentences set as one paragraph."""

    sentences: tuple[Sentence, ...]
    style: Style = Style.BODY


@dataclass(frozen=True)
class _Drawn:
    """A stretch of a block behind which a shape or a chip is drawn."""

    start: int
    end: int
    bird: Bird
    mark: Mark | None


class SentenceView(QTextBrowser):
    """Paragraphs of sentences to read, select and walk by Tab from link to link.

    Signals
    -------
    bird_asked
        The page of a bird is wanted (str, its BirdId).
    pair_asked
        A figure was followed to its pair (tuple[BirdId, BirdId]).
    """

    bird_asked = Signal(str)
    pair_asked = Signal(object)

    margin_steps = 0.75
    """The steps between the frame and the text."""

    # Qt tells of changes while the widget is still being made
    _snapshot: Snapshot | None = None
    _worn: Look | None = None

    def __init__(self, name: str, spoken_name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setAccessibleName(spoken_name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setOpenLinks(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.anchorClicked.connect(self._follow)
        self._paragraphs: list[Paragraph] = []
        self._rest: list[Paragraph] = []
        self._more = QTimer(self)
        self._more.setInterval(0)
        self._more.timeout.connect(self._write_some)
        self._targets: list[BirdId | tuple[BirdId, BirdId]] = []
        self._drawn: dict[int, list[_Drawn]] = {}
        self._heads: dict[BirdId, int] = {}

    def show_paragraphs(self, paragraphs: Iterable[Paragraph], snapshot: Snapshot) -> None:
        """Set other paragraphs, in the look and text size there is; what stands there already is left alone."""
        paragraphs = list(paragraphs)
        if self._stands_there(paragraphs, snapshot):
            self._snapshot = snapshot
            return
        self._targets.clear()
        self._drawn.clear()
        self._heads.clear()
        self.clear()
        document = self.document()
        document.setDocumentMargin(space(self.margin_steps))
        document.setUndoRedoEnabled(False)
        self._paragraphs, self._snapshot, self._worn = paragraphs, snapshot, look()
        self._rest = self._paragraphs
        self._more.start()
        self._write_some()

    def _stands_there(self, paragraphs: list[Paragraph], snapshot: Snapshot) -> bool:
        """True when the same is written already, of birds that are called as they were."""
        before = self._snapshot
        if before is None or self._worn != look() or paragraphs != self._paragraphs:
            return False
        return all(
            before.has(bird) and snapshot.has(bird) and before.bird(bird) == snapshot.bird(bird)
            for bird in _birds_in(paragraphs)
        )

    def go_to(self, bird: BirdId) -> None:
        """Scroll to the heading of a bird."""
        while bird not in self._heads and self._rest:
            self._write_some()
        if bird in self._heads:
            block = self.document().findBlockByNumber(self._heads[bird])
            top = self.document().documentLayout().blockBoundingRect(block).top()
            self.verticalScrollBar().setValue(round(top))

    def _write_some(self) -> None:
        """Write what fits into one breath of the window; the rest follows while it runs on."""
        if self._snapshot is None:
            return
        begun, count = perf_counter(), 0
        cursor = QTextCursor(self.document())
        cursor.movePosition(QTextCursor.MoveOperation.End)
        cursor.beginEditBlock()
        for paragraph in self._rest:
            is_first = self.document().isEmpty()
            shape = _block_format(paragraph.style, is_first=is_first)
            if is_first:
                cursor.setBlockFormat(shape)
            else:
                cursor.insertBlock(shape)
            self._write(cursor, paragraph, self._snapshot)
            count += 1
            if perf_counter() - begun > _BREATH_S:
                break
        cursor.endEditBlock()
        self._rest = self._rest[count:]
        if not self._rest:
            self._more.stop()

    def _write(self, cursor: QTextCursor, paragraph: Paragraph, snapshot: Snapshot) -> None:
        size = Type.LARGE if paragraph.style in (Style.HEAD, Style.LEAD) else Type.BODY
        ink = look().faint if paragraph.style is Style.REMARK else look().ink
        plain = _character_format(font(size, serif=paragraph.style is Style.LEAD), ink)
        for number, sentence in enumerate(paragraph.sentences):
            if number:
                cursor.insertText(" ", plain)
            for part in sentence:
                match part:
                    case BirdPart(bird):
                        if paragraph.style is Style.HEAD:
                            self._heads[bird] = cursor.blockNumber()
                        self._write_bird(cursor, snapshot.bird(bird), size)
                    case SharePart(share, pair, decimals):
                        self._write_share(cursor, percent_text(share, decimals), pair, plain)
                    case NumberPart(value, decimals):
                        cursor.insertText(self.locale().toString(value, "f", decimals), plain)
                    case str(text):
                        cursor.insertText(text, plain)

    def _write_bird(self, cursor: QTextCursor, bird: Bird, size: Type) -> None:
        href, told = self._target(bird.id), spoken(bird)

        def anchored(face: QFont, spacing: float = 0.0) -> QTextCharFormat:
            made = _character_format(face, look().ink, spacing)
            made.setAnchor(True)
            made.setAnchorHref(href)
            made.setToolTip(told)
            return made

        sans = font(size)
        self._mark_out(cursor, _SPACE, anchored(sans, length(size) * 0.72), bird, None)
        if code := bird.mark:
            kept = _JOINER.join(code.replace(" ", _SPACE))
            cursor.insertText(_SPACE, anchored(sans, length(1)))
            self._mark_out(
                cursor, f"{_SPACE}{_SPACE}{kept}{_SPACE}{_SPACE}", anchored(sans), bird, bird.shown_mark
            )
        name = bird.name or ("" if bird.mark else _("unknown bird") if bird.placeholder else _("unmarked"))
        if name:
            cursor.insertText(_SPACE, anchored(sans))
            cursor.insertText(name, anchored(font(Type.LARGE, serif=True)))

    def _mark_out(
        self, cursor: QTextCursor, text: str, shape: QTextCharFormat, bird: Bird, mark: Mark | None
    ) -> None:
        start = cursor.positionInBlock()
        cursor.insertText(text, shape)
        here = _Drawn(start, cursor.positionInBlock(), bird, mark)
        self._drawn.setdefault(cursor.blockNumber(), []).append(here)

    def _write_share(
        self, cursor: QTextCursor, text: str, pair: tuple[BirdId, BirdId] | None, plain: QTextCharFormat
    ) -> None:
        shape = QTextCharFormat(plain)
        shape.setFontWeight(QFont.Weight.DemiBold)
        if pair is not None:
            shape.setAnchor(True)
            shape.setAnchorHref(self._target(pair))
            shape.setForeground(look().slate)
            shape.setToolTip(_("Why? Show this pair below."))
        cursor.insertText(text.replace(" ", _SPACE), shape)

    def _target(self, target: BirdId | tuple[BirdId, BirdId]) -> str:
        self._targets.append(target)
        return f"#{len(self._targets) - 1}"

    def _follow(self, url: QUrl) -> None:
        target = self._targets[int(url.fragment())]
        if isinstance(target, tuple):
            self.pair_asked.emit(target)
        else:
            self.bird_asked.emit(str(target))

    def _place(self, block: QTextBlock, drawn: _Drawn) -> QRectF:
        """Where a stretch lies in the view."""
        layout = block.layout()
        line = layout.lineForTextPosition(drawn.start)
        left, right = _x(line.cursorToX(drawn.start)), _x(line.cursorToX(drawn.end))
        corner = layout.position()
        down = corner.y() - self.verticalScrollBar().value()
        return QRectF(corner.x() + left, down + line.y(), right - left, line.height())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        # the colours stand in the text itself
        if self._snapshot is not None and self._worn != look():
            self.show_paragraphs(self._paragraphs, self._snapshot)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.setClipRect(event.rect())
        # what scrolls with a page is far higher than what is seen of it
        bottom = event.rect().bottom()
        block = self.cursorForPosition(event.rect().topLeft()).block()
        while block.isValid() and block.layout().position().y() - self.verticalScrollBar().value() < bottom:
            for drawn in self._drawn.get(block.blockNumber(), ()):
                self._paint_behind(painter, self._place(block, drawn), drawn)
            block = block.next()
        painter.end()
        super().paintEvent(event)

    def _paint_behind(self, painter: QPainter, place: QRectF, drawn: _Drawn) -> None:
        middle = place.center().y()
        if drawn.mark is not None:
            high = length(22)
            paint_chip(painter, QRectF(place.left(), middle - high / 2, place.width(), high), "", drawn.mark)
        else:
            side = length(13)
            paint_shape(painter, QRectF(place.left(), middle - side / 2, side, side), drawn.bird, look().ink)


def _birds_in(paragraphs: Iterable[Paragraph]) -> set[BirdId]:
    """The birds that are written in some paragraphs."""
    return {
        part.bird
        for paragraph in paragraphs
        for sentence in paragraph.sentences
        for part in sentence
        if isinstance(part, BirdPart)
    }


def _x(found: object) -> float:
    """`cursorToX` gives the place and the cursor in some versions, the place alone in others."""
    place = found[0] if isinstance(found, tuple) else found
    assert isinstance(place, float)
    return place


def _character_format(face: QFont, ink: QColor, spacing: float = 0.0) -> QTextCharFormat:
    shape = QTextCharFormat()
    shape.setFont(face)
    if spacing:
        shape.setFontLetterSpacingType(QFont.SpacingType.AbsoluteSpacing)
        shape.setFontLetterSpacing(spacing)
    shape.setForeground(ink)
    shape.setFontUnderline(False)
    return shape


def _block_format(style: Style, *, is_first: bool) -> QTextBlockFormat:
    shape = QTextBlockFormat()
    above = {Style.HEAD: 2.0, Style.BODY: 0.25}.get(style, 0.0)
    shape.setTopMargin(0 if is_first else space(above))
    high = length(30 if style in (Style.LEAD, Style.HEAD) else 26)
    shape.setLineHeight(high, QTextBlockFormat.LineHeightTypes.FixedHeight.value)
    if style is Style.ITEM:
        shape.setLeftMargin(space(2))
    return shape
