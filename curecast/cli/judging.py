"""The week or one start, judged for a command: progress shown, the answer as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from curecast.cli.context import Context
from curecast.cli.weather import Outlook, check_reach

if TYPE_CHECKING:
    from curecast.prospect.moved import Moved
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
    from curecast.cli.weather import kept_store
    from curecast.outlook.retuning import find_own_doubt
    from curecast.prospect.week import assess_week

    with kept_store(ctx) as store:
        doubt = find_own_doubt(store, outlook.job, outlook.now_h)
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
            doubt=doubt,
        )


def find_moved(ctx: Context, week: WeekAnswer) -> Moved | None:
    """What the forecast before said of the best start of each day, if one was kept."""
    from curecast.cli.weather import kept_store
    from curecast.outlook.previous import find_previous
    from curecast.prospect.moved import moved_since

    if not week.starts:
        return None
    with kept_store(ctx) as store:
        previous = store and find_previous(store, week.job, week.forecast, week.now_h)
    return moved_since(week, previous) if previous else None


def week_json(week: WeekAnswer, note: str, moved: Moved | None = None) -> dict[str, Any]:
    """``best-day`` as JSON, best start first; ``moved``: since the forecast before."""
    from curecast.cli.answers import beside_answer, forecast_answer, moved_answer, start_answer
    from curecast.prospect.sentences import CAUTIONS, week_reasons
    from curecast.prospect.week_glance import change_lines

    starts = [start_answer(week.job, week.starts[i], week.stays.get(i)) for i in week.ranked]
    return {
        "job": week.job.name,
        "best": starts[0] if week.best is not None else None,
        "starts": starts,
        "forecast": {
            **forecast_answer(week.job, week.forecast, week.now_h, note),
            "beside": beside_answer(week),
            "own_record": {
                "error_scale": week.doubt.scale,
                "bias_k": week.doubt.bias_k,
                "days": week.doubt.days,
                "pairs": week.doubt.pairs,
            },
        },
        "reasons": week_reasons(week),
        "changes": change_lines(week),
        "moved": None if moved is None else moved_answer(week.job, moved),
        "cautions": list(CAUTIONS),
    }
