"""The years ahead in sentences: a simulation, not a promise."""

from studbook.book.records import Snapshot
from studbook.book.relatedness import Unknown
from studbook.book.wording import figure, per_cent
from studbook.genetics.breeding_policy import Keep
from studbook.planning.forecast.habits import Habits
from studbook.planning.forecast.policy import MOST_BREEDERS, BuyIn, Course, Forecast, Passing, Policy, Yard
from studbook.planning.sentences import BirdPart, NumberPart, Sentence, SharePart, compose
from studbook.words import _, plural

_NEVER = 0.05
_SAFE = 0.9


def summary(found: Forecast, snapshot: Snapshot) -> list[Sentence]:
    """What the policies come to: one sentence each on F, then which keeps most."""
    said = [_on_passing(course, found) for course in found.courses]
    if len(found.courses) > 1:
        said.append(_best(found))
    said.append(caution(found))
    return said


def course_words(course: Course, found: Forecast) -> list[Sentence]:
    """More on one policy: where F, gene diversity and founders stand at the end, and the exact expectation."""
    last = found.hatch_years[-1]
    end = course.inbreeding[-1]
    said = [
        compose(
            _(
                "The chicks of {year} have a mean F of {mean}; in nine runs of ten it lies from {low} to {high}."
            ),
            year=str(last),
            mean=SharePart(end.mean),
            low=SharePart(end.low),
            high=SharePart(end.high),
        ),
        compose(
            _(
                "Gene diversity is then {end}, from {start} today. At any one gene today's birds carry genes of "
                "{count} founders on the mean; {kept} of them are left."
            ),
            end=SharePart(course.diversity[-1].mean),
            start=SharePart(found.diversity),
            count=NumberPart(found.founders),
            kept=NumberPart(course.founders[-1].mean),
        ),
        _on_exact(course),
    ]
    return said


def policy_text(policy: Policy, snapshot: Snapshot) -> str:
    """What a policy is, in one line."""
    parts = [
        plural("{count} cock a year", "{count} cocks a year", policy.cocks).format(count=policy.cocks),
        plural("{count} hen to each", "{count} hens to each", policy.hens_per_cock).format(
            count=policy.hens_per_cock
        ),
        keep_text(policy.keep),
        _("{share} of the hens replaced each year").format(share=_per_cent(policy.replaced)),
    ]
    if policy.seasons > 1:
        text = plural("a cock serves {count} season", "a cock serves {count} seasons", policy.seasons)
        parts.append(text.format(count=policy.seasons))
    if policy.rotate:
        parts.append(_("cockerels move to the next pen"))
    elif policy.mate_apart:
        parts.append(_("close matings avoided"))
    if policy.doubtful:
        parts.append(_("{share} of the chicks of doubtful sire").format(share=_per_cent(policy.doubtful)))
    if policy.buy_in is not None:
        parts.append(buy_in_text(policy.buy_in, snapshot))
    return ", ".join(parts)


def keep_text(keep: Keep) -> str:
    """Which young birds are kept, in a few words."""
    return {
        Keep.RANDOM: _("young birds kept by chance"),
        Keep.LEAST_RELATED: _("the least related kept"),
        Keep.FOUNDER_BALANCED: _("the founders kept in balance"),
    }[keep]


def buy_in_text(blood: BuyIn, snapshot: Snapshot) -> str:
    """How often a cock is bought in and from where."""
    yard = yard_text(blood.yard, snapshot)
    if blood.every is None:
        return _("one cock from {yard} before season {first}").format(yard=yard, first=blood.first)
    if blood.every == 1:
        return _("a cock from {yard} every year").format(yard=yard)
    return _("a cock from {yard} every {years} years").format(yard=yard, years=blood.every)


def yard_text(yard: Yard, snapshot: Snapshot) -> str:
    """The name of a yard."""
    if yard.origin is not None:
        origin = snapshot.origin(yard.origin)
        return origin.name if origin is not None else _("a yard struck out")
    return _("a related yard") if yard.kinship else _("an unrelated yard")


def limit_part(limit: float) -> SharePart:
    """A limit as it was given: 25 %, 12.5 %."""
    return SharePart(limit, decimals=0 if abs(100 * limit - round(100 * limit)) < 1e-9 else 1)


def caution(found: Forecast) -> Sentence:
    """That it is a simulation."""
    text = plural(
        "A simulation of {runs} run, not a promise: deaths, foxes and barren cocks are not in it.",
        "A simulation of {runs} runs, not a promise: deaths, foxes and barren cocks are not in it.",
        found.replicates,
    )
    return compose(text, runs=str(found.replicates))


def no_flock_text() -> str:
    """Why there is nothing to simulate."""
    return _("The flock has no cock or no hen of known sex that is old enough for the next season.")


def too_many_text(count: int) -> str:
    """Why a very large flock is not simulated."""
    return _(
        "{count} birds may breed next season; a forecast begins with {most} at most. Mark those that stay out under "
        "“Who may breed”."
    ).format(count=count, most=2 * MOST_BREEDERS)


def figure_text(unknown: Unknown) -> str:
    """How unknown parents are taken."""
    if unknown is Unknown.FLOCK:
        return _(
            "Cautious figures: an unknown parent counts as the mean of the birds that could have been it."
        )
    return _("Figures by convention: an unknown parent counts as related to nobody.")


def _on_passing(course: Course, found: Forecast) -> Sentence:
    passing, policy = course.passing, course.policy
    limit = limit_part(passing.limit)
    if passing.year is None:
        end = SharePart(course.inbreeding[-1].mean)
        if passing.share <= _NEVER:
            text = _(
                "{policy}: the mean F of the chicks stays under {limit} for all {years} years and ends near {end}."
            )
        else:
            text = _(
                "{policy}: on the mean F stays under {limit} for {years} years and ends near {end}, "
                "but some runs pass it."
            )
        return compose(text, policy=_first_big(policy.name), limit=limit, years=str(found.years), end=end)
    after = passing.year - found.first_year + 1
    if after == 1:
        text = _("{policy}: the chicks of {year}, the very first, already have a mean F above {limit}.")
        return compose(text, policy=_first_big(policy.name), year=str(passing.year), limit=limit)
    text = plural(
        "{policy}: the flock passes a mean F of {limit} in about {count} year, with the chicks of {year} ({span}).",
        "{policy}: the flock passes a mean F of {limit} in about {count} years, with the chicks of {year} ({span}).",
        after,
    )
    return compose(
        text,
        policy=_first_big(policy.name),
        limit=limit,
        count=str(after),
        year=str(passing.year),
        span=_span(passing),
    )


def _span(passing: Passing) -> str:
    if passing.early is not None and passing.late is not None:
        if passing.early == passing.late:
            return _("in nine runs of ten in that year")
        return _("in nine runs of ten from {early} to {late}").format(early=passing.early, late=passing.late)
    if passing.early is not None:
        return _("in some runs from {early} on, in some not at all").format(early=passing.early)
    return _("in some runs not at all")


def _best(found: Forecast) -> Sentence:
    """Which policy keeps most gene diversity at the end, and by how much."""
    ranked = sorted(found.courses, key=lambda course: -course.diversity[-1].mean)
    best, worst = ranked[0], ranked[-1]
    gap = best.diversity[-1].mean - worst.diversity[-1].mean
    if gap < 0.005:
        return (_("All keep about the same gene diversity."),)
    return compose(
        _(
            "Gene diversity, {today} today, ends highest under “{best}”, with {most}, and lowest under “{worst}”, "
            "with {least}."
        ),
        today=SharePart(found.diversity, decimals=0),
        best=best.policy.name,
        most=SharePart(best.diversity[-1].mean, decimals=0),
        worst=worst.policy.name,
        least=SharePart(worst.diversity[-1].mean, decimals=0),
    )


def _on_exact(course: Course) -> Sentence:
    exact = SharePart(course.exact_inbreeding[-1])
    if course.policy.is_by_chance:
        text = _("The exact expectation of this policy is {exact}; the runs should lie around it.")
    elif course.policy.rotate:
        text = _(
            "With the same birds kept and mated by chance F would be {exact}: the difference is what rotating "
            "and choosing do."
        )
    else:
        text = _(
            "With the same numbers kept and mated by chance F would be {exact}: the difference is the choosing."
        )
    return compose(text, exact=exact)


def _first_big(text: str) -> str:
    return text[:1].upper() + text[1:]


def _per_cent(share: float) -> str:
    return _("{number} %").format(number=round(100 * share))


def founders_words(course: Course, found: Forecast, most: int) -> Sentence:
    """The founders in most danger under a policy, `most` of them named."""
    named = [chance for chance in course.chances if chance.kept < _SAFE][:most]
    last = str(found.hatch_years[-1])
    if not named:
        return (_("Of every founder some gene is likely to be left after {year}.").format(year=last),)
    row: Sentence = ()
    for chance in named:
        one = compose(
            _("{bird} ({share})"), bird=BirdPart(chance.founder), share=SharePart(chance.kept, decimals=0)
        )
        row = compose(_("{row}, {bird}"), row=row, bird=one) if row else one
    return compose(
        _(
            "Most likely to be lost at a given gene by {year}, with the chance that it is still there: {founders}."
        ),
        year=last,
        founders=row,
    )


def habits_text(found: Habits) -> str:
    """What “as now” was read from."""
    if not found.years or found.cocks is None or found.hens is None:
        return _(
            "The book has no chicks with known parents yet, so “as now” is a guess from the living birds."
        )
    first, last = found.years[0], found.years[-1]
    return _(
        "“As now” is read from the chicks of {first} to {last}; their parents in a year, on the mean: cocks {cocks}, "
        "hens {hens}. Change what you like and run it again."
    ).format(first=first, last=last, cocks=_one(found.cocks), hens=_one(found.hens))


def related_yard_text(yard: Yard) -> str:
    """A yard not in the book whose birds are somewhat related to the flock."""
    return _("a yard related as cousins ({share})").format(share=per_cent(yard.kinship, 2))


def _one(number: float) -> str:
    return figure(number, 1)
