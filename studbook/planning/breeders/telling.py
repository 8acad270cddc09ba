"""Who may breed, in sentences: what speaks for and against a bird, what goes with it, and the best set."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from studbook.book.husbandry.choosing_rows import Choice, Verdict
from studbook.book.husbandry.wording import apart_word, verdict_word
from studbook.book.records import Snapshot
from studbook.book.wording import per_cent
from studbook.planning.bloodlines.naming import founder_called, listed
from studbook.planning.bloodlines.report import Standing
from studbook.planning.breeders.lines import AtRisk, Line, Lines
from studbook.planning.care.telling import trial_line
from studbook.planning.eggs.telling import share_text, share_words
from studbook.planning.limits import CLOSE
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart, compose
from studbook.season.fertility import TrialVerdict
from studbook.words import _, plural

if TYPE_CHECKING:
    from studbook.planning.breeders.best import Best, Kept

DayText = Callable[[date], str]

_WELL_KNOWN = 2.0
_SAME = 5e-5
"""A change that is not seen in per cent with two decimals is none."""

_OLD_DAYS = {True: 4 * 365, False: 5 * 365}
_NAMED = 3


@dataclass(frozen=True)
class Told:
    """What is said of one bird: what speaks for it, what against it, what else is to be known."""

    speaks_for: tuple[Sentence, ...]
    against: tuple[Sentence, ...]
    known: tuple[Sentence, ...]


def summary(lines: Lines) -> tuple[Sentence, ...]:
    """How many may breed, and how far the choosing is."""
    flock = lines.flock
    cocks = plural("{count} cock", "{count} cocks", flock.cocks).format(count=flock.cocks)
    hens = plural("{count} hen", "{count} hens", flock.hens).format(count=flock.hens)
    told: list[Sentence] = [
        (_("{cocks} and {hens} may breed in {season}.").format(cocks=cocks, hens=hens, season=lines.season),)
    ]
    if left := flock.living - len(lines.lines):
        text = plural(
            "{count} living bird is not here: too young by then, or of unknown sex.",
            "{count} living birds are not here: too young by then, or of unknown sex.",
            left,
        )
        told.append((text.format(count=left),))
    chosen, reserve, no = (len(lines.marked(verdict)) for verdict in Verdict)
    if chosen or reserve or no:
        text = _("Marked: {chosen} chosen, {reserve} in reserve, {no} no.")
        told.append((text.format(chosen=chosen, reserve=reserve, no=no),))
    return tuple(told)


def told_of(line: Line, lines: Lines, snapshot: Snapshot, day_text: DayText) -> Told:
    """What speaks for and against one bird."""
    says = _Says(line, lines, snapshot, day_text)
    return Told(tuple(says.speaks_for()), tuple(says.against()), tuple(says.known()))


class _Says:
    """The sentences on one bird."""

    def __init__(self, line: Line, lines: Lines, snapshot: Snapshot, day_text: DayText) -> None:
        self._line, self._lines, self._snapshot, self._day_text = line, lines, snapshot, day_text

    def speaks_for(self) -> list[Sentence]:
        line = self._line
        said: list[Sentence] = []
        if line.standing is Standing.RARE:
            text = _("It carries what few others carry: mean kinship {share}, number {rank} of {count}.")
            said.append(self._ranked(text))
        if rescues := [risk for risk in line.at_risk if risk.share >= _least(risk)]:
            said.append(self._risks(rescues))
        trial = line.trial
        if trial is not None and trial.result.verdict is TrialVerdict.SHOWN_GOOD:
            said.append(self._trial())
        if line.living_offspring == 0 and line.is_tested:
            said.append((_("No chick of it is in the flock yet: what it carries would go with it."),))
        if not line.inbreeding and line.generations >= _WELL_KNOWN:
            said.append((_("It is not inbred as far as the book knows."),))
        return said

    def against(self) -> list[Sentence]:
        line = self._line
        said: list[Sentence] = []
        if line.standing is Standing.COVERED:
            text = _("It is well covered by kin: mean kinship {share}, number {rank} of {count}.")
            said.append(self._ranked(text))
        if line.standing is Standing.LOOKS_RARE:
            text = _(
                "By convention it looks rare, with {convention}, only because parents are unknown; cautiously it "
                "has {cautious}. Do not choose it for rare blood."
            )
            said.append(
                compose(text, convention=SharePart(line.by_convention), cautious=SharePart(line.cautious))
            )
        if line.inbreeding >= CLOSE:
            text = _("It is inbred itself, F {share}: such birds tend to lay and hatch worse.")
            said.append(compose(text, share=SharePart(line.inbreeding)))
        trial = line.trial
        if trial is not None and trial.result.verdict is TrialVerdict.WEAK_TEST_AGAIN:
            said.append(self._trial())
        elif line.is_cock and trial is None and not line.is_tested:
            said.append((_("His fertility is not proven: no egg of his was seen."),))
        if line.apart is not None:
            text = _("It is apart since {day}: {reason}. Whether it may breed is for you and a vet to say.")
            said.append(
                (text.format(day=self._day_text(line.apart.since), reason=apart_word(line.apart.reason)),)
            )
        if not line.is_grown:
            said.append((_("It is young: old enough only by the season."),))
        elif line.age_days is not None and line.age_days >= _OLD_DAYS[line.is_cock]:
            years = int(line.age_days / 365.25)
            text = plural(
                "It is {count} year old: fertility and laying fall with age.",
                "It is {count} years old: fertility and laying fall with age.",
                years,
            )
            said.append((text.format(count=years),))
        if line.living_offspring >= _MANY:
            text = plural(
                "{count} chick of it lives in the flock already.",
                "{count} chicks of it live in the flock already.",
                line.living_offspring,
            )
            said.append((text.format(count=line.living_offspring),))
        return said

    def known(self) -> list[Sentence]:
        line = self._line
        said: list[Sentence] = []
        if line.standing is Standing.MIDDLING:
            said.append(
                self._ranked(
                    _("It has about as much kin as most: mean kinship {share}, number {rank} of {count}.")
                )
            )
        trial = line.trial
        if trial is not None and trial.result.verdict not in (
            TrialVerdict.SHOWN_GOOD,
            TrialVerdict.WEAK_TEST_AGAIN,
        ):
            said.append(self._trial())
        if line.hatched is not None and line.hatched.of:
            text = _("Hatched of its own eggs set: {share}.")
            said.append(compose(text, share=share_words(line.hatched)))
        if line.generations < _WELL_KNOWN and not line.bird.is_founder:
            text = _("Only {generations} generations of its ancestors are known.")
            said.append(compose(text, generations=NumberPart(line.generations)))
        if line.bird.is_founder and line.generations == 0:
            said.append((_("It is a founder: nothing is known of its ancestors."),))
        said.extend(earlier_sentence(choice) for choice in line.earlier)
        return said

    def _ranked(self, text: str) -> Sentence:
        return compose(
            text,
            share=SharePart(self._line.kinship),
            rank=str(self._line.rank),
            count=str(self._lines.flock.living),
        )

    def _trial(self) -> Sentence:
        trial = self._line.trial
        assert trial is not None
        said = trial_line(trial, self._day_text)
        return (_("{line}.").format(line=said[:1].upper() + said[1:]),)

    def _risks(self, risks: list[AtRisk]) -> Sentence:
        names = [
            compose(
                _("{founder} ({share} of its genes)"),
                founder=founder_called(risk.key, self._snapshot),
                share=SharePart(risk.share),
            )
            for risk in risks
        ]
        text = plural(
            "It carries a founder that is about to be lost: {founders}.",
            "It carries founders that are about to be lost: {founders}.",
            len(risks),
        )
        return compose(text, founders=listed(names, _NAMED))


_MANY = 5
"""So many living chicks of one bird keep what it carries, whatever becomes of it."""


def _least(risk: AtRisk) -> float:
    """From which share on a bird is worth naming for a founder: an eighth, or being one of few carriers."""
    return 0.0 if risk.carriers <= _NAMED else 0.125


def earlier_sentence(choice: Choice) -> Sentence:
    """What was decided for a season before, with the reason."""
    if choice.reason:
        text = _("For {season}: {verdict} – {reason}")
        return (
            text.format(season=choice.season, verdict=verdict_word(choice.verdict), reason=choice.reason),
        )
    return (_("For {season}: {verdict}.").format(season=choice.season, verdict=verdict_word(choice.verdict)),)


def parting_sentences(line: Line, lines: Lines, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """What becomes of the flock if the bird goes."""
    parting, flock = line.parting, lines.flock
    bird = BirdPart(line.bird.id)
    said: list[Sentence] = []
    if parting.last_of:
        text = plural(
            "With {bird} the last copy of a founder that the book knows of would go: {founders}.",
            "With {bird} the last copies of {count} founders that the book knows of would go: {founders}.",
            len(parting.last_of),
        )
        founders = listed([founder_called(key, snapshot) for key in parting.last_of], _NAMED)
        said.append(compose(text, bird=bird, count=str(len(parting.last_of)), founders=founders))
    if parting.gene_diversity is not None and flock.gene_diversity is not None:
        change = parting.gene_diversity - flock.gene_diversity
        if abs(change) < _SAME:
            text = _("If {bird} goes, gene diversity stays {after}.")
        elif change < 0:
            text = _("If {bird} goes, gene diversity falls from {before} to {after}.")
        else:
            text = _(
                "If {bird} goes, gene diversity rises from {before} to {after}: its kin carry the same, and more of "
                "it than is good."
            )
        said.append(_moved(text, bird, flock.gene_diversity, parting.gene_diversity))
    if not parting.breeds:
        said.append((_("It is marked “no”, so the next generation is counted without it already."),))
        return tuple(said)
    if parting.expected is None or flock.expected is None:
        text = (
            _("Without {bird} there is no cock left that may breed.")
            if line.is_cock
            else _("Without {bird} there is no hen left that may breed.")
        )
        said.append(compose(text, bird=bird))
        return tuple(said)
    change = parting.expected - flock.expected
    if abs(change) < _SAME:
        text = _("F of the next generation stays {after}.")
    elif change < 0:
        text = _("F of the next generation falls from {before} to {after}.")
    else:
        text = _("F of the next generation rises from {before} to {after}.")
    said.append(_moved(text, bird, flock.expected, parting.expected))
    if parting.kinship is not None and flock.kinship is not None:
        change = parting.kinship - flock.kinship
        if abs(change) < _SAME:
            text = _("Its mean kinship stays {after}.")
        elif change < 0:
            text = _("Its mean kinship falls from {before} to {after}.")
        else:
            text = _("Its mean kinship rises from {before} to {after}.")
        said.append(_moved(text, bird, flock.kinship, parting.kinship))
    return tuple(said)


def _moved(text: str, bird: BirdPart, before: float, after: float) -> Sentence:
    return compose(text, bird=bird, before=SharePart(before, decimals=2), after=SharePart(after, decimals=2))


def parting_caution() -> str:
    """What is to be minded where a keeper thinks of parting with a bird."""
    return _(
        "Parting with a bird: selling, giving and lending come first. Humane killing is for a person who has learned "
        "it; local rules and a vet decide who may do it and how."
    )


def age_text(line: Line) -> str:
    """How old a bird is: in months up to two years; a year alone is told as "about"."""
    days, hatched = line.age_days, line.bird.hatched
    if days is None or days < 0:
        return ""
    years = int(days / 365.25)
    if hatched.month is None or hatched.about:
        return plural("about {count} year", "about {count} years", years).format(count=years)
    if days < 2 * 365:
        months = round(days / 30.44)
        return plural("{count} month", "{count} months", months).format(count=months)
    return plural("{count} year", "{count} years", years).format(count=years)


def standing_word(line: Line) -> str:
    """How rare what it carries is, in a word or two."""
    return {
        Standing.RARE: _("rare"),
        Standing.MIDDLING: _("as most"),
        Standing.COVERED: _("well covered"),
        Standing.LOOKS_RARE: _("only looks rare"),
    }[line.standing]


def change_text(change: float | None) -> str:
    """A change of a share: "0.23 % more", "0.23 % less", "the same"; empty where it is not known."""
    if change is None:
        return ""
    if abs(change) < _SAME:
        return _("the same")
    text = _("{share} more") if change > 0 else _("{share} less")
    return text.format(share=per_cent(abs(change), 2))


def risks_text(line: Line) -> str:
    """How many founders about to be lost a bird carries; empty of none."""
    return str(len(line.at_risk)) if line.at_risk else ""


def trial_text(line: Line) -> str:
    """The last trial with its exact interval, short; empty without one."""
    return share_text(line.trial.result.whole) if line.trial is not None else ""


def offspring_text(line: Line) -> str:
    """How many chicks a bird has or may have, and how many live; empty of none."""
    if not line.offspring:
        return ""
    return _("{count}, {living} living").format(count=line.offspring, living=line.living_offspring)


def earlier_text(line: Line) -> str:
    """What was decided for the last season before; empty if nothing was."""
    if not line.earlier:
        return ""
    last = line.earlier[0]
    verdict = verdict_word(last.verdict)
    if not last.reason:
        return _("{season}: {verdict}").format(season=last.season, verdict=verdict)
    return _("{season}: {verdict} – {reason}").format(season=last.season, verdict=verdict, reason=last.reason)


def risk_names(line: Line, snapshot: Snapshot) -> Sentence:
    """The founders about to be lost that a bird carries; empty of none."""
    if not line.at_risk:
        return ()
    return listed([founder_called(risk.key, snapshot) for risk in line.at_risk])


def last_copy_names(line: Line, snapshot: Snapshot) -> Sentence:
    """The founders of which a bird is the last living one; empty of none."""
    if not line.parting.last_of:
        return ()
    return listed([founder_called(key, snapshot) for key in line.parting.last_of])


def best_sentences(best: Best) -> tuple[Sentence, ...]:
    """The best set in words: what it comes to, how sure that is, and how the keeper's own choice compares."""
    kept = best.kept
    numbers = _numbers(len(kept.cocks), len(kept.hens))
    said = [
        compose(
            _(
                "Keep these {birds}: the mean kinship of the next generation is then {kinship}, its F {expected}."
            ),
            birds=numbers,
            kinship=SharePart(kept.kinship, decimals=2),
            expected=SharePart(kept.expected, decimals=2),
        ),
        _proof(best),
    ]
    if best.own is not None:
        said.append(_own(best, best.own))
    return tuple(said)


def kept_sentences(best: Best) -> tuple[Sentence, ...]:
    """Who is in the set."""
    said = [
        compose(_("Cocks: {birds}."), birds=listed([(BirdPart(bird),) for bird in best.kept.cocks], _LISTED)),
        compose(_("Hens: {birds}."), birds=listed([(BirdPart(bird),) for bird in best.kept.hens], _LISTED)),
    ]
    return tuple(said)


_LISTED = 60


def _numbers(cocks: int, hens: int) -> str:
    return _("{cocks} and {hens}").format(
        cocks=plural("{count} cock", "{count} cocks", cocks).format(count=cocks),
        hens=plural("{count} hen", "{count} hens", hens).format(count=hens),
    )


def _proof(best: Best) -> Sentence:
    sets = sets_text(best.sets)
    if best.is_proven:
        if best.sets < 0.3:
            return (_("It is the only set there is."),)
        return (_("Proven: of {sets} sets there is none better.").format(sets=sets),)
    text = _(
        "The best found so far of {sets} sets. It is proven that none has less than {bound}: another set could be "
        "better by {gap} at most."
    )
    return compose(
        text,
        sets=sets,
        bound=SharePart(best.bound, decimals=2),
        gap=SharePart(best.kept.kinship - best.bound, decimals=2),
    )


def sets_text(power: float) -> str:
    """How many sets there are, in words: exact while it can be read, else as a power of ten."""
    if power < 6:
        return _("{count}").format(count=round(10**power))
    return _("more than 10^{power}").format(power=int(power))


def _own(best: Best, own: Kept) -> Sentence:
    same = set(own.cocks) | set(own.hens)
    if same == set(best.birds):
        return (_("It is what you have chosen."),)
    change = own.kinship - best.kept.kinship
    numbers = _numbers(len(own.cocks), len(own.hens))
    same_numbers = (len(own.cocks), len(own.hens)) == (len(best.kept.cocks), len(best.kept.hens))
    if same_numbers and abs(change) < _SAME:
        text = _("Your own choice of {birds} is as good: {kinship}.")
    elif change > 0:
        text = _("Your own choice of {birds} has {kinship}, {change} more.")
    else:
        text = _("Your own choice of {birds} has {kinship}, {change} less: it keeps other numbers.")
    return compose(
        text,
        birds=numbers,
        kinship=SharePart(own.kinship, decimals=2),
        change=SharePart(abs(change), decimals=2),
    )


def other_sentences(best: Best) -> tuple[Sentence, ...]:
    """The next best sets, by whom they have in place of whom."""
    said = [_other(best, other) for other in best.others]
    if said and best.others_proven:
        said.append((_("Proven too: no set lies between these, birds that are alike counted once."),))
    return tuple(said)


def _other(best: Best, other: Kept) -> Sentence:
    before, after = set(best.birds), {*other.cocks, *other.hens}
    goes = [bird for bird in best.birds if bird not in after]
    comes = [bird for bird in (*other.cocks, *other.hens) if bird not in before]
    change = other.kinship - best.kept.kinship
    text = (
        _("{comes} in place of {goes}: as good.")
        if abs(change) < _SAME
        else _("{comes} in place of {goes}: {change} more.")
    )
    return compose(
        text,
        comes=listed([(BirdPart(bird),) for bird in comes], _LISTED),
        goes=listed([(BirdPart(bird),) for bird in goes], _LISTED),
        change=SharePart(abs(change), decimals=2),
    )


def impossible_text(which: str) -> str:
    """Why there is no set such as was asked for."""
    return {
        "cocks": _(
            "So many cocks cannot be kept: there are fewer that may stay, or more of them must stay. Change the number "
            "or the marks."
        ),
        "hens": _(
            "So many hens cannot be kept: there are fewer that may stay, or more of them must stay. Change the number "
            "or the marks."
        ),
    }.get(which, _("A bird that must stay is marked “no”: change one of the two."))
