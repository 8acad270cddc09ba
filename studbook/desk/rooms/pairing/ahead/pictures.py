"""The charts of the page, made from a forecast."""

from collections.abc import Callable, Sequence

from studbook.desk.wording import percent_text
from studbook.drawing.charts.courses import CourseChart, CourseLine, Level
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
            Level(_("{share}: chicks of full sibs").format(share=percent_text(LIMIT, 0)), LIMIT),
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
