"""Every action of the window, declared once: it feeds the menus, the command palette and the tests."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from studbook.desk import icons


class Menu(StrEnum):
    """The menus of the menu bar, in order."""

    BOOK = "book"
    EDIT = "edit"
    BIRDS = "birds"
    GO = "go"
    VIEW = "view"
    HELP = "help"


def always() -> bool:
    """The `enabled` of an action that is never greyed."""
    return True


@dataclass(frozen=True)
class Action:
    """One thing the keeper can do.

    Attributes
    ----------
    key
        A stable name, also the object name of the `QAction`.
    text
        The menu text with its mnemonic, or a function where it changes ("Undo: …").
    shortcuts
        Key sequences as text, the first one shown.
    enabled
        Asked when a menu shows the action, and again when its key is pressed.
    checked
        For an action that is on or off.
    """

    key: str
    text: str | Callable[[], str]
    run: Callable[[], object]
    menu: Menu
    shortcuts: tuple[str, ...] = ()
    enabled: Callable[[], bool] = always
    checked: Callable[[], bool] | None = None
    icon: str = ""
    group: int = 0

    @property
    def label(self) -> str:
        """The text at this moment."""
        return self.text if isinstance(self.text, str) else self.text()


class Actions:
    """The declared actions as `QAction` objects of one owner widget."""

    def __init__(self, owner: QWidget) -> None:
        self._owner = owner
        self._made: dict[str, tuple[Action, QAction]] = {}

    def declare(self, actions: Iterable[Action]) -> None:
        """Add `actions`; a key that is known already is kept as it is."""
        for action in actions:
            if action.key in self._made:
                continue
            made = QAction(self._owner)
            made.setObjectName(action.key)
            made.setShortcuts([QKeySequence(text) for text in action.shortcuts])
            made.setCheckable(action.checked is not None)
            if action.icon:
                made.setIcon(icons.icon(action.icon))
            made.triggered.connect(lambda _on=False, action=action: self._do(action))
            self._owner.addAction(made)
            self._made[action.key] = action, made
        self.refresh()
        self.release()

    def refresh(self) -> None:
        """Ask every action anew for its text and whether it can be done, before a menu shows them."""
        for action, made in self._made.values():
            made.setText(action.label)
            made.setEnabled(action.enabled())
            if action.checked is not None:
                made.setChecked(action.checked())

    def release(self) -> None:
        """Let every key be heard again: whether its action can be done is asked when it is pressed."""
        for _action, made in self._made.values():
            made.setEnabled(True)

    def _do(self, action: Action) -> None:
        if action.enabled():
            action.run()
        self.refresh()
        self.release()

    def __getitem__(self, key: str) -> QAction:
        return self._made[key][1]

    def __contains__(self, key: str) -> bool:
        return key in self._made

    @property
    def possible(self) -> list[QAction]:
        """What can be done now."""
        return [made for action, made in self.all if action.enabled()]

    @property
    def all(self) -> tuple[tuple[Action, QAction], ...]:
        """What was declared, with its `QAction`, by menu and group."""
        order = list(Menu)
        return tuple(sorted(self._made.values(), key=lambda pair: (order.index(pair[0].menu), pair[0].group)))

    def of(self, menu: Menu) -> tuple[tuple[Action, QAction], ...]:
        """The actions of one menu."""
        return tuple(pair for pair in self.all if pair[0].menu is menu)
