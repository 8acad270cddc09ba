"""How a figure of a pair is written: F as a share, an effect on gene diversity with its sign."""

from PySide6.QtCore import QLocale

from studbook.desk.wording import percent_text
from studbook.planning.pair_methods import Shown
from studbook.words import _


def cell_text(value: float, shown: Shown, decimals: int) -> str:
    """A figure as the matrix writes it; a dash where there is none."""
    if value != value:  # NaN: there is no flock to have an effect on
        return "–"
    return signed_text(value, decimals) if shown is Shown.DIVERSITY else percent_text(value, decimals)


def signed_text(value: float, decimals: int) -> str:
    """A change of a share in hundredths of 1, with its sign: 0.0012 as "+0.12"."""
    number = QLocale().toString(abs(value) * 100, "f", decimals)
    if not any(sign.isdigit() and sign != "0" for sign in number):
        return number
    return _("+{number}").format(number=number) if value > 0 else _("−{number}").format(number=number)


def number_with(value: float, decimals: int) -> str:
    """A number with so many decimals, as the locale writes it."""
    return QLocale().toString(value, "f", decimals)
