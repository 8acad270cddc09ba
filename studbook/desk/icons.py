"""The icons: one open line set (Phosphor, light weight, MIT), coloured from the look.

An icon never stands without a word. The files and their licence lie in ``resources/icons/``.
"""

import atexit
import tempfile
from functools import cache
from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QIconEngine, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from studbook import places
from studbook.desk.look import look


@cache
def _source(name: str) -> str:
    return places.resource("icons", f"{name}.svg").read_text(encoding="utf-8")


@cache
def _renderer(name: str, colour: str) -> QSvgRenderer:
    return QSvgRenderer(QByteArray(_source(name).replace("currentColor", colour).encode()))


@cache
def _folder() -> Path:
    """A folder of this run for the few pictures a style sheet must name by path."""
    made = tempfile.TemporaryDirectory(prefix="studbook-")
    atexit.register(made.cleanup)
    return Path(made.name)


@cache
def _written(name: str, colour: str) -> Path:
    path = _folder() / f"{name}-{colour[1:]}.svg"
    path.write_text(_source(name).replace("currentColor", colour), encoding="utf-8")
    return path


def file(name: str, colour: QColor) -> Path:
    """The icon as a file in one colour, for the style sheet."""
    return _written(name, colour.name())


def paint(painter: QPainter, rect: QRectF, name: str, colour: QColor) -> None:
    """Draw the icon into `rect`."""
    _renderer(name, colour.name()).render(painter, rect)


class _Engine(QIconEngine):
    """Draws an icon afresh at every size, in the colours of the look at that moment."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name

    def paint(self, painter: QPainter, rect: object, mode: QIcon.Mode, state: QIcon.State) -> None:
        colours = look()
        chosen = mode is QIcon.Mode.Selected or state is QIcon.State.On or mode is QIcon.Mode.Active
        colour = colours.faint if mode is QIcon.Mode.Disabled or not chosen else colours.ink
        paint(painter, QRectF(rect), self._name, colour)  # type: ignore[call-overload]

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        made = QPixmap(size)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        self.paint(painter, made.rect(), mode, state)
        painter.end()
        return made

    def clone(self) -> QIconEngine:
        return _Engine(self._name)


def icon(name: str) -> QIcon:
    """The icon, drawn in the colours of the look at the time of painting."""
    return QIcon(_Engine(name))
