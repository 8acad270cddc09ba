"""The trade's words for sexes, statuses and marks, and how figures are written where no window is.

The window writes dates and figures by the locale of the desktop; papers, drawings and commands by the
language of the texts.
"""

from studbook.book.records import MarkKind, Sex, Status
from studbook.words import _


def sex_word(sex: Sex) -> str:
    """The word for a sex."""
    return {Sex.COCK: _("cock"), Sex.HEN: _("hen"), Sex.UNKNOWN: _("sex unknown")}[sex]


def status_word(status: Status) -> str:
    """The word for a status."""
    return {
        Status.LIVING: _("living"),
        Status.SOLD: _("sold"),
        Status.GIVEN: _("given away"),
        Status.DIED: _("died"),
        Status.CULLED: _("culled"),
        Status.LOST: _("lost"),
        Status.LENT: _("lent"),
    }[status]


def mark_kind_word(kind: MarkKind) -> str:
    """The word for a kind of mark."""
    return {
        MarkKind.RING: _("ring"),
        MarkKind.WING_TAG: _("wing tag"),
        MarkKind.MICROCHIP: _("microchip"),
        MarkKind.TOE_PUNCH: _("toe punch"),
        MarkKind.RING_COLOUR: _("ring colour"),
    }[kind]


def figure(number: float, places: int) -> str:
    """A number with `places` decimals and the decimal mark of the texts' language."""
    # translators: the sign between whole numbers and decimals
    return f"{number:.{places}f}".replace(".", _("."))


def per_cent(share: float, places: int = 1) -> str:
    """A share between 0 and 1 in per cent: 0.125 as "12.5 %"."""
    return _("{number} %").format(number=figure(100 * share, places))
