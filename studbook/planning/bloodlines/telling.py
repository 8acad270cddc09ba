"""The report in sentences: whether the line narrows, how each founder and each living bird stands."""

from studbook.book.records import BirdId, Sex, Snapshot
from studbook.planning.bloodlines.explaining import FigureWords, figure_words
from studbook.planning.bloodlines.methods import Method
from studbook.planning.bloodlines.naming import fate_word, founder_called, founders_listed, listed
from studbook.planning.bloodlines.report import (
    AwayBird,
    BloodlinesReport,
    Borrowing,
    Call,
    Carrier,
    Fate,
    Founder,
    RankedBird,
    Standing,
)
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _, plural

__all__ = [
    "FigureWords",
    "borrowing_method",
    "call_words",
    "fate_word",
    "figure_words",
    "founder_called",
    "founder_words",
    "standing_words",
    "summary",
]

_CARRIERS_NAMED = 3


def summary(report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """The answer to "is the line narrowing?" in two or three sentences, and what to do about it."""
    if not report.living:
        return ((_("No bird of the flock is living: there is no line to narrow."),),)
    told = [_pace(report)]
    if report.at_risk:
        text = plural(
            "{count} founder is about to be lost: {founders}.",
            "{count} founders are about to be lost: {founders}.",
            len(report.at_risk),
        )
        told.append(
            compose(text, count=str(len(report.at_risk)), founders=founders_listed(report.at_risk, snapshot))
        )
    else:
        told.append((_("No founder is about to be lost."),))
    rare = [bird for bird in report.ranking if bird.standing is Standing.RARE][:_CARRIERS_NAMED]
    if rare:
        text = plural(
            "Breed from {birds} first this season: it carries what few others carry.",
            "Breed from {birds} first this season: they carry what few others carry.",
            len(rare),
        )
        told.append(compose(text, birds=listed([(BirdPart(bird.bird),) for bird in rare])))
    return tuple(told)


def _pace(report: BloodlinesReport) -> Sentence:
    trend = report.trend
    if trend.yearly_rise is None:
        return (_("Whether the line narrows cannot be told yet: it takes three hatch years."),)
    rise = SharePart(trend.yearly_rise, decimals=2)
    if trend.yearly_limit is None:
        return compose(_("Inbreeding changes by {rise} a year."), rise=rise)
    limit = SharePart(trend.yearly_limit, decimals=2)
    if trend.is_too_fast:
        text = _(
            "The line is narrowing: inbreeding rises by {rise} a year, more than the {limit} that 1 % a generation "
            "is here."
        )
    elif trend.yearly_rise > 0:
        text = _(
            "The line narrows slowly: inbreeding rises by {rise} a year, less than the {limit} that 1 % a generation "
            "is here."
        )
    else:
        text = _("The line is not narrowing: inbreeding does not rise.")
    return compose(text, rise=rise, limit=limit)


def founder_words(founder: Founder, report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """How a founder stands, who carries it, and what to do."""
    name = founder_called(founder.key, snapshot)
    if founder.key.is_unknown_parent:
        text = _(
            "Nobody recorded {founder}: most likely a bird of the flock, so nothing new. If {bird} was bought in, "
            "say so on its page; if you know the parent, enter it."
        )
        return (compose(text, founder=name, bird=BirdPart(founder.key.bird)),)
    if founder.fate is Fate.LOST:
        text = _(
            "No living bird descends from {founder}: what it brought is gone, unless a bird elsewhere has it."
        )
        return (
            compose(text, founder=name),
            (_("See under Calling home whether a bird lent, sold or given away carries it."),),
        )
    told = [
        compose(
            _("{share} of the genes of the flock come from {founder}."),
            share=SharePart(founder.contribution),
            founder=name,
        )
    ]
    if founder.key.bird in {carrier.bird for carrier in founder.carriers}:
        told.append((_("It is in the flock itself."),))
    told.append(
        compose(
            _(
                "Of what it brought, {retained} is expected to be left; at {kept} of the places of the genome there is "
                "something of it."
            ),
            retained=SharePart(founder.retained, decimals=0),
            kept=SharePart(founder.kept, decimals=0),
        )
    )
    told.append(_carried_by(founder, snapshot))
    told.append(_advice_on(founder, snapshot))
    return tuple(told)


def _carried_by(founder: Founder, snapshot: Snapshot) -> Sentence:
    carriers = founder.carriers
    if founder.carrier_count == 1:
        return compose(_("One living bird carries it: {bird}."), bird=BirdPart(carriers[0].bird))
    if founder.carrier_count <= _CARRIERS_NAMED:
        return compose(_("Only {birds} carry it."), birds=_carriers(carriers))
    text = _("{count} living birds carry it, {birds} most: {share} of the genes of {first}.")
    return compose(
        text,
        count=str(founder.carrier_count),
        birds=_carriers(carriers[:2]),
        share=SharePart(carriers[0].share),
        first=BirdPart(carriers[0].bird),
    )


def _advice_on(founder: Founder, snapshot: Snapshot) -> Sentence:
    carriers = _carriers(founder.carriers[:2])
    match founder.fate:
        case Fate.ONE_BIRD:
            text = _("If {birds} leaves no chicks, it is lost: set its eggs, or eggs by it, this season.")
        case Fate.FEW_BIRDS:
            text = _("Breed from {birds} this season, with mates of other families, and keep several chicks.")
        case Fate.FADING:
            text = _("Breed from {birds}, and pair birds that carry it on different lines.")
        case _other:
            text = _("It is safe: choose other birds first.")
    return compose(text, birds=carriers)


def _carriers(carriers: tuple[Carrier, ...]) -> Sentence:
    return listed([(BirdPart(carrier.bird),) for carrier in carriers])


def standing_words(ranked: RankedBird, report: BloodlinesReport, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """What a living bird's mean kinship says of it, and what to do."""
    bird = BirdPart(ranked.bird)
    match ranked.standing:
        case Standing.RARE:
            return (
                compose(_("{bird} carries what few others carry."), bird=bird),
                _set_eggs(ranked.bird, snapshot),
            )
        case Standing.COVERED:
            text = _("Keep few more chicks of it: kin of it carry the same.")
            return (compose(_("{bird} is well covered by kin."), bird=bird), (text,))
        case Standing.LOOKS_RARE:
            text = _(
                "{bird} looks rare, number {convention} by convention, only because parents are unknown; cautiously "
                "it is number {cautious} of {count}."
            )
            numbers = {"convention": ranked.rank_by_convention, "cautious": ranked.rank_cautious}
            return (
                compose(
                    text,
                    bird=bird,
                    count=str(len(report.ranking)),
                    **{name: str(number) for name, number in numbers.items()},
                ),
                (_("Do not choose it for rare blood; enter its parents if you can find out."),),
            )
    text = _("Choose it by what it is worth as a bird: for the line it is neither rare nor spare.")
    return (compose(_("{bird} has about as much kin in the flock as most."), bird=bird), (text,))


def _set_eggs(bird: BirdId, snapshot: Snapshot) -> Sentence:
    match snapshot.bird(bird).sex:
        case Sex.COCK:
            text = _("Give him hens this season and keep chicks of several of them.")
        case Sex.HEN:
            text = _("Set her eggs first this season and keep more chicks than one.")
        case _unknown:
            text = _("Keep it until its sex is known, and breed from it.")
    return (text,)


def call_words(call: Call, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """Which birds elsewhere carry a founder, who has them, and what borrowing the best would do."""
    founder = founder_called(call.founder, snapshot)
    if not call.birds:
        text = _(
            "No bird lent, sold or given away that may still live carries {founder}: look for its kin in other yards."
        )
        return (compose(text, founder=founder),)
    text = plural(
        "{count} bird elsewhere that may still live carries {founder}.",
        "{count} birds elsewhere that may still live carry {founder}.",
        call.found,
    )
    told = [compose(text, count=str(call.found), founder=founder)]
    best = call.birds[0]
    told.append(_whereabouts(best, call, snapshot))
    if best.borrowing is not None:
        told += borrowing_words(best.borrowing)
    else:
        told.append((_("There is no mate for it in the flock."),))
    if best.is_lent:
        told.append((_("Birds that come home stay apart first, as newcomers do."),))
    else:
        told.append((_("Ask whether it still lives before you plan with it; newcomers stay apart first."),))
    return tuple(told)


def borrowing_words(borrowing: Borrowing) -> list[Sentence]:
    """What one season with a bird that was away would do."""
    if borrowing.stays and not borrowing.chicks:
        text = _(
            "There is no mate for it here, yet home again it raises what is left from {before} to {after}."
        )
    elif borrowing.stays:
        text = plural(
            "Home again, with {chicks} chick kept, it raises what is left of the founder from {before} to {after}.",
            "Home again, with {chicks} chicks kept, it raises what is left of the founder from {before} to {after}.",
            borrowing.chicks,
        )
    else:
        text = plural(
            "One season and {chicks} chick kept would raise what is left of the founder from {before} to {after}.",
            "One season and {chicks} chicks kept would raise what is left of the founder from {before} to {after}.",
            borrowing.chicks,
        )
    told = [
        compose(
            text,
            chicks=str(borrowing.chicks),
            before=SharePart(borrowing.retained_before, decimals=0),
            after=SharePart(borrowing.retained_after, decimals=0),
        )
    ]
    if borrowing.kinship_after < borrowing.kinship_before:
        text = _("The mean kinship of the flock would fall from {before} to {after}.")
    else:
        text = _("The mean kinship of the flock would not fall: {before} before, {after} after.")
    told.append(
        compose(
            text,
            before=SharePart(borrowing.kinship_before),
            after=SharePart(borrowing.kinship_after),
        )
    )
    return told


def _whereabouts(away: AwayBird, call: Call, snapshot: Snapshot) -> Sentence:
    taker = snapshot.contact(away.taker)
    is_founder = away.bird == call.founder.bird and not call.founder.is_unknown_parent
    if away.is_lent and is_founder:
        text = (
            _("The founder itself is yours still, lent to {taker}: ask for it back.")
            if taker
            else _("The founder itself is yours still, only lent: ask for it back.")
        )
    elif away.is_lent:
        text = (
            _(
                "{bird}, of whose genes {share} are the founder's, is yours still, lent to {taker}: ask for it back."
            )
            if taker
            else _(
                "{bird}, of whose genes {share} are the founder's, is yours still, only lent: ask for it back."
            )
        )
    elif is_founder:
        if taker is None:
            text = _("Best is the founder itself; the book does not say who has it.")
        else:
            text = _("Best is the founder itself; {taker} has it.")
    elif taker is None:
        text = _(
            "Best is {bird}, of whose genes {share} are the founder's; the book does not say who has it."
        )
    else:
        text = _("Best is {bird}, of whose genes {share} are the founder's; {taker} has it.")
    return compose(
        text, bird=BirdPart(away.bird), share=SharePart(away.share), taker=taker.name if taker else ""
    )


def borrowing_method() -> Method:
    """How the effect of borrowing a bird is worked out."""
    return Method(
        _("A bird back for one season"),
        _(
            "The bird is mated to every living adult of the other sex alike and four chicks are kept; a bird that "
            "was borrowed goes back, one that was lent is counted in the flock again. Mean kinship and gene drop "
            "are then counted with the four chicks among the living birds, and compared with the living birds "
            "alone. Real chicks differ by chance; choosing their other parent well does better."
        ),
        (
            "Ballou & Lacy 1995, in Population Management for Survival and Recovery, 76–111",
            "MacCluer, VandeBerg, Read & Ryder 1986, Zoo Biology 5:147–160",
        ),
    )
