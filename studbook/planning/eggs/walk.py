"""The keeper's walk from house to house: the order of the entry grid and of the sheet that hangs in the yard."""

from studbook.book.husbandry.rows import Husbandry, Pen
from studbook.book.ids import PenId


def walking_order(year: Husbandry) -> tuple[Pen, ...]:
    """All pens, house by house as the keeper walks; pens of no house come last."""

    def place(pen: Pen) -> tuple[bool, int, str, int, str]:
        house = year.houses.get(pen.house) if pen.house is not None else None
        if house is None:
            return True, 0, "", pen.position, pen.name.casefold()
        return False, house.position, house.name.casefold(), pen.position, pen.name.casefold()

    return tuple(sorted(year.pens.values(), key=place))


def house_name(year: Husbandry, pen: PenId) -> str:
    """The name of the house a pen is in, or nothing."""
    house = year.pens[pen].house
    return year.houses[house].name if house is not None and house in year.houses else ""
