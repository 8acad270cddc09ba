"""The menu bar, filled from the declared actions whenever a menu is opened."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from studbook.desk.actions import Menu
from studbook.words import _

if TYPE_CHECKING:
    from studbook.desk.window import Window


def menu_titles() -> dict[Menu, str]:
    """The words of the menu bar."""
    return {
        Menu.BOOK: _("&Book"),
        Menu.EDIT: _("&Edit"),
        Menu.BIRDS: _("B&irds"),
        Menu.GO: _("&Go"),
        Menu.VIEW: _("&View"),
        Menu.HELP: _("&Help"),
    }


def fill_menus(window: "Window") -> None:
    """Make the menu bar of `window`, or fill it again when a room has brought actions.

    Each menu asks its actions anew when it opens; one without any is not shown.
    """
    for kind, title in menu_titles().items():
        menu = window.menuBar().findChild(QMenu, f"menu_{kind}") or _make(window, kind, title)
        _fill(window, menu, kind)
    window.actions_here.release()


def _make(window: "Window", kind: Menu, title: str) -> QMenu:
    menu = window.menuBar().addMenu(title)
    menu.setObjectName(f"menu_{kind}")
    menu.aboutToShow.connect(lambda: _fill(window, menu, kind))
    menu.aboutToHide.connect(window.actions_here.release)
    return menu


def _fill(window: "Window", menu: QMenu, kind: Menu) -> None:
    window.actions_here.refresh()
    menu.clear()
    group = 0
    for declared, made in window.actions_here.of(kind):
        if declared.group != group and not menu.isEmpty():
            menu.addSeparator()
        group = declared.group
        menu.addAction(made)
        if declared.key == "book.open":
            _add_recent(window, menu)
    menu.menuAction().setVisible(not menu.isEmpty())


def _add_recent(window: "Window", menu: QMenu) -> None:
    recent = menu.addMenu(_("Open &lately used"))
    for path in window.recent.paths:
        action = recent.addAction(path.name)
        action.setToolTip(str(path))
        action.setEnabled(path.exists())
        action.triggered.connect(lambda _on=False, path=path: window.open(Path(path)))
    recent.addSeparator()
    recent.addAction(_("&Forget them"), window.recent.clear)
    recent.setEnabled(bool(window.recent.paths))
