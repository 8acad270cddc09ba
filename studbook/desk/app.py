"""Starting the program: application, look, window, and the one exit for what nobody foresaw."""

import logging
import os
import sys
import traceback
from datetime import date
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QEventLoop, QSettings, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from studbook import places, words
from studbook.desk.record import Record
from studbook.desk.theme import Choice, Theme, length
from studbook.desk.widgets.ornament import window_icon
from studbook.desk.window import Window
from studbook.desk.work import Workers
from studbook.words import _

NUMBER_THREADS = 2


def has_display() -> bool:
    """True when a window can be shown; asked before Qt, which ends the process otherwise."""
    if os.environ.get("QT_QPA_PLATFORM") or not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def run(book: Path | None, today: date | None = None, picture: Path | None = None) -> int:
    """Show the window until it is closed and give the exit code.

    Parameters
    ----------
    book
        The book to open; the one that was open last when None.
    today
        The day it is, for pictures and rehearsals.
    picture
        Paint the window once into this PNG file and end.
    """
    if not has_display():
        print(_("There is no display to show the window on."), file=sys.stderr)  # noqa: T201
        return 2
    if book is not None and not book.exists():
        print(_("{book} does not exist.").format(book=book), file=sys.stderr)  # noqa: T201
        return 2
    words.use_language(*words.system_languages())
    app = QApplication(sys.argv[:1])
    window = _make_window(app)
    sys.excepthook = Fallback(window)
    window.context.record.broke.connect(sys.excepthook.tell)
    window.context.workers.broke.connect(sys.excepthook.tell)
    chosen = book or (window.recent.last if picture is None else None)
    if chosen is None:
        window.show_first_start()
    elif picture is not None:
        window.context.record.open(chosen, today=today)
    else:
        # the record and its database are loaded when the keeper sees the window already
        window.painted.connect(
            lambda: window.context.record.open(chosen, today=today), Qt.ConnectionType.QueuedConnection
        )
    window.show()
    if picture is not None:
        return _paint(window, picture)
    return app.exec()


def build_window(book: Path | None, today: date | None = None, *, dark: bool = False) -> Window:
    """A window on `book` that is shown and filled, for pictures; the caller closes it."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    window = _make_window(app)
    broken: list[Exception] = []
    window.context.record.broke.connect(broken.append)
    window.context.workers.broke.connect(broken.append)
    window.context.theme.choose(Choice.DARK if dark else Choice.LIGHT)
    window.show()
    if book is None:
        window.show_first_start()
    else:
        window.context.record.open(book, today=today)
    settle(window)
    if broken:
        window.close()
        raise broken[0]
    return window


_LOOK_AGAIN_MS = 3


def settle(window: Window) -> None:
    """Wait, with the event loop running, until the window has no more work in hand.

    What a widget does in breaths, on timers without a delay, is work in hand as well.
    """
    loop = QEventLoop()
    crews = (window.context.record.crew, window.context.workers)

    def look() -> None:
        breaths = (breath for breath in window.findChildren(QTimer) if breath.interval() == 0)
        if any(crew.is_busy for crew in crews) or any(breath.isActive() for breath in breaths):
            timer.start(_LOOK_AGAIN_MS)
        else:
            loop.quit()

    timer = QTimer()
    timer.setSingleShot(True)
    timer.timeout.connect(look)
    timer.start(0)
    loop.exec()
    QApplication.processEvents()


def _make_window(app: QApplication) -> Window:
    app.setApplicationName("studbook")
    app.setApplicationDisplayName(_("Studbook"))
    QGuiApplication.setDesktopFileName("studbook")
    settings = QSettings(str(places.settings_file()), QSettings.Format.IniFormat)
    theme = app.findChild(Theme) or Theme(app)
    choice = str(settings.value("look/choice", str(Choice.SYSTEM)))
    size = float(str(settings.value("look/text_size", 1.0)))
    theme.choose(Choice(choice) if choice in list(Choice) else Choice.SYSTEM, size)
    app.setWindowIcon(window_icon())
    return Window(Record(), Workers(NUMBER_THREADS, "numbers"), settings, theme)


def _paint(window: Window, picture: Path) -> int:
    told: list[str] = []
    window.context.record.unusable.connect(told.append)
    # a screen that is not there would cut the window to its own size
    window.resize(length(1280), length(800))
    settle(window)
    saved = not told and window.grab().save(str(picture), "PNG")
    window.close()
    if saved:
        return 0
    sentence = told[0] if told else _("{picture} cannot be written.").format(picture=picture)
    print(sentence, file=sys.stderr)  # noqa: T201
    return 2


class Fallback:
    """The excepthook: a bug is logged and told once, in words, with its traceback to copy."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._told = False
        log = places.data_folder() / "studbook.log"
        logging.basicConfig(filename=log, level=logging.WARNING, encoding="utf-8")

    def __call__(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        self.tell(error)

    def tell(self, error: BaseException) -> None:
        """Log `error`, and tell it unless another was told before."""
        logging.getLogger(__name__).error("unforeseen", exc_info=error)
        if self._told:
            return
        self._told = True
        self._window.context.questions.tell(
            _("Something went wrong in the program"),
            _("Nothing that was confirmed is lost. Restart Studbook, and report this if it happens again."),
            "".join(traceback.format_exception(error)),
        )
