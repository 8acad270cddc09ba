"""Two pairs side by side: every figure of both, which is the better, and the difference in a sentence."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from studbook.book.records import BirdId, Snapshot
from studbook.planning.earlier_pairings import EarlierPairing
from studbook.planning.earlier_words import earlier_line
from studbook.planning.forbidden_pairs import bar_sentences
from studbook.planning.limits import SAME, Rules
from studbook.planning.pairs import PairStudy
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart, compose
from studbook.planning.wording import cautions, effect_decimals, relation_phrase
from studbook.words import _, plural

_ANCESTORS = 4


@dataclass(frozen=True, slots=True)
class ComparedLine:
    """One figure of two pairs: its name, what it is of each, and the place (0 or 1) of the better one."""

    name: str
    texts: tuple[tuple[Sentence, ...], tuple[Sentence, ...]]
    better: int | None = None


@dataclass(frozen=True)
class PairComparison:
    """Two pairs beside each other, each by its birds; `sentences` say what the difference comes to."""

    pairs: tuple[Sentence, Sentence]
    sentences: tuple[Sentence, ...]
    lines: tuple[ComparedLine, ...]


def compare_pairs(
    studies: tuple[PairStudy, PairStudy],
    earlier: tuple[EarlierPairing | None, EarlierPairing | None],
    snapshot: Snapshot,
    rules: Rules,
    today: date,
) -> PairComparison:
    """Two pairs compared; both are studied in the same way."""
    one, other = studies
    return PairComparison(
        (_named(one), _named(other)),
        tuple(_difference(studies)),
        tuple(_lines(studies, earlier, snapshot, rules, today)),
    )


def _pair(study: PairStudy) -> tuple[BirdId, BirdId]:
    return study.prospect.cock, study.prospect.hen


def _better(one: float, other: float) -> int | None:
    """The place of the lower figure; None when they are equal or one is not known."""
    if math.isnan(one) or math.isnan(other) or abs(one - other) < SAME:
        return None
    return int(other < one)


def _difference(studies: tuple[PairStudy, PairStudy]) -> Iterator[Sentence]:
    figures = [study.prospect.expected for study in studies]
    lower = _better(*figures)
    richer = _better(*(-study.on_diversity for study in studies))
    if lower is None:
        share = SharePart(figures[0], decimals=2)
        yield compose(_("F of the chicks is the same with both: {share}."), share=share)
    else:
        yield compose(
            _("{pair} has the lower F of the chicks: {less} against {more}."),
            pair=_named(studies[lower]),
            less=SharePart(figures[lower], decimals=2),
            more=SharePart(figures[1 - lower], decimals=2),
        )
    if richer is None:
        return
    decimals = effect_decimals(study.on_diversity for study in studies)
    if richer == lower:
        text = _("With one kept chick of it the flock is also the more diverse: {more} against {less}.")
    else:
        text = _("With one kept chick of {pair} the flock is the more diverse: {more} against {less}.")
    yield compose(
        text,
        pair=_named(studies[richer]),
        more=SharePart(studies[richer].diversity + studies[richer].on_diversity, decimals=decimals),
        less=SharePart(studies[1 - richer].diversity + studies[1 - richer].on_diversity, decimals=decimals),
    )


def _named(study: PairStudy) -> Sentence:
    """A pair by its birds."""
    cock, hen = _pair(study)
    return compose(_("{cock} with {hen}"), cock=BirdPart(cock), hen=BirdPart(hen))


def _lines(
    studies: tuple[PairStudy, PairStudy],
    earlier: tuple[EarlierPairing | None, EarlierPairing | None],
    snapshot: Snapshot,
    rules: Rules,
    today: date,
) -> Iterator[ComparedLine]:
    def shares(name: str, figure: Callable[[PairStudy], float]) -> ComparedLine:
        one, other = (figure(study) for study in studies)
        return ComparedLine(
            name,
            (((SharePart(one, decimals=2),),), ((SharePart(other, decimals=2),),)),
            _better(one, other),
        )

    def texts(name: str, said: Callable[[PairStudy], tuple[Sentence, ...]]) -> ComparedLine:
        one, other = (said(study) for study in studies)
        return ComparedLine(name, (one, other))

    yield shares(_("F, cautious"), lambda study: study.cautious)
    yield shares(_("F by convention"), lambda study: study.by_convention)
    generations = studies[0].generations
    recent = plural(
        "recent, within {count} generation", "recent, within {count} generations", generations
    ).format(count=generations)
    yield shares(recent, lambda study: study.recent)
    yield shares(_("old"), lambda study: study.old)
    if not math.isnan(studies[0].on_diversity):
        decimals = effect_decimals(study.on_diversity for study in studies)
        yield ComparedLine(
            _("gene diversity with one kept chick"),
            (_diversity(studies[0], decimals), _diversity(studies[1], decimals)),
            _better(-studies[0].on_diversity, -studies[1].on_diversity),
        )
        yield shares(_("mean kinship of the cock"), lambda study: study.prospect.flock_kinship)
        yield shares(_("mean kinship of the hen"), lambda study: study.hen_flock_kinship)
    yield texts(_("the cock is"), lambda study: ((relation_phrase(study.prospect.relationship),),))
    yield texts(_("ancestors in common"), _ancestors)
    yield ComparedLine(
        _("generations known of the less known"),
        (
            ((NumberPart(studies[0].prospect.generations),),),
            ((NumberPart(studies[1].prospect.generations),),),
        ),
    )
    if any(earlier):
        one, other = (
            (earlier_line(before),) if before is not None else ((_("not that the book knows"),),)
            for before in earlier
        )
        yield ComparedLine(_("paired before"), (one, other))
    against = [_against(study, snapshot, rules, today) for study in studies]
    if any(against):
        yield ComparedLine(
            _("against it"), (against[0] or ((_("nothing"),),), against[1] or ((_("nothing"),),))
        )


def _diversity(study: PairStudy, decimals: int) -> tuple[Sentence, ...]:
    return ((SharePart(study.diversity + study.on_diversity, decimals=decimals),),)


def _ancestors(study: PairStudy) -> tuple[Sentence, ...]:
    found = study.explanation.ancestors
    if not found:
        return ((_("none the book knows"),),)
    said = [
        compose(
            _("{bird}: {share}"), bird=BirdPart(each.bird), share=SharePart(each.contribution, decimals=2)
        )
        for each in found[:_ANCESTORS]
    ]
    more = len(found) - len(said)
    if more > 0:
        text = plural("and {n} more", "and {n} more", more).format(n=more)
        said.append((text,))
    return tuple(said)


def _against(study: PairStudy, snapshot: Snapshot, rules: Rules, today: date) -> tuple[Sentence, ...]:
    cock, hen = _pair(study)
    return (
        *bar_sentences(study.prospect.bar, snapshot, cock, hen, rules),
        *cautions(study.prospect, snapshot, today),
        *study.heredity,
    )
