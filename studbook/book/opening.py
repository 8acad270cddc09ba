"""Making and opening books: header, lock, settings, schema, soundness."""

import shutil
import sqlite3
from collections.abc import Callable
from datetime import date
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Connection, Engine, QueuePool, StaticPool, create_engine, event

from studbook import places
from studbook.book.clock import Clock, Ids, new_uuid, utc_now
from studbook.book.door import Book
from studbook.book.errors import BookUnusable
from studbook.book.lock import BookLock
from studbook.book.migrations import SCHEMA_VERSION, migrate
from studbook.book.records import BookDetails
from studbook.words import _

APPLICATION_ID = 0x53747564
"""Spells "Stud"; stands at byte 68 of every book."""

SAMPLE_TODAY = date(2027, 2, 14)
"""The day the sample book opens on unless told otherwise."""

_HEADER_BYTES = 100
_SETTINGS = (
    "foreign_keys=ON",
    "journal_mode=DELETE",
    "synchronous=FULL",
    "busy_timeout=5000",
    "trusted_schema=OFF",
    "cell_size_check=ON",
)


def create_book(
    path: Path,
    details: BookDetails | None = None,
    *,
    clock: Clock = utc_now,
    ids: Ids = new_uuid,
    today: date | None = None,
) -> Book:
    """A new, empty book at `path`, open for writing.

    Raises
    ------
    BookUnusable
        If something stands there already or the folder cannot be written to.
    """
    if path.exists():
        raise BookUnusable(_("{book} exists already: choose another name.").format(book=path.name))
    if not path.parent.is_dir():
        raise BookUnusable(_("The folder {folder} does not exist: make it first.").format(folder=path.parent))
    details = details or BookDetails(id="")
    lock = BookLock(path)
    try:
        _write_new(path, details, details.id or ids())
    except (OSError, sqlite3.Error) as error:
        lock.release()
        path.unlink(missing_ok=True)
        raise BookUnusable(
            _("{book} could not be made ({reason}).").format(book=path.name, reason=error)
        ) from error
    return Book(path, _engine(path, False), lock, clock=clock, ids=ids, today=today, read_only=False)


def _write_new(path: Path, details: BookDetails, uuid: str) -> None:
    connection = sqlite3.connect(path, isolation_level=None)
    try:
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        migrate(connection)
        connection.execute(
            "INSERT INTO details (key, uuid, keeper, yard, address, flock_registration, species, breed, sample) "
            "VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                uuid,
                details.keeper,
                details.yard,
                details.address,
                details.flock_registration,
                details.species,
                details.breed,
                int(details.sample),
            ),
        )
    finally:
        connection.close()


def open_book(
    path: Path,
    *,
    clock: Clock = utc_now,
    ids: Ids = new_uuid,
    read_only: bool = False,
    today: date | None = None,
) -> Book:
    """The book at `path`, brought to the present schema and found sound.

    The sample book is never opened for writing where it lies: it becomes a copy in the user's data
    folder, and its day is `SAMPLE_TODAY` unless `today` says otherwise.

    Raises
    ------
    BookUnusable
        If it is missing, no book, damaged, too new or open elsewhere; one sentence says which.
    """
    version = _read_version(path)
    if version > SCHEMA_VERSION:
        raise BookUnusable(
            _(
                "{book} was written by a newer Studbook (book version {theirs}, this program reads {ours}): "
                "install the newer program."
            ).format(book=path.name, theirs=version, ours=SCHEMA_VERSION)
        )
    if is_sample(path):
        today = today or SAMPLE_TODAY
        if not read_only:
            path = working_copy(path)
    lock = None if read_only else BookLock(path)
    engine = _engine(path, read_only)
    try:
        _examine(path, engine, version, read_only)
    except BaseException:
        engine.dispose()
        if lock is not None:
            lock.release()
        raise
    if version < SCHEMA_VERSION and read_only:
        engine.dispose()
        engine = _engine_of_copy(path)
    return Book(path, engine, lock, clock=clock, ids=ids, today=today, read_only=read_only)


def _read_version(path: Path) -> int:
    """The schema version in the header, read before SQLite opens the file."""
    try:
        with path.open("rb") as file:
            header = file.read(_HEADER_BYTES)
    except FileNotFoundError as error:
        raise BookUnusable(_("There is no file {book}.").format(book=path)) from error
    except OSError as error:
        message = _("{book} cannot be read ({reason}).")
        raise BookUnusable(message.format(book=path, reason=error.strerror)) from error
    is_book = (
        len(header) == _HEADER_BYTES
        and header.startswith(b"SQLite format 3\0")
        and int.from_bytes(header[68:72], "big") == APPLICATION_ID
    )
    if not is_book:
        raise BookUnusable(_("{book} is not a studbook.").format(book=path.name))
    return int.from_bytes(header[60:64], "big")


def _examine(path: Path, engine: Engine, version: int, read_only: bool) -> None:
    damaged = _("{book} is damaged ({reason}): put a copy of it in its place, or restore a backup.")
    try:
        raw = engine.raw_connection()
        try:
            connection = raw.driver_connection
            assert isinstance(connection, sqlite3.Connection)
            report = connection.execute("PRAGMA quick_check").fetchone()[0]
            if report != "ok":
                raise BookUnusable(damaged.format(book=path.name, reason=report))
            if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
                reason = _("a row refers to another that is missing")
                raise BookUnusable(damaged.format(book=path.name, reason=reason))
            if version < SCHEMA_VERSION and not read_only:
                _keep_copy(connection, path.with_name(f"{path.name}.version-{version}"))
                migrate(connection)
        finally:
            raw.close()
    # a name in a damaged schema need not be text
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise BookUnusable(damaged.format(book=path.name, reason=error)) from error


def _keep_copy(connection: sqlite3.Connection, destination: Path) -> None:
    """A copy of the book as it was before its schema changes."""
    copy = sqlite3.connect(destination)
    try:
        connection.backup(copy)
    finally:
        copy.close()


def is_sample(path: Path) -> bool:
    """True when the book at `path` carries the flag of the sample book and is not the user's copy of it."""
    if path.resolve().parent == places.data_folder().resolve():
        return False
    try:
        connection = sqlite3.connect(_read_only_uri(path), uri=True)
        try:
            row = connection.execute("SELECT sample FROM details").fetchone()
        finally:
            connection.close()
    except (sqlite3.Error, UnicodeDecodeError):
        return False  # a damaged file is reported when it is examined
    return bool(row and row[0])


def working_copy(sample: Path) -> Path:
    """The user's own copy of the sample book, made on first use and kept from then on."""
    copy = places.data_folder() / sample.name
    if not copy.exists():
        shutil.copyfile(sample, copy)
    return copy


def _read_only_uri(path: Path) -> str:
    return f"file:{quote(str(path.resolve()))}?mode=ro"


def _engine(path: Path, read_only: bool) -> Engine:
    engine = create_engine("sqlite://", creator=_connector(path, read_only), poolclass=QueuePool)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        reading = read_only or connection.get_execution_options().get("read_only")
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")

    return engine


def _engine_of_copy(path: Path) -> Engine:
    """A book of an older schema as this program reads it: a copy in memory, brought to the present schema."""
    copy = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    original = sqlite3.connect(_read_only_uri(path), uri=True)
    try:
        original.backup(copy)
    finally:
        original.close()
    migrate(copy)
    return create_engine("sqlite://", creator=lambda: copy, poolclass=StaticPool)


def _connector(path: Path, read_only: bool) -> Callable[[], sqlite3.Connection]:
    target = _read_only_uri(path) if read_only else f"file:{quote(str(path.resolve()))}?mode=rw"

    def connect() -> sqlite3.Connection:
        # without isolation_level=None the driver would leave DDL outside the transaction
        connection = sqlite3.connect(target, uri=True, isolation_level=None, check_same_thread=False)
        for setting in _SETTINGS:
            connection.execute(f"PRAGMA {setting}")
        return connection

    return connect
