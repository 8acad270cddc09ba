"""A rotation in sentences: the way of the cockerels, each family, what moves this season, and what is out of line."""

from studbook.book.husbandry.rows import Husbandry
from studbook.book.records import BirdId, Sex, Snapshot
from studbook.planning.pens.naming import When, listed, pen_name
from studbook.planning.rotation.foresight import LATER
from studbook.planning.rotation.history import CockFrom, FamilyYear, RotationHistory
from studbook.planning.rotation.homes import Known
from studbook.planning.rotation.scheme import Ask, Deviation, Family, Fault, Reason, Scheme
from studbook.planning.rotation.words import way_text
from studbook.planning.sentences import BirdPart, Sentence, SharePart, compose
from studbook.words import _, plural


def summary(scheme: Scheme, year: Husbandry, when: When) -> tuple[str, ...]:
    """Since when, how many families, and where the cockerels go."""
    pens = [family.pen for family in scheme.families]
    families = plural("{count} family", "{count} families", len(pens)).format(count=len(pens))
    if scheme.rotation.ended is not None:
        text = _("{name}: {families}, from {begun} to {ended}.")
        first = text.format(
            name=scheme.rotation.name,
            families=families,
            begun=when(scheme.rotation.begun),
            ended=when(scheme.rotation.ended),
        )
    else:
        text = _("{name}: {families} since {begun}.")
        first = text.format(name=scheme.rotation.name, families=families, begun=when(scheme.rotation.begun))
    return (first, way_text(year, pens))


def family_sentences(scheme: Scheme, family: Family, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """Who is in a pen now and what has grown of it."""
    said: list[Sentence] = []
    for cock in family.cocks:
        said.append(_cock_sentence(scheme, cock, snapshot))
    if not family.cocks:
        said.append((_("No cock is here."),))
    if family.hens:
        text = plural("{count} hen: {birds}.", "{count} hens: {birds}.", len(family.hens))
        said.append(compose(text, count=str(len(family.hens)), birds=listed(family.hens)))
    else:
        said.append((_("No hens are here."),))
    if family.growing:
        text = plural("{count} young bird is here.", "{count} young birds are here.", len(family.growing))
        said.append((text.format(count=len(family.growing)),))
    said += _young_sentences(scheme, family, snapshot)
    return tuple(said)


def _cock_sentence(scheme: Scheme, cock: BirdId, snapshot: Snapshot) -> Sentence:
    home = scheme.homes[cock].pen
    who = BirdPart(cock)
    year = snapshot.husbandry
    if home is None:
        return compose(_("Cock: {cock}."), cock=who)
    return compose(_("Cock: {cock}, of the family {pen}."), cock=who, pen=pen_name(year, home))


def _young_sentences(scheme: Scheme, family: Family, snapshot: Snapshot) -> list[Sentence]:
    season = scheme.season - 1
    counts = dict.fromkeys(Sex, 0)
    for bird in family.young:
        counts[snapshot.bird(bird).sex] += 1
    if not family.young:
        if scheme.is_first:
            return []
        return [(_("Nothing of this family hatched in {season} lives here.").format(season=season),)]
    pullets = plural("{count} pullet", "{count} pullets", counts[Sex.HEN]).format(count=counts[Sex.HEN])
    cockerels = plural("{count} cockerel", "{count} cockerels", counts[Sex.COCK]).format(
        count=counts[Sex.COCK]
    )
    text = _("Hatched of this family in {season}: {pullets} and {cockerels}.")
    said: list[Sentence] = [(text.format(season=season, pullets=pullets, cockerels=cockerels),)]
    if counts[Sex.UNKNOWN]:
        text = plural("{count} is not sexed yet.", "{count} are not sexed yet.", counts[Sex.UNKNOWN])
        said.append((text.format(count=counts[Sex.UNKNOWN]),))
    return said


def season_sentences(scheme: Scheme, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """What is to be done for the season."""
    if scheme.rotation.ended is not None:
        return ((_("The rotation has ended: nothing is to be moved."),),)
    if scheme.is_first:
        text = _(
            "{season} is its first season: the cocks and hens that are in the pens breed as they are. Their sons move "
            "on to the next pen for the season after, their daughters stay."
        )
        return ((text.format(season=scheme.season),),)
    due = scheme.due
    said: list[Sentence] = []
    if due:
        text = plural(
            "For {season} {count} bird is to be moved.",
            "For {season} {count} birds are to be moved.",
            len(due),
        )
        said.append((text.format(season=scheme.season, count=len(due)),))
    elif scheme.asks:
        said.append(
            (
                _("Every bird is where it belongs for {season}, or its move is planned.").format(
                    season=scheme.season
                ),
            )
        )
    else:
        text = _("No young bird of these families lives that would move or stay for {season}.")
        said.append((text.format(season=scheme.season),))
    said += [
        _old_cock_sentence(ask, scheme, snapshot) for ask in scheme.asks if ask.reason is Reason.OLD_COCK_GOES
    ]
    return tuple(said)


def _old_cock_sentence(ask: Ask, scheme: Scheme, snapshot: Snapshot) -> Sentence:
    """An old cock by name, and the pens he is not put into."""
    year = snapshot.husbandry
    who, served = BirdPart(ask.bird), pen_name(year, ask.now)
    if ask.home.pen is None:
        text = _("{cock} has served {pen}: he is not kept with his daughters there.")
        return compose(text, cock=who, pen=served)
    text = _(
        "{cock} has served {pen}: he is not kept with his daughters there, and never goes back to his own line in "
        "{home}."
    )
    return compose(text, cock=who, pen=served, home=pen_name(year, ask.home.pen))


def reason_text(ask: Ask, year: Husbandry) -> str:
    """Why a bird belongs where the scheme puts it."""
    home = pen_name(year, ask.home.pen)
    match ask.reason:
        case Reason.PULLET_STAYS:
            return _("her dam's pen is {pen}").format(pen=home)
        case Reason.COCKEREL_MOVES_ON:
            return _("a son of {pen} moves on").format(pen=home)
        case Reason.RESERVE:
            return _("in reserve, a son of {pen}").format(pen=home)
        case Reason.OLD_COCK_GOES:
            return _("his daughters stay here")


def ask_sentences(ask: Ask, year: Husbandry) -> tuple[Sentence, ...]:
    """One bird opened: how its family is known and, of a cock, the F of his chicks with each hen he would have."""
    who = BirdPart(ask.bird)
    said: list[Sentence] = []
    if ask.home.pen is not None:
        text = _("{bird} is of the family {pen}, {known}.")
        said.append(compose(text, bird=who, pen=pen_name(year, ask.home.pen), known=known_text(ask)))
    else:
        said.append(compose(_("{bird} came before the rotation began, or from elsewhere."), bird=who))
    if ask.kinship is not None:
        text = _("With the hens of {pen} the F of his chicks would be {mean} on average:")
        said.append(compose(text, pen=pen_name(year, ask.to), mean=SharePart(ask.kinship)))
        for hen, share in ask.with_hens:
            text = _("with {hen} {share},") if hen != ask.with_hens[-1][0] else _("with {hen} {share}.")
            said.append(compose(text, hen=BirdPart(hen), share=SharePart(share, (ask.bird, hen))))
    return tuple(said)


def known_text(ask: Ask) -> str:
    """How it is known of which pen a bird is."""
    return {
        Known.EGGS: _("known from the eggs it hatched from"),
        Known.DAM: _("known from where its dam was when the egg was laid"),
        Known.NOT: _("not known"),
    }[ask.home.known]


def deviation_sentence(found: Deviation, scheme: Scheme, snapshot: Snapshot) -> Sentence:
    """What is not as the scheme has it, and what it does."""
    year = snapshot.husbandry
    pen = pen_name(year, found.pen)
    birds = found.birds
    match found.fault:
        case Fault.OWN_LINE:
            text = _("{cock} is in {pen}, the pen he is of: his mother and sisters are his mates.")
            return compose(text, cock=BirdPart(birds[0]), pen=pen)
        case Fault.OTHER_LINE:
            text = _("{cock} in {pen} is of {other}, which is not the family before: the lines mix sooner.")
            return compose(text, cock=BirdPart(birds[0]), pen=pen, other=pen_name(year, found.other))
        case Fault.WITH_DAUGHTERS:
            text = plural(
                "{cock} is with his daughter {hens} in {pen}.",
                "{cock} is with his daughters {hens} in {pen}.",
                len(birds) - 1,
            )
            return compose(text, cock=BirdPart(birds[0]), hens=listed(birds[1:]), pen=pen)
        case Fault.STRAYED:
            text = plural(
                "{hens} is in {pen}, but belongs to the family {other}.",
                "{hens} are in {pen}, but belong to the family {other}.",
                len(birds),
            )
            return compose(text, hens=listed(birds), pen=pen, other=pen_name(year, found.other))
        case Fault.NO_COCK:
            return (_("{pen} has no cock.").format(pen=pen),)
        case Fault.SEVERAL_COCKS:
            text = _("{cocks} are all in {pen}: whose its chicks are will be in doubt.")
            return compose(text, cocks=listed(birds), pen=pen)
        case Fault.NO_HENS:
            return (_("{pen} has no hens: the family ends unless some come back to it.").format(pen=pen),)
        case Fault.NO_SON:
            text = _(
                "{other} has no young cock of its own for {pen}: take an older son of that family who has not served "
                "there, or let its cock serve once more and keep no daughters of them."
            )
            return (text.format(other=pen_name(year, found.other), pen=pen),)
        case Fault.HOME_NOT_KNOWN:
            text = plural(
                "Of {birds} it is not known of which pen it is: write down of which pen its egg was.",
                "Of {birds} it is not known of which pen they are: write down of which pens their eggs were.",
                len(birds),
            )
            return compose(text, birds=listed(birds))


def origin_text(row: FamilyYear, year: Husbandry) -> str:
    """Where the cock of a family in a season was from, and whether that is the scheme."""
    if row.origin is None:
        return ""
    home = pen_name(year, row.home)
    return {
        CockFrom.BEFORE: _("{pen}, as it should be").format(pen=home),
        CockFrom.OWN: _("{pen}, his own line").format(pen=home),
        CockFrom.OTHER: _("{pen}, not the one before").format(pen=home),
        CockFrom.BEGAN: _("one of the first birds"),
        CockFrom.OUTSIDE: _("bought in"),
        CockFrom.NOT_KNOWN: _("not known"),
    }[row.origin]


def expectation_sentences(history: RotationHistory) -> tuple[Sentence, ...]:
    """What the scheme is expected to come to with so many pens, beside a closed pen and what really came."""
    pens = len(history.hens)
    text = plural(
        "With {count} pen, from unrelated birds, the mean F of the hens is {rotated} after {later} generations; in one "
        "closed pen it would be {closed}.",
        "With {count} pens, from unrelated birds, the mean F of the hens is {rotated} after {later} generations; in "
        "one closed pen it would be {closed}.",
        pens,
    )
    said: list[Sentence] = [
        compose(
            text,
            count=str(pens),
            rotated=SharePart(history.by_scheme[LATER]),
            later=str(LATER),
            closed=SharePart(history.closed[LATER]),
        )
    ]
    if history.from_these is None:
        said.append(
            (
                _(
                    "The book does not say which cock and hens each pen began with, so nothing can be expected from "
                    "these very birds."
                ),
            )
        )
    if not history.came:
        said.append((_("No pullets have hatched of these families yet."),))
        return tuple(said)
    last = history.came[-1]
    generation = history.generation(last.season)
    text = plural(
        "The {count} pullet of {season} has F {mean}; {expected} was to be expected of generation {generation}.",
        "The {count} pullets of {season} have a mean F of {mean}; {expected} was to be expected of generation "
        "{generation}.",
        last.count,
    )
    expected = (history.from_these or history.by_scheme)[generation]
    said.append(
        compose(
            text,
            count=str(last.count),
            season=str(last.season),
            mean=SharePart(last.mean),
            expected=SharePart(expected),
            generation=str(generation),
        )
    )
    return tuple(said)


def year_sentences(row: FamilyYear, history: RotationHistory, snapshot: Snapshot) -> tuple[Sentence, ...]:
    """One family in one season, opened: its cocks, its chicks and the F of each pullet."""
    year = snapshot.husbandry
    said: list[Sentence] = [(_("{pen} in {season}").format(pen=pen_name(year, row.pen), season=row.season),)]
    if row.cocks:
        text = plural("Cock: {cocks} ({origin}).", "Cocks: {cocks} (the first: {origin}).", len(row.cocks))
        said.append(compose(text, cocks=listed(row.cocks), origin=origin_text(row, year)))
    chicks = plural("{count} bird of this family", "{count} birds of this family", len(row.chicks)).format(
        count=len(row.chicks)
    )
    pullets = plural("{count} of them a pullet", "{count} of them pullets", len(row.pullets)).format(
        count=len(row.pullets)
    )
    said.append((_("{chicks}, {pullets}.").format(chicks=chicks, pullets=pullets),))
    if row.mean is not None and row.expected is not None:
        text = _("F of the pullets {mean} on average, from {low} to {high}; expected {expected}.")
        said.append(
            compose(
                text,
                mean=SharePart(row.mean),
                low=SharePart(row.low or 0.0),
                high=SharePart(row.high or 0.0),
                expected=SharePart(row.expected),
            )
        )
        said.append(compose(_("Pullets: {birds}."), birds=listed(row.pullets)))
    return tuple(said)
