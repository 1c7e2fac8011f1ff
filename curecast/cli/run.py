"""Commands that make and show: a new job file, the report, the whole story."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption

if TYPE_CHECKING:
    from curecast.job.template import Question


@command("new", example="curecast new my-slab.toml")
def new(
    ctx: Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to write.")],
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing: all defaults.")] = False,
) -> int | None:
    """Write a commented job file, asking as it goes; an empty answer means "don't know"."""
    from curecast.errors import InputError
    from curecast.job.template import QUESTIONS, name_from_file, render_job

    if not file.name:
        wrong_usage("the new job file needs a name", "for instance curecast new my-slab.toml")
    path = file if file.suffix else file.with_suffix(".toml")
    if path.exists():
        raise InputError(f"{path} is there already", "choose another name, or edit that file")
    answers: dict[str, str] = {"name": name_from_file(path.stem)}
    if ctx.units:
        answers["units"] = ctx.units
    if not yes:
        typer.echo("Press Enter, or answer ?, where you don't know.\n", err=True)
        for question in QUESTIONS:
            if question.key not in answers and question.wanted(answers):
                answers[question.key] = _ask(question)
    ctx.write_file(path, render_job(answers))
    ctx.emit(
        {"file": str(path)},
        [f"Written: {path}", f"Next: curecast check {path}"],
    )
    return 0


def _ask(question: Question) -> str:
    """One question, asked until it is answered or skipped."""
    from curecast.errors import CurecastError
    from curecast.job.template import tidy_answer

    while True:
        try:
            said = typer.prompt(
                f"{question.ask} [{question.example}]", default="", show_default=False, err=True
            )
        except typer.Abort:
            raise KeyboardInterrupt from None
        try:
            return tidy_answer(question, said)
        except CurecastError as fault:
            typer.echo(f"  {fault.message}. {fault.hint}", err=True)


@command("report", example="curecast report crane-base -o crane-base.html")
def report(
    ctx: Context,
    job: JobArgument = None,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="The page to write.")
    ] = None,
    forecast: ForecastOption = None,
) -> int | None:
    """A self-contained page: temperatures, strength, holds, log and cautions."""
    from curecast.cli.pages import slab_page, week_page
    from curecast.cli.slab import find_standing
    from curecast.errors import InputError

    if out is not None and out.suffix == ".toml":
        raise InputError(
            f"{out} would be a page under the name of a job file", "name it like crane-base.html"
        )
    standing = find_standing(ctx, job, forecast)
    page = slab_page(ctx, standing) if standing.answer else week_page(ctx, standing.found, forecast)
    path = out or Path(f"{standing.found.job.name}.html")
    ctx.write_file(path, page)
    ctx.emit(
        {"file": str(path.resolve())},
        [f"Written: {path.resolve()}", "Open it in any browser; it prints."],
    )
    return 0


@command("demo", example="curecast demo")
def demo(
    ctx: Context,
    folder: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", help="Where the report is left.")
    ] = Path(),
) -> int | None:
    """The whole story on a bundled job and saved weather, without a network."""
    from curecast.cli.story import tell_story

    return tell_story(ctx, folder)
