"""Advice on pairs in sentences: which cock suits a hen, why, and what speaks against him."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from studbook.book.husbandry.wording import apart_word
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Unknown, relationship_text
from studbook.genetics.relationship import Degree, Relationship
from studbook.planning.candidates import kind_of
from studbook.planning.forbidden_pairs import bar_sentences
from studbook.planning.limits import SAME, Bar, Rules
from studbook.planning.pairs import (
    OF_ONE_BIRD,
    WELL_KNOWN,
    Advice,
    Caution,
    HenAdvice,
    PairStudy,
    Prospect,
    apart_reason,
    is_untested,
)
from studbook.planning.pens.warnings import proven_cocks
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart, compose
from studbook.words import _, plural

_NAMED = 3
_ANCESTORS_NAMED = 8
_PER_WEEK = 7


@dataclass(frozen=True)
class HenWords:
    """What is said of one hen: the cock that suits her best and why, remarks on that, who comes next."""

    best: tuple[Sentence, ...]
    remarks: tuple[Sentence, ...] = ()
    others: tuple[Sentence, ...] = ()


def figure_sentence(unknown: Unknown) -> str:
    """Which figure is shown and what it means."""
    if unknown is Unknown.FLOCK:
        return _(
            "Cautious figures: an unknown parent of a home-hatched bird counts as the mean "
            "of the birds that could have been it."
        )
    return _(
        "Figures by convention: an unknown parent counts as related to nobody, "
        "so birds with gaps in their pedigree look better than they may be."
    )


def summary(advice: Advice) -> Sentence:
    """How many hens have a cock within the limit, and who has none."""
    limit = SharePart(advice.matrix.limit, decimals=2)
    without, count = advice.hens_without, len(advice.matrix.hens)
    if advice.hens_without_free:
        return _none_is_free(advice)
    if not without:
        text = plural(
            "For the one hen there is a cock with whom F of the chicks stays within {limit}.",
            "For each of the {count} hens there is a cock with whom F of the chicks stays within {limit}.",
            count,
        )
        return compose(text, count=str(count), limit=limit)
    if len(without) == count:
        return compose(_("No pair stays within {limit}."), limit=limit)
    if len(without) > _NAMED:
        text = plural(
            "For {without} of {count} hen no cock stays within {limit}.",
            "For {without} of {count} hens no cock stays within {limit}.",
            count,
        )
        return compose(text, without=str(len(without)), count=str(count), limit=limit)
    return compose(
        _("No cock stays within {limit} for {hens}; for every other hen there is one."),
        limit=limit,
        hens=_listed(without),
    )


def _none_is_free(advice: Advice) -> Sentence:
    """Who has a cock within the limit, but none that is wanted."""
    limit = SharePart(advice.matrix.limit, decimals=2)
    left = tuple(hen.hen for hen in advice.by_hen if not hen.free)
    if len(left) == len(advice.matrix.hens):
        return compose(
            _("No pair is left: each is over {limit}, shares a parent or is one you do not want."),
            limit=limit,
        )
    if len(left) > _NAMED:
        text = plural(
            "For {count} hen no cock is left: each pair is over {limit}, shares a parent or is one you do not want.",
            "For {count} hens no cock is left: each pair is over {limit}, shares a parent or is one you do not want.",
            len(left),
        )
        return compose(text, count=str(len(left)), limit=limit)
    return compose(
        _(
            "No cock is left for {hens}: each pair is over {limit}, shares a parent or is one you do not want. "
            "For every other hen there is one."
        ),
        hens=_listed(left),
        limit=limit,
    )


def standing_remarks(advice: Advice, snapshot: Snapshot, today: date) -> tuple[Sentence, ...]:
    """What speaks against single birds of a matrix with whatever mate, said once: not tested yet, apart now."""
    matrix = advice.matrix
    proven = proven_cocks(snapshot, today)
    untested = [cock for cock in matrix.cocks if is_untested(snapshot, snapshot.bird(cock), proven)]
    said: list[Sentence] = []
    if untested:
        text = plural(
            "Not tested yet: {cocks}. Candle a first few of his eggs before many are set.",
            "Not tested yet: {cocks}. Candle a first few of their eggs before many are set.",
            len(untested),
        )
        said.append(compose(text, cocks=_some(untested)))
    apart = [
        bird for bird in (*matrix.cocks, *matrix.hens) if apart_reason(snapshot, bird, today) is not None
    ]
    if apart:
        said.append(compose(_("Apart now: {birds}."), birds=_some(apart)))
    return tuple(said)


def hen_words(advice: HenAdvice, limit: float, snapshot: Snapshot) -> HenWords:
    """What is said of one hen."""
    if not advice.prospects:
        return HenWords(((_("There is no cock to choose."),),))
    best, *others = advice.prospects
    said = [_best(best, limit, is_within=advice.within > 0)]
    if others and abs(best.expected - others[0].expected) < SAME:
        said.append((_("Of equals he is the one least related to the flock."),))
    texts = (_("Next {cock} with {share}: {relation}."), _("Then {cock} with {share}: {relation}."))
    return HenWords(
        tuple(said),
        (
            *(knowledge(best, snapshot) if advice.within else ()),
            *bar_sentences(best.bar & ~Bar.OVER_LIMIT, snapshot, best.cock, best.hen, Rules(limit)),
            *cautions(replace(best, cautions=_of_pair(best)), snapshot),
        ),
        tuple(_prospect(text, other) for text, other in zip(texts, others, strict=False)),
    )


def relation_phrase(found: Relationship, sex: Sex = Sex.COCK) -> str:
    """What the cock is to the hen: "her half brother", "not related to her as far as the book knows"."""
    match found.degree:
        case Degree.UNRELATED:
            return _("not related to her as far as the book knows")
        case Degree.RELATED:
            return _("related to her") if found.certain else _("probably related to her")
        case Degree.SAME:
            return _("the same bird")
    phrase = _("her {relationship}") if found.certain else _("probably her {relationship}")
    return phrase.format(relationship=relationship_text(replace(found, certain=True), sex))


def relation_sentence(found: Relationship) -> Sentence:
    """What the cock is to the hen, as a sentence of its own."""
    return compose(_("He is {relation}."), relation=relation_phrase(found))


def knowledge(prospect: Prospect, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """A word on how little is known behind the figure, where it is little."""
    if prospect.generations >= WELL_KNOWN:
        return ()
    his = prospect.less_known == prospect.cock
    if prospect.generations == 0:
        if all(
            snapshot.bird(bird).is_founder and not known
            for bird, known in (
                (prospect.cock, prospect.cock_generations),
                (prospect.hen, prospect.hen_generations),
            )
        ):
            return ((_("Both are founders: nothing is known of their ancestors."),),)
        if snapshot.bird(prospect.less_known).is_founder:
            text = (
                _("He is a founder: nothing is known of his ancestors.")
                if his
                else _("She is a founder: nothing is known of her ancestors.")
            )
        else:
            text = (
                _("Of his ancestors the book knows nothing, so this says little.")
                if his
                else _("Of her ancestors the book knows nothing, so this says little.")
            )
        return ((text,),)
    if prospect.relationship.degree is Degree.UNRELATED:
        text = (
            _("They look unrelated, but only {generations} generations of his ancestors are known.")
            if his
            else _("They look unrelated, but only {generations} generations of her ancestors are known.")
        )
    else:
        text = (
            _("Only {generations} generations of his ancestors are known.")
            if his
            else _("Only {generations} generations of her ancestors are known.")
        )
    return (compose(text, generations=NumberPart(prospect.generations)),)


def cautions(prospect: Prospect, snapshot: Snapshot, today: date | None = None) -> tuple[Sentence, ...]:
    """What speaks against a pair, a sentence for each thing; with the day, why a bird is apart."""
    found = prospect.cautions
    said: list[Sentence] = []
    if Caution.SAME_BIRD in found:
        said.append((_("This is one and the same bird."),))
    if Caution.PARENT in found or Caution.FULL_SIBS in found:
        closest = _("Parent and chick") if Caution.PARENT in found else _("Full sibs")
        said.append(
            compose(
                _(
                    "{who} are as close as a mating can be: it lowers hatch and vigour and brings hidden "
                    "faults to light. Some places forbid it: local rules and a vet decide."
                ),
                who=closest,
            )
        )
    elif Caution.CLOSE in found:
        said.append((_("Close mating lowers hatch and vigour."),))
    for caution, bird, text in (
        (
            Caution.COCK_TOO_YOUNG,
            prospect.cock,
            _("{bird} is too young now: fertile from about {weeks} weeks."),
        ),
        (Caution.HEN_TOO_YOUNG, prospect.hen, _("{bird} is too young now: laying from about {weeks} weeks.")),
    ):
        if caution in found:
            sex = snapshot.bird(bird).sex
            weeks = round(kind_of(snapshot.bird(bird)).parent_age_days(sex) / _PER_WEEK)
            said.append(compose(text, bird=BirdPart(bird), weeks=str(weeks)))
    if Caution.COCK_UNTESTED in found:
        text = _(
            "{cock} is not tested: no fertility trial was decided “keep” and no chick in the book is certainly his. "
            "Candle a first few of his eggs before many are set."
        )
        said.append(compose(text, cock=BirdPart(prospect.cock)))
    for caution, bird in ((Caution.COCK_APART, prospect.cock), (Caution.HEN_APART, prospect.hen)):
        reason = apart_reason(snapshot, bird, today) if caution in found and today is not None else None
        if reason is not None:
            text = _("{bird} is set apart now ({reason}).")
            said.append(compose(text, bird=BirdPart(bird), reason=apart_word(reason)))
    return tuple(said)


def _of_pair(prospect: Prospect) -> tuple[Caution, ...]:
    """The cautions of a pair without those its birds have with whatever mate."""
    return tuple(caution for caution in prospect.cautions if caution not in OF_ONE_BIRD)


def pair_sentences(study: PairStudy, rules: Rules, snapshot: Snapshot, today: date) -> tuple[Sentence, ...]:
    """What is said of one pair: how they are related, F both ways, why it is not wanted, cautions, effects."""
    prospect = study.prospect
    said = [
        compose(
            _("{cock} is {relation}. F of their chicks: {cautious} cautious, {convention} by convention."),
            cock=BirdPart(prospect.cock),
            relation=relation_phrase(prospect.relationship),
            cautious=SharePart(study.cautious, decimals=2),
            convention=SharePart(study.by_convention, decimals=2),
        )
    ]
    return (
        *said,
        *bar_sentences(prospect.bar, snapshot, prospect.cock, prospect.hen, rules),
        *knowledge(prospect, snapshot),
        *cautions(prospect, snapshot, today),
        *study.heredity,
    )


def effect_sentences(study: PairStudy) -> tuple[Sentence, ...]:
    """What else the pair does: how much of F is recent, and what a chick does to the gene diversity."""
    said: list[Sentence] = []
    if study.by_convention > SAME:
        text = plural(
            "Of F by convention {recent} is recent, from ancestors within {count} generation, and {old} is old.",
            "Of F by convention {recent} is recent, from ancestors within {count} generations, and {old} is old.",
            study.generations,
        )
        said.append(
            compose(
                text,
                recent=SharePart(study.recent, decimals=2),
                old=SharePart(study.old, decimals=2),
                count=str(study.generations),
            )
        )
    if not math.isnan(study.on_diversity):
        decimals = effect_decimals([study.on_diversity])
        text = (
            _("One kept chick takes the gene diversity of the flock up from {before} to {after}.")
            if study.on_diversity > 0
            else _("One kept chick takes the gene diversity of the flock down from {before} to {after}.")
        )
        said.append(
            compose(
                text,
                before=SharePart(study.diversity, decimals=decimals),
                after=SharePart(study.diversity + study.on_diversity, decimals=decimals),
            )
        )
    return tuple(said)


def effect_decimals(effects: Iterable[float]) -> int:
    """With how many decimals of a per cent effects on gene diversity are told: two figures of the largest."""
    largest = max((abs(effect) for effect in effects if not math.isnan(effect)), default=0.0)
    return 2 if largest >= 0.001 else 3 if largest >= 0.0001 else 4


def explanation_sentences(study: PairStudy, snapshot: Snapshot) -> tuple[tuple[Sentence, ...], ...]:
    """Where the figure comes from: for each common ancestor its part and its paths, then the sum."""
    found = study.explanation
    blocks: list[tuple[Sentence, ...]] = []
    for ancestor in found.ancestors[:_ANCESTORS_NAMED]:
        text = plural(
            "{bird} contributes {share}, by {count} path:",
            "{bird} contributes {share}, by {count} paths:",
            ancestor.path_count,
        )
        head = compose(
            text,
            bird=BirdPart(ancestor.bird),
            share=SharePart(ancestor.contribution, decimals=2),
            count=f"{ancestor.path_count}",
        )
        chains = [_chain(path, ancestor.bird) for path in ancestor.paths]
        left = ancestor.path_count - len(chains)
        if left > 0:
            chains.append((plural("and {n} more path", "and {n} more paths", left).format(n=left),))
        blocks.append((head, *chains))
    rest = found.ancestors[_ANCESTORS_NAMED:]
    if rest:
        text = plural(
            "{n} more ancestor contributes {share}.",
            "{n} more ancestors contribute {share} together.",
            len(rest),
        )
        share = SharePart(sum(ancestor.contribution for ancestor in rest), decimals=2)
        blocks.append((compose(text, n=str(len(rest)), share=share),))
    for origin in found.origins:
        yards = [snapshot.origin(yard) for yard in (origin.origin, *origin.others)]
        blocks.append(
            (
                compose(
                    _("Birds of {origin} are assumed to be related, which contributes {share}."),
                    origin=", ".join(yard.name for yard in yards if yard),
                    share=SharePart(origin.contribution, decimals=2),
                ),
            )
        )
    if blocks:
        total = SharePart(found.kinship, decimals=2)
        blocks.append((compose(_("Together {share}: F of their chicks."), share=total),))
    else:
        blocks.append(((_("The book knows no ancestor they share."),),))
    return tuple(blocks)


def _best(prospect: Prospect, limit: float, *, is_within: bool) -> Sentence:
    if is_within:
        return _prospect(_("{cock} suits her best, with {share}: he is {relation}."), prospect)
    head = compose(_("No cock here stays within {limit} for her."), limit=SharePart(limit, decimals=2))
    return (*head, " ", *_prospect(_("The least is {share}, with {cock}: he is {relation}."), prospect))


def _prospect(text: str, prospect: Prospect) -> Sentence:
    return compose(
        text,
        cock=BirdPart(prospect.cock),
        relation=relation_phrase(prospect.relationship),
        share=SharePart(prospect.expected, (prospect.cock, prospect.hen)),
    )


def _chain(path: tuple[BirdId, ...], ancestor: BirdId) -> Sentence:
    """A path as birds, the arrows leading down from the ancestor."""
    made: list[str | BirdPart] = []
    is_below = False
    for place, bird in enumerate(path):
        if place:
            made.append(" → " if is_below else " ← ")
        made.append(BirdPart(bird))
        is_below = is_below or bird == ancestor
    return tuple(made)


def _some(birds: list[BirdId]) -> Sentence:
    """The first few of some birds and how many more there are."""
    more = len(birds) - _NAMED
    if more <= 1:
        return _listed(tuple(birds))
    text = plural("{birds} and {count} other", "{birds} and {count} others", more)
    named: Sentence = (BirdPart(birds[0]),)
    for bird in birds[1:_NAMED]:
        named = compose(_("{first}, {next}"), first=named, next=BirdPart(bird))
    return compose(text, birds=named, count=str(more))


def _listed(birds: tuple[BirdId, ...]) -> Sentence:
    listed: Sentence = (BirdPart(birds[0]),)
    for bird in birds[1:-1]:
        listed = compose(_("{first}, {next}"), first=listed, next=BirdPart(bird))
    if len(birds) > 1:
        listed = compose(_("{first} and {last}"), first=listed, last=BirdPart(birds[-1]))
    return listed
