"""Each line of a list as a bird, without its parents, who may stand on any other line."""

import re
import uuid
from dataclasses import dataclass, replace

from studbook.book.clock import Ids
from studbook.book.errors import Severity
from studbook.book.importing.columns import Column
from studbook.book.importing.plan import WhichOrder
from studbook.book.importing.table import LineProblem, Table, TableRow
from studbook.book.importing.values import PLACEHOLDER, is_unknown_word, sex_of, status_of
from studbook.book.importing.who import folded
from studbook.book.importing.written_dates import DateOrder, date_readings, settle_order
from studbook.book.records import Bird, BirdId, Mark, MarkId, MarkKind, Origin, OriginId, Sex, Snapshot
from studbook.dates import UNKNOWN_DATE, PartialDate
from studbook.words import _

_DATE_COLUMNS = (Column.HATCHED, Column.LEFT)
_NOT_IN_MARKS = re.compile(r"[|=,;]")


@dataclass(frozen=True, slots=True)
class Draft:
    """One line's bird; `before` is the bird of the book it updates."""

    row: TableRow
    bird: Bird
    before: Bird | None


@dataclass(frozen=True, slots=True)
class Drafts:
    """Every line's bird, with what was found wrong in its own cells."""

    birds: tuple[Draft, ...]
    origins_added: tuple[Origin, ...]
    problems: tuple[LineProblem, ...]
    questions: tuple[WhichOrder, ...]
    date_order: DateOrder | None
    other_columns: tuple[str, ...]


def own_mark(bird: Bird) -> Mark | None:
    """The mark a list gives for a bird: its numbered ring, else wing tag, else chip; never a shared one."""
    worn = [mark for mark in bird.marks if mark.is_worn and mark.kind.is_own]
    order = list(MarkKind)
    return min(worn, key=lambda mark: order.index(mark.kind), default=None)


def draft_birds(table: Table, snapshot: Snapshot, ids: Ids, date_order: DateOrder | None) -> Drafts:
    """The birds of `table`, as they would stand in the book but for their parents."""
    return _Drafting(table, snapshot, ids, date_order).drafts()


def called_in_line(row: TableRow) -> str:
    """What a sentence calls the bird of a line."""
    called = row.cells.get(Column.MARK) or row.cells.get(Column.NAME)
    return called or _("the bird of line {line}").format(line=row.line)


class _Drafting:
    def __init__(self, table: Table, snapshot: Snapshot, ids: Ids, date_order: DateOrder | None) -> None:
        self._snapshot = snapshot
        self._ids = ids
        self._table = table
        self._problems: list[LineProblem] = []
        self._questions: list[WhichOrder] = []
        self._origins = {folded(origin.name): origin for origin in snapshot.origins}
        self._origins_added: list[Origin] = []
        self._struck = {bird.id for bird in snapshot.struck}
        self._seen_ids: dict[BirdId, int] = {}
        self._has_ids = self._ids_are_ours()
        self._breed = "" if Column.BREED in table.columns else snapshot.details.breed
        self._order_taken: DateOrder | None = None
        self._dates = self._read_dates(date_order)

    def drafts(self) -> Drafts:
        birds = tuple(draft for row in self._table.rows if (draft := self._draft(row)) is not None)
        self._look_at_breeds(birds)
        others = self._table.other_columns
        return Drafts(
            birds=birds,
            origins_added=tuple(self._origins_added),
            problems=tuple(self._problems),
            questions=tuple(self._questions),
            date_order=self._order_taken,
            other_columns=others if self._has_ids else (Column.ID.value, *others),
        )

    def _problem(self, row: TableRow, column: Column | None, message: str, **words: object) -> None:
        name = column.value if column else ""
        text = message.format(bird=called_in_line(row), column=name, **words)
        self._problems.append(LineProblem(row.line, name, text))

    def _ids_are_ours(self) -> bool:
        """False when the column holds another list's numbers: then it is a column like any other."""
        given = [row.cells[Column.ID] for row in self._table.rows if Column.ID in row.cells]
        return not given or any(self._bird_id(text) for text in given)

    def _bird_id(self, text: str) -> BirdId | None:
        """The id that `text` is: one of the book, or a UUID of a bird that is new to it."""
        if self._snapshot.has(BirdId(text)) or text in self._struck:
            return BirdId(text)
        try:
            return BirdId(str(uuid.UUID(text)))
        except ValueError:
            return None

    def _read_dates(self, asked: DateOrder | None) -> dict[tuple[Column, str], PartialDate]:
        """The day meant by each text of the date columns; a column that does not decide follows the other."""
        written = {column: self._readable(column) for column in _DATE_COLUMNS}
        settled = {
            column: settle_order(row.cells[column] for row in rows) for column, rows in written.items()
        }
        proven = [found.order for found in settled.values() if found.order is not None]
        dates: dict[tuple[Column, str], PartialDate] = {}
        for column, rows in written.items():
            found = settled[column]
            order = asked or found.order
            if order is None and found.is_question and proven:
                order = proven[0]
            if order is None and found.is_question:
                self._ask_order(column, rows)
                continue
            if any(len(set(date_readings(row.cells[column]).values())) > 1 for row in rows) or found.misfits:
                self._order_taken = order
            for row in rows:
                text = row.cells[column]
                readings = date_readings(text)
                if order is None:
                    dates[column, text] = next(iter(readings.values()))
                elif order in readings:
                    dates[column, text] = readings[order]
                else:
                    message = _(
                        "{bird}, {column}: “{text}” is no date in the list's order {order}: correct it."
                    )
                    self._problem(row, column, message, text=text, order=order.value)
        return dates

    def _readable(self, column: Column) -> list[TableRow]:
        """The rows whose cell of `column` is some date; the others are problems."""
        rows: list[TableRow] = []
        for row in self._table.rows:
            text = row.cells.get(column)
            if text is None:
                continue
            try:
                date_readings(text)
            except ValueError:
                message = _(
                    "{bird}, {column}: “{text}” is no date: write it like 2019-05-04, 2019-05 or 2019."
                )
                self._problem(row, column, message, text=text)
            else:
                rows.append(row)
        return rows

    def _ask_order(self, column: Column, rows: list[TableRow]) -> None:
        row = next(row for row in rows if len(set(date_readings(row.cells[column]).values())) > 1)
        text = row.cells[column]
        self._questions.append(WhichOrder(column, row.line, text))
        days = list(dict.fromkeys(date_readings(text).values()))
        message = _(
            "{column}: “{text}” can be {day} or {other} and no date in the list decides: say which order is "
            "meant (on the command line: --date-order DMY, MDY or YMD)."
        )
        self._problem(row, column, message, text=text, day=days[0], other=days[1])

    def _draft(self, row: TableRow) -> Draft | None:
        bird_id, before = self._identity(row)
        if bird_id is None:
            return None
        cells = row.cells
        if (
            Column.MARK not in cells
            and Column.NAME not in cells
            and not (self._has_ids and Column.ID in cells)
        ):
            message = _("Line {line} has neither a mark nor a name: give the bird one of them.")
            self._problem(row, None, message, line=row.line)
        start = before or Bird(id=bird_id, species=self._snapshot.details.species, breed=self._breed)
        bird = replace(
            start,
            name=cells.get(Column.NAME, start.name),
            breed=cells.get(Column.BREED, start.breed),
            colour=cells.get(Column.COLOUR, start.colour),
            note=self._note(row, start.note),
            sex=self._sex(row, start.sex),
            hatched=self._date(row, Column.HATCHED, start.hatched),
            left=self._date(row, Column.LEFT, start.left),
            origin=self._origin(cells.get(Column.ORIGIN), start.origin),
            marks=self._marks(row, start),
        )
        return Draft(row, self._with_status(row, bird), before)

    def _identity(self, row: TableRow) -> tuple[BirdId | None, Bird | None]:
        """The id of the row's bird and the bird of the book it updates; no id when it cannot be told."""
        text = row.cells.get(Column.ID)
        if text is None or not self._has_ids:
            return BirdId(self._ids()), None
        bird_id = self._bird_id(text)
        if bird_id is None:
            message = _("{bird}, id: “{text}” is no id of a bird: leave it empty for a bird that is new.")
            self._problem(row, Column.ID, message, text=text)
            return BirdId(self._ids()), None
        if bird_id in self._seen_ids:
            message = _("{bird} has the id of line {line}: keep one of the two lines.")
            self._problem(row, Column.ID, message, line=self._seen_ids[bird_id])
            return None, None
        self._seen_ids[bird_id] = row.line
        if bird_id in self._struck:
            self._problem(
                row, Column.ID, _("{bird} is struck out of the book: restore it before updating it.")
            )
            return None, None
        return bird_id, self._snapshot.bird(bird_id) if self._snapshot.has(bird_id) else None

    def _sex(self, row: TableRow, otherwise: Sex) -> Sex:
        text = row.cells.get(Column.SEX)
        if text is None:
            return otherwise
        try:
            return sex_of(text)
        except ValueError:
            message = _("{bird}, sex: “{text}” is not known: write cock, hen or unknown.")
            self._problem(row, Column.SEX, message, text=text)
            return otherwise

    def _with_status(self, row: TableRow, bird: Bird) -> Bird:
        text = row.cells.get(Column.STATUS)
        if text is None:
            return bird
        if folded(text) == PLACEHOLDER:
            return replace(bird, placeholder=True)
        try:
            return replace(bird, status=status_of(text), placeholder=False)
        except ValueError:
            message = _(
                "{bird}, status: “{text}” is not known: write living, sold, given, lent, died, culled or lost."
            )
            self._problem(row, Column.STATUS, message, text=text)
            # whether a date of leaving fits cannot be judged before the status is known
            return replace(bird, left=UNKNOWN_DATE)

    def _date(self, row: TableRow, column: Column, otherwise: PartialDate) -> PartialDate:
        text = row.cells.get(column)
        return otherwise if text is None else self._dates.get((column, text), UNKNOWN_DATE)

    def _origin(self, name: str | None, otherwise: OriginId | None) -> OriginId | None:
        if name is None or is_unknown_word(name):
            return otherwise
        origin = self._origins.get(folded(name))
        if origin is None:
            origin = Origin(OriginId(self._ids()), name)
            self._origins[folded(name)] = origin
            self._origins_added.append(origin)
        return origin.id

    def _note(self, row: TableRow, kept: str) -> str:
        """The note with the cells of other columns below it, each once."""
        note = row.cells.get(Column.NOTE, kept)
        others = row.others
        if not self._has_ids and Column.ID in row.cells:
            others = ((Column.ID.value, row.cells[Column.ID]), *others)
        lines = [f"{heading}: {text}" if heading else text for heading, text in others]
        present = set(note.split("\n"))
        return "\n".join([*([note] if note else []), *(line for line in lines if line not in present)])

    def _marks(self, row: TableRow, start: Bird) -> tuple[Mark, ...]:
        code = row.cells.get(Column.MARK)
        if code is None or any(mark.is_worn and mark.code == code for mark in start.marks):
            return start.marks
        if _NOT_IN_MARKS.search(code):
            message = _("{bird}, mark: a mark cannot contain any of | = , ; : write it without.")
            self._problem(row, Column.MARK, message)
        shown = own_mark(start)
        if shown is None:
            return (*start.marks, Mark(MarkId(self._ids()), self._table.mark_kind, code))
        return tuple(replace(mark, code=code) if mark.id == shown.id else mark for mark in start.marks)

    def _look_at_breeds(self, drafts: tuple[Draft, ...]) -> None:
        """Warn once of each breed that is new to the book: it may be a slip of the pen."""
        known = {folded(bird.breed) for bird in self._snapshot.birds} | {folded(self._snapshot.details.breed)}
        if known <= {""}:
            return
        for draft in drafts:
            breed = draft.bird.breed
            if folded(breed) not in known | {""}:
                known.add(folded(breed))
                message = _("{bird}, breed: “{breed}” is new to this book: check how it is written.")
                text = message.format(bird=called_in_line(draft.row), breed=breed)
                self._problems.append(LineProblem(draft.row.line, Column.BREED, text, Severity.WARNING))
