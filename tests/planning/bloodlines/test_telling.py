"""What is said of the bloodlines: the right founder, the right bird, and what to do."""

from dataclasses import replace

import pytest

from studbook.book.records import BirdId, Sex, Snapshot
from studbook.book.relatedness import Unknown
from studbook.planning.bloodlines.measuring import bloodlines_report
from studbook.planning.bloodlines.methods import Figure, method
from studbook.planning.bloodlines.report import BloodlinesReport, Fate, Founder, Trend
from studbook.planning.bloodlines.telling import (
    FigureWords,
    figure_words,
    founder_words,
    standing_words,
    summary,
)
from tests.planning.bloodlines.flock import TODAY, bird, narrow_flock, said


def report_of(snapshot: Snapshot) -> BloodlinesReport:
    return bloodlines_report(snapshot, TODAY, unknown=Unknown.UNRELATED, replicates=300)


def words(figure: Figure, snapshot: Snapshot | None = None) -> FigureWords:
    snapshot = snapshot or narrow_flock()
    return figure_words(figure, report_of(snapshot), snapshot)


def founder_of(report: BloodlinesReport, name: str) -> Founder:
    return next(founder for founder in report.founders if founder.key.bird == BirdId(name))


def test_the_summary_names_the_founder_about_to_be_lost() -> None:
    snapshot = narrow_flock()
    report = report_of(snapshot)
    endangered = {founder.key.bird for founder in report.at_risk}
    assert "Sloe" in endangered
    told = said(summary(report, snapshot))
    for name in endangered:
        assert name in told
    assert "Teasel" not in told


def test_a_lost_founder_is_named_with_where_to_look() -> None:
    snapshot = narrow_flock()
    report = report_of(snapshot)
    told = said(founder_words(founder_of(report, "Teasel"), report, snapshot))
    assert "No living bird descends from Teasel" in told
    assert "Calling home" in told


def test_the_carriers_of_a_founder_at_risk_are_to_breed() -> None:
    snapshot = narrow_flock()
    report = report_of(snapshot)
    told = said(founder_words(founder_of(report, "Sloe"), report, snapshot))
    assert "25.0 % of the genes of the flock come from Sloe." in told
    assert "Only Hazel, Dart and Elder carry it." in told
    assert "Breed from Hazel and Dart this season" in told


def test_an_unknown_parent_is_told_as_nobody_new() -> None:
    snapshot = narrow_flock(bird("Vetch", Sex.HEN, "2024-04-10", "W24-09", "Tamar"))
    report = report_of(snapshot)
    founder = founder_of(report, "Vetch")
    assert founder.fate is Fate.UNKNOWN_PARENT
    assert "the unknown dam of Vetch" in said(founder_words(founder, report, snapshot))


def test_birds_by_mean_kinship_name_the_rare_one() -> None:
    thistle = bird("Thistle", Sex.HEN, "2024-04-01", "T24-01", founder=True)
    snapshot = narrow_flock(thistle)
    report = report_of(snapshot)
    assert "Carry what few others carry: Thistle." in said(words(Figure.RANKING, snapshot).meaning)
    assert "Thistle carries what few others carry" in said(
        standing_words(report.ranking[0], report, snapshot)
    )
    assert "well covered by kin" in said(standing_words(report.ranking[-1], report, snapshot))


@pytest.mark.parametrize(
    ("rise", "told"),
    [(0.02, "The line is narrowing"), (0.001, "narrows slowly"), (-0.001, "is not narrowing")],
)
def test_the_pace_is_told_against_the_limit_of_the_same_kind(rise, told) -> None:
    snapshot = narrow_flock()
    report = replace(report_of(snapshot), trend=Trend(2.0, 0.005, rise))
    assert told in said(summary(report, snapshot))
    meaning = said(figure_words(Figure.TREND, report, snapshot).meaning)
    assert "that is 0.50 % a year" in meaning
    assert ("F rises 4.0 times as fast." in meaning) is (rise > 0.005)


def test_more_cocks_are_worth_more_than_more_hens_where_they_are_fewer() -> None:
    told = said(words(Figure.BREEDERS_SIZE).advice)
    assert "One new cock more each year" in told


def test_a_figure_that_is_not_known_says_so_and_why() -> None:
    snapshot = Snapshot(0, narrow_flock().details)
    for figure in Figure:
        found = words(figure, snapshot)
        assert found.title
        assert said((found.value,))
    assert said((words(Figure.MEAN_KINSHIP, snapshot).value,)) == "not known"
    assert "too little to tell" in said(words(Figure.REALISED_SIZE, snapshot).meaning)
    assert "No bird of the flock is living" in said(summary(report_of(snapshot), snapshot))


@pytest.mark.parametrize("figure", list(Figure))
def test_every_figure_has_what_it_is_what_it_means_what_to_do_and_a_published_method(figure) -> None:
    found = words(figure)
    assert said((found.what,)).endswith(".")
    assert found.meaning or found.advice
    assert found.method == method(figure)
    assert found.method.text
    assert all(any(sign.isdigit() for sign in source) for source in found.method.sources)
    assert found.method.sources
