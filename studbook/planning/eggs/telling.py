"""The words for tallies, for eggs on hand and for what came of those that were set."""

from collections.abc import Callable
from datetime import date

from studbook.book.records import Bird, Snapshot
from studbook.book.wording import figure, per_cent
from studbook.planning.eggs.gathering import source_name
from studbook.planning.eggs.outcome import By, Group, OutcomeRow
from studbook.planning.eggs.stock import OnHand
from studbook.planning.eggs.week import TallyDay, TallyRow
from studbook.season.binomial import Interval
from studbook.season.laying import LayingRate
from studbook.season.outcome import Loss, Stage, caution
from studbook.season.practice import Evidence
from studbook.words import _, plural

DayText = Callable[[date], str]
"""Writes a day for the reader: by the locale of the desktop, or by the language of the texts."""

SMALL = 30
"""Below so many, a share is told by its counts: a percentage would promise more than they hold."""


def rate_text(rate: LayingRate | None) -> str:
    """Eggs per hen and day as a share; empty where nothing can be said."""
    share = rate.per_hen_day if rate is not None else None
    return "" if share is None else per_cent(share, 0)


def rate_sentence(row: TallyRow) -> str:
    """What stands behind a rate."""
    rate = row.rate
    if rate is None:
        return _("Nothing is written down in this week.")
    if not rate.hen_days:
        return _("No hen of laying age was here on the days counted, so there is no rate.")
    eggs = plural("{count} egg", "{count} eggs", rate.eggs).format(count=rate.eggs)
    days = plural("{count} hen-day", "{count} hen-days", rate.hen_days).format(count=rate.hen_days)
    text = _("{eggs} in {days}: a hen and a day make one hen-day, whether she laid or not.")
    said = text.format(eggs=eggs, days=days)
    if rate.strayed:
        strayed = plural(
            "{count} egg more was gathered while no hen was here.",
            "{count} eggs more were gathered while no hen was here.",
            rate.strayed,
        )
        return " ".join([said, strayed.format(count=rate.strayed)])
    return said


def doubt_sentence(day: TallyDay, where: str) -> str:
    """What is odd about the eggs of a day; empty if nothing is."""
    if not day.is_doubtful:
        return ""
    eggs = plural("{count} egg", "{count} eggs", day.eggs or 0).format(count=day.eggs)
    if not day.hens:
        text = _("{eggs} of {where}, where no hen of laying age was that day: are the stays right?")
        return text.format(eggs=eggs, where=where)
    hens = plural("{count} hen", "{count} hens", day.hens or 0).format(count=day.hens)
    text = _("{eggs} of {hens} in one day, more than one each: a slip, or eggs of two days?")
    return text.format(eggs=eggs, hens=hens)


def weights_text(weights: tuple[float, ...]) -> str:
    """The mean of the weights of a collection; empty if none was weighed."""
    if not weights:
        return ""
    text = plural("{count} egg weighed: {mean} g", "{count} eggs weighed: {mean} g on average", len(weights))
    return text.format(count=len(weights), mean=figure(sum(weights) / len(weights), 1))


def laid_text(on_hand: OnHand, day_text: DayText) -> str:
    """The days on which eggs on hand were gathered."""
    first, last = on_hand.laid[0][0], on_hand.laid[-1][0]
    if first == last:
        return day_text(first)
    return _("{first} to {last}").format(first=day_text(first), last=day_text(last))


def ageing_text(on_hand: OnHand) -> str:
    """How many of the eggs on hand have been kept too long; empty if none."""
    if not on_hand.ageing:
        return ""
    text = plural("{count} older than {days} days", "{count} older than {days} days", on_hand.ageing)
    return text.format(count=on_hand.ageing, days=on_hand.warn_days)


def storage_sentences(on_hand: tuple[OnHand, ...]) -> tuple[str, ...]:
    """The warning of ageing eggs, once for each span of days, with its source."""
    found: dict[int, tuple[int, str]] = {}
    for row in on_hand:
        if row.ageing:
            before = found.get(row.warn_days, (0, ""))[0]
            found[row.warn_days] = (before + row.ageing, row.source)
    return tuple(_aged(eggs, days, source) for days, (eggs, source) in sorted(found.items()))


def _aged(eggs: int, days: int, source: str) -> str:
    text = plural(
        "{count} egg is older than {days} days: fewer of them hatch with every day more ({source}).",
        "{count} eggs are older than {days} days: fewer of them hatch with every day more ({source}).",
        eggs,
    )
    return text.format(count=eggs, days=days, source=_(source))


def share_text(seen: Interval | None) -> str:
    """A share with its exact interval, short: "9 of 12 · 43–95 %", "86 % · 80–91 %"; empty if nothing was seen."""
    if seen is None or seen.share is None:
        return ""
    between = _("{low}–{high} %").format(low=_hundredth(seen.lower), high=_hundredth(seen.upper))
    if seen.of < SMALL:
        counted = _("{count} of {of}").format(count=seen.count, of=seen.of)
        return _("{share} · {between}").format(share=counted, between=between)
    return _("{share} · {between}").format(share=per_cent(seen.share, 0), between=between)


def share_words(seen: Interval | None) -> str:
    """A share with its exact interval in words: "9 of 12, between 43 and 95 in 100"."""
    if seen is None or seen.share is None:
        return ""
    low, high = _hundredth(seen.lower), _hundredth(seen.upper)
    if seen.of < SMALL:
        text = _("{count} of {of}, between {low} and {high} in 100")
        return text.format(count=seen.count, of=seen.of, low=low, high=high)
    text = _("{count} of {of}: {share}, between {low} and {high} in 100")
    return text.format(count=seen.count, of=seen.of, share=per_cent(seen.share, 0), low=low, high=high)


def _hundredth(share: float) -> str:
    return figure(100 * share, 0)


def group_text(group: Group, snapshot: Snapshot, called: Callable[[Bird], str], day_text: DayText) -> str:
    """What a line of the outcome is called."""
    year = snapshot.husbandry
    if group.week is not None:
        return _("week of {day}").format(day=day_text(group.week))
    if group.machine is not None:
        return year.machines[group.machine].name
    if group.pens:
        return _joined(tuple(year.pens[pen].name for pen in group.pens), _("{first} and {last}, mixed"))
    if group.is_told and group.birds:
        names = tuple(
            called(snapshot.bird(bird)) if bird is not None and snapshot.has(bird) else _nobody(group.by)
            for bird in group.birds
        )
        both = _("{first} and {last}") if group.by is By.BROODY else _("{first} or {last}")
        return _joined(names, both)
    if group.outside:
        return _("eggs from outside")
    return _nobody(group.by)


def _joined(names: tuple[str, ...], both: str) -> str:
    if len(names) == 1:
        return names[0]
    return both.format(first=", ".join(names[:-1]), last=names[-1])


def _nobody(by: By) -> str:
    return {
        By.PEN: _("no pen told"),
        By.COCK: _("a cock not known"),
        By.HEN: _("a hen not known"),
        By.BROODY: _("in a machine"),
        By.MACHINE: _("under a broody"),
        By.WEEK: _("no day told"),
    }[by]


def by_text(by: By) -> str:
    """The heading of the first column, and of the choice."""
    return {
        By.PEN: _("Pen"),
        By.COCK: _("Cock"),
        By.HEN: _("Hen"),
        By.BROODY: _("Broody"),
        By.MACHINE: _("Machine"),
        By.WEEK: _("Week"),
    }[by]


def stage_text(stage: Stage) -> str:
    """The words for where losses fall."""
    return {
        Stage.CLEAR: _("clear"),
        Stage.EARLY: _("early dead"),
        Stage.LATE: _("late dead"),
        Stage.PIPPED: _("pipped and dead"),
        Stage.FIRST_DAY: _("died on the first day"),
    }[stage]


def outcome_sentences(row: OutcomeRow) -> tuple[str, ...]:
    """What came of the eggs, each share with its counts and its exact interval; none of a share of nothing."""
    counts = row.counts
    if not counts.set_here:
        return (_("No eggs were set here."),)
    sentences = [
        plural("{count} egg set.", "{count} eggs set.", counts.set_here).format(count=counts.set_here)
    ]
    if (words := share_words(row.outcome.fertility)) != "":
        sentences.append(_("Fertile, as far as candling shows: {share}.").format(share=words))
    if (words := share_words(row.over.hatch_of_set)) != "":
        sentences.append(_("Hatched of those set: {share}.").format(share=words))
    if (words := share_words(row.over.hatch_of_fertile)) != "":
        sentences.append(_("Hatched of the fertile: {share}.").format(share=words))
    if row.taken_alive:
        taken = plural(
            "{count} egg was taken away alive, as in a fertility trial: it tells of no hatch.",
            "{count} eggs were taken away alive, as in a fertility trial: they tell of no hatch.",
            row.taken_alive,
        )
        sentences.append(taken.format(count=row.taken_alive))
    if row.under_way:
        left = row.under_way
        under_way = plural(
            "{count} egg is still under way: hatches are told of the sittings that are over.",
            "{count} eggs are still under way: hatches are told of the sittings that are over.",
            left,
        )
        sentences.append(under_way.format(count=left))
    if counts.helped:
        helped = plural("{count} chick was helped.", "{count} chicks were helped.", counts.helped)
        sentences.append(helped.format(count=counts.helped))
    return tuple(sentences)


def reliance_sentence() -> str:
    """What the interval takes for granted."""
    return _(
        "The interval is exact for eggs that have nothing to do with each other. Eggs of one hen, or of one "
        "machine on one day, stand or fall together: with few of these the truth may lie further out."
    )


def doubt_of_group(group: Group) -> str:
    """Why a line counts for nobody alone; empty if it does."""
    if group.is_certain:
        return ""
    if not group.is_told:
        return _("Nothing is told of these eggs here.")
    if group.by is By.BROODY:
        return _("They shared the nest, so the eggs count for neither alone.")
    return _("The eggs cannot be told apart, so they count for neither alone.")


def loss_sentences(row: OutcomeRow) -> tuple[str, ...]:
    """Stage by stage what was lost beyond chance and what guides say to look at; one sentence if nothing was."""
    if not row.standing_out:
        if any(loss.share.count for loss in row.losses):
            return (_("No loss stands out from what is usual by more than chance explains."),)
        return ()
    return tuple(_loss(loss) for loss in row.standing_out)


def _loss(loss: Loss) -> str:
    text = _("More {stage} than usual: {share}. Up to {usual} in 100 is nothing unusual.")
    told = text.format(
        stage=stage_text(loss.stage), share=share_words(loss.share), usual=_hundredth(loss.usual)
    )
    look = _("Guides say to look at {things}.").format(things="; ".join(look.text for look in loss.look_at))
    return " ".join([told, look])


def loss_sources(row: OutcomeRow) -> tuple[str, ...]:
    """Where the advice of `loss_sentences` comes from, and that it decides nothing."""
    if not row.standing_out:
        return ()
    sources = dict.fromkeys(
        (look.source, look.evidence) for loss in row.standing_out for look in loss.look_at
    )
    told = [
        _("Source: {source}.").format(source=_(source))
        if evidence is not Evidence.MEMORY or "from memory" in source
        else _("Source: {source}; from memory.").format(source=_(source))
        for source, evidence in sources
    ]
    return (*told, _("The usual shares are from memory; your own flock is the better measure."), caution())


def on_hand_name(on_hand: OnHand, snapshot: Snapshot) -> str:
    """The pen or hen whose eggs are on hand."""
    return source_name(snapshot, on_hand.of)
