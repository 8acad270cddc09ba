"""How each figure of a planned season is found, with what the book tells and where the rule was published."""

from dataclasses import dataclass
from enum import StrEnum

from studbook.book.husbandry.figure_words import evidence_word
from studbook.book.wording import figure, per_cent
from studbook.planning.next_season.figures import Step, StepFigure
from studbook.planning.next_season.plan import SeasonPlan
from studbook.planning.next_season.practice import Usual
from studbook.planning.next_season.telling import eggs_text
from studbook.planning.next_season.wish import SPAN, Way, chance_text
from studbook.words import _, plural


class SeasonFigure(StrEnum):
    """The figures of a planned season that are explained."""

    EGGS = "eggs"
    FERTILE = "fertile"
    HATCHED = "hatched"
    REARED = "reared"
    SEXES = "sexes"
    LAYING = "laying"
    BROODY = "broody"
    AGE = "age"


@dataclass(frozen=True, slots=True)
class Explained:
    """A figure opened: its name, what it says here, how it is found, and the sources."""

    title: str
    told: tuple[str, ...]
    method: str
    sources: tuple[str, ...]


_CLOPPER = "Clopper & Pearson 1934, Biometrika 26:404–413"
_SKELLAM = "Skellam 1948, Journal of the Royal Statistical Society B 10:257–261"
_KLEINMAN = "Kleinman 1973, Journal of the American Statistical Association 68:46–54"


def explained(which: SeasonFigure, plan: SeasonPlan) -> Explained:
    """One figure of a plan, opened."""
    figures = plan.figures
    match which:
        case SeasonFigure.EGGS:
            return _eggs(plan)
        case SeasonFigure.FERTILE:
            return _step(
                figures.fertile,
                _("Fertile of the eggs set"),
                _(
                    "Eggs seen fertile of those whose state was seen. A clear egg may have died in its first hours, "
                    "so it is apparent fertility. Eggs of fertility trials are left out."
                ),
            )
        case SeasonFigure.HATCHED:
            return _step(
                figures.hatched,
                _("Hatched of the fertile eggs"),
                _(
                    "Chicks hatched of the fertile eggs, in sittings in which every egg has met its end. Figures of "
                    "the way you hatch stand for themselves where there are enough."
                ),
            )
        case SeasonFigure.REARED:
            return _step(
                figures.reared,
                _("Grown up of the chicks hatched"),
                _(
                    "Home-hatched chicks that lived to the age at which you choose, those that died on their first "
                    "day with them. A bird that was sold, given or culled before that age was neither lost nor "
                    "reared and is left out, which makes the share a little low rather than high."
                ),
            )
        case SeasonFigure.SEXES:
            return Explained(
                _("Pullets and cockerels"),
                (_("Each grown bird is a pullet or a cockerel with even chances."),),
                _(
                    "The number of pullets among so many birds follows the binomial distribution. Cockerels are a "
                    "little fewer than half at hatch as a rule, which is left aside."
                ),
                (_("Hutt 1949, Genetics of the Fowl (from memory)"),),
            )
        case SeasonFigure.LAYING:
            return _laying(plan)
        case SeasonFigure.BROODY:
            return _broody(plan)
        case SeasonFigure.AGE:
            return Explained(
                _("Old enough to choose"),
                (
                    plural(
                        "Reckoned with: {count} day.", "Reckoned with: {count} days.", plan.wish.age_days
                    ).format(count=plan.wish.age_days),
                    _usual_sentence(figures.usual.age),
                ),
                _(
                    "The last day of setting is the day you choose, less this age and the longest usual incubation: "
                    "{days} days for these eggs."
                ).format(days=plan.kind.last_day),
                (_(plan.kind.source),),
            )


def _eggs(plan: SeasonPlan) -> Explained:
    told = [
        _("{chance}: {eggs}.").format(chance=_capital(chance_text(chance)), eggs=eggs_text(eggs))
        for chance, eggs in plan.by_chance
    ]
    if plan.expected is not None:
        text = _("Of 100 eggs set about {count} become grown birds.")
        told.append(text.format(count=figure(100 * plan.figures.chain.mean, 0)))
    return Explained(
        _("How many eggs to set"),
        tuple(told),
        _(
            "The fewest eggs with which the chance of enough pullets and enough cockerels, both, is at least what you "
            "ask for. An egg is fertile, hatches and is reared at rates that are not known exactly: each is a beta "
            "distribution made from the counts, so that few eggs count for little, and the numbers that get through "
            "are beta-binomial. The chances of the whole chain are summed exactly, without draws. Spans are those "
            "that hold in {span} of the seasons. The rates of one season are taken as the same for all its eggs, and "
            "one step as independent of the next."
        ).format(span=per_cent(SPAN, 0)),
        (_SKELLAM, _CLOPPER),
    )


def _step(found: StepFigure, title: str, method: str) -> Explained:
    told = [_("Reckoned with: {share}.").format(share=per_cent(found.rate.mean, 0))]
    if found.own is not None:
        told.append(_("You reckon with a share of your own."))
        if found.seen.of:
            text = _("The book tells of {count} of {of}.")
            told.append(text.format(count=found.seen.count, of=found.seen.of))
        return Explained(title, tuple(told), method, (_CLOPPER,))
    if found.usual is not None:
        seen = found.seen
        if seen.of:
            text = _(
                "The book tells of {count} of {of} only, which is too few: the usual figure stands in for it."
            )
            told.append(text.format(count=seen.count, of=seen.of))
        else:
            told.append(_("The book tells nothing of it yet: the usual figure stands in for it."))
        told.append(_usual_sentence(found.usual))
    else:
        told += _own(found)
    sources = [_CLOPPER]
    if found.correlation:
        sources.append(_KLEINMAN)
    return Explained(title, tuple(told), method, tuple(sources))


def _own(found: StepFigure) -> list[str]:
    seen = found.seen
    text = _("The book tells of {count} of {of}: between {low} and {high} with 95 % confidence.")
    told = [
        text.format(count=seen.count, of=seen.of, low=per_cent(seen.lower, 0), high=per_cent(seen.upper, 0))
    ]
    if found.way is not None:
        told.append(
            _("Only eggs under broodies are counted.")
            if found.way is Way.BROODY
            else _("Only eggs in machines are counted.")
        )
    seasons = [
        _("{season}: {count} of {of}").format(season=row.season, count=row.reached, of=row.of)
        for row in found.seasons
    ]
    told.append(_("{seasons}.").format(seasons=_("; ").join(seasons)))
    if found.correlation:
        text = _(
            "These seasons differ more than chance explains (correlation within a season {number}): a bad year "
            "takes many at once, so the next season is reckoned as firmly as if only {seen} had been seen."
        )
        told.append(
            text.format(number=figure(found.correlation, 2), seen=max(1, round(found.rate.certainty) - 2))
        )
    if found.left_out and found.step is Step.REARED:
        text = plural(
            "{count} bird parted with before that age is left out.",
            "{count} birds parted with before that age are left out.",
            found.left_out,
        )
        told.append(text.format(count=found.left_out))
    elif found.left_out:
        text = plural(
            "{count} egg of fertility trials is left out.",
            "{count} eggs of fertility trials are left out.",
            found.left_out,
        )
        told.append(text.format(count=found.left_out))
    return told


def _laying(plan: SeasonPlan) -> Explained:
    found = plan.figures.laying
    told = [_("Reckoned with: {rate} eggs per hen and day.").format(rate=figure(found.per_hen_day, 2))]
    if found.usual is not None:
        told.append(_("The book tells too little of the hens' laying at that time of the year."))
        told.append(_usual_sentence(found.usual))
    else:
        text = _("{eggs} eggs of {days} hen-days in the weeks before the last setting, {seasons}.")
        seasons = _(", ").join(str(season) for season in found.seasons)
        told.append(text.format(eggs=found.eggs, days=found.hen_days, seasons=seasons))
    fit = plan.figures.usual.fit
    told.append(_("Of the eggs {share} are taken as fit to set.").format(share=per_cent(fit.value, 0)))
    told.append(_usual_sentence(fit))
    return Explained(
        _("Laying"),
        tuple(told),
        _(
            "A hen and a day make one hen-day, whether she laid or not. Lots are set a week apart at most, so that "
            "no egg is older than {days} days."
        ).format(days=plan.means.keep_days),
        (_(plan.practice.figures["storage_warn_days"].source),),
    )


def _broody(plan: SeasonPlan) -> Explained:
    found = plan.figures.broody
    if found is None:
        return Explained(
            _("Eggs under a broody"),
            (_("Hens of this species do not brood as a rule: hatch in a machine or under another species."),),
            "",
            (),
        )
    told = [_("Reckoned with: {count} eggs under one broody.").format(count=found.eggs)]
    if found.usual is not None:
        told.append(_usual_sentence(found.usual))
    else:
        text = plural(
            "That is the middle of what was set in {count} sitting.",
            "That is the middle of what was set in {count} sittings.",
            found.sittings,
        )
        told.append(text.format(count=found.sittings))
    return Explained(
        _("Eggs under a broody"),
        tuple(told),
        _("She has to cover them all: in cold weather set fewer."),
        (),
    )


def _usual_sentence(usual: Usual) -> str:
    text = _("The usual figure: {source} ({evidence}).")
    return text.format(source=_(usual.source), evidence=evidence_word(usual.evidence))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
