"""What the rules say about a list, by line: one sentence for each fault, none for what follows from it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from studbook.book.errors import Problem, Severity
from studbook.book.importing.columns import Column
from studbook.book.importing.linking import some_birds
from studbook.book.importing.table import LineProblem, TableRow
from studbook.book.records import Bird, BirdId, Pair
from studbook.book.rules import View, problems
from studbook.words import _


@dataclass(frozen=True, slots=True)
class _Edge:
    """One finding about a parent and its chick."""

    parent: BirdId
    chick: BirdId
    problem: Problem


def rule_problems(view: View, rows: Mapping[BirdId, TableRow]) -> list[LineProblem]:
    """The findings of the rules about the birds that have a row in the list.

    A parent of the wrong sex is put aside before the other rules are asked, so that a hen entered as sire is
    not also found too young for it, or closing a loop. Marks two birds wear are left to `clashes`.
    """
    faults = _Faults(view, rows)
    found = problems(view, rows.keys())
    wrong_sex = faults.edges(problem for problem in found if problem.kind == "sex")
    # a bird that is its own parent has a sentence about that
    wrong_sex = [edge for edge in wrong_sex if edge.parent != edge.chick]
    if wrong_sex:
        found = problems(_without(view, wrong_sex), rows.keys())
    reported = faults.sex_sentences(wrong_sex)
    reported += faults.loop_sentences([problem for problem in found if problem.kind == "loop"])
    reported += faults.date_sentences([problem for problem in found if problem.kind == "date"])
    for problem in found:
        if problem.kind not in ("sex", "loop", "date", "duplicate mark"):
            reported.append(faults.sentence(problem, faults.birds_called(problem.birds[:1])))
    return reported


def _without(view: View, edges: Iterable[_Edge]) -> View:
    """The birds with the parents of `edges` unknown."""
    birds = dict(view.birds)
    for edge in edges:
        chick = birds[edge.chick]
        is_sire = edge.problem.field == Column.SIRE

        def cut(pair: Pair, is_sire: bool = is_sire, parent: BirdId = edge.parent) -> Pair:
            if is_sire:
                return replace(pair, sire=None) if pair.sire == parent else pair
            return replace(pair, dam=None) if pair.dam == parent else pair

        birds[edge.chick] = replace(chick, pairs=tuple(cut(pair) for pair in chick.pairs))
    return replace(view, birds=birds)


class _Faults:
    def __init__(self, view: View, rows: Mapping[BirdId, TableRow]) -> None:
        self._birds = view.birds
        self._rows = rows
        self._called: dict[str, list[BirdId]] = {}
        for bird in view.birds.values():
            self._called.setdefault(bird.called, []).append(bird.id)

    def birds_called(self, names: Iterable[str]) -> list[BirdId]:
        """The birds with these names, those of the list first."""
        birds = [bird for name in names for bird in self._called.get(name, ())]
        return sorted(birds, key=lambda bird: bird not in self._rows)

    def edges(self, found: Iterable[Problem]) -> list[_Edge]:
        """The parent and each chick that the problems of a sire or dam are about."""
        edges: dict[_Edge, None] = {}
        for problem in found:
            parents, chicks = self._called.get(problem.birds[0], ()), self.birds_called(problem.birds[1:])
            for parent in parents:
                of_parent = (chick for chick in chicks if self._is_parent(parent, chick, problem.field))
                edges |= {_Edge(parent, chick, problem): None for chick in of_parent}
        return list(edges)

    def _is_parent(self, parent: BirdId, chick: BirdId, field: str) -> bool:
        bird = self._birds[chick]
        return parent in (bird.sires if field == Column.SIRE else bird.dams)

    def sentence(self, problem: Problem, birds: Iterable[BirdId], message: str = "") -> LineProblem:
        """A problem on the line of the first of `birds` that has one."""
        row = next((self._rows[bird] for bird in birds if bird in self._rows), None)
        column = problem.field if problem.field in tuple(Column) else ""
        if row is not None and column in (Column.SIRE, Column.DAM) and column not in row.cells:
            column = Column.PARENTS.value if Column.PARENTS in row.cells else ""
        return LineProblem(row.line if row else 1, column, message or problem.message, problem.severity)

    def _by_problem(self, edges: Iterable[_Edge]) -> list[LineProblem]:
        """One sentence for each problem, on the line of its first chick."""
        first: dict[Problem, _Edge] = {}
        for edge in edges:
            first.setdefault(edge.problem, edge)
        return [self.sentence(edge.problem, (edge.chick, edge.parent)) for edge in first.values()]

    def sex_sentences(self, edges: list[_Edge]) -> list[LineProblem]:
        """One sentence for each parent whose own sex must be wrong, else one for each cell that names it.

        A hen that is rightly a dam elsewhere and a sire here is a slip in this cell; one that is nothing but
        a sire of several was probably entered with the wrong sex.
        """
        reported: list[LineProblem] = []
        by_parent: dict[BirdId, list[_Edge]] = {}
        for edge in edges:
            by_parent.setdefault(edge.parent, []).append(edge)
        right = {dam for bird in self._birds.values() for dam in bird.dams}
        right_sires = {sire for bird in self._birds.values() for sire in bird.sires}
        for parent, of_parent in by_parent.items():
            is_sire = of_parent[0].problem.field == Column.SIRE
            if len(of_parent) == 1 or parent in (right if is_sire else right_sires):
                reported += self._by_problem(of_parent)
                continue
            chicks = some_birds([self._birds[edge.chick] for edge in of_parent])
            if is_sire:
                message = _(
                    "{parent} is a hen but the sire of {chicks}: correct its sex or name another sire."
                )
            else:
                message = _(
                    "{parent} is a cock but the dam of {chicks}: correct its sex or name another dam."
                )
            text = message.format(parent=self._birds[parent].called, chicks=chicks)
            problem = replace(of_parent[0].problem, field=Column.SEX.value)
            reported.append(self.sentence(problem, (parent, of_parent[0].chick), text))
        return reported

    def loop_sentences(self, found: list[Problem]) -> list[LineProblem]:
        """One sentence for each knot of loops: the shortest of those that share a bird."""
        reported: list[LineProblem] = []
        knotted: set[str] = set()
        for problem in sorted(found, key=lambda problem: len(problem.birds)):
            if not knotted.isdisjoint(problem.birds):
                knotted.update(problem.birds)
                continue
            knotted.update(problem.birds)
            chick, parent = self._suspect(problem)
            field = ""
            if chick is not None and parent is not None:
                field = (Column.SIRE if parent in self._birds[chick].sires else Column.DAM).value
            birds = [*([chick] if chick else []), *self.birds_called(problem.birds)]
            reported.append(self.sentence(replace(problem, field=field), birds))
        return reported

    def _suspect(self, problem: Problem) -> tuple[BirdId | None, BirdId | None]:
        """The step of a loop that goes from a chick to a parent hatched later, if dates show one."""
        names = [*problem.birds, problem.birds[0]]
        steps = list(pairwise(names))
        pairs = [
            (chick, parent)
            for chick_name, parent_name in steps
            for chick in self._called.get(chick_name, ())
            for parent in self._called.get(parent_name, ())
            if parent in self._birds[chick].sires or parent in self._birds[chick].dams
        ]
        for chick, parent in pairs:
            if self._birds[chick].hatched.is_certainly_before(self._birds[parent].hatched):
                return chick, parent
        listed = [pair for pair in pairs if pair[0] in self._rows]
        return min(listed, key=lambda pair: self._rows[pair[0]].line, default=(None, None))

    def date_sentences(self, found: list[Problem]) -> list[LineProblem]:
        """One sentence for each bird whose date does not fit, whatever else it then does not fit to."""
        reported: list[LineProblem] = []
        suspects: set[BirdId] = set()
        for problem in found:
            if len(problem.birds) == 1 and problem.is_error:
                birds = self.birds_called(problem.birds)
                if suspects.isdisjoint(birds):
                    reported.append(self.sentence(problem, birds))
                suspects.update(birds)
        edges = self.edges(problem for problem in found if len(problem.birds) > 1)
        errors = [edge for edge in edges if edge.problem.is_error]
        errors = [edge for edge in errors if suspects.isdisjoint((edge.parent, edge.chick))]
        while errors:
            count = Counter(bird for edge in errors for bird in (edge.parent, edge.chick))
            suspect = max(count, key=lambda bird: count[bird])
            of_suspect = [edge for edge in errors if suspect in (edge.parent, edge.chick)]
            errors = [edge for edge in errors if edge not in of_suspect]
            suspects.add(suspect)
            others = dict.fromkeys(
                edge.chick if edge.parent == suspect else edge.parent for edge in of_suspect
            )
            if len(others) == 1:
                reported += self._by_problem(of_suspect)
                suspects.update(others)
                continue
            reported.append(
                self._suspect_sentence(self._birds[suspect], [self._birds[other] for other in others])
            )
        warnings = [edge for edge in edges if not edge.problem.is_error]
        reported += self._by_problem(
            edge for edge in warnings if suspects.isdisjoint((edge.parent, edge.chick))
        )
        return reported

    def _suspect_sentence(self, suspect: Bird, others: list[Bird]) -> LineProblem:
        message = _(
            "{bird}, hatched {hatched}, fits neither the dates of its parents nor of its chicks ({others}): "
            "correct its dates or the parents."
        )
        if all(suspect.id in (*other.sires, *other.dams) for other in others):
            message = _(
                "{bird}, hatched {hatched}, cannot be a parent of {others} by their dates: correct its dates "
                "or name another parent."
            )
        elif all(other.id in (*suspect.sires, *suspect.dams) for other in others):
            message = _(
                "{bird}, hatched {hatched}, cannot be a chick of {others} by their dates: correct its dates "
                "or name other parents."
            )
        text = message.format(bird=suspect.called, hatched=suspect.hatched, others=some_birds(others))
        problem = Problem("date", text, (suspect.called,), Severity.ERROR, Column.HATCHED.value)
        return self.sentence(problem, (suspect.id, *(other.id for other in others)))
