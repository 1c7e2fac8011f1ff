"""Commands that make and show: a new job file, the report, the whole story."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context
from curecast.cli.weather import ForecastOption


@command("new", example="curecast new my-slab.toml")
def new(
    ctx: Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The job file to write.")],
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing: all defaults.")] = False,
) -> int | None:
    """Write a commented job file, asking as it goes; "?" means "don't know"."""
    from curecast.cli.asking import ask_all, default_zone
    from curecast.errors import InputError
    from curecast.job.template import name_from_file, render_job

    if not file.name:
        wrong_usage("the new job file needs a name", "for instance curecast new my-slab.toml")
    path = file if file.suffix else file.with_suffix(".toml")
    if path.exists():
        raise InputError(f"{path} is there already", "choose another name, or edit that file")
    answers: dict[str, str] = {"name": name_from_file(path.stem)}
    if ctx.units:
        answers["units"] = ctx.units
    if yes:
        answers["zone"] = default_zone(None, ctx.now()) or ""
    else:
        answers = ask_all(answers, ctx.now())
    ctx.write_file(path, render_job(answers))
    lines = [f"Written: {path}"]
    if answers.get("zone"):
        lines.append(f"Times are read and shown in {answers['zone']}.")
    else:
        lines.append(
            "No time zone yet: write it under [site], or no local time can be told or read."
        )
    guessed = [key for key in ("length", "width", "thickness") if not answers.get(key)]
    if guessed:
        lines.append(f"Measure, and put in: {', '.join(guessed)}; the file has a stand-in.")
    ctx.emit({"file": str(path)}, [*lines, f"Next: curecast check {path}"])
    return 0


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
