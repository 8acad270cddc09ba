"""Whose the eggs of a batch are, in sentences: the parents, how likely, and the reasons."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date

from studbook.book.husbandry.whose_egg import Whose
from studbook.book.ids import BirdId
from studbook.planning.sentences import BirdPart, Part, Sentence, SharePart, compose
from studbook.season.paternity import Candidates, LeftOut, NotLaying, Reason, ReasonKind
from studbook.words import _, plural

_PAIRS_NAMED = 6
_HENS_NAMED = 6

DayText = Callable[[date], str]


def parents_sentence(whose: Whose) -> Sentence:
    """Who the parents can be: certain, several with their shares, or nobody."""
    pairs = whose.pairs
    if not pairs:
        return (_("Nobody can be named as a parent."),)
    if len(pairs) == 1:
        text = _("By {sire} out of {dam}: certain.")
        if pairs[0].sire is None or pairs[0].dam is None:
            text = _("By {sire} out of {dam}.")
        return compose(text, sire=_cock(pairs[0].sire), dam=_hen(pairs[0].dam))
    sires, dams = _shares((p.sire, p.weight) for p in pairs), _shares((p.dam, p.weight) for p in pairs)
    if len(sires) > 1 and len(dams) > 1 and len(pairs) <= _PAIRS_NAMED:
        listed = _or([_pair(p.sire, p.dam, p.weight) for p in pairs])
        return compose(_("Two or more pairs are possible: {pairs}."), pairs=listed)
    if len(dams) > _HENS_NAMED:
        hens = plural("one of {count} hens", "one of {count} hens", len(dams))
        out_of: Sentence = (hens.format(count=len(dams)),)
    else:
        out_of = _weighed(dams, _hen)
    return compose(_("By {sires} out of {dams}."), sires=_weighed(sires, _cock), dams=out_of)


def reasons_of(whose: Whose, day_text: DayText) -> tuple[Sentence, ...]:
    """Why: the keeper's own word, or what the stays say of each cock and of the hens that do not count."""
    if whose.said:
        said = dict.fromkeys(pair.reason for pair in whose.pairs)
        return tuple(
            (_("By the keeper's word, in place of the stays: {reason}").format(reason=reason),)
            for reason in said
        )
    found = whose.candidates
    reasons = dict.fromkeys(_all_reasons(found))
    sentences = [_reason(reason, day_text) for reason in reasons]
    return (*sentences, *_left_out(found.left_out))


def _all_reasons(found: Candidates) -> Iterator[Reason]:
    for _hen_of, sires in found.by_hen:
        yield from (share.reason for share in sires.shares)
        yield from sires.reasons
    if not found.by_hen:
        for left in found.left_out:
            if left.sires is not None:
                yield from left.sires.reasons


def _reason(reason: Reason, day_text: DayText) -> Sentence:
    text = {
        ReasonKind.WITH_HER: _("{cock} was there."),
        ReasonKind.NOT_YET_COVERED: _(
            "{cock} was there, but the eggs are reliably fertile only from {day} on."
        ),
        ReasonKind.GONE_LATELY: _("{cock} left on {day}, and eggs may be his for a while yet."),
        ReasonKind.GONE_LONG: _("{cock} left on {day}, longer ago than his eggs go on as a rule."),
        ReasonKind.TOO_SOON: _("No egg can be by {cock} before {day}."),
        ReasonKind.TOO_LATE: _("No egg can be by {cock} from {day} on."),
        ReasonKind.CLEARED: _("Clear of {cock} since {day}."),
        ReasonKind.TOO_YOUNG: _("{cock} was too young until {day}."),
        ReasonKind.NOT_YET_MET: _("{cock} came only on {day}."),
        ReasonKind.NO_COCK: _("No cock was with them."),
        ReasonKind.EQUAL_ASSUMED: _("Cocks in one pen are taken to share alike."),
        ReasonKind.LATER_GAINS: _("The later cock's share grows by the day and the earlier one's falls."),
        ReasonKind.SOME_DAYS_ONLY: _("On some of the days no cock counts: eggs of those days stay clear."),
        ReasonKind.MEAN_OF_DAYS: _("The shares are the mean over the days of laying."),
    }[reason.kind]
    if reason.kind is ReasonKind.WITH_HER and reason.day is not None:
        text = _("{cock} was there since {day}.")
    cock = BirdId(str(reason.cock)) if reason.cock is not None else None
    day = day_text(reason.day) if reason.day is not None else _("long before")
    return compose(text, cock=_cock(cock), day=day)


def _left_out(left_out: Iterable[LeftOut]) -> Iterator[Sentence]:
    for left in left_out:
        if left.hen is None or left.not_laying is None:
            continue
        text = {
            NotLaying.BROODY: _("{hen} does not count: she was broody."),
            NotLaying.MOULTING: _("{hen} does not count: she was moulting."),
            NotLaying.EGG_COLOUR: _("{hen} does not count: her eggs have another colour."),
            NotLaying.TOO_YOUNG: _("{hen} does not count: she was too young to lay."),
            NotLaying.NOT_THERE: _("{hen} does not count: she was not there."),
            NotLaying.TRAPPED_ELSEWHERE: _("{hen} does not count: her eggs were told apart."),
            NotLaying.OTHER: _("{hen} does not count: she was not laying."),
        }[left.not_laying]
        yield compose(text, hen=BirdPart(BirdId(str(left.hen))))


def _cock(bird: BirdId | None) -> Part:
    return BirdPart(bird) if bird is not None else _("an unknown cock")


def _hen(bird: BirdId | None) -> Part:
    return BirdPart(bird) if bird is not None else _("an unknown hen")


def _pair(sire: BirdId | None, dam: BirdId | None, weight: float) -> Sentence:
    share = SharePart(weight, decimals=0)
    return compose(_("{sire} × {dam} {share}"), sire=_cock(sire), dam=_hen(dam), share=share)


def _shares(weighted: Iterable[tuple[BirdId | None, float]]) -> dict[BirdId | None, float]:
    total: dict[BirdId | None, float] = {}
    for bird, weight in weighted:
        total[bird] = total.get(bird, 0.0) + weight
    return dict(sorted(total.items(), key=lambda each: -each[1]))


def _weighed(birds: dict[BirdId | None, float], part: Callable[[BirdId | None], Part]) -> Sentence:
    """The birds with their shares: "Usk 62 % or Lune 38 %"; one alone without."""
    if len(birds) == 1:
        return (part(next(iter(birds))),)
    return _or(
        [
            compose(_("{bird} {share}"), bird=part(bird), share=SharePart(weight, decimals=0))
            for bird, weight in birds.items()
        ]
    )


def _or(parts: list[Sentence]) -> Sentence:
    listed = parts[0]
    for part in parts[1:-1]:
        listed = compose(_("{first}, {next}"), first=listed, next=part)
    if len(parts) > 1:
        listed = compose(_("{first} or {last}"), first=listed, last=parts[-1])
    return listed
