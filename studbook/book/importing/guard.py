"""A guard against cells that a spreadsheet would run as a formula.

A cell that begins with ``= + - @`` or a tab may be run by the spreadsheet that opens the list (common
practice). Such a cell is written with an apostrophe before it; so is one that already begins with
apostrophes before such a sign, so that taking one apostrophe away always gives back what was there.
"""

import re

_GUARDED = re.compile(r"'*[=+\-@\t\r]")
_GUARD = re.compile(r"'+[=+\-@\t\r]")


def guarded(text: str) -> str:
    """`text` as it can safely stand in a cell."""
    return "'" + text if _GUARDED.match(text) else text


def unguarded(text: str) -> str:
    """The text a guarded cell stands for."""
    return text[1:] if _GUARD.match(text) else text
