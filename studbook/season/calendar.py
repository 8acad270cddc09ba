"""Which season a day belongs to."""

from datetime import date

CHOSEN_FROM_MONTH = 7
"""From July on the birds of the next season are chosen, after the moult (common practice in the north)."""


def season_planned(today: date) -> int:
    """The season that is planned on a day, by the year its chicks hatch in."""
    return today.year + (today.month >= CHOSEN_FROM_MONTH)
