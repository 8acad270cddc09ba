"""The actions of the window itself; rooms add their own."""

from typing import TYPE_CHECKING

from studbook.desk.actions import Action, Menu
from studbook.desk.sheets import sheet_actions
from studbook.desk.theme import Choice
from studbook.words import _

if TYPE_CHECKING:
    from studbook.desk.window import Window

TEXT_SIZES = (0.9, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0)


def window_actions(window: "Window") -> tuple[Action, ...]:
    """Every action that does not belong to one room."""
    return (
        *_book(window),
        *sheet_actions(window, window.context),
        *_edit(window),
        *_go(window),
        *_view(window),
        *_help(window),
    )


def _book(window: "Window") -> tuple[Action, ...]:
    return (
        Action("book.new", _("&New book…"), window.begin_book, Menu.BOOK, ("Ctrl+N",), icon="notebook"),
        Action("book.open", _("&Open a book…"), window.ask_book, Menu.BOOK, ("Ctrl+O",), icon="folder-open"),
        Action("book.sample", _("Open the &sample flock"), window.open_sample, Menu.BOOK, icon="bird"),
        Action(
            "book.paper",
            _("&Print what this room shows…"),
            window.print_room,
            Menu.BOOK,
            ("Ctrl+P",),
            enabled=window.can_print,
            icon="printer",
            group=3,
        ),
        Action("book.quit", _("&Quit"), window.close, Menu.BOOK, ("Ctrl+Q",), group=9),
    )


def _edit(window: "Window") -> tuple[Action, ...]:
    record = window.context.record

    def undo_text() -> str:
        name = record.snapshot.undo_label if record.snapshot else ""
        return _("&Undo: {change}").format(change=name) if name else _("&Undo")

    def redo_text() -> str:
        name = record.snapshot.redo_label if record.snapshot else ""
        return _("&Redo: {change}").format(change=name) if name else _("&Redo")

    return (
        Action(
            "edit.undo",
            undo_text,
            window.undo,
            Menu.EDIT,
            ("Ctrl+Z",),
            enabled=lambda: bool(record.snapshot and record.snapshot.undo_label),
            icon="arrow-u-up-left",
        ),
        Action(
            "edit.redo",
            redo_text,
            window.redo,
            Menu.EDIT,
            ("Ctrl+Y", "Ctrl+Shift+Z"),
            enabled=lambda: bool(record.snapshot and record.snapshot.redo_label),
            icon="arrow-u-up-right",
        ),
        Action(
            "edit.find",
            _("&Find a bird"),
            window.find_bird,
            Menu.EDIT,
            ("Ctrl+F",),
            enabled=lambda: record.snapshot is not None,
            icon="magnifying-glass",
            group=1,
        ),
        Action("edit.command", _("&Do something…"), window.ask_command, Menu.EDIT, ("Ctrl+K",), group=1),
    )


def _go(window: "Window") -> tuple[Action, ...]:
    return tuple(
        Action(
            f"go.{door.key}",
            door.title(),
            lambda key=door.key: window.enter(key),  # type: ignore[misc]
            Menu.GO,
            (f"Ctrl+{number}",),
            enabled=lambda: window.context.record.snapshot is not None,
            icon=door.icon,
        )
        for number, door in enumerate(window.doors, 1)
    )


def _view(window: "Window") -> tuple[Action, ...]:
    theme = window.context.theme
    words = {
        Choice.SYSTEM: _("Look &as the system does"),
        Choice.LIGHT: _("&Light"),
        Choice.DARK: _("&Dark"),
    }
    looks = tuple(
        Action(
            f"view.{choice}",
            words[choice],
            lambda choice=choice: window.choose_look(choice, theme.text_size),  # type: ignore[misc]
            Menu.VIEW,
            checked=lambda choice=choice: theme.choice is choice,  # type: ignore[misc]
        )
        for choice in Choice
    )

    def resize(step: int) -> None:
        place = min(range(len(TEXT_SIZES)), key=lambda number: abs(TEXT_SIZES[number] - theme.text_size))
        size = TEXT_SIZES[min(max(place + step, 0), len(TEXT_SIZES) - 1)]
        window.choose_look(theme.choice, size)

    return (
        *looks,
        Action("view.larger", _("Lar&ger text"), lambda: resize(1), Menu.VIEW, ("Ctrl++", "Ctrl+="), group=1),
        Action("view.smaller", _("S&maller text"), lambda: resize(-1), Menu.VIEW, ("Ctrl+-",), group=1),
        Action(
            "view.normal",
            _("&Normal text"),
            lambda: window.choose_look(theme.choice, 1.0),
            Menu.VIEW,
            ("Ctrl+0",),
            group=1,
        ),
    )


def _help(window: "Window") -> tuple[Action, ...]:
    return (
        Action("help.keys", _("&Keys and signs"), window.show_help, Menu.HELP, ("F1",), icon="info"),
        Action("help.about", _("&About Studbook"), window.show_about, Menu.HELP),
    )
