"""The charts of the page, made from a forecast."""

from collections.abc import Callable, Sequence

from studbook.desk.wording import percent_text
from studbook.drawing.charts.courses import CourseChart, CourseLine, Level
from studbook.planning.forecast.buying import BuyingIn, Newcomer
from studbook.planning.forecast.methods import Ahead
from studbook.planning.forecast.policy import LIMIT, Course, Forecast, Span
from studbook.words import _


def charts(found: Forecast) -> dict[Ahead, CourseChart]:
    """Mean F, gene diversity and founders kept of every policy."""
    years = found.hatch_years

    def lines(
        spans: Callable[[Course], Sequence[Span]], exact: Callable[[Course], tuple[float, ...]]
    ) -> tuple[CourseLine, ...]:
        return tuple(
            CourseLine(
                course.policy.name,
                tuple(span.mean for span in spans(course)),
                tuple(span.low for span in spans(course)),
                tuple(span.high for span in spans(course)),
                exact(course),
            )
            for course in found.courses
        )

    return {
        Ahead.INBREEDING: CourseChart(
            _("Mean F of the chicks by hatch year"),
            years,
            lines(lambda course: course.inbreeding, lambda course: course.exact_inbreeding),
            _level(found.courses[0].passing.limit),
        ),
        Ahead.DIVERSITY: CourseChart(
            _("Gene diversity of the breeders after each year"),
            years,
            lines(lambda course: course.diversity, lambda course: course.exact_diversity),
        ),
        Ahead.FOUNDERS: CourseChart(
            _("Share kept of the founders of today"),
            years,
            lines(lambda course: course.founder_share, lambda _course: ()),
        ),
    }


def buying_chart(found: BuyingIn, newcomer: Newcomer, yard: str) -> CourseChart:
    """Mean F without a bought cock, with one next season, and with one when he does most."""
    best = newcomer.best[0]
    lines = [
        CourseLine(_("without"), found.inbreeding),
        CourseLine(_("for the chicks of {year}").format(year=found.first_year), newcomer.inbreeding),
    ]
    if best != found.first_year:
        lines.append(CourseLine(_("for the chicks of {year}").format(year=best), newcomer.best_inbreeding))
    return CourseChart(
        _("Mean F of the chicks with one cock from {yard}").format(yard=yard),
        tuple(range(found.first_year, found.first_year + found.years)),
        tuple(lines),
        _level(found.limit),
        height=240,
    )


def _level(limit: float) -> Level:
    if limit == LIMIT:
        return Level(_("{share}: chicks of full sibs").format(share=percent_text(limit, 0)), limit)
    return Level(percent_text(limit), limit)
