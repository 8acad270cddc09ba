"""Each figure explained: what it is, what it means here, what to do differently now."""

import math
from dataclasses import dataclass

from studbook.book.records import Snapshot
from studbook.planning.bloodlines.methods import Figure, Method, method
from studbook.planning.bloodlines.naming import founder_called, founders_listed, listed
from studbook.planning.bloodlines.report import BloodlinesReport, Fate, RankedBird, Standing
from studbook.planning.sentences import BirdPart, NumberPart, Part, Sentence, SharePart, compose
from studbook.words import _, plural

SAFE_SIZE = 50
"""The effective size under which a flock loses too much: 1 % a generation (FAO 2013, Guidelines 14)."""

_WELL_KNOWN = 3.0
_SAME_SHARE = 0.005
_CLOSE = 0.125


@dataclass(frozen=True)
class FigureWords:
    """One figure explained.

    Attributes
    ----------
    title
        What it is called.
    value
        The figure itself in a few words: "3.2 founders", "not known".
    what, meaning, advice
        What it is, what it means here, what to do differently now.
    """

    figure: Figure
    title: str
    value: Sentence
    what: Sentence
    meaning: tuple[Sentence, ...]
    advice: tuple[Sentence, ...]
    method: Method


def figure_words(figure: Figure, report: BloodlinesReport, snapshot: Snapshot) -> FigureWords:
    """One figure of a report explained, in the user's language."""
    title, value, what, meaning, advice = _Explaining(report, snapshot).told(figure)
    return FigureWords(figure, title, value, (what,), tuple(meaning), tuple(advice), method(figure))


_Told = tuple[str, Sentence, str, list[Sentence], list[Sentence]]


class _Explaining:
    """What is said of each figure of one report."""

    def __init__(self, report: BloodlinesReport, snapshot: Snapshot) -> None:
        self._report, self._snapshot = report, snapshot

    def told(self, figure: Figure) -> _Told:
        """Title, value, what it is, what it means, what to do."""
        return {
            Figure.INBREEDING: self._inbreeding,
            Figure.TREND: self._trend,
            Figure.FOUNDERS: self._founders,
            Figure.FOUNDER_EQUIVALENTS: self._founder_equivalents,
            Figure.ANCESTOR_EQUIVALENTS: self._ancestor_equivalents,
            Figure.MEAN_KINSHIP: self._mean_kinship,
            Figure.GENE_DIVERSITY: self._gene_diversity,
            Figure.FOUNDER_GENOME_EQUIVALENTS: self._genome_equivalents,
            Figure.ALLELE_RETENTION_EQUIVALENTS: self._alleles_kept,
            Figure.REALISED_SIZE: self._realised_size,
            Figure.BREEDERS_SIZE: self._breeders_size,
            Figure.GENERATION_INTERVAL: self._interval,
            Figure.COMPLETENESS: self._completeness,
            Figure.RECENT_INBREEDING: self._recent,
            Figure.RANKING: self._ranking,
            Figure.RETENTION: self._retention,
        }[figure]()

    def _inbreeding(self) -> _Told:
        report, mean = self._report, self._report.mean_inbreeding
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if mean is not None:
            meaning.append(compose(_likeness(mean), share=SharePart(mean)))
            convention, cautious = report.mean_inbreeding_by_convention, report.mean_inbreeding_cautious
            if convention is not None and cautious is not None and cautious - convention > _SAME_SHARE:
                text = _(
                    "Cautiously counted it is {cautious}, by convention {convention}: the difference is what "
                    "unknown parents may hide."
                )
                meaning.append(compose(text, cautious=SharePart(cautious), convention=SharePart(convention)))
            advice.append(_inbreeding_advice(mean))
        return (
            _("Mean inbreeding F"),
            _share(mean),
            _("F is the chance that a bird got one and the same gene from its sire and from its dam."),
            meaning,
            advice,
        )

    def _trend(self) -> _Told:
        trend = self._report.trend
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if trend.yearly_rise is None:
            meaning.append((_("It takes three hatch years of home-hatched birds to tell."),))
        elif trend.yearly_limit is None or trend.interval_years is None:
            text = _("Whether that is too fast cannot be said: no parent's age at the hatch is known.")
            meaning.append((text,))
            advice.append((_("Enter the hatch dates of the parents."),))
        else:
            parts: dict[str, Part] = {
                "limit": SharePart(trend.yearly_limit, decimals=2),
                "interval": NumberPart(trend.interval_years),
            }
            text = _(
                "The guideline is to stay under 1 % a generation. A generation lasts {interval} years here, so "
                "that is {limit} a year."
            )
            meaning.append(compose(text, **parts))
            if trend.is_too_fast:
                times = NumberPart(trend.yearly_rise / trend.yearly_limit)
                meaning.append(compose(_("F rises {times} times as fast."), times=times))
                advice += self._more_breeders()
                advice.append(
                    (
                        _(
                            "Use each cock for a part of the hens only, and keep good birds breeding a year longer: "
                            "fewer generations lose less."
                        ),
                    )
                )
            else:
                meaning.append((_("F rises more slowly than that."),))
                advice.append((_("Go on as you do: as many cocks, and pairs that share few ancestors."),))
        value = None if trend.yearly_rise is None else SharePart(trend.yearly_rise, decimals=2)
        return (
            _("Rise of inbreeding"),
            compose(_("{share} a year"), share=value) if value else _not_known(),
            _("How much the mean F of the chicks rises from one hatch year to the next."),
            meaning,
            advice,
        )

    def _founders(self) -> _Told:
        report, snapshot = self._report, self._snapshot
        known = [founder for founder in report.founders if not founder.key.is_unknown_parent]
        there = [founder for founder in known if founder.fate is not Fate.LOST]
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if there:
            largest = there[0]
            text = _("Most comes from {founder}: {share} of the genes.")
            meaning.append(
                compose(
                    text,
                    founder=founder_called(largest.key, snapshot),
                    share=SharePart(largest.contribution),
                )
            )
        unknown = sum(founder.contribution for founder in report.founders if founder.key.is_unknown_parent)
        if unknown > _SAME_SHARE:
            text = _("{share} comes from parents nobody recorded, most likely birds of the flock.")
            meaning.append(compose(text, share=SharePart(unknown)))
        if report.lost:
            text = _("Nothing is left in the living flock of {founders}.")
            meaning.append(compose(text, founders=founders_listed(report.lost, snapshot)))
        if report.at_risk:
            text = _("About to be lost: {founders}.")
            meaning.append(compose(text, founders=founders_listed(report.at_risk, snapshot)))
            first = report.at_risk[0]
            text = _("Breed from {carriers} this season: they carry most of {founder}.")
            carriers = listed([(BirdPart(carrier.bird),) for carrier in first.carriers[:2]])
            if len(first.carriers) == 1:
                text = _("Breed from {carriers} this season: no other living bird carries {founder}.")
            advice.append(compose(text, carriers=carriers, founder=founder_called(first.key, snapshot)))
        if report.at_risk or report.lost:
            advice.append(
                (_("See under Calling home which birds lent, sold or given away carry these founders."),)
            )
        elif there:
            advice.append((_("None is at risk: let no season pass without chicks of every one."),))
        text = plural("{count} founder", "{count} founders", len(there))
        return (
            _("Founders"),
            (text.format(count=len(there)),),
            _(
                "A founder is a bird with which the pedigree begins; all genes of the flock come from founders."
            ),
            meaning,
            advice,
        )

    def _founder_equivalents(self) -> _Told:
        number = self._report.founder_equivalents
        count = sum(founder.contribution > 0 for founder in self._report.founders)
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if number is not None:
            text = plural(
                "The one founder still there counts as {number}.",
                "The {count} founders still there count as {number} that gave alike.",
                count,
            )
            meaning.append(compose(text, count=str(count), number=NumberPart(number)))
            advice.append(self._even_out() if number < 0.75 * count else _even())
        return (
            _("Effective founders"),
            _number(number),
            _("How many founders that had all given alike would be as even a start as these."),
            meaning,
            advice,
        )

    def _ancestor_equivalents(self) -> _Told:
        report = self._report
        number, start = report.ancestor_equivalents, report.founder_equivalents
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if number is not None and start is not None:
            parts = {"number": NumberPart(number), "start": NumberPart(start)}
            if number < 0.75 * start:
                text = _(
                    "That is well below the {start} effective founders: since then the line went through few birds."
                )
                advice.append(
                    (
                        _(
                            "Breed each season from sons and daughters of different parents, "
                            "not from one family that did well."
                        ),
                    )
                )
            else:
                text = _("That is close to the {start} effective founders: there was no narrow place since.")
                advice.append(
                    (_("Keep it so: breed each season from sons and daughters of different parents."),)
                )
            meaning.append(compose(text, **parts))
        return (
            _("Effective ancestors"),
            _number(number),
            _(
                "How many birds, founders or later, explain the flock: it shows narrow places since the founders."
            ),
            meaning,
            advice,
        )

    def _mean_kinship(self) -> _Told:
        report = self._report
        mean = report.mean_kinship
        meaning: list[Sentence] = []
        if mean is not None:
            text = _("If these birds met by chance, their chicks would have a mean F of about {share}.")
            meaning.append(compose(text, share=SharePart(mean)))
        return (
            _("Mean kinship"),
            _share(mean),
            _("How related the birds are on the average, each bird with itself included."),
            meaning,
            self._rare_first(),
        )

    def _gene_diversity(self) -> _Told:
        left = self._report.gene_diversity
        meaning: list[Sentence] = []
        if left is not None:
            text = _("Of the diversity that unrelated founders would have, {share} is gone.")
            meaning.append(compose(text, share=SharePart(1 - left)))
        return (
            _("Gene diversity"),
            _share(left),
            _("What is left of the diversity of the founders' yards, 1 less the mean kinship."),
            meaning,
            self._rare_first(),
        )

    def _genome_equivalents(self) -> _Told:
        number = self._report.founder_genome_equivalents
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if number is not None:
            text = _(
                "{birds} birds have no more diversity between them than {number} unrelated birds fresh from elsewhere."
            )
            birds = self._report.living if self._report.counts_living else self._report.birds
            meaning.append(compose(text, birds=str(birds), number=NumberPart(number)))
            advice.append(
                (
                    _(
                        "An unrelated cock or hen of the breed, used for one season, does more for this figure than "
                        "any choice among the birds at home."
                    ),
                )
            )
            advice += self._rare_first()
        return (
            _("Founder genome equivalents"),
            _number(number),
            _("How many unrelated birds would have the gene diversity of the flock."),
            meaning,
            advice,
        )

    def _alleles_kept(self) -> _Told:
        report = self._report
        number, exact = report.allele_retention_equivalents, report.founder_genome_equivalents
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if number is not None and exact is not None:
            text = _(
                "Genes still present count here however rare they are; by gene diversity it is {exact}. The wider "
                "the gap, the more there is to win by breeding from rare birds."
            )
            meaning.append(compose(text, exact=NumberPart(exact)))
            advice += self._rare_first()
        return (
            _("Founder genome equivalents, counting alleles kept"),
            _number(number),
            _("How many founders that had lost nothing would have brought as much as is left."),
            meaning,
            advice,
        )

    def _realised_size(self) -> _Told:
        realised = self._report.realised
        size, error = realised.size, realised.error
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        value = _not_known()
        if size is None:
            meaning.append((_("Of no bird more than the parents is known: too little to tell."),))
            advice.append((_("Enter the grandparents where you know them."),))
        elif math.isinf(size):
            value = (_("no limit yet"),)
            meaning.append((_("None of the birds is inbred, as far as the book knows."),))
            advice.append((_("Keep it so: pair birds that share few ancestors."),))
        else:
            value = (NumberPart(size, 0 if size >= SAFE_SIZE else 1),)
            if error is not None:
                value = compose(_("{size} ± {error}"), size=value, error=NumberPart(error))
            text = _(
                "The flock became inbred as fast as an ideal one of {size} birds: by {rate} a generation. "
                "Told from {birds} birds."
            )
            meaning.append(
                compose(
                    text,
                    size=NumberPart(size, 0),
                    rate=SharePart(1 / (2 * size)),
                    birds=str(realised.birds),
                )
            )
            meaning.append(_against_fifty(size))
            advice += self._more_breeders() if size < SAFE_SIZE else [_even()]
        return (
            _("Effective size, realised"),
            value,
            _("How many birds of an ideal flock, where all breed alike, would become inbred as fast."),
            meaning,
            advice,
        )

    def _breeders_size(self) -> _Told:
        breeders = self._report.breeders
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if breeders.size is None:
            text = _(
                "It takes new cocks, new hens and the age of parents in the last years, and the book lacks one of them."
            )
            meaning.append((text,))
        else:
            text = _(
                "In the last years {cocks} cocks and {hens} hens a year began to breed. If that goes on, F rises by "
                "{generation} a generation, {year} a year."
            )
            meaning.append(
                compose(
                    text,
                    cocks=NumberPart(breeders.new_cocks),
                    hens=NumberPart(breeders.new_hens),
                    generation=SharePart(breeders.per_generation or 0.0),
                    year=SharePart(breeders.per_year or 0.0, decimals=2),
                )
            )
            meaning.append(_against_fifty(breeders.size))
            advice += self._more_breeders() if breeders.size < SAFE_SIZE else [_even()]
        return (
            _("Effective size, by the breeders"),
            _number(breeders.size),
            _("What the numbers of cocks and hens you breed from make of the years to come."),
            meaning,
            advice,
        )

    def _interval(self) -> _Told:
        years = self._report.trend.interval_years
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if years is None:
            meaning.append((_("No parent's age at the hatch is known, or of one sex alone."),))
            advice.append((_("Enter the hatch dates of the parents."),))
        else:
            text = _("In ten years the flock turns over {count} times, and loses a little each time.")
            meaning.append(compose(text, count=NumberPart(10 / years)))
            advice.append(
                (
                    _(
                        "A proven bird that breeds a year longer slows the loss at no cost: do not replace it yet."
                    ),
                )
            )
        return (
            _("Generation interval"),
            compose(_("{years} years"), years=NumberPart(years)) if years else _not_known(),
            _("The mean age of parents when the chicks that follow them hatch."),
            meaning,
            advice,
        )

    def _completeness(self) -> _Told:
        known = self._report.generations
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if known is not None:
            if known >= _WELL_KNOWN:
                meaning.append((_("Enough is known for the other figures to be trusted."),))
            else:
                text = _("So little is known that F and kinship look better than they may be.")
                meaning.append((text,))
            least = sorted(
                (bird for bird in self._report.ranking if bird.generations < known / 2),
                key=lambda bird: bird.generations,
            )
            if least:
                text = _("Least is known of {birds}: enter their parents where you can.")
                advice.append(compose(text, birds=_birds(least)))
            else:
                advice.append((_("Go on writing down sire and dam of every chick, in doubt as candidates."),))
        return (
            _("Generations known"),
            _number(known),
            _("How many complete generations of ancestors the book knows of a bird, on the average."),
            meaning,
            advice,
        )

    def _recent(self) -> _Told:
        report = self._report
        recent, mean = report.recent_inbreeding, report.mean_inbreeding_by_convention
        meaning: list[Sentence] = []
        advice: list[Sentence] = []
        if recent is not None and mean is not None and mean > 0:
            old = max(0.0, mean - recent)
            text = _("Of the mean F of {mean} by convention, {recent} is recent and {old} is old.")
            meaning.append(compose(text, mean=SharePart(mean), recent=SharePart(recent), old=SharePart(old)))
            if recent >= old:
                text = _(
                    "Most is recent, so next season's pairs can bring it down: choose birds without a common "
                    "grandparent."
                )
            else:
                text = _(
                    "Most is old: every pair at home shares it. Only blood from elsewhere, or a bird called home, "
                    "brings it down."
                )
            advice.append((text,))
        elif mean == 0:
            meaning.append((_("None of the birds is inbred, as far as the book knows."),))
        return (
            _("Recent inbreeding"),
            _share(recent),
            _(
                "The part of F that comes from ancestors within three generations, and is thought to hurt most."
            ),
            meaning,
            advice,
        )

    def _ranking(self) -> _Told:
        ranking = self._report.ranking
        meaning: list[Sentence] = []
        for standing, text in (
            (Standing.RARE, _("Carry what few others carry: {birds}.")),
            (Standing.COVERED, _("Well covered by kin: {birds}.")),
            (Standing.LOOKS_RARE, _("Look rare only because parents of theirs are unknown: {birds}.")),
        ):
            birds = [bird for bird in ranking if bird.standing is standing]
            if birds:
                shown = birds if standing is not Standing.COVERED else birds[::-1]
                meaning.append(compose(text, birds=_birds(shown)))
        text = plural("{count} living bird", "{count} living birds", len(ranking))
        return (
            _("Birds by mean kinship"),
            (text.format(count=len(ranking)),),
            _(
                "A bird of low mean kinship has few close kin in the flock; what it carries is easily lost with it."
            ),
            meaning,
            self._rare_first(),
        )

    def _retention(self) -> _Told:
        founders = [founder for founder in self._report.founders if not founder.key.is_unknown_parent]
        genes = sum(2 * founder.retained for founder in founders)
        meaning: list[Sentence] = []
        if founders:
            text = plural(
                "The {count} founder brought two genes at each place.",
                "The {count} founders brought two genes each at every place, {genes} together.",
                len(founders),
            )
            meaning.append((text.format(count=len(founders), genes=2 * len(founders)),))
        return (
            _("Founder genes kept"),
            compose(_("{number} of {count}"), number=NumberPart(genes), count=str(2 * len(founders))),
            _("How many different founder genes are expected to be left at any one place of the genome."),
            meaning,
            self._rare_first(),
        )

    def _more_breeders(self) -> list[Sentence]:
        """What one cock or hen more would do."""
        breeders = self._report.breeders
        if breeders.size is None or breeders.size_with_cock is None or breeders.size_with_hen is None:
            return [(_("Breed from more cocks: they are the fewer, so they count most."),)]
        text = _(
            "One new cock more each year would raise the effective size by the breeders from {size} to {cock}, one new "
            "hen more to {hen}."
        )
        told = compose(
            text,
            size=NumberPart(breeders.size),
            cock=NumberPart(breeders.size_with_cock),
            hen=NumberPart(breeders.size_with_hen),
        )
        return [
            told,
            (_("Keep a son of every cock and a daughter of every hen, not many of the best pair."),),
        ]

    def _rare_first(self) -> list[Sentence]:
        """Whose chicks to keep, and of whom there are enough."""
        rare = [bird for bird in self._report.ranking if bird.standing is Standing.RARE]
        covered = [bird for bird in self._report.ranking if bird.standing is Standing.COVERED]
        told = []
        if rare:
            text = _("Breed from {birds} first: they carry what few others carry.")
            if len(rare) == 1:
                text = _("Breed from {birds} first: it carries what few others carry.")
            told.append(compose(text, birds=_birds(rare)))
        if covered:
            text = _("Of {birds} there is kin enough: keep few more chicks of theirs.")
            told.append(compose(text, birds=_birds(covered[::-1])))
        return told

    def _even_out(self) -> Sentence:
        there = [founder for founder in self._report.founders if founder.fate is not Fate.LOST]
        scarce = [founder for founder in there[::-1] if not founder.key.is_unknown_parent]
        if not scarce:
            return _even()
        text = _("Choose breeding birds that carry more of {few} and less of {many}.")
        return compose(
            text,
            few=founders_listed(scarce[:2], self._snapshot),
            many=founder_called(there[0].key, self._snapshot),
        )


def _even() -> Sentence:
    return (_("Keep it so: let every bird that breeds leave about as many chicks to breed from."),)


def _against_fifty(size: float) -> Sentence:
    if size < SAFE_SIZE:
        text = _("That is below 50, the least the guideline of the FAO asks for.")
    else:
        text = _("That is not below 50, the least the guideline of the FAO asks for.")
    return (text,)


def _likeness(mean: float) -> str:
    for least, text in (
        (0.1875, _("{share} is about what chicks of full brother and sister have.")),
        (0.09375, _("{share} is about what chicks of half brother and half sister have.")),
        (0.046875, _("{share} is about what chicks of first cousins have.")),
        (0.0234375, _("{share} is less than chicks of first cousins have.")),
    ):
        if mean >= least:
            return text
    return _("{share} is little.")


def _inbreeding_advice(mean: float) -> Sentence:
    if mean >= _CLOSE:
        text = _(
            "Less hatch and vigour are to be expected. Pair the least related birds, and bring in an unrelated cock or "
            "call a bird home."
        )
    elif mean >= _CLOSE / 4:
        text = _("Pair the least related birds: the room Pairing names them for every hen.")
    else:
        text = _("Keep it so: pair birds that share few ancestors, and keep more than one cock.")
    return (text,)


def _birds(ranked: list[RankedBird]) -> Sentence:
    return listed([(BirdPart(bird.bird),) for bird in ranked])


def _share(share: float | None) -> Sentence:
    return _not_known() if share is None else (SharePart(share),)


def _number(number: float | None) -> Sentence:
    return _not_known() if number is None else (NumberPart(number),)


def _not_known() -> Sentence:
    return (_("not known"),)
