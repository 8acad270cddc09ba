"""What a drawing can refuse, in one sentence fit for the keeper."""

from studbook.book.errors import StudbookError


class DrawingRefused(StudbookError):  # noqa: N818 - reads as what it says
    """The tree is too large, could not be laid out, or cannot be written as asked."""
