"""The lock of an open book: held by the operating system, so that a kill releases it."""

import os
import sys
from pathlib import Path

from studbook.book.errors import BookUnusable
from studbook.words import _

if sys.platform == "win32":
    import msvcrt

    def _lock(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


class BookLock:
    """The exclusive right to write one book, on the file ``BOOK.lock`` beside it.

    Raises
    ------
    BookUnusable
        If another process holds it or the folder cannot be written to.
    """

    def __init__(self, book: Path) -> None:
        self._path = book.with_name(book.name + ".lock")
        self._descriptor: int | None = None
        while self._descriptor is None:
            descriptor = self._opened(book)
            try:
                _lock(descriptor)
            except OSError as error:
                os.close(descriptor)
                raise BookUnusable(
                    _("{book} is open in another Studbook: close it there first.").format(book=book.name)
                ) from error
            # the holder before us may have removed the file between our opening and our locking it
            if self._path.exists() and os.path.samestat(os.fstat(descriptor), self._path.stat()):
                self._descriptor = descriptor
            else:
                os.close(descriptor)

    def _opened(self, book: Path) -> int:
        try:
            return os.open(self._path, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise BookUnusable(
                _(
                    "The folder of {book} cannot be written to ({reason}): copy the book to one of your own."
                ).format(book=book.name, reason=error.strerror)
            ) from error

    def release(self) -> None:
        """Give the book up; a second call does nothing."""
        if self._descriptor is None:
            return
        if sys.platform != "win32":
            self._path.unlink(missing_ok=True)
        os.close(self._descriptor)
        self._descriptor = None
