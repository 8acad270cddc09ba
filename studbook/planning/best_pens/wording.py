"""Plans of pens in sentences: how sure it is, which wishes collide, what would help."""

from collections.abc import Mapping, Sequence

from studbook.book.ids import BirdId, PenId
from studbook.planning.best_pens.collisions import Collision, Remedy
from studbook.planning.best_pens.problem import Problem, Wish, WishKind
from studbook.planning.best_pens.wishes import PensPlan, Wishes
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _, plural

_NAMED = 8


def ban_sentence(problem: Problem) -> tuple[Sentence, ...]:
    """Which pairs the keeper does not want together, which the plan keeps apart; empty when there are none."""
    if not problem.bans:
        return ()
    pairs = [pair_phrase(pair) for pair in problem.bans[:_NAMED]]
    text = plural(
        "Kept apart, as the book has it that you do not want the pair: {pairs}.",
        "Kept apart, as the book has it that you do not want the pairs: {pairs}.",
        len(problem.bans),
    )
    return (compose(text, pairs=_listed(pairs, len(problem.bans) - len(pairs))),)


def reserve_sentences(plan: PensPlan, wishes: Wishes, called: Mapping[PenId, str]) -> tuple[Sentence, ...]:
    """Which cocks are kept in reserve, why these, and what stands in the second yard; empty without a reserve.

    `called` are the names of the pens. A place that a pen of the plan has been moved to is not told as the reserve's.
    """
    if not plan.reserve:
        return ()
    away = {place.pen for place in wishes.places if place.second_yard}
    if not away:
        text = _("Kept in reserve, for the lines that the pens hold least of: {birds}.")
        return (compose(text, birds=_listed([(BirdPart(bird),) for bird in plan.reserve])),)
    taken = {pen.place for pen in plan.pens}
    place_of = {bird: place for bird, place in plan.reserve_places if place not in taken}
    text = _("Kept in reserve, for the lines that the first yard holds least of: {birds}.")
    told: list[Sentence] = [
        compose(_("{bird} in {pen}"), bird=BirdPart(bird), pen=called[place_of[bird]])
        if bird in place_of
        else (BirdPart(bird),)
        for bird in plan.reserve
    ]
    said = [compose(text, birds=_listed(told))]
    homeless: list[Sentence] = [(BirdPart(bird),) for bird in plan.reserve if bird not in place_of]
    if homeless:
        text = _("The second yard has no place left for {birds}.")
        said.append(compose(text, birds=_listed(homeless)))
    there: list[Sentence] = [(BirdPart(pen.cock),) for pen in plan.pens if pen.place in away]
    if there:
        text = plural(
            "In the second yard there is also the pen of {birds}.",
            "In the second yard there are also the pens of {birds}.",
            len(there),
        )
        said.append(compose(text, birds=_listed(there)))
    if place_of:
        said.append((_("One fox or one illness then does not take everything."),))
    return tuple(said)


def collision_sentences(found: Sequence[Collision], problem: Problem) -> tuple[Sentence, ...]:
    """Which wishes collide and what would help, for each collision."""
    said: list[Sentence] = []
    for collision in found:
        said += _collision(collision, problem)
    return tuple(said) or ((_("No pens meet all the wishes."),),)


def wish_phrase(wish: Wish, problem: Problem) -> Sentence:
    """A wish as a phrase: "at most 3 pens"."""
    wishes = problem.wishes
    match wish.kind:
        case WishKind.PENS:
            return (plural("at most {n} pen", "at most {n} pens", wishes.pens).format(n=wishes.pens),)
        case WishKind.MOST_HENS:
            text = plural("at most {n} hen for a cock", "at most {n} hens for a cock", wishes.most_hens)
            return (text.format(n=wishes.most_hens),)
        case WishKind.LEAST_HENS:
            text = plural("at least {n} hen for a cock", "at least {n} hens for a cock", wishes.least_hens)
            return (text.format(n=wishes.least_hens),)
        case WishKind.HENS_PLACED:
            if problem.placed == len(wishes.hens):
                text = plural("the {n} hen is placed", "all {n} hens are placed", problem.placed)
            else:
                text = plural("{n} hen is placed", "{n} hens are placed", problem.placed)
            return (text.format(n=problem.placed),)
        case WishKind.RESERVE:
            text = plural("{n} cock in reserve", "{n} cocks in reserve", wishes.reserve_males)
            return (text.format(n=wishes.reserve_males),)
        case WishKind.PLACES:
            return (_("the places there are"),)
        case WishKind.LIMIT:
            limit = SharePart(wishes.limit or 0.0, decimals=2)
            if not wish.birds:
                return compose(_("no F of chicks over {limit}"), limit=limit)
            return compose(_("no F over {limit} for {hens}"), limit=limit, hens=_birds(wish.birds))
        case WishKind.TOGETHER:
            return compose(_("{pair} in one pen"), pair=_pair(wish))
        case WishKind.NEVER:
            return compose(_("{pair} never in one pen"), pair=_pair(wish))
        case WishKind.BAN:
            return compose(_("{pair}, a pair you do not want"), pair=_pair(wish))
    share = SharePart(wishes.most_share[wish.birds[0]], decimals=1)
    text = _("at most {share} of the next generation from {bird}")
    return compose(text, share=share, bird=BirdPart(wish.birds[0]))


def remedy_phrase(remedy: Remedy) -> Sentence:
    """What would help, as a phrase: "4 pens"."""
    value = remedy.value
    if value is None:
        if remedy.wish.kind is WishKind.PLACES:
            return (_("another place, or a larger one"),)
        if remedy.wish.kind is WishKind.SHARE:
            return compose(_("a larger share for {bird}"), bird=BirdPart(remedy.wish.birds[0]))
        if remedy.wish.kind is WishKind.TOGETHER:
            return compose(_("letting {pair} be apart"), pair=_pair(remedy.wish))
        return compose(_("letting {pair} be in one pen"), pair=_pair(remedy.wish))
    number = round(value)
    match remedy.wish.kind:
        case WishKind.PENS:
            return (plural("{n} pen", "{n} pens", number).format(n=number),)
        case WishKind.MOST_HENS:
            return (plural("up to {n} hen for a cock", "up to {n} hens for a cock", number).format(n=number),)
        case WishKind.LEAST_HENS:
            text = plural("{n} hen for a cock being enough", "{n} hens for a cock being enough", number)
            return (text.format(n=number),)
        case WishKind.HENS_PLACED:
            return (plural("placing {n} hen", "placing {n} hens", number).format(n=number),)
        case WishKind.RESERVE:
            return (plural("{n} cock in reserve", "{n} cocks in reserve", number).format(n=number),)
    return compose(_("a limit of {limit}"), limit=SharePart(value, decimals=2))


def pair_phrase(pair: tuple[BirdId, BirdId]) -> Sentence:
    """Two birds: "Severn and Hazel"."""
    return compose(_("{one} and {other}"), one=BirdPart(pair[0]), other=BirdPart(pair[1]))


def _collision(collision: Collision, problem: Problem) -> list[Sentence]:
    wishes = problem.wishes
    if not collision.wishes:
        if not wishes.cocks:
            return [(_("There is no cock to choose: name one, or add one to the book."),)]
        return [(_("There is no hen to choose: name one, or add one to the book."),)]
    said = [*_without_cock(collision, problem)]
    if not said:
        said = [_colliding(collision, problem)]
    if collision.remedies:
        phrases = [remedy_phrase(remedy) for remedy in collision.remedies]
        text = (
            _("This would help: {remedies}.")
            if len(phrases) == 1
            else _("Any one of these would help: {remedies}.")
        )
        said.append(compose(text, remedies=_listed(phrases)))
    return said


def _without_cock(collision: Collision, problem: Problem) -> list[Sentence]:
    """A sentence for a hen for whom the limit leaves no cock at all."""
    limited = [wish.birds[0] for wish in collision.wishes if wish.kind is WishKind.LIMIT]
    others = {wish.kind for wish in collision.wishes} - {WishKind.LIMIT, WishKind.HENS_PLACED}
    if others or len(limited) != 1:
        return []
    (hen,) = limited
    figures = problem.expected[:, problem.wishes.hens.index(hen)]
    cock = int(figures.argmin())
    return [
        compose(
            _("No cock stays within {limit} for {hen}: the least is {share}, with {cock}."),
            limit=SharePart(problem.wishes.limit or 0.0, decimals=2),
            hen=BirdPart(hen),
            cock=BirdPart(problem.wishes.cocks[cock]),
            share=SharePart(float(figures[cock]), (problem.wishes.cocks[cock], hen), 2),
        )
    ]


def _colliding(collision: Collision, problem: Problem) -> Sentence:
    wishes = problem.wishes
    kinds = {wish.kind for wish in collision.wishes}
    if kinds == {WishKind.HENS_PLACED, WishKind.PENS, WishKind.MOST_HENS}:
        room = wishes.pens * wishes.most_hens
        if room < problem.placed:
            text = plural(
                "There is room for {room} hen only, with {pens} and {most}, and {hens} are to be placed.",
                "There is room for {room} hens only, with {pens} and {most}, and {hens} are to be placed.",
                room,
            )
            return compose(
                text,
                hens=str(problem.placed),
                pens=wish_phrase(Wish(WishKind.PENS), problem),
                most=wish_phrase(Wish(WishKind.MOST_HENS), problem),
                room=str(room),
            )
    limited = tuple(wish.birds[0] for wish in collision.wishes if wish.kind is WishKind.LIMIT)
    phrases = [wish_phrase(wish, problem) for wish in collision.wishes if wish.kind is not WishKind.LIMIT]
    if limited:
        phrases.append(wish_phrase(Wish(WishKind.LIMIT, limited), problem))
    if len(phrases) == 1:
        return compose(_("No pens meet this wish: {wish}."), wish=phrases[0])
    return compose(_("These wishes collide: {wishes}."), wishes=_listed(phrases, separator=_("; ")))


def _pair(wish: Wish) -> Sentence:
    return pair_phrase((wish.birds[0], wish.birds[1]))


def _birds(birds: Sequence[BirdId]) -> Sentence:
    named: list[Sentence] = [(BirdPart(bird),) for bird in birds[:_NAMED]]
    more = len(birds) - len(named)
    if more:
        named.append((plural("{n} more", "{n} more", more).format(n=more),))
    if len(named) == 1:
        return named[0]
    return compose(_("{first} and {last}"), first=_listed(named[:-1], separator=", "), last=named[-1])


def _listed(phrases: Sequence[Sentence], more: int = 0, separator: str = "; ") -> Sentence:
    listed: list[object] = []
    for number, phrase in enumerate(phrases):
        listed += [separator, *phrase] if number else phrase
    if more > 0:
        listed.append(plural(" and {n} more", " and {n} more", more).format(n=more))
    return tuple(listed)  # type: ignore[arg-type]
