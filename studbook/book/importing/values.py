"""What the words in a list mean: sex, status, weights."""

import re

from studbook.book.records import Sex, Status

_SEX_WORDS = {
    Sex.COCK: """cock m male 1 cockerel cockbird rooster roo drake gander stag tom jake ♂ 1.0 1,0 1-0 zz""",
    Sex.HEN: """hen f female 2 pullet duck goose jenny ♀ 0.1 0,1 0-1 zw""",
    Sex.UNKNOWN: """unknown u ? - 0 9 na n/a none unsexed unsure undetermined chick poult duckling gosling
        keet straightrun 0.0.1 0,0,1 0-0-1""",
}

_STATUS_WORDS = {
    Status.LIVING: "living alive live lives active kept keep here present inflock yes current breeding",
    Status.SOLD: "sold sale sell",
    Status.GIVEN: "given gave gift gifted givenaway donated",
    Status.DIED: "died dead death deceased d †",
    Status.CULLED: "culled cull killed slaughtered dispatched putdown euthanised euthanized",
    Status.LENT: "lent lend loan loaned onloan outonloan",
    Status.LOST: "lost missing stolen strayed escaped disappeared",
}

PLACEHOLDER = "placeholder"
"""The status word of a parent of whom nothing is known but that it was one bird."""

UNKNOWN_PARENT = "?"
"""What stands for a parent not known; a bird of this name has to be written by its id."""

UNKNOWN_WORDS = frozenset(
    {"?", "-", "–", "—", "unknown", "not known", "none", "n/a", "na", "nil", "unk", "u/k"}
)


def _key(text: str) -> str:
    """`text` without case, spaces and a closing full stop."""
    return "".join(text.casefold().split()).rstrip(".")


_SEX = {word: sex for sex, words in _SEX_WORDS.items() for word in words.split()}
_STATUS = {word: status for status, words in _STATUS_WORDS.items() for word in words.split()}


def sex_of(text: str) -> Sex:
    """The sex `text` names: the trade's words for any species, ISO/IEC 5218 codes, or 1.0 and 0.1.

    Raises
    ------
    ValueError
        If it is no word for a sex.
    """
    key = _key(text)
    if key not in _SEX:
        raise ValueError(f"{text!r} is not known")
    return _SEX[key]


def status_of(text: str) -> Status:
    """The status `text` names.

    Raises
    ------
    ValueError
        If it is no word for a status.
    """
    key = _key(text)
    if key not in _STATUS:
        raise ValueError(f"{text!r} is not known")
    return _STATUS[key]


def is_unknown_word(text: str) -> bool:
    """True when `text` says that nothing is known."""
    return " ".join(text.casefold().split()) in UNKNOWN_WORDS


def weight_of(text: str) -> float:
    """The share written as ``0.7``, ``0,7``, ``70 %`` or ``1/3``.

    Raises
    ------
    ValueError
        If it is no such number, or not above 0.
    """
    text = text.strip()
    if not re.fullmatch(r"\d*[.,]?\d+(e-?\d+)?\s*%?|\d+\s*/\s*\d+", text, re.ASCII | re.IGNORECASE):
        raise ValueError(f"{text!r} is no weight")
    if "/" in text:
        part, whole = (int(number) for number in text.split("/"))
        share = part / whole if whole else 0.0
    else:
        share = float(text.rstrip("% ").replace(",", ".")) / (100 if text.endswith("%") else 1)
    if not share > 0:
        raise ValueError(f"{text!r} is no weight")
    return share
