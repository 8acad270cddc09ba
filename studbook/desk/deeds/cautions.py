"""The cautions that stand where birds are moved."""

from studbook.words import _


def housing_caution() -> str:
    """Moves may be stopped by order."""
    return _(
        "While a housing order or a disease restriction is in force, birds may not be moved as one likes, "
        "not even between one's own yards. Local rules and a vet decide."
    )


def wear_caution() -> str:
    """A hen alone with a cock wears."""
    return _(
        "One hen alone with a cock wears: look at her back and comb daily, and give her days of rest from him."
    )
