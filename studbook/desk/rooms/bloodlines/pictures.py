"""The charts of the room, made from a report."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from studbook.book.records import BirdId, Snapshot
from studbook.book.relatedness import Unknown
from studbook.desk.wording import bird_text, percent_text
from studbook.drawing.charts.bands import Band, BandChart
from studbook.drawing.charts.rows import Bar, BarChart, DotChart, DotRow
from studbook.drawing.charts.tones import Tone
from studbook.drawing.charts.years import Guide, YearChart, YearLine, YearPoint
from studbook.planning.bloodlines.report import (
    BloodlinesReport,
    Fate,
    Founder,
    FounderKey,
    Half,
    RankedBird,
    Standing,
)
from studbook.words import _, plural

MOST_BANDS = 12
MOST_BARS = 24

Spread = Mapping[int, tuple[float, float]]
"""The lowest and the highest F among the home-hatched birds of each year."""


def key_text(key: FounderKey) -> str:
    """A founder as the key of a place in a chart."""
    return f"{key.bird}/{key.half.value}"


def key_of(text: str) -> FounderKey:
    """The founder a place in a chart stands for."""
    bird, _slash, half = text.rpartition("/")
    return FounderKey(BirdId(bird), Half(half))


def founder_text(key: FounderKey, snapshot: Snapshot) -> str:
    """A founder in a few words: its name, else its mark, else whose unknown parent it is."""
    bird = snapshot.bird(key.bird)
    if key.half is Half.SIRE:
        return _("unknown sire of {bird}").format(bird=bird.called)
    if key.half is Half.DAM:
        return _("unknown dam of {bird}").format(bird=bird.called)
    return bird.name or bird.called


def inbreeding_chart(report: BloodlinesReport, spread: Spread) -> YearChart | None:
    """F by hatch year, the figure asked for before the other, with 1 % per generation to measure it by."""
    if not report.years:
        return None
    cautious = YearLine(
        _("cautious"), tuple(YearPoint(year.year, year.cautious, year.birds) for year in report.years)
    )
    convention = YearLine(
        _("by convention"),
        tuple(YearPoint(year.year, year.by_convention, year.birds) for year in report.years),
    )
    asked, other = (cautious, convention) if report.unknown is Unknown.FLOCK else (convention, cautious)
    points = tuple(
        replace(point, low=spread[point.year][0], high=spread[point.year][1])
        if point.year in spread
        else point
        for point in asked.points
    )
    guide = None
    limit = report.trend.yearly_limit
    if limit is not None and len(points) > 1:
        # the axis is in years, so the limit for a generation is divided by the generation interval
        name = _("1 % a generation, {rate} a year").format(rate=percent_text(limit, 2))
        guide = Guide(name, points[0].year, points[0].mean, limit)
    return YearChart(
        _("Inbreeding by hatch year"), (replace(asked, points=points), replace(other, quiet=True)), guide
    )


def founder_chart(report: BloodlinesReport, snapshot: Snapshot) -> BandChart | None:
    """Founders as one stacked band over the hatch years; small ones and unknown parents taken together."""
    years = tuple(year.year for year in report.years)
    founders = [founder for founder in report.founders if any(founder.by_year)]
    if not years or not founders:
        return None
    known = [founder for founder in founders if not founder.key.is_unknown_parent]
    unknown = [founder for founder in founders if founder.key.is_unknown_parent]
    by_weight = sorted(known, key=lambda founder: -sum(founder.by_year))
    named = {founder.key for founder in by_weight[: MOST_BANDS - (len(known) > MOST_BANDS)]}
    bands = [
        Band(key_text(founder.key), founder_text(founder.key, snapshot), founder.by_year)
        for founder in known
        if founder.key in named
    ]
    others = [founder for founder in known if founder.key not in named]
    if others:
        count = len(others)
        words = plural("{n} other founder", "{n} other founders", count).format(n=count)
        bands.append(Band("", words, _together(others), quiet=True))
    if unknown:
        bands.append(Band("", _("unknown parents"), _together(unknown), quiet=True))
    return BandChart(_("Founders by hatch year"), years, tuple(bands))


def followed_chart(report: BloodlinesReport, founder: Founder, snapshot: Snapshot) -> YearChart | None:
    """The share of one founder in the home-hatched birds of each year."""
    if not any(founder.by_year):
        return None
    name = founder_text(founder.key, snapshot)
    points = tuple(
        YearPoint(year.year, share, year.birds)
        for year, share in zip(report.years, founder.by_year, strict=True)
    )
    return YearChart(_("{founder} by hatch year").format(founder=name), (YearLine(name, points),), height=200)


def _together(founders: Sequence[Founder]) -> tuple[float, ...]:
    return tuple(sum(shares) for shares in zip(*(founder.by_year for founder in founders), strict=True))


def retention_chart(report: BloodlinesReport, snapshot: Snapshot) -> BarChart | None:
    """What is left of each known founder, those in danger marked."""
    known = [founder for founder in report.founders if not founder.key.is_unknown_parent]
    if not known:
        return None
    shown = sorted(known, key=lambda founder: -founder.retained)[:MOST_BARS]
    if len(known) > MOST_BARS:
        # of many, those that need the keeper come first
        shown = sorted(known, key=lambda founder: (not founder.fate.is_at_risk, founder.retained))[:MOST_BARS]
    return BarChart(
        _("What is left of each founder"),
        _("Of its genes still here"),
        _("Share of the flock"),
        tuple(
            Bar(
                key_text(founder.key),
                founder_text(founder.key, snapshot),
                founder.retained,
                fate_tone(founder.fate),
                fate_text(founder),
                founder.contribution,
            )
            for founder in shown
        ),
    )


def fate_tone(fate: Fate) -> Tone:
    """How a founder's fate is coloured."""
    return {
        Fate.FADING: Tone.CAUTION,
        Fate.FEW_BIRDS: Tone.CAUTION,
        Fate.ONE_BIRD: Tone.ALERT,
        Fate.LOST: Tone.ALERT,
    }.get(fate, Tone.PLAIN)


def fate_text(founder: Founder) -> str:
    """A founder's fate in a few words."""
    count = founder.carrier_count
    birds = plural("in {n} bird", "in {n} birds", count).format(n=count)
    match founder.fate:
        case Fate.LOST:
            return _("lost")
        case Fate.ONE_BIRD:
            return _("in one bird alone")
        case Fate.FADING:
            return _("fading, {birds}").format(birds=birds)
    return birds


def standing_text(standing: Standing) -> str:
    """How a living bird stands, in a few words."""
    return {
        Standing.RARE: _("carries what few others carry"),
        Standing.MIDDLING: _("in between"),
        Standing.COVERED: _("well covered by kin"),
        Standing.LOOKS_RARE: _("looks good only because parents are unknown"),
    }[standing]


_STANDING_TONES = {
    Standing.RARE: Tone.GOOD,
    Standing.MIDDLING: Tone.PLAIN,
    Standing.COVERED: Tone.CAUTION,
    Standing.LOOKS_RARE: Tone.UNSURE,
}


def ranking_chart(report: BloodlinesReport, snapshot: Snapshot) -> DotChart | None:
    """The living birds by mean kinship, both figures of each."""
    if not report.ranking or report.mean_kinship is None:
        return None
    is_cautious = report.unknown is Unknown.FLOCK
    names = (_("cautious"), _("by convention"))
    asked, other = names if is_cautious else names[::-1]
    figure: Callable[[RankedBird], tuple[float, float]] = (
        (lambda ranked: (ranked.cautious, ranked.by_convention))
        if is_cautious
        else (lambda ranked: (ranked.by_convention, ranked.cautious))
    )
    rows = []
    for ranked in report.ranking:
        bird = snapshot.bird(ranked.bird)
        value, beside = figure(ranked)
        rows.append(
            DotRow(
                str(bird.id),
                bird.mark,
                bird.name if bird.name or bird.mark else bird_text(bird),
                bird.sex,
                value,
                beside,
                _STANDING_TONES[ranked.standing],
                standing_text(ranked.standing),
            )
        )
    key = tuple((_STANDING_TONES[standing], standing_text(standing)) for standing in Standing)
    return DotChart(
        _("Mean kinship of the living birds"),
        _("Mean kinship, {way}").format(way=asked),
        other,
        tuple(rows),
        report.mean_kinship,
        _("mean of the flock"),
        key,
    )
