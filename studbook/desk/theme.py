"""How the window looks: colours, type and grid from ``resources/look.json``, in light and in dark.

Rooms write no colour and no size in pixels: they ask `look()` for a colour, `font()` for a type and
`space()` for a distance, or give a label one of the `Role` names of the style sheet.
"""

import json
from enum import IntEnum, StrEnum
from functools import cache

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QFont, QFontDatabase, QFontInfo, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory

from studbook import places
from studbook.desk.look import Look, look, luminance, read_look, wear
from studbook.desk.stylesheet import style_sheet

__all__ = ["Choice", "Role", "Theme", "Type", "font", "length", "look", "space"]

GRID = 8
"""The base grid in device-independent pixels."""

SERIF_FALLBACK = ("Libertinus Serif", "Georgia", "DejaVu Serif", "serif")
SANS_FALLBACK = ("Segoe UI", "Helvetica Neue", "DejaVu Sans", "sans-serif")


class Type(IntEnum):
    """The type scale, in pixels at 100 %."""

    SMALL = 12
    BODY = 14
    LARGE = 16
    HEADING = 20
    TITLE = 28


class Role(StrEnum):
    """What a label is; the style sheet gives each its type and colour."""

    TITLE = "title"
    HEADING = "heading"
    NAME = "name"
    FIGURE = "figure"
    FAINT = "faint"
    SMALL = "small"
    CAPTION = "caption"
    ERROR = "error"
    CAUTION = "caution"
    GOOD = "good"
    TODAY = "today"


class Choice(StrEnum):
    """Which look the keeper wants."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


@cache
def _families() -> dict[str, list[str]]:
    """The bundled serif and sans, added to the application's fonts, before the system's."""
    found = {"serif": list(SERIF_FALLBACK), "sans": list(SANS_FALLBACK)}
    try:
        folder = places.resource("fonts")
        named = json.loads((folder / "families.json").read_text(encoding="utf-8"))
    except FileNotFoundError:
        return found
    for file in sorted((*folder.glob("*.ttf"), *folder.glob("*.otf"))):
        QFontDatabase.addApplicationFont(str(file))
    return {kind: [named[kind], *families] for kind, families in found.items()}


_text_scale = 1.0


def space(steps: float = 1) -> int:
    """A distance of `steps` times the base grid."""
    return round(GRID * steps)


def length(pixels: float) -> int:
    """A length that grows with the text."""
    return round(pixels * _text_scale)


def set_figures(made: QFont) -> None:
    """Give a font figures of equal width and full height."""
    for feature in ("tnum", "lnum"):
        made.setFeature(QFont.Tag(feature), 1)


def typeface(size: Type = Type.BODY, *, serif: bool = False, bold: bool = False) -> QFont:
    """A font of the type scale at 100 %, for paper, with figures of equal width."""
    made = QFont(_families()["serif" if serif else "sans"])
    made.setPixelSize(size)
    set_figures(made)
    if bold:
        made.setWeight(QFont.Weight.DemiBold)
    return made


def font(size: Type = Type.BODY, *, serif: bool = False, bold: bool = False) -> QFont:
    """A font of the type scale at the current text size, for the screen."""
    made = typeface(size, serif=serif, bold=bold)
    made.setPixelSize(length(size))
    return made


def _palette(colours: Look) -> QPalette:
    palette = QPalette()
    group, role = QPalette.ColorGroup, QPalette.ColorRole
    for kind, colour in (
        (role.Window, colours.paper),
        (role.WindowText, colours.ink),
        (role.Base, colours.sheet),
        (role.AlternateBase, colours.paper),
        (role.Text, colours.ink),
        (role.PlaceholderText, colours.faint),
        (role.Button, colours.sheet),
        (role.ButtonText, colours.ink),
        (role.BrightText, colours.comb),
        (role.Highlight, colours.selection),
        (role.HighlightedText, colours.ink),
        (role.Accent, colours.comb),
        (role.Link, colours.slate),
        (role.LinkVisited, colours.slate),
        (role.ToolTipBase, colours.sheet),
        (role.ToolTipText, colours.ink),
        (role.Light, colours.sheet),
        (role.Midlight, colours.hover),
        (role.Mid, colours.hair),
        (role.Dark, colours.faint),
        (role.Shadow, colours.hair),
    ):
        palette.setColor(kind, colour)
    for kind in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        palette.setColor(group.Disabled, kind, colours.faint)
    return palette


class Theme(QObject):
    """Dresses the application and follows the system while the keeper has chosen nothing else.

    Signals
    -------
    changed
        The look or the text size is another one.
    resized
        The text size is another one; what was laid out by `length` is to be made anew.
    """

    changed = Signal()
    resized = Signal()

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._app = app
        self.choice = Choice.SYSTEM
        self.text_size = 1.0
        system = QFontInfo(QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont)).pixelSize()
        self._system_scale = min(max(system / 13, 1.0), 3.0)
        app.setStyle(QStyleFactory.create("Fusion"))
        app.styleHints().colorSchemeChanged.connect(self.follow)
        self._dress()

    def choose(self, choice: Choice, text_size: float = 1.0) -> None:
        """Wear the look the keeper chose, with texts `text_size` times as large as the system's."""
        if (choice, text_size) != (self.choice, self.text_size):
            self.choice, self.text_size = choice, text_size
            self._dress()

    def follow(self) -> None:
        """Wear the system's look if it differs from ours."""
        if self._wants_dark() != look().dark:
            self._dress()

    def _wants_dark(self) -> bool:
        if self.choice is not Choice.SYSTEM:
            return self.choice is Choice.DARK
        scheme = self._app.styleHints().colorScheme()
        if scheme is not Qt.ColorScheme.Unknown:
            return scheme is Qt.ColorScheme.Dark
        return luminance(self._app.style().standardPalette().window().color()) < 0.2

    def _dress(self) -> None:
        global _text_scale
        worn = read_look(self._wants_dark())
        wear(worn)
        before, _text_scale = _text_scale, self._system_scale * self.text_size
        # replacing one sheet by another took ten times as long as taking the first off (860 widgets)
        self._app.setStyleSheet("")
        self._app.setPalette(_palette(worn))
        self._app.setFont(font())
        self._app.setStyleSheet(style_sheet(worn, length, _families()))
        self.changed.emit()
        if _text_scale != before:
            self.resized.emit()
