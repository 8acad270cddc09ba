"""The clock and the ids a book is given: never taken, so that journals repeat in tests and in the demo."""

import uuid
from collections.abc import Callable
from datetime import UTC, datetime

Clock = Callable[[], datetime]
Ids = Callable[[], str]


def utc_now() -> datetime:
    """The time of the machine, in UTC."""
    return datetime.now(UTC)


def new_uuid() -> str:
    """A fresh random UUID as text."""
    return str(uuid.uuid4())
