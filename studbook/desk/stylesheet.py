"""The one style sheet of the window, made from the tokens of the look."""

from collections.abc import Callable

from PySide6.QtGui import QColor

from studbook.desk import icons
from studbook.desk.look import Look

_SHEET = """
QMainWindow, QDialog, QStackedWidget, QScrollArea, QScrollArea > QWidget > QWidget { background: @paper; }
QToolTip { background: @sheet; color: @ink; border: 1px solid @hair; padding: 4px 8px; }

QLabel { background: transparent; }
QLabel[role="title"] { font-family: @serif; font-size: @28; }
QLabel[role="heading"] { font-family: @serif; font-size: @20; }
QLabel[role="name"] { font-family: @serif; font-size: @16; }
QLabel[role="figure"] { font-family: @serif; font-size: @28; }
QLabel[role="faint"] { color: @faint; }
QLabel[role="small"] { color: @faint; font-size: @12; }
QLabel[role="caption"] { color: @faint; font-size: @12; font-weight: 600; }
QLabel[role="error"] { color: @comb; font-size: @12; }
QLabel[role="caution"] { color: @straw; font-size: @12; }
QLabel[role="good"] { color: @moss; }
QLabel[role="today"] { color: @comb; font-family: @serif; font-size: @16; }

QFrame[rule="true"] { background: @hair; border: none; max-height: 1px; min-height: 1px; }
QFrame[sheet="true"] { background: @sheet; border: 1px solid @hair; border-radius: 4px; }

QFrame#rail { background: @paper; border: none; border-right: 1px solid @hair; }
QFrame#top_line { background: @paper; border: none; border-bottom: 1px solid @hair; }
QFrame#strip { background: @sheet; border: none; border-top: 1px solid @hair; }

QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QAbstractSpinBox { background: @sheet; color: @ink;
    border: 1px solid @hair; border-bottom-color: @faint; border-radius: 4px; padding: 5px 8px;
    selection-background-color: @comb; selection-color: @on_comb; min-height: @20; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {
    border: 2px solid @comb; padding: 4px 7px; }
QLineEdit:disabled, QPlainTextEdit:disabled, QComboBox:disabled, QAbstractSpinBox:disabled {
    background: @paper; color: @faint; }
QTextEdit[plain="true"] { background: transparent; border: none; border-left: 2px solid transparent;
    border-radius: 0; padding: 0; }
QTextEdit[plain="true"]:focus { border: none; border-left: 2px solid @comb; padding: 0; }
QLineEdit[wrong="true"], QComboBox[wrong="true"], QPlainTextEdit[wrong="true"] { border: 2px solid @comb;
    padding: 4px 7px; }
QLineEdit[quiet="true"] { background: transparent; border-color: transparent; border-bottom-color: @hair; }
QLineEdit[quiet="true"]:focus { background: @sheet; border: 2px solid @comb; }
QComboBox::drop-down { border: none; width: @24; }
QComboBox::down-arrow { image: url(@caret-down); width: @14; height: @14; }
QComboBox QAbstractItemView { background: @sheet; border: 1px solid @hair; padding: 4px; outline: none; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: none; width: @20; }
QAbstractSpinBox::up-arrow { image: url(@caret-up); width: @12; height: @12; }
QAbstractSpinBox::down-arrow { image: url(@caret-down); width: @12; height: @12; }

QPushButton { background: @sheet; color: @ink; border: 1px solid @hair; border-bottom-color: @faint;
    border-radius: 4px; padding: 5px 14px; min-height: @20; }
QPushButton:hover { background: @hover; }
QPushButton:pressed { background: @selection; }
QPushButton:focus { border: 2px solid @comb; padding: 4px 13px; }
QPushButton:disabled { color: @faint; background: @paper; border-style: dotted; }
QPushButton[primary="true"] { background: @comb; color: @on_comb; border: 1px solid @comb; }
QPushButton[primary="true"]:hover { background: @comb_deep; border-color: @comb_deep; }
QPushButton[primary="true"]:focus { border: 2px solid @ink; }
QPushButton[primary="true"]:disabled { background: @paper; color: @faint; border: 1px dotted @faint; }
QPushButton[link="true"] { background: transparent; border: 1px solid transparent; color: @slate;
    padding: 2px 4px 2px 0; text-align: left; min-height: 0; }
QPushButton[link="true"]:hover { text-decoration: underline; }
QPushButton[link="true"]:focus { border: 1px solid @comb; }
QPushButton[link="true"]:disabled { color: @faint; border-color: transparent; }

QPushButton[choice="true"] { background: transparent; border: 1px solid transparent; padding: 0; text-align: left; }
QPushButton[choice="true"]:hover { background: @hover; }
QPushButton[choice="true"]:checked { background: @selection; border-color: @hair; }
QPushButton[choice="true"]:focus { border: 2px solid @comb; }

QToolButton { background: transparent; border: 1px solid transparent; border-radius: 4px; padding: 4px 8px;
    color: @ink; }
QToolButton:hover { background: @hover; }
QToolButton:checked { background: @selection; }
QToolButton:focus { border: 1px solid @comb; }
QToolButton:disabled { color: @faint; }
QToolButton::menu-indicator { image: none; }
QToolButton[rail="true"] { border: none; border-left: 3px solid transparent; padding: 8px 4px 8px 1px;
    color: @faint; background: transparent; font-size: @12; border-radius: 0; }
QToolButton[rail="true"]:hover { color: @ink; background: @wash; }
QToolButton[rail="true"]:checked { color: @ink; border-left-color: @comb; font-weight: 600; }
QToolButton[rail="true"]:focus { border: none; border-left: 3px solid @comb; background: @selection; color: @ink; }

QAbstractItemView { background: @sheet; border: 1px solid @hair; border-radius: 4px; outline: none;
    selection-background-color: @selection; selection-color: @ink; }
QListView[plain="true"] { background: transparent; border: 1px solid transparent; }
QTableView { gridline-color: transparent; }
QTableView::item { padding: 0 8px; border: none; }
QTableView:focus, QTreeView:focus, QListView:focus { border: 1px solid @comb; }
QTableView::item:hover, QTreeView::item:hover, QListView::item:hover { background: @hover; }
QTableView::item:selected, QTreeView::item:selected, QListView::item:selected { background: @selection;
    color: @ink; }
QHeaderView { background: @sheet; border: none; }
QHeaderView::section { background: @sheet; color: @faint; border: none; border-bottom: 1px solid @faint;
    padding: 6px 8px; font-size: @12; font-weight: 600; }
QHeaderView::section:hover { color: @ink; }
QHeaderView::down-arrow, QHeaderView::up-arrow { width: @12; height: @12; subcontrol-position: center right; }
QHeaderView::down-arrow { image: url(@caret-down); }
QHeaderView::up-arrow { image: url(@caret-up); }
QTableCornerButton::section { background: @sheet; border: none; border-bottom: 1px solid @faint; }

QTabWidget::pane { border: none; border-top: 1px solid @hair; }
QTabBar { qproperty-drawBase: 0; background: transparent; }
QTabBar::tab { background: transparent; color: @faint; border: none; border-bottom: 2px solid transparent;
    padding: 8px 4px 6px 4px; margin-right: 20px; }
QTabBar::tab:hover { color: @ink; }
QTabBar::tab:selected { color: @ink; border-bottom-color: @comb; }
QTabBar::tab:focus { color: @comb; }
QTabBar::scroller { width: @28; }
QTabBar QToolButton { background: @paper; border: none; padding: 0; margin: 4px 0; }
QTabBar QToolButton::right-arrow { image: url(@caret-right); width: @14; height: @14; }
QTabBar QToolButton::left-arrow { image: url(@caret-left); width: @14; height: @14; }

QMenuBar { background: @paper; color: @ink; border-bottom: 1px solid @hair; }
QMenuBar::item { padding: 5px 10px; background: transparent; }
QMenuBar::item:selected { background: @selection; }
QMenu { background: @sheet; color: @ink; border: 1px solid @hair; padding: 4px 0; }
QMenu::item { padding: 5px 28px 5px 28px; }
QMenu::item:selected { background: @selection; color: @ink; }
QMenu::item:disabled { color: @faint; background: transparent; }
QMenu::separator { height: 1px; background: @hair; margin: 4px 0; }
QMenu::icon { padding-left: 8px; }

QCheckBox, QRadioButton { spacing: 8px; background: transparent; }
QCheckBox::indicator { width: @14; height: @14; border: 1px solid @faint; border-radius: 3px; background: @sheet; }
QCheckBox::indicator:checked { border-color: @comb; image: url(@check); }
QCheckBox::indicator:disabled { border-style: dotted; background: @paper; }
QCheckBox:focus { color: @comb; }
QSplitter::handle { background: @hair; }
QSplitter::handle:hover { background: @comb; }
QSplitter::handle:horizontal { width: 1px; }
QSplitter::handle:vertical { height: 1px; }
QProgressBar { border: 1px solid @hair; border-radius: 4px; background: @sheet; max-height: 6px; }
QProgressBar::chunk { background: @comb; border-radius: 3px; }

QScrollBar { background: transparent; border: none; }
QScrollBar:vertical { width: 12px; }
QScrollBar:horizontal { height: 12px; }
QScrollBar::handle { background: @hair; border-radius: 3px; margin: 3px; min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: @faint; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
"""

_SIZES = (12, 14, 16, 20, 24, 28)


def style_sheet(look: Look, length: Callable[[float], int], families: dict[str, list[str]]) -> str:
    """The style sheet of `look`, with lengths grown by `length` and the font `families` by kind."""
    colours: dict[str, QColor] = {
        "comb_deep": look.comb.darker(115) if not look.dark else look.comb.lighter(115),
        "selection": look.selection,
        "on_comb": look.on_comb,
        "hover": look.hover,
        "wash": look.hover,
        "paper": look.paper,
        "sheet": look.sheet,
        "faint": look.faint,
        "slate": look.slate,
        "straw": look.straw,
        "hair": look.hair,
        "comb": look.comb,
        "moss": look.moss,
        "ink": look.ink,
    }
    words = {name: colour.name() for name, colour in colours.items()}
    words |= {str(size): f"{length(size)}px" for size in _SIZES}
    words |= {
        name: icons.file(name, look.faint).as_posix()
        for name in ("caret-down", "caret-up", "caret-left", "caret-right")
    }
    words["check"] = icons.file("check", look.comb).as_posix()
    words["serif"] = ", ".join(f'"{family}"' for family in families["serif"])
    sheet = _SHEET
    for name in sorted(words, key=len, reverse=True):
        sheet = sheet.replace(f"@{name}", words[name])
    return sheet
