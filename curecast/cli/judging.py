"""The week or one start, judged for a command: progress shown, the answer as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from curecast.cli.context import Context
from curecast.cli.weather import Outlook, check_reach

if TYPE_CHECKING:
    from curecast.prospect.week import WeekAnswer


def judge_week(ctx: Context, outlook: Outlook, *, live: bool) -> WeekAnswer:
    """Judge every start of the coming week.

    Raises
    ------
    WeatherUnusable
        The forecast is too old, or of another time.
    """
    check_reach(outlook, live=live)
    return _judged(ctx, outlook, "judging every start of the week", None)


def judge_start(ctx: Context, outlook: Outlook, start_h: float, *, live: bool) -> WeekAnswer:
    """Judge one start, hours since 1970; see ``judge_week``."""
    check_reach(outlook, live=live)
    return _judged(ctx, outlook, "judging this start", start_h)


def _judged(ctx: Context, outlook: Outlook, title: str, only_h: float | None) -> WeekAnswer:
    from curecast.cli.progress import progress
    from curecast.prospect.week import assess_week

    done = 0.0
    with progress(ctx, title, 1.0) as advance:

        def told(share: float) -> None:
            nonlocal done
            advance(max(share - done, 0.0), "")
            done = max(done, share)

        return assess_week(
            outlook.job,
            outlook.forecast,
            outlook.now_h,
            told,
            only_h=only_h,
            beside=outlook.beside,
        )


def week_json(week: WeekAnswer, note: str) -> dict[str, Any]:
    """``best-day`` as JSON, best start first."""
    from curecast.cli.answers import beside_answer, forecast_answer, start_answer
    from curecast.prospect.sentences import CAUTIONS, week_reasons

    starts = [start_answer(week.job, week.starts[i], week.stays.get(i)) for i in week.ranked]
    return {
        "job": week.job.name,
        "best": starts[0] if week.best is not None else None,
        "starts": starts,
        "forecast": {
            **forecast_answer(week.job, week.forecast, week.now_h, note),
            "beside": beside_answer(week),
        },
        "reasons": week_reasons(week),
        "cautions": list(CAUTIONS),
    }
