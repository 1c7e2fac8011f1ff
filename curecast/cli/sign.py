"""``release`` and ``withdraw``: a named person's word on a hold, and its end."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from curecast.cli.commands import command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from curecast.prospect.standing import HoldAnswer, SlabAnswer

_Words = Annotated[
    list[str] | None,
    typer.Argument(metavar="[JOB] HOLD", show_default=False, help="A job, and one hold."),
]
_By = Annotated[str, typer.Option("--by", metavar="NAME", help="Who decides.")]
_Reason = Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")]


@command("release", example='curecast release crane-base drill --by Ida --reason "core seen sound"')
def release(
    ctx: Context,
    words: _Words = None,
    by: _By = "",
    reason: _Reason = "",
    forecast: ForecastOption = None,
) -> int | None:
    """Sign a hold off by name and reason, where its evidence is lacking."""
    return _decide(ctx, words, by, reason, forecast, "signed-off")


@command("withdraw", example='curecast withdraw crane-base drill --by Ida --reason "cracked edge"')
def withdraw(
    ctx: Context,
    words: _Words = None,
    by: _By = "",
    reason: _Reason = "",
    forecast: ForecastOption = None,
) -> int | None:
    """Take a release or a sign-off back, by name and reason."""
    return _decide(ctx, words, by, reason, forecast, "withdrawn")


def _decide(
    ctx: Context, words: list[str] | None, by: str, reason: str, forecast: Any, kind: str
) -> int:
    """Judge whether the word may be given, keep it, and say how the hold stands after it."""
    from curecast.cli.cure import job_and_hold
    from curecast.cli.jobs import check_open
    from curecast.cli.slab import find_standing
    from curecast.errors import InputError

    job, hold = job_and_hold(list(words or []))
    if hold is None:
        wrong_usage("say which hold", "for instance: curecast release crane-base drill ...")
    if not by.strip() or not reason.strip():
        wrong_usage("a decision needs a name and a reason", "give --by and --reason")
    with ctx.writing_store():
        pass  # a fixed clock needs a store of its own, before anything is asked
    standing = find_standing(ctx, job, forecast)
    if standing.answer is None or standing.found.placement is None:
        name = standing.found.job.name
        raise InputError(f"{name} is not poured yet", f"record it: curecast pour {name} --start T")
    check_open(standing.found)
    before = standing.answer.holds[hold]
    if kind == "signed-off":
        _check_signable(standing.answer, before)
    from curecast.store.record import add_sign_off

    with ctx.writing_store() as store:
        add_sign_off(store, standing.found.placement, hold, kind, by, reason, ctx.now())
    after = find_standing(ctx, job, forecast).answer
    assert after is not None, "it was poured a moment ago"
    state = after.holds[hold].state
    ctx.emit(
        {"hold": hold, "from": before.state, "state": state, "by": by, "reason": reason,
         "at": ctx.now()},
        [f"{hold}: {before.state} -> {state}, by {by}: {reason}",
         f"Next: curecast holds {standing.found.job.name} {hold}"],
    )  # fmt: skip
    return 0


def _check_signable(answer: SlabAnswer, hold: HoldAnswer) -> None:
    """Refuse a sign-off where nobody's word may stand for a test, or where none is needed."""
    from curecast.core.holdpoints import TEST_MARGIN
    from curecast.errors import Refused
    from curecast.prospect.proof import proved_mpa
    from curecast.prospect.soundness import strength

    rule, name = hold.rule, answer.job.name
    how = f"log it: curecast test {name} --strength ... --by NAME"
    need = rule.strength_mpa or 0.0
    if hold.state == "barred":
        asked = strength(answer.job, TEST_MARGIN * need)
        raise Refused(
            f"{rule.name} is barred ({hold.why}); it cannot be signed off without a strength test "
            f"of {asked} or more",
            how,
        )
    shown = proved_mpa(answer.record.tested) or 0.0
    if rule.needs_test and shown < need:
        raise Refused(
            f"{rule.name} cannot be signed off without a logged strength test that shows "
            f"{strength(answer.job, need)}",
            how,
        )
    if hold.state == "over":
        raise Refused(f"the window of {rule.name} has closed", "there is nothing to sign off")
    if hold.state == "released":
        raise Refused(
            f"{rule.name} is released on evidence already; a sign-off would only say less",
            f"see it: curecast holds {name} {rule.name}",
        )
