"""Whose egg, in words: who can be the parents of an egg, how likely each is, and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from studbook.book.husbandry.rows import Batch
from studbook.book.ids import BirdId, PenId
from studbook.book.records import Snapshot
from studbook.planning.pens.asking import asking
from studbook.planning.pens.naming import When, iso, listed
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.season.paternity import (
    CandidatePair,
    Candidates,
    LeftOut,
    NotLaying,
    Reason,
    ReasonKind,
    Sires,
)
from studbook.words import _, plural

_PAIRS_NAMED = 12


@dataclass(frozen=True)
class WhoseWords:
    """What is said of an egg: the verdict, then each candidate, then why others do not count."""

    verdict: Sentence
    candidates: tuple[Sentence, ...] = ()
    reasons: tuple[Sentence, ...] = ()
    left_out: tuple[Sentence, ...] = ()

    @property
    def all(self) -> tuple[Sentence, ...]:
        """Everything in order."""
        return (self.verdict, *self.candidates, *self.reasons, *self.left_out)


def ask_pen(
    snapshot: Snapshot, pen: PenId, first: date, last: date, code: str = "chicken", colour: str = ""
) -> Candidates:
    """Whose an egg gathered in a pen is, laid between two days."""
    return asking(snapshot).of_pen(pen, first, last, code, colour)


def ask_hen(snapshot: Snapshot, hen: BirdId, first: date, last: date) -> Candidates:
    """Whose an egg of a hen is, laid between two days; left to her own cocks."""
    return asking(snapshot).of_hen(hen, first, last, snapshot.bird(hen).species)


def ask_batch(snapshot: Snapshot, batch: Batch) -> Candidates:
    """Whose the eggs of a batch are by the stays, whatever the keeper said."""
    return asking(snapshot).of_batch(batch).candidates


def whose_words(found: Candidates, when: When = iso) -> WhoseWords:
    """The candidates of an egg in sentences, its birds as parts."""
    return WhoseWords(
        _verdict(found),
        tuple(_candidate_words(found, when)),
        tuple(_reason_words(found, when)),
        tuple(_left_out_words(found.left_out, when)),
    )


def _verdict(found: Candidates) -> Sentence:
    """Certain, several or none, in a sentence."""
    if not found.pairs and not found.left_out:
        return (_("No hen was there on these days."),)
    if not found.pairs:
        return (_("No cock and hen can be named: no fertile egg is to be expected of these days."),)
    sires = {pair.sire for pair in found.pairs}
    dams = {pair.dam for pair in found.pairs}
    if len(found.pairs) == 1:
        pair = found.pairs[0]
        if pair.dam is not None and pair.sire is None:
            if not found.by_hen:
                text = _("The egg is of {hen}, but no cock can be named: it will be clear.")
            else:
                text = _("The egg is of {hen}, by an unknown cock of the yard she came from.")
            return compose(text, hen=_bird(pair.dam))
        if pair.dam is not None:
            return compose(_("Certain: {cock} × {hen}."), cock=_bird(pair.sire), hen=_bird(pair.dam))
    if None in sires:
        return (_("An unknown cock from outside can be the sire."),)
    if len(sires) == 1:
        text = plural(
            "The sire is certain: {cock}. The dam is the one hen here.",
            "The sire is certain: {cock}. The dam is one of {count} hens.",
            len(dams),
        )
        return compose(text, cock=_bird(next(iter(sires))), count=str(len(dams)))
    if len(dams) == 1:
        text = _("The dam is certain: {hen}. The sire is one of {count} cocks.")
        return compose(text, hen=_bird(next(iter(dams))), count=str(len(sires)))
    text = _("One of {cocks} cocks with one of {hens} hens.")
    return compose(text, cocks=str(len(sires)), hens=str(len(dams)))


def _bird(bird: object) -> Sentence:
    """A bird of a candidate pair; None is a cock from outside."""
    return (_("an unknown cock from outside"),) if bird is None else (BirdPart(BirdId(str(bird))),)


def _candidate_words(found: Candidates, when: When) -> list[Sentence]:
    """Each sire with his share and why, where the hen is one; else the sires together, then the pairs."""
    if not found.by_hen:
        return []
    if len(found.by_hen) == 1:
        _hen, sires = found.by_hen[0]
        return [
            compose(
                _("{cock}, {share}: {reason}"),
                cock=_bird(share.cock),
                share=SharePart(share.weight, decimals=0),
                reason=reason_words(share.reason, when),
            )
            for share in sires.shares
        ]
    said = [
        compose(_("{cock}, {share} of the eggs."), cock=_bird(cock), share=SharePart(weight, decimals=0))
        for cock, weight in _by_sire(found.pairs).items()
    ]
    said += [
        compose(
            _("{cock} × {hen}, {share}"),
            cock=_bird(pair.sire),
            hen=_bird(pair.dam),
            share=SharePart(pair.weight),
        )
        for pair in found.pairs[:_PAIRS_NAMED]
    ]
    if len(found.pairs) > _PAIRS_NAMED:
        more = len(found.pairs) - _PAIRS_NAMED
        text = plural("and {count} pair more", "and {count} pairs more", more)
        said.append((text.format(count=more),))
    return said


def _by_sire(pairs: tuple[CandidatePair, ...]) -> Mapping[object, float]:
    found: dict[object, float] = {}
    for pair in pairs:
        found[pair.sire] = found.get(pair.sire, 0.0) + pair.weight
    return dict(sorted(found.items(), key=lambda item: -item[1]))


def _reason_words(found: Candidates, when: When) -> list[Sentence]:
    """Each reason once: those of cocks that do not count, then what the weights assume."""
    if len(found.by_hen) == 1:
        reasons = list(found.by_hen[0][1].reasons)
    else:
        given = [share.reason for _hen, sires in found.by_hen for share in sires.shares]
        reasons = [*given, *(reason for _hen, sires in found.by_hen for reason in sires.reasons)]
    said = [
        compose(_("{cock}: {reason}"), cock=_bird(reason.cock), reason=reason_words(reason, when))
        if _names_cock(reason)
        else reason_words(reason, when)
        for reason in dict.fromkeys(reasons)
    ]
    return list(dict.fromkeys(said))


def _names_cock(reason: Reason) -> bool:
    return reason.kind not in (
        ReasonKind.EQUAL_ASSUMED,
        ReasonKind.LATER_GAINS,
        ReasonKind.SOME_DAYS_ONLY,
        ReasonKind.MEAN_OF_DAYS,
        ReasonKind.NO_COCK,
    )


def reason_words(reason: Reason, when: When = iso) -> Sentence:
    """One reason why a cock counts or not, or what the weights assume."""
    day = when(reason.day) if reason.day is not None else ""
    return (_reason_text(reason).format(day=day),)


def _reason_text(reason: Reason) -> str:
    known = reason.day is not None
    return {
        ReasonKind.WITH_HER: _("with her since {day}.") if known else _("with her for long."),
        ReasonKind.NOT_YET_COVERED: _("with her, but she is not covered before {day}."),
        ReasonKind.GONE_LATELY: _("left her on {day}; eggs go on for some time."),
        ReasonKind.GONE_LONG: _("left her on {day}, longer ago than eggs last as a rule, but it happens."),
        ReasonKind.TOO_SOON: _("too soon: his first egg can come on {day}."),
        ReasonKind.TOO_LATE: _("too late: from {day} no egg can be his."),
        ReasonKind.CLEARED: _("she counts as clear of him from {day}, and a later cock is there."),
        ReasonKind.TOO_YOUNG: _("too young: of age on {day}."),
        ReasonKind.NOT_YET_MET: _("they met on {day} only."),
        ReasonKind.NO_COCK: _("She met no cock at all."),
        ReasonKind.EQUAL_ASSUMED: _("Cocks that run together are taken to share alike: that is an assumption."),
        ReasonKind.LATER_GAINS: _("The share of the later cock grows by the day, that of the earlier falls."),
        ReasonKind.SOME_DAYS_ONLY: _("On some of these days no cock counts: such an egg would be clear."),
        ReasonKind.MEAN_OF_DAYS: _("The day of laying is not known exactly: the shares are the mean of the days."),
    }[reason.kind]  # fmt: skip


def _left_out_words(left_out: tuple[LeftOut, ...], when: When) -> list[Sentence]:
    """The hens that do not count, those with one reason together."""
    by_reason: dict[NotLaying, list[BirdId]] = {}
    said: list[Sentence] = []
    for each in left_out:
        if each.hen is None:
            continue
        hen = BirdId(str(each.hen))
        if each.not_laying is not None:
            by_reason.setdefault(each.not_laying, []).append(hen)
        elif each.sires is not None:
            said.append(_without_cock(hen, each.sires, when))
    for why, hens in by_reason.items():
        said.append(compose(_("Not of {hens}: {why}."), hens=listed(hens), why=not_laying_word(why)))
    return said


def _without_cock(hen: BirdId, sires: Sires, when: When) -> Sentence:
    """Why no cock counts for a hen."""
    if not sires.reasons:
        return compose(_("No cock counts for {hen}."), hen=BirdPart(hen))
    reason = sires.reasons[-1]
    why = reason_words(reason, when)
    if _names_cock(reason):
        text = _("No cock counts for {hen}. {cock}: {why}")
        return compose(text, hen=BirdPart(hen), cock=_bird(reason.cock), why=why)
    return compose(_("No cock counts for {hen}: {why}"), hen=BirdPart(hen), why=why)


def not_laying_word(why: NotLaying) -> str:
    """Why an egg cannot be a hen's."""
    return {
        NotLaying.BROODY: _("broody"),
        NotLaying.MOULTING: _("moulting"),
        NotLaying.EGG_COLOUR: _("her eggs have another colour"),
        NotLaying.TOO_YOUNG: _("too young to lay"),
        NotLaying.NOT_THERE: _("not there"),
        NotLaying.TRAPPED_ELSEWHERE: _("trapped elsewhere"),
        NotLaying.OTHER: _("not laying"),
    }[why]
