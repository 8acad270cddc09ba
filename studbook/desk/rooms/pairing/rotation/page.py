"""The page, not filled yet."""

from studbook.desk.context import Context
from studbook.desk.rooms.pairing.page import Choosing, ChoosingPage


class RotationPage(ChoosingPage):
    """Not filled yet."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "pairing_rotation")

    def show_choosing(self, choosing: Choosing) -> None:
        """Show the flock as it is now."""
