"""Reading a list against a book: who is who, what would be added, and everything that is wrong."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType

from studbook.book.clock import Ids
from studbook.book.errors import Severity
from studbook.book.importing.clashes import clash_problems, find_clashes
from studbook.book.importing.columns import Column
from studbook.book.importing.drafting import Draft, Drafts, draft_birds
from studbook.book.importing.faults import rule_problems
from studbook.book.importing.linking import Linked, Unknown, link_parents, some_birds
from studbook.book.importing.plan import Answers, ImportPlan
from studbook.book.importing.reading import read_table
from studbook.book.importing.table import LineProblem, Table
from studbook.book.importing.who import Register, folded
from studbook.book.importing.written_dates import DateOrder
from studbook.book.records import Bird, BirdId, Snapshot
from studbook.book.rules import View
from studbook.words import _

_NO_ANSWERS: Answers = MappingProxyType({})


def read_list(
    path: Path,
    snapshot: Snapshot,
    *,
    ids: Ids,
    today: date,
    date_order: DateOrder | None = None,
    answers: Answers = _NO_ANSWERS,
) -> ImportPlan:
    """What importing the list at `path` into the book of `snapshot` would do; nothing is changed.

    Parameters
    ----------
    date_order
        The order of dates in figures; by default the dates of the list decide, and one that only several
        orders can read is a question.
    answers
        The keeper's answers to the questions of an earlier reading.

    Raises
    ------
    BookUnusable
        If the file is no list at all.
    """
    table = read_table(path)
    if table.problems:
        # a list whose lines cannot be told apart says nothing certain about any bird
        return _plan(table, problems=table.problems)
    drafts = draft_birds(table, snapshot, ids, date_order)
    lines = {draft.bird.id: draft.row.line for draft in drafts.birds}
    birds = {bird.id: bird for bird in (*snapshot.birds, *snapshot.struck)}
    birds |= {draft.bird.id: draft.bird for draft in drafts.birds}
    clashes = find_clashes(birds, lines)
    register = _register(snapshot, drafts)
    clashing = frozenset(clash.key for clash in clashes)
    linked = link_parents(drafts.birds, birds, register, clashing, answers)
    birds |= linked.birds
    rows = {draft.bird.id: draft.row for draft in drafts.birds}
    codes = [row.cells[Column.MARK] for row in table.rows if Column.MARK in row.cells]
    found, unknown = clash_problems(clashes, linked.unknown, lines, codes)
    found += [*drafts.problems, *linked.problems, *(_unknown_problem(parent) for parent in unknown)]
    found += rule_problems(View(birds, today), rows)
    found += _same_names(drafts, snapshot)
    if not table.rows:
        found.append(LineProblem(1, "", _("The list has headings but no bird."), Severity.WARNING))
    return _outcome(table, drafts, linked, found, lines)


def _register(snapshot: Snapshot, drafts: Drafts) -> Register:
    register = Register()
    updated = {draft.bird.id for draft in drafts.birds if draft.before}
    for bird in snapshot.birds:
        if bird.id not in updated:
            register.enter(bird)
    for draft in drafts.birds:
        register.enter(draft.bird, draft.before)
    return register


def _outcome(
    table: Table, drafts: Drafts, linked: Linked, found: list[LineProblem], lines: Mapping[BirdId, int]
) -> ImportPlan:
    added: list[Bird] = []
    updated: list[tuple[Bird, Bird]] = []
    unchanged = 0
    for draft in drafts.birds:
        bird = linked.birds[draft.bird.id]
        if draft.before is None:
            added.append(bird)
        elif draft.before != bird:
            updated.append((draft.before, bird))
        else:
            unchanged += 1
    return ImportPlan(
        added=tuple(added),
        updated=tuple(updated),
        unchanged=unchanged,
        origins_added=drafts.origins_added,
        problems=_by_line(found),
        questions=(*drafts.questions, *linked.questions),
        columns=table.columns,
        other_columns=drafts.other_columns,
        encoding=table.encoding,
        delimiter=table.delimiter,
        date_order=drafts.date_order,
        lines=lines,
    )


def _plan(table: Table, problems: tuple[LineProblem, ...]) -> ImportPlan:
    return ImportPlan(
        problems=_by_line(problems),
        columns=table.columns,
        other_columns=table.other_columns,
        encoding=table.encoding,
        delimiter=table.delimiter,
    )


def _by_line(problems: list[LineProblem] | tuple[LineProblem, ...]) -> tuple[LineProblem, ...]:
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: (problem.line, not problem.is_error)))


def _unknown_problem(parent: Unknown) -> LineProblem:
    message = _(
        "{chicks}, {side}: no bird of the list or the book is called “{written}”: add a line for it or "
        "correct it."
    )
    text = message.format(chicks=some_birds(parent.chicks), side=parent.side.value, written=parent.written)
    return LineProblem(parent.lines[0], parent.side.value, text)


def _same_names(drafts: Drafts, snapshot: Snapshot) -> list[LineProblem]:
    """A warning for each new bird without a mark whose name the book has: it may be the same bird."""
    names = {folded(bird.name) for bird in snapshot.birds}

    def is_doubtful(draft: Draft) -> bool:
        name = draft.row.cells.get(Column.NAME)
        return draft.before is None and name is not None and not draft.bird.marks and folded(name) in names

    message = _("{bird}, name: the book has a bird of this name; if it is the same one, give its id.")
    return [
        LineProblem(draft.row.line, Column.NAME.value, message.format(bird=draft.bird.name), Severity.WARNING)
        for draft in drafts.birds
        if is_doubtful(draft)
    ]
