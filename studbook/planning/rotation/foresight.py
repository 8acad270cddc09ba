"""What a rotation of so many pens would come to, before it is begun."""

from collections.abc import Sequence

from studbook.book.wording import per_cent
from studbook.genetics.rotation import rotation_course
from studbook.words import plural

USUAL_HENS = 4
"""The hens of a pen in an expectation where the book does not say how many there are."""

LATER = 5
"""The generation whose mean F is told."""


def foreseen_sentence(hens: Sequence[int]) -> str:
    """The mean F after some generations in pens of so many hens (0: not known), beside one closed pen."""
    numbers = [number or USUAL_HENS for number in hens]
    alone = max(1, round(sum(numbers) / len(numbers)))
    text = plural(
        "With {count} pen the mean F of the hens is about {rotated} after {later} generations, from unrelated birds; "
        "in one closed pen it would be {closed}.",
        "With {count} pens the mean F of the hens is about {rotated} after {later} generations, from unrelated birds; "
        "in one closed pen it would be {closed}.",
        len(numbers),
    )
    return text.format(
        count=len(numbers),
        rotated=per_cent(float(rotation_course(numbers, LATER).hens[LATER])),
        later=LATER,
        closed=per_cent(float(rotation_course([alone], LATER).hens[LATER])),
    )
