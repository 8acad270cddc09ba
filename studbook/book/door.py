"""The one door: a book, read as snapshots and changed only by `Book.apply`, `undo` and `redo`."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import Engine, select
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from studbook.book import journal as entries
from studbook.book import models, reading
from studbook.book.changes.birds import replace_stay_pairs
from studbook.book.changes.change import Change
from studbook.book.clock import Clock, Ids
from studbook.book.errors import BookUnusable, Problem, RecordProblems, Severity
from studbook.book.figures import FiguresInFile, Kept, clear_figures
from studbook.book.husbandry.derived import derived_pairs
from studbook.book.husbandry.rows import Figure
from studbook.book.husbandry.rules import figure_problems, year_problems
from studbook.book.husbandry.tables import husbandry_after, read_husbandry, touched_rows
from studbook.book.husbandry.view import YearView
from studbook.book.lock import BookLock
from studbook.book.order import parents_first, parents_of
from studbook.book.records import Bird, BirdId, Entry, EntryKind, Snapshot, StoredFigures
from studbook.book.rules import View, origin_problems, problems
from studbook.book.search import find_birds, index_birds
from studbook.book.writing import Writing
from studbook.words import _


class Book:
    """An open book. One thread uses it; what it hands out is frozen.

    Made by `studbook.book.opening`. Every failure of the machine is a `BookUnusable`; nothing that
    was confirmed is lost by one.

    Attributes
    ----------
    path
        The file.
    read_only
        True when it was opened for reading: every change is then refused.
    """

    def __init__(
        self,
        path: Path,
        engine: Engine,
        lock: BookLock | None,
        *,
        clock: Clock,
        ids: Ids,
        today: date | None,
        read_only: bool,
    ) -> None:
        self.path = path
        self.read_only = read_only
        self._engine = engine
        self._lock = lock
        self._clock = clock
        self._ids = ids
        self._today = today
        self._snapshot: Snapshot | None = None
        self._stacks = entries.Stacks()
        self._stored = FiguresInFile()
        try:
            with self._reading() as session:
                self._stacks = entries.read_stacks(session)
        except BookUnusable:
            self.close()
            raise

    def __enter__(self) -> "Book":
        return self

    def __exit__(self, *_exception: object) -> None:
        self.close()

    def close(self) -> None:
        """Give the file up; a second call does nothing."""
        self._engine.dispose()
        if self._lock is not None:
            self._lock.release()

    @property
    def today(self) -> date:
        """The day the book was opened for, else the day of the clock."""
        return self._today or self._clock().astimezone().date()

    def new_id(self) -> str:
        """A fresh id, for birds of one change that refer to each other."""
        return self._ids()

    def snapshot(self) -> Snapshot:
        """The whole book as it stands.

        Raises
        ------
        RecordProblems
            If a bird of a damaged file is its own ancestor.
        """
        if self._snapshot is None:
            with self._reading() as session:
                birds = reading.read_birds(session)
                details = reading.read_details(session)
                self._snapshot = self._with_labels(
                    session,
                    Snapshot(
                        entry=_last_number(session),
                        details=details,
                        birds=self._ordered(birds),
                        struck=tuple(bird for bird in birds.values() if bird.struck is not None),
                        origins=reading.read_origins(session),
                        origin_relations=reading.read_origin_relations(session),
                        contacts=reading.read_contacts(session),
                        notes=reading.read_notes(session),
                        photos=reading.read_photos(session),
                        certificates=reading.read_certificates(session),
                        husbandry=read_husbandry(session),
                        stored=self._stored.read(session),
                    ),
                )
        return self._snapshot

    def apply(self, change: Change, why: str = "") -> Entry:
        """Make a change, whole or not at all, and write its journal entry in the same transaction.

        A change that alters nothing writes no entry.

        Raises
        ------
        RecordProblems
            If a rule refuses it; every problem is named and nothing was saved.
        BookUnusable
            If the book is open for reading only or the machine failed.
        """
        before = self.snapshot()
        label = change.label(before)
        with self._writing() as session:
            images, after, touched, found = self._tried(session, before, change)
            errors = tuple(problem for problem in found if problem.is_error)
            if errors:
                raise RecordProblems(errors)
            if not images:
                return Entry(before.entry, self._clock(), EntryKind.CHANGE, label, why)
            row = entries.write_entry(
                session, images, at=self._clock(), kind=EntryKind.CHANGE, label=label, why=why
            )
            self._reindex(session, images, after, touched)
            session.flush()
            cleared = clear_figures(session, before, after, touched, images)
            entry = replace(_entry(row, touched), warnings=found)
        after = self._without(after, cleared)
        self._keep(after, entry, None)
        return entry

    def preview(self, change: Change) -> tuple[Problem, ...]:
        """Every problem and warning a change would meet; nothing is saved."""
        before = self.snapshot()
        found: tuple[Problem, ...] = ()
        try:
            with self._writing() as session:
                found = self._tried(session, before, change)[3]
                session.rollback()
        except RecordProblems as refused:
            return refused.problems
        return found

    def foresee(self, change: Change) -> Snapshot:
        """The book as it would stand after a change; nothing is saved.

        Raises
        ------
        RecordProblems
            If a rule refuses the change.
        """
        before = self.snapshot()
        with self._writing() as session:
            _images, after, _touched, found = self._tried(session, before, change)
            session.rollback()
        errors = tuple(problem for problem in found if problem.is_error)
        if errors:
            raise RecordProblems(errors)
        return after

    def undo(self) -> Entry:
        """Take back the last change that stands.

        Raises
        ------
        RecordProblems
            If there is none or a row is no longer what the change left.
        """
        if not self._stacks.done:
            raise RecordProblems((Problem("undo", _("There is nothing to undo.")),))
        return self._turn(self._stacks.done[-1], EntryKind.UNDO)

    def redo(self) -> Entry:
        """Make the last change again that was taken back.

        Raises
        ------
        RecordProblems
            If there is none or a row is no longer what undoing it left.
        """
        if not self._stacks.undone:
            raise RecordProblems((Problem("redo", _("There is nothing to redo.")),))
        return self._turn(self._stacks.undone[-1], EntryKind.REDO)

    def _turn(self, target: int, kind: EntryKind) -> Entry:
        before = self.snapshot()
        with self._writing() as session:
            row = session.get_one(models.EntryRow, target)
            images = entries.images_of(row)
            if kind is EntryKind.REDO:
                images = [image.reversed() for image in reversed(images)]
            if entries.collisions(session, images):
                message = _("“{label}” cannot be turned: what it changed has been changed since.")
                raise RecordProblems((Problem(str(kind), message.format(label=row.label)),))
            made = entries.take_back(session, images)
            after, touched, _all = self._next(session, before, made)
            after = replace(after, birds=self._ordered({bird.id: bird for bird in after.birds}))
            written = entries.write_entry(
                session, made, at=self._clock(), kind=kind, label=row.label, why=row.why, target=target
            )
            self._reindex(session, made, after, touched)
            session.flush()
            cleared = clear_figures(session, before, after, touched, made)
            entry = _entry(written, touched)
        after = self._without(after, cleared)
        self._keep(after, entry, target)
        return entry

    def keep_figures(self, figures: StoredFigures | None) -> None:
        """Keep numbers found from a snapshot, so that the next opening need not find them again.

        They are a cache outside the journal: what was found from another state of the book is dropped, and
        a failure to write them is no failure.
        """
        if figures is None or self.read_only:
            return
        now = self.snapshot()
        if (figures.book, figures.entry) != (now.details.id, now.entry):
            return
        try:
            with self._writing() as session:
                self._stored.write(session, figures)
        except BookUnusable:
            self._stored = FiguresInFile()
            return
        self._stored.keep(figures)
        self._snapshot = replace(self.snapshot(), stored=self._stored.by_stamp)

    def journal(self, limit: int = 200) -> tuple[Entry, ...]:
        """The last entries, newest first."""
        with self._reading() as session:
            rows = session.scalars(
                select(models.EntryRow).order_by(models.EntryRow.number.desc()).limit(limit)
            )
            return tuple(_entry(row, _birds_of(row)) for row in rows)

    def search(self, text: str, limit: int = 50) -> tuple[BirdId, ...]:
        """The birds whose mark or name holds every word of `text`, without case or accents."""
        with self._reading() as session:
            return find_birds(session, text, limit)

    def photo(self, sha256: str) -> bytes:
        """The bytes of a photo."""
        with self._reading() as session:
            return session.get_one(models.PictureRow, sha256).content

    def thumbnail(self, sha256: str) -> bytes:
        """The small picture of a photo."""
        with self._reading() as session:
            return session.get_one(models.PictureRow, sha256).thumbnail

    def check(self) -> tuple[Problem, ...]:
        """Everything wrong with the file and with the record, errors first."""
        with self._reading() as session:
            connection = session.connection()
            found: list[Problem] = []
            for row in connection.exec_driver_sql("PRAGMA integrity_check").scalars():
                if row != "ok":
                    found.append(Problem("file", _("The file is damaged: {report}.").format(report=row)))
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                found.append(
                    Problem("file", _("The file is damaged: a row refers to another that is missing."))
                )
            broken = entries.broken_link(session)
            if broken is not None:
                message = _(
                    "The journal does not fit together from entry {number} on: it was altered outside."
                )
                found.append(Problem("journal", message.format(number=broken)))
            birds = reading.read_birds(session)
            found += origin_problems(reading.read_origins(session), reading.read_origin_relations(session))
            if not reading.read_details(session).keeper.strip():
                message = _("The book names no keeper: enter one, since certificates carry the name.")
                found.append(Problem("keeper", message, severity=Severity.WARNING, field="keeper"))
            year = read_husbandry(session)
        found += problems(View(birds, self.today))
        found += year_problems(YearView(birds, year, self.today))
        return tuple(sorted(found, key=lambda problem: not problem.is_error))

    @contextmanager
    def _reading(self) -> Iterator[Session]:
        with self._machine_faults(), Session(self._engine.execution_options(read_only=True)) as session:
            yield session

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        if self.read_only:
            raise BookUnusable(
                _("{book} is open for reading only: nothing in it can be changed.").format(
                    book=self.path.name
                )
            )
        # rows are flushed once, at the end: a change asks for keys while it adds thousands
        session = Session(self._engine, expire_on_commit=False, autoflush=False)
        with self._machine_faults(), session, session.begin():
            session.connection().exec_driver_sql("PRAGMA defer_foreign_keys=ON")
            yield session

    @contextmanager
    def _machine_faults(self) -> Iterator[None]:
        try:
            yield
        except DatabaseError as error:
            self._snapshot = None
            raise BookUnusable(
                _(
                    "{book} could not be read or written ({reason}): nothing that was confirmed is lost."
                ).format(book=self.path.name, reason=error.orig)
            ) from error

    def _tried(
        self, session: Session, before: Snapshot, change: Change
    ) -> tuple[list[entries.Image], Snapshot, list[BirdId], tuple[Problem, ...]]:
        recorder = entries.Recorder(session)
        writing = Writing(session, before, self._ids)
        change.write(writing)
        session.flush()
        added = writing.insert()
        images = [*added, *recorder.changed()]
        after, touched, birds = self._next(session, before, images)
        of_year = {table.row: ids for table, ids in touched_rows(images).items()}
        if of_year.get(Figure) and (refused := figure_problems(YearView(birds, after.husbandry, self.today))):
            # whose an egg is cannot be worked out with figures that contradict each other
            raise RecordProblems(refused)
        derived = derived_pairs(before, after, birds, of_year, touched)
        if derived:
            for bird, pairs in derived.items():
                replace_stay_pairs(writing, bird, pairs)
            session.flush()
            images = [*added, *writing.insert(), *recorder.changed()]
            after, touched, birds = self._next(session, before, images)
        found = problems(View(birds, self.today), touched)
        found += year_problems(YearView(birds, after.husbandry, self.today), of_year, touched)
        if not {image.table for image in images}.isdisjoint(_TABLES_OF_ORIGINS):
            found += origin_problems(after.origins, after.origin_relations)
        if not any(problem.is_error for problem in found):
            after = replace(after, birds=self._arranged(before, after, touched))
        return images, after, touched, found

    def _next(
        self, session: Session, before: Snapshot, images: Iterable[entries.Image]
    ) -> tuple[Snapshot, list[BirdId], Mapping[BirdId, Bird]]:
        """The snapshot after `images`, birds not yet in order; the birds touched; every bird."""
        tables = {image.table for image in images}
        touched = _touched(session, images)
        birds = {bird.id: bird for bird in (*before.birds, *before.struck)}
        fresh = reading.read_birds(session, touched)
        for bird_id in touched:
            if bird_id in fresh:
                birds[bird_id] = fresh[bird_id]
            else:
                birds.pop(bird_id, None)
        parts: dict[str, object] = {}
        for table, field, read in _PARTS:
            if table in tables:
                parts[field] = read(session)
        after = replace(
            before,
            birds=tuple(bird for bird in birds.values() if bird.struck is None),
            struck=tuple(bird for bird in birds.values() if bird.struck is not None),
            husbandry=husbandry_after(session, before.husbandry, touched_rows(images)),
            **parts,  # type: ignore[arg-type]  # each reader gives the type of its field
        )
        return after, touched, birds

    def _arranged(self, before: Snapshot, after: Snapshot, touched: list[BirdId]) -> tuple[Bird, ...]:
        """The birds in order, sorted anew only when a change of parents may have upset it."""
        rows = before.rows
        upset = len(after.birds) < len(before.birds)
        for bird_id in touched:
            if bird_id not in rows or not after.has(bird_id):
                continue
            old, new = before.bird(bird_id), after.bird(bird_id)
            upset = upset or old.pairs != new.pairs or old.hatched != new.hatched
        added = {bird.id: bird for bird in after.birds if bird.id not in rows}
        if upset or any(parent in added for bird in before.birds for parent in parents_of(bird)):
            return self._ordered({bird.id: bird for bird in after.birds})
        kept = tuple(after.bird(bird.id) for bird in before.birds)
        return (*kept, *parents_first(added))

    def _ordered(self, birds: Mapping[BirdId, Bird]) -> tuple[Bird, ...]:
        standing = {bird_id: bird for bird_id, bird in birds.items() if bird.struck is None}
        try:
            return parents_first(standing)
        except ValueError as error:
            raise RecordProblems(problems(View(birds, self.today))) from error

    def _reindex(
        self, session: Session, images: Iterable[entries.Image], after: Snapshot, touched: Iterable[BirdId]
    ) -> None:
        birds = {bird.id: bird for bird in (*after.birds, *after.struck)}
        gone = [
            image.before["key"]
            for image in images
            if image.table == models.BirdRow.__tablename__ and image.after is None and image.before
        ]
        index_birds(session, [birds[bird_id] for bird_id in touched if bird_id in birds], gone)

    def _without(self, after: Snapshot, cleared: Collection[Kept]) -> Snapshot:
        """The snapshot without the stored figures that a change has cleared."""
        if not cleared:
            return after
        self._stored.forget(cleared)
        return replace(after, stored=self._stored.by_stamp)

    def _keep(self, after: Snapshot, entry: Entry, target: int | None) -> None:
        self._stacks.note(entry.number, entry.kind, target)
        with self._reading() as session:
            self._snapshot = self._with_labels(session, replace(after, entry=entry.number))

    def _with_labels(self, session: Session, snapshot: Snapshot) -> Snapshot:
        def label(numbers: list[int]) -> str:
            return session.get_one(models.EntryRow, numbers[-1]).label if numbers else ""

        return replace(snapshot, undo_label=label(self._stacks.done), redo_label=label(self._stacks.undone))


_PARTS = (
    (models.DetailsRow.__tablename__, "details", reading.read_details),
    (models.OriginRow.__tablename__, "origins", reading.read_origins),
    (models.OriginRelationRow.__tablename__, "origin_relations", reading.read_origin_relations),
    (models.ContactRow.__tablename__, "contacts", reading.read_contacts),
    (models.NoteRow.__tablename__, "notes", reading.read_notes),
    (models.PhotoRow.__tablename__, "photos", reading.read_photos),
    (models.CertificateRow.__tablename__, "certificates", reading.read_certificates),
)
"""The tables a snapshot holds besides the birds, read again when a change touches them."""

_TABLES_OF_ORIGINS = (models.OriginRow.__tablename__, models.OriginRelationRow.__tablename__)


def _last_number(session: Session) -> int:
    last = session.scalars(select(models.EntryRow.number).order_by(models.EntryRow.number.desc()).limit(1))
    return last.first() or 0


def _touched(session: Session, images: Iterable[entries.Image]) -> list[BirdId]:
    """The birds whose own rows, marks, pairs or papers the images hold."""
    uuid_of: dict[int, str] = {}
    missing: set[int] = set()
    touched: dict[BirdId, None] = {}
    for image in images:
        if image.table == models.BirdRow.__tablename__:
            touched[BirdId(image.uuid)] = None
            uuid_of[(image.after or image.before or {})["key"]] = image.uuid
    for image in images:
        key = (image.after or image.before or {}).get("bird_key")
        if key is not None and key not in uuid_of:
            missing.add(key)
    keys = list(missing)
    for start in range(0, len(keys), 500):
        query = select(models.BirdRow.uuid).where(models.BirdRow.key.in_(keys[start : start + 500]))
        touched.update(dict.fromkeys(BirdId(uuid) for uuid in session.scalars(query)))
    return list(touched)


def _entry(row: models.EntryRow, birds: Iterable[BirdId]) -> Entry:
    at = datetime.fromisoformat(row.at)
    return Entry(row.number, at, row.kind, row.label, row.why, tuple(birds))


def _birds_of(row: models.EntryRow) -> Iterator[BirdId]:
    """The birds whose own row an entry holds; marks and papers name theirs by key alone."""
    for image in entries.images_of(row):
        if image.table == models.BirdRow.__tablename__:
            yield BirdId(image.uuid)
