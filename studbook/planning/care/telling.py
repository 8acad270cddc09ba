"""What a fertility trial shows, in sentences: what it proves, what it does not, and the hens' own part in it."""

import math

from studbook.book.husbandry.rows import Decision
from studbook.book.husbandry.wording import decision_word
from studbook.book.ids import BirdId
from studbook.book.records import Snapshot
from studbook.planning.care.seen import Seen
from studbook.planning.care.trial_plan import Written, rivals_part, share_part
from studbook.planning.care.trials import HenOfTrial, Trials, TrialStudy
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.season.binomial import Interval
from studbook.season.fertility import TrialReason, TrialVerdict, eggs_needed, probability_better
from studbook.words import _, plural

_MOST = 0.999
"""No limit below certainty is written as certainty."""


def result_sentences(study: TrialStudy) -> tuple[Sentence, ...]:
    """What was seen, with its exact interval, and whether it shows what was asked for."""
    whole = study.result.whole
    if not whole.of:
        waiting = study.counted.eggs
        if not waiting:
            return ((_("No eggs are set for this trial yet."),),)
        text = plural(
            "{count} egg is set and not looked at yet: nothing can be said.",
            "{count} eggs are set and not looked at yet: nothing can be said.",
            waiting,
        )
        return (compose(text, count=str(waiting)),)
    return (_seen_sentence(whole), _verdict_sentence(study), *_short_days(study))


def _seen_sentence(whole: Interval) -> Sentence:
    if whole.count == whole.of:
        text = _(
            "All of {seen} eggs seen were fertile. The exact {level} interval begins at {lower}: clear eggs may "
            "still come."
        )
    elif whole.count == 0:
        text = _(
            "None of {seen} eggs seen was fertile. The exact {level} interval reaches up to {upper}: it proves "
            "nothing for good."
        )
    else:
        text = _(
            "{fertile} of {seen} eggs seen were fertile. The exact {level} interval runs from {lower} to {upper}."
        )
    return compose(
        text,
        fertile=str(whole.count),
        seen=str(whole.of),
        level=share_part(whole.level),
        lower=SharePart(whole.lower),
        upper=SharePart(min(whole.upper, _MOST)),
    )


def _verdict_sentence(study: TrialStudy) -> Sentence:
    result = study.result
    share, confidence = share_part(result.share), share_part(result.confidence)
    match result.verdict:
        case TrialVerdict.SHOWN_GOOD:
            text = _(
                "That shows at least {share} with {confidence} confidence; the lower limit by itself is {lower}."
            )
            return compose(text, share=share, confidence=confidence, lower=SharePart(result.lower_limit))
        case TrialVerdict.WEAK_TEST_AGAIN if TrialReason.POOR in result.reasons:
            text = _(
                "With {confidence} confidence these eggs were under {share}: a weak result, which asks for a "
                "second test with other hens before he is judged."
            )
            return compose(text, share=share, confidence=confidence)
        case TrialVerdict.WEAK_TEST_AGAIN:
            text = _("That is weak, but {share} is not ruled out: test again before he is judged.")
            return compose(text, share=share)
    if TrialReason.TOO_FEW_EGGS in result.reasons:
        text = _(
            "That neither shows {share} nor rules it out: the eggs are too few. It takes {eggs} of {eggs}, or more "
            "eggs if some are clear."
        )
        return compose(text, share=share, eggs=str(eggs_needed(result.share, result.confidence)))
    text = _("That neither shows {share} nor rules it out: too many eggs were clear to show it.")
    return compose(text, share=share)


def _short_days(study: TrialStudy) -> tuple[Sentence, ...]:
    result = study.result
    is_weak = result.verdict is TrialVerdict.WEAK_TEST_AGAIN
    if not is_weak or TrialReason.EARLY_IN_YEAR not in result.reasons:
        return ()
    text = _(
        "The eggs were set in the short days, when cocks and hens may not be ready: a weak result then asks for "
        "a second test when the days are longer."
    )
    return ((text,),)


def hens_part_sentences(study: TrialStudy) -> tuple[Sentence, ...]:
    """The hens' own part in the result, and what the interval takes for granted."""
    result = study.result
    if not result.whole.of:
        return ()
    said: list[Sentence] = []
    advised = study.practice.trial_hens
    laid = sum(1 for hen in study.hens if hen.counted.seen)
    if TrialReason.FEW_HENS in result.reasons:
        text = plural(
            "The eggs are of {count} hen: the result may be hers as much as his. {advised} are advised.",
            "The eggs are of {count} hens: the result may be theirs as much as his. {advised} are advised.",
            laid,
        )
        said.append(compose(text, count=str(laid), advised=str(advised)))
    if result.heterogeneity is not None:
        chance = SharePart(result.heterogeneity)
        if TrialReason.HENS_DIFFER in result.reasons:
            text = _(
                "The hens differ more than chance would have it (so far apart by chance: {chance}): part of the "
                "result is theirs, and the interval is too narrow."
            )
        else:
            text = _("That the hens differ is not shown: so far apart they come by chance alone in {chance}.")
        said.append(compose(text, chance=chance))
    if TrialReason.HENS_NOT_KNOWN in result.reasons:
        said.append((_("Of some eggs the hen is not known: of the hens' part little can be said."),))
    if TrialReason.EGGS_LEFT_OUT in result.reasons:
        count = study.left_out.eggs
        text = plural(
            "{count} egg is left out: it may be another cock's, or was laid before the first that counts.",
            "{count} eggs are left out: they may be another cock's, or were laid before the first that counts.",
            count,
        )
        said.append(compose(text, count=str(count)))
    if TrialReason.APPARENT_FERTILITY in result.reasons:
        said.append((_("A germ that died in its first hours looks clear: true fertility may be higher."),))
    said.append(
        (_("Eggs of one hen stand or fall together; the interval takes each egg for itself."),),
    )
    return tuple(said)


def hen_remark(hen: HenOfTrial, study: TrialStudy, written: Written) -> Sentence:
    """From when a hen's eggs count, as the stays say, and by whom they may be besides."""
    found = hen.counting
    others = tuple(BirdId(str(cock)) if cock is not None else None for cock in found.others)
    if found.possible_from is None:
        return compose(_("the book knows of no day on which he was with her"))
    if found.counts_from is None and others:
        return compose(_("none count: they may be by {cocks}"), cocks=rivals_part(others))
    if found.counts_from is None:
        return compose(_("none count: he left before she was clear of another cock"))
    first = written(max(found.counts_from, study.trial.counts_from))
    if found.until is not None:
        return compose(_("from {first} until {last}"), first=first, last=written(found.until))
    return compose(_("from {first}"), first=first)


def decision_sentence(study: TrialStudy, written: Written) -> Sentence:
    """What the keeper decided, when and why."""
    trial = study.trial
    if trial.decision is Decision.OPEN or trial.decided is None:
        return (_("Not decided yet."),)
    text = _("Decided {day}: {decision}. {reason}") if trial.reason else _("Decided {day}: {decision}.")
    return compose(
        text, day=written(trial.decided), decision=decision_word(trial.decision), reason=trial.reason
    )


def comparison_sentences(trials: Trials, study: TrialStudy) -> tuple[Sentence, ...]:
    """How likely it is that this cock is truly better than each other cock that was tested, by their last results."""
    if not study.result.whole.of:
        return ()
    said: list[Sentence] = []
    for other in last_results(trials):
        if other.cock.id == study.cock.id or other.cock.species != study.cock.species:
            continue
        ours, theirs = study.result.whole, other.result.whole
        chance = probability_better(ours.count, ours.of, theirs.count, theirs.of)
        text = _("That {cock} is truly better than {other} ({fertile} of {seen}) has a chance of {chance}.")
        said.append(
            compose(
                text,
                cock=BirdPart(study.cock.id),
                other=BirdPart(other.cock.id),
                fertile=str(theirs.count),
                seen=str(theirs.of),
                chance=chance_text(chance),
            )
        )
    if said:
        text = _(
            "These chances start from every fertility being equally likely for either cock (a uniform prior), and "
            "take their hens to be alike."
        )
        said.append((text,))
    return tuple(said)


def last_results(trials: Trials) -> tuple[TrialStudy, ...]:
    """The last trial with a result of each cock still kept."""
    found: dict[BirdId, TrialStudy] = {}
    for trial in trials.all:
        if trial.cock in found or not trials.snapshot.bird(trial.cock).is_ours:
            continue
        study = trials.study(trial)
        if study.result.whole.of:
            found[trial.cock] = study
    return tuple(found.values())


def chance_text(chance: float) -> str:
    """A chance in whole per cent; near the ends it says no more than it knows."""
    if chance > 0.99:
        return _("over {number} %").format(number=99)
    if chance < 0.01:
        return _("under {number} %").format(number=1)
    return _("{number} %").format(number=round(chance * 100))


def interval_text(found: Interval) -> str:
    """Fertile of seen with the limits in whole per cent, rounded outwards: "17 of 19, 66 to 99 %"."""
    if not found.of:
        return ""
    low, high = math.floor(found.lower * 100), math.ceil(found.upper * 100)
    if high == 100:
        return _("{fertile} of {seen}, {low} % or more").format(fertile=found.count, seen=found.of, low=low)
    if found.count == 0:
        return _("{fertile} of {seen}, up to {high} %").format(fertile=found.count, seen=found.of, high=high)
    return _("{fertile} of {seen}, {low} to {high} %").format(
        fertile=found.count, seen=found.of, low=low, high=high
    )


def verdict_word(verdict: TrialVerdict) -> str:
    """What a result comes to in a word or two."""
    return {
        TrialVerdict.SHOWN_GOOD: _("shown good"),
        TrialVerdict.NOT_SHOWN: _("not shown either way"),
        TrialVerdict.WEAK_TEST_AGAIN: _("weak, test again"),
        TrialVerdict.NOTHING_SEEN: _("nothing seen yet"),
    }[verdict]


def trial_line(study: TrialStudy, written: Written = str) -> str:
    """A trial and its result in one line."""
    parts = [_("trial of {day}").format(day=written(study.trial.begun))]
    whole = study.result.whole
    if whole.of:
        text = _("{result} fertile with {confidence} % confidence")
        parts.append(text.format(result=interval_text(whole), confidence=round(whole.level * 100)))
    parts.append(verdict_word(study.result.verdict))
    return _(" · ").join(parts)


def hen_line(study: TrialStudy, hen: BirdId, written: Written) -> Sentence:
    """What a hen's eggs showed in the trial of a cock."""
    counted = next((each.counted for each in study.hens if each.hen == hen), Seen())
    if not counted.seen:
        text = _("In the trial of {cock} of {day}: none of her eggs seen.")
    else:
        text = _("In the trial of {cock} of {day}: {fertile} of {seen} of her eggs seen were fertile.")
    return compose(
        text,
        cock=BirdPart(study.cock.id),
        day=written(study.trial.begun),
        fertile=str(counted.fertile),
        seen=str(counted.seen),
    )


def last_line(trials: Trials, snapshot: Snapshot, bird: BirdId, written: Written = str) -> str | None:
    """The last trial result of a cock in one line; None when no egg of a trial of his was seen."""
    if not snapshot.has(bird):
        return None
    for trial in trials.of_cock(bird):
        study = trials.study(trial)
        if study.result.whole.of:
            line = trial_line(study, written)
            decision = study.trial.decision
            if decision is Decision.OPEN:
                return line
            return _("{line} · decided: {decision}").format(line=line, decision=decision_word(decision))
    return None
