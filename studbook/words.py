"""The texts of the program, through gettext: English is the source language."""

import gettext as _gettext
import locale
import os
import unicodedata

from studbook import places

DOMAIN = "studbook"

_current: _gettext.NullTranslations = _gettext.NullTranslations()


def use_language(*languages: str) -> None:
    """Switch every text to the first of `languages` that has a translation, else to English."""
    global _current
    try:
        folder = places.resource("translations")
    except FileNotFoundError:
        _current = _gettext.NullTranslations()
        return
    _current = _gettext.translation(DOMAIN, folder, languages=list(languages), fallback=True)


def use_translations(translations: _gettext.NullTranslations) -> None:
    """Switch every text to `translations` (a pseudo-locale in tests)."""
    global _current
    _current = translations


def system_languages() -> tuple[str, ...]:
    """The languages the user's system asks for, first choice first."""
    asked = os.environ.get("LANGUAGE") or os.environ.get("LC_ALL") or os.environ.get("LANG")
    if asked:
        return tuple(part.split(".")[0] for part in asked.split(":") if part)
    code = locale.getlocale()[0]
    return (code,) if code else ()


def _(text: str) -> str:
    """`text` in the user's language."""
    return _current.gettext(text)


def later(text: str) -> str:
    """`text` as it is: marks one for translation that is translated when it is shown."""
    return text


def plural(singular: str, several: str, n: int) -> str:
    """The form of a text that fits `n`; the caller fills in the number."""
    return _current.ngettext(singular, several, n)


_PLAIN_LETTERS = str.maketrans(
    {"ø": "o", "đ": "d", "ð": "d", "ł": "l", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"}
)


def fold(text: str) -> str:
    """`text` without case and accents, for finding: "Øland" and "oland" are the same."""
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in plain if not unicodedata.combining(sign)).translate(_PLAIN_LETTERS)
