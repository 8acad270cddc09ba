"""When to buy in and from where, in sentences."""

from studbook.book.records import Snapshot
from studbook.planning.forecast.buying import BuyingIn, Newcomer
from studbook.planning.forecast.telling import limit_part, yard_text
from studbook.planning.sentences import Sentence, SharePart, compose
from studbook.words import _, plural

_SAME = 5e-4


def buying_words(found: BuyingIn, snapshot: Snapshot) -> list[Sentence]:
    """What one bought cock does, where from, and when he is best bought."""
    if not found.newcomers:
        return []
    best = found.newcomers[0]
    said = [_next_season(best, found, snapshot), _when(best, found)]
    if len(found.newcomers) > 1 and _alike(found):
        said.append(
            (
                _(
                    "All yards of the book do the same, as the birds of none are assumed to be related to the flock: "
                    "where they may be, say so in Bloodlines, and the figures change."
                ),
            )
        )
    elif len(found.newcomers) > 1:
        worst = found.newcomers[-1]
        said.append(
            compose(
                _("Least is done by a cock from {yard}: F of the next chicks would be {mean}."),
                yard=yard_text(worst.yard, snapshot),
                mean=SharePart(worst.inbreeding[0]),
            )
        )
    said.append((quarantine_text(),))
    return said


def quarantine_text() -> str:
    """What to mind with a newcomer."""
    return _(
        "A bought bird is kept apart first, and how long is for your vet and the rules of the place to say; one cock "
        "alone also takes the place of your own lines, so let him take a share, not all the hens."
    )


def best_years_text(newcomer: Newcomer) -> str:
    """The hatch years for which a cock of a yard does most: "2031", "2031 or 2032", "2031 to 2034"."""
    first, last = newcomer.best[0], newcomer.best[-1]
    if first == last:
        return str(first)
    if len(newcomer.best) == 2:
        return _("{first} or {last}").format(first=first, last=last)
    if len(newcomer.best) == last - first + 1:
        return _("{first} to {last}").format(first=first, last=last)
    return ", ".join(str(year) for year in newcomer.best)


def _next_season(best: Newcomer, found: BuyingIn, snapshot: Snapshot) -> Sentence:
    return compose(
        _(
            "A cock from {yard} used next season would bring the mean F of the chicks of {year} from {without} to "
            "{mean}, and gene diversity after it from {left} to {gained}."
        ),
        yard=yard_text(best.yard, snapshot),
        year=str(found.first_year),
        without=SharePart(found.inbreeding[0]),
        mean=SharePart(best.inbreeding[0]),
        left=SharePart(found.diversity[0]),
        gained=SharePart(best.diversity[0]),
    )


def _when(best: Newcomer, found: BuyingIn) -> Sentence:
    limit = limit_part(found.limit)
    when = best_years_text(best)
    if found.passes is None:
        return compose(
            _(
                "Without one, F stays under {limit} for {years} years; bought once, he keeps F lowest over these years "
                "when he is used for the chicks of {when}."
            ),
            limit=limit,
            years=str(found.years),
            when=when,
        )
    at = best.best[0] - found.first_year
    later = best.passes[at]
    if later is None:
        return compose(
            _(
                "Without one, F passes {limit} with the chicks of {passes}; bought once and used for the chicks of "
                "{when}, he keeps it under {limit} for all {years} years."
            ),
            limit=limit,
            passes=str(found.passes),
            when=when,
            years=str(found.years),
        )
    gained = later - found.passes
    if gained <= 0:
        return compose(
            _(
                "F passes {limit} with the chicks of {passes}; one cock bought once does not put that off, and does "
                "most when he is used for the chicks of {when}."
            ),
            limit=limit,
            passes=str(found.passes),
            when=when,
        )
    text = plural(
        "Without one, F passes {limit} with the chicks of {passes}; bought once, he does most when he is used for the "
        "chicks of {when}: F then passes it {count} year later.",
        "Without one, F passes {limit} with the chicks of {passes}; bought once, he does most when he is used for the "
        "chicks of {when}: F then passes it {count} years later.",
        gained,
    )
    return compose(text, limit=limit, passes=str(found.passes), when=when, count=str(gained))


def _alike(found: BuyingIn) -> bool:
    first = found.newcomers[0].means
    return all(
        max(abs(one - other) for one, other in zip(first, each.means, strict=True)) < _SAME
        for each in found.newcomers
    )
