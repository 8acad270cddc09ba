"""Asking the keeper, through a port: the window shows dialogs, a test answers by itself.

No question blocks: each is given what to do with the answer. Esc never does anything.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from studbook.words import _


class Questions(Protocol):
    """The ways a keeper can be asked or told something."""

    def choose(self, title: str, text: str, verbs: Sequence[str], then: Callable[[int], None]) -> None:
        """Give `then` the place of the verb that was pressed."""

    def tell(self, title: str, text: str, details: str = "") -> None:
        """Say something that needs no answer; `details` can be copied."""

    def file_to_open(self, title: str, kinds: str, then: Callable[[Path], None]) -> None:
        """Ask for a file that exists; `kinds` is a filter such as ``Lists (*.csv *.xlsx)``."""

    def file_to_save(self, title: str, kinds: str, proposed: Path, then: Callable[[Path], None]) -> None:
        """Ask where to write; replacing a file is asked by the dialog itself."""


class DialogQuestions:
    """The port as dialogs over a window."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def choose(self, title: str, text: str, verbs: Sequence[str], then: Callable[[int], None]) -> None:
        box = self._box(title, text)
        buttons = [box.addButton(verb, QMessageBox.ButtonRole.AcceptRole) for verb in verbs]
        cancel = box.addButton(_("Cancel"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(cancel)
        box.setEscapeButton(cancel)

        def answered() -> None:
            pressed = box.clickedButton()
            if pressed in buttons:
                then(buttons.index(pressed))

        box.finished.connect(answered)
        box.open()

    def tell(self, title: str, text: str, details: str = "") -> None:
        box = self._box(title, text)
        box.addButton(_("Close"), QMessageBox.ButtonRole.RejectRole)
        if details:
            copy = box.addButton(_("Copy details"), QMessageBox.ButtonRole.ActionRole)
            copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(details))
        box.open()

    def file_to_open(self, title: str, kinds: str, then: Callable[[Path], None]) -> None:
        dialog = QFileDialog(self._parent, title, "", kinds)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        self._ask_file(dialog, then)

    def file_to_save(self, title: str, kinds: str, proposed: Path, then: Callable[[Path], None]) -> None:
        dialog = QFileDialog(self._parent, title, str(proposed.parent), kinds)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(proposed.suffix.lstrip("."))
        dialog.selectFile(proposed.name)
        self._ask_file(dialog, then)

    def _ask_file(self, dialog: QFileDialog, then: Callable[[Path], None]) -> None:
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: then(Path(name)))
        dialog.open()

    def _box(self, title: str, text: str) -> QMessageBox:
        box = QMessageBox(self._parent)
        box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        box.setWindowTitle(title)
        box.setText(title)
        box.setInformativeText(text)
        return box
