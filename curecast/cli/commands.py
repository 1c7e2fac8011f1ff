"""How a function becomes a command: the program, and the options that every command has.

A command is a function whose first parameter is a ``Context``; it returns an exit code or
None (which is 0). The options below are added to every one, before or after its name::

    @command("check", example="curecast check crane-base.toml")
    def check(ctx: Context, job: JobArgument = None) -> int | None:
        "Is the job sound?"
"""

from __future__ import annotations

import difflib
import inspect
from collections.abc import Callable
from typing import Annotated, Any, NoReturn, get_type_hints

import typer
from typer.core import TyperGroup

from curecast.cli.context import Context, Units

Command = Callable[..., "int | None"]

JobArgument = Annotated[
    str | None,
    typer.Argument(
        metavar="[JOB]",
        show_default=False,
        help="A job file or a job's name; left out when exactly one job is open.",
    ),
]


class _Program(TyperGroup):
    """The program's commands; a question in plain words gets the command that answers it."""

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        if args and args[0] not in self.commands:
            from curecast.cli.asked import answering

            answer = answering(" ".join(args))
            if answer is not None and (" " in args[0].strip() or not self._near(args[0])):
                wrong_usage(f'"{" ".join(args)}" is no command', answer)
        return super().resolve_command(ctx, args)

    def _near(self, word: str) -> list[str]:
        return difflib.get_close_matches(word, list(self.commands))


app = typer.Typer(
    name="curecast",
    cls=_Program,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

_SHARED = {
    "json": (bool, False, typer.Option("--json", help="One JSON object on stdout.")),
    "said_now": (
        str | None,
        None,
        typer.Option("--now", metavar="INSTANT", show_default=False, help="Fix the clock."),
    ),
    "db": (
        str | None,
        None,
        typer.Option("--db", metavar="URL", show_default=False, help="Another database."),
    ),
    "units": (
        Units | None,
        None,
        typer.Option("--units", metavar="us|si", show_default=False, help="Units to show."),
    ),
    "debug": (bool, False, typer.Option("--debug", help="Show where a fault arose.")),
    "no_color": (bool, False, typer.Option("--no-color", help="Plain text only.")),
}


def command(name: str, *, example: str, **settings: Any) -> Callable[[Command], Command]:
    """Make the function below a command of this name.

    Parameters
    ----------
    name : str
        What people type after ``curecast``.
    example : str
        One line that works as it stands; shown at the foot of the command's help.
    **settings
        Passed on, e.g. ``context_settings={"ignore_unknown_options": True}`` for a
        command whose argument may begin with a minus.
    """

    def register(function: Command) -> Command:
        app.command(name, epilog=f"Example: {example}", **settings)(_with_shared(function))
        return function

    return register


class _WrongUsage(typer.BadParameter):
    def format_message(self) -> str:
        return str(self.message)


def wrong_usage(message: str, hint: str) -> NoReturn:
    """End with exit code 2: what was typed is not how the command is used."""
    raise _WrongUsage(f"{message}\nhint: {hint}")


def shared_context(typer_context: typer.Context, given: dict[str, Any]) -> Context:
    """Take the shared options out of ``given``; those before the command's name count too."""
    own = {key: given.pop(key) for key in _SHARED}
    before = typer_context.obj
    if isinstance(before, Context):
        own = {key: value or getattr(before, key) for key, value in own.items()}
    return Context(**own)


def with_shared_options(function: Callable[..., Any], wrapper: Callable[..., Any]) -> None:
    """Give ``wrapper`` the parameters of ``function`` after its first, and the shared ones."""
    hints = get_type_hints(function, include_extras=True)
    kind = inspect.Parameter.KEYWORD_ONLY
    own = [
        p.replace(kind=kind, annotation=hints[p.name])
        for p in list(inspect.signature(function).parameters.values())[1:]
    ]
    shared = [
        inspect.Parameter(key, kind, default=default, annotation=Annotated[hint, option])
        for key, (hint, default, option) in _SHARED.items()
    ]
    first = inspect.Parameter("typer_context", kind, annotation=typer.Context)
    parameters = [first, *own, *shared]
    wrapper.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    wrapper.__annotations__ = {p.name: p.annotation for p in parameters}
    wrapper.__doc__ = function.__doc__


def _with_shared(function: Command) -> Callable[..., None]:
    def wrapper(*, typer_context: typer.Context, **given: Any) -> None:
        ctx = shared_context(typer_context, given)
        try:
            code = function(ctx, **given)
        except BrokenPipeError:  # the reader went away, as ``| head`` does
            code = 0
        if code:
            raise typer.Exit(code)

    with_shared_options(function, wrapper)
    return wrapper
