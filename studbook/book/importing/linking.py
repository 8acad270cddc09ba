"""The parents of a list's birds: each written candidate becomes the bird it means, or a problem."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from studbook.book.importing.columns import Column
from studbook.book.importing.drafting import Draft, called_in_line
from studbook.book.importing.parentage import crosses, shares_of, sides_of
from studbook.book.importing.plan import Answers, Candidate, WhichBird
from studbook.book.importing.table import LineProblem
from studbook.book.importing.values import UNKNOWN_PARENT, is_unknown_word
from studbook.book.importing.who import Register, folded
from studbook.book.records import Bird, BirdId, Pair, Sex
from studbook.book.rules import mark_key
from studbook.words import _, plural

_WRONG_SEX = {Column.SIRE: Sex.HEN, Column.DAM: Sex.COCK}
_NAMED_AT_MOST = 3


@dataclass(frozen=True, slots=True)
class Unknown:
    """A parent written in `lines` that no bird of book or list is called."""

    written: str
    side: Column
    chicks: tuple[Bird, ...]
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Linked:
    """The drafted birds with their parents, and what could not be settled."""

    birds: Mapping[BirdId, Bird]
    problems: tuple[LineProblem, ...]
    questions: tuple[WhichBird, ...]
    unknown: tuple[Unknown, ...]


def link_parents(
    drafts: Sequence[Draft],
    birds: Mapping[BirdId, Bird],
    register: Register,
    clashing: frozenset[str],
    answers: Answers,
) -> Linked:
    """Give every draft its candidate pairs.

    Parameters
    ----------
    birds
        Every bird of book and list, as it would stand but for its parents.
    clashing
        The marks (as `mark_key`) two living birds claim: who is meant by one of them is not asked, since
        the clash has a sentence of its own.
    """
    linking = _Linking(drafts, birds, register, clashing, answers)
    linked = {draft.bird.id: linking.link(draft) for draft in drafts}
    return linking.outcome(linked)


class _UnreadableError(ValueError):
    """A cell that cannot be taken apart; the sentence says why."""


@dataclass
class _Asked:
    written: str
    candidates: tuple[BirdId, ...] = ()
    lines: list[int] = field(default_factory=list)
    chicks: list[Bird] = field(default_factory=list)


Side = Sequence[tuple[BirdId | None, float]]


class _Linking:
    def __init__(
        self,
        drafts: Sequence[Draft],
        birds: Mapping[BirdId, Bird],
        register: Register,
        clashing: frozenset[str],
        answers: Answers,
    ) -> None:
        self._birds = birds
        self._register = register
        self._clashing = clashing
        self._answers = answers
        self._lines = {draft.bird.id: draft.row.line for draft in drafts}
        self._problems: list[LineProblem] = []
        self._asked: dict[tuple[Column, str], _Asked] = {}
        self._unknown: dict[tuple[Column, str], _Asked] = {}

    def link(self, draft: Draft) -> Bird:
        """The draft's bird with its pairs."""
        cells = draft.row.cells
        kept = draft.before.pairs if draft.before else ()
        try:
            if Column.PARENTS in cells:
                pairs = self._from_pairs(draft)
            elif Column.SIRE in cells or Column.DAM in cells:
                sires = self._side(draft, Column.SIRE, cells.get(Column.SIRE), kept)
                dams = self._side(draft, Column.DAM, cells.get(Column.DAM), kept)
                pairs = tuple(Pair(sire, dam, weight) for sire, dam, weight in crosses(sires, dams))
            else:
                pairs = kept
        except _UnreadableError as error:
            pairs = kept
            column, message = error.args
            text = _("{bird}, {column}: {message}").format(
                bird=called_in_line(draft.row), column=column.value, message=message
            )
            self._problems.append(LineProblem(draft.row.line, column.value, text))
        if all(pair.sire is None and pair.dam is None for pair in pairs):
            pairs = ()
        return replace(draft.bird, pairs=kept if _are_same(pairs, kept) else pairs)

    def outcome(self, linked: dict[BirdId, Bird]) -> Linked:
        """Everything that was found on the way."""
        questions: list[WhichBird] = []
        for (side, key), asked in self._asked.items():
            candidates = tuple(
                Candidate(bird, self._birds[bird].called, self._lines.get(bird)) for bird in asked.candidates
            )
            questions.append(WhichBird(side, asked.written, key, tuple(asked.lines), candidates))
            self._problems.append(LineProblem(asked.lines[0], side.value, self._which_sentence(side, asked)))
        unknown = tuple(
            Unknown(found.written, side, tuple(found.chicks), tuple(found.lines))
            for (side, _key), found in self._unknown.items()
        )
        return Linked(linked, tuple(self._problems), tuple(questions), unknown)

    def _side(self, draft: Draft, column: Column, text: str | None, kept: tuple[Pair, ...]) -> Side:
        """The candidates of one side: of the cell, or when it is empty those the book has."""
        if text is None:
            return _marginal(kept, column)
        if text != UNKNOWN_PARENT and (found := self._register.called(text)):
            # a name that happens to look like a list of candidates is still a name
            return [(self._choose(draft, column, text, found), 1.0)]
        try:
            shares = shares_of(text)
        except ValueError as error:
            raise _UnreadableError(column, str(error)) from error
        side = [(self._find(draft, column, share.written), share.weight) for share in shares]
        self._refuse_twice(column, text, [parent for parent, _weight in side])
        return side

    def _from_pairs(self, draft: Draft) -> tuple[Pair, ...]:
        text = draft.row.cells[Column.PARENTS]
        try:
            shares = shares_of(text)
            written = [(*sides_of(share.written), share.weight) for share in shares]
        except ValueError as error:
            raise _UnreadableError(Column.PARENTS, str(error)) from error
        pairs = tuple(
            Pair(self._find(draft, Column.SIRE, sire), self._find(draft, Column.DAM, dam), weight)
            for sire, dam, weight in written
        )
        for column in (Column.SIRE, Column.DAM):
            cell = draft.row.cells.get(column)
            if cell is None:
                continue
            side = {parent for parent, _weight in self._side(draft, column, cell, ())}
            if side != {parent for parent, _weight in _marginal(pairs, column)}:
                message = _("the column parents names others: leave {column} empty or make them agree.")
                raise _UnreadableError(column, message.format(column=column.value))
        return pairs

    def _refuse_twice(self, column: Column, text: str, parents: Sequence[BirdId | None]) -> None:
        known = [parent for parent in parents if parent is not None]
        for parent in known:
            if known.count(parent) > 1:
                message = _("“{text}” names {bird} twice: write it once.")
                raise _UnreadableError(column, message.format(text=text, bird=self._birds[parent].called))

    def _find(self, draft: Draft, side: Column, written: str) -> BirdId | None:
        if written == UNKNOWN_PARENT:
            return None
        found = self._register.called(written)
        if found:
            return self._choose(draft, side, written, found)
        if not is_unknown_word(written):
            missing = self._unknown.setdefault((side, folded(written)), _Asked(written))
            missing.lines.append(draft.row.line)
            missing.chicks.append(draft.bird)
        return None

    def _choose(self, draft: Draft, side: Column, written: str, found: tuple[BirdId, ...]) -> BirdId | None:
        """The one bird meant; None while that is open, which is then a question.

        Only what cannot be otherwise narrows the choice: a bird is not its own parent, a hen no sire, a cock
        no dam. A likelier age does not: that would be a guess.
        """
        if len(found) == 1:
            return found[0]
        of_sex = tuple(bird for bird in found if self._birds[bird].sex is not _WRONG_SEX[side]) or found
        possible = tuple(bird for bird in of_sex if bird != draft.bird.id)
        if mark_key(written) in self._clashing:
            older = [bird for bird in possible if not self._is_younger(bird, draft.bird)]
            return older[0] if len(older) == 1 else None
        if len(possible) == 1:
            return possible[0]
        answer = self._answers.get((side, folded(written)))
        if answer is not None and 0 <= answer < len(of_sex):
            return of_sex[answer]
        asked = self._asked.setdefault((side, folded(written)), _Asked(written, of_sex))
        asked.lines.append(draft.row.line)
        asked.chicks.append(draft.bird)
        return None

    def _is_younger(self, parent: BirdId, chick: Bird) -> bool:
        return chick.hatched.is_certainly_before(self._birds[parent].hatched)

    def _which_sentence(self, side: Column, asked: _Asked) -> str:
        birds = [self._birds[bird] for bird in asked.candidates]
        names = [_described(bird, self._lines.get(bird.id)) for bird in birds]
        marks = [bird.mark for bird in birds]
        if all(marks) and len(set(marks)) == len(marks):
            remedy = _("write its mark")
        else:
            remedy = _("give each a mark or name of its own and write that, or its id")
        message = _("{chicks}, {side}: “{written}” can be {birds}: {remedy}.")
        return message.format(
            chicks=some_birds(asked.chicks),
            side=side.value,
            written=asked.written,
            birds=_either(names),
            remedy=remedy,
        )


def _described(bird: Bird, line: int | None) -> str:
    known = [bird.called]
    if bird.mark and bird.name:
        known.append(bird.name)
    elif bird.hatched.is_known:
        known.append(_("hatched {date}").format(date=bird.hatched))
    known.append(_("line {line}").format(line=line) if line else _("in the book"))
    return f"{known[0]} ({', '.join(known[1:])})"


def _either(names: Sequence[str]) -> str:
    if len(names) == 1:
        return names[0]
    return _("{first} or {last}").format(first=", ".join(names[:-1]), last=names[-1])


def some_birds(birds: Sequence[Bird]) -> str:
    """What a sentence calls several birds: the first few by name, the rest by number."""
    names = [bird.called for bird in birds[:_NAMED_AT_MOST]]
    more = len(birds) - len(names)
    if not more:
        return ", ".join(names)
    text = plural("{names} and {count} more", "{names} and {count} more", more)
    return text.format(names=", ".join(names), count=more)


def _marginal(pairs: tuple[Pair, ...], column: Column) -> Side:
    """The candidates of one side of some pairs with their weights; one unknown when there are none."""
    side: Callable[[Pair], BirdId | None] = (
        (lambda pair: pair.sire) if column is Column.SIRE else (lambda pair: pair.dam)
    )
    total: dict[BirdId | None, float] = {}
    for pair in pairs:
        total[side(pair)] = total.get(side(pair), 0.0) + pair.weight
    return list(total.items()) or [(None, 1.0)]


def _are_same(pairs: tuple[Pair, ...], kept: tuple[Pair, ...]) -> bool:
    """True when the pairs say what is known already, whoever said it."""

    def said(of: tuple[Pair, ...]) -> dict[tuple[BirdId | None, BirdId | None], float]:
        return {(pair.sire, pair.dam): pair.weight for pair in of}

    now, then = said(pairs), said(kept)
    return now.keys() == then.keys() and all(math.isclose(now[key], then[key], abs_tol=1e-9) for key in now)
