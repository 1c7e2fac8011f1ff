"""The program: its commands, its one error handler and its exit codes.

Nothing heavy may be imported on the way here: ``curecast --help`` has to be quick, so the
command modules import numpy, the database and the network inside their functions.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated, Any

import typer

from curecast import __version__
from curecast.cli.commands import app, shared_context, with_shared_options
from curecast.cli.context import Context
from curecast.cli.terminal import fitted
from curecast.errors import CurecastError, JobError

__all__ = ["execute", "main"]

# One thread per product of small matrices: more only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

for _name in (
    "plan",
    "pour",
    "log",
    "cure",
    "run",
    "sign",
    "portable",
    "past",
    "sky",
    "crew",
    "torque",
    "watching",
    "alerting",
    "calendar",
    "page",
):
    import_module(f"curecast.cli.{_name}")


def _root(
    ctx: Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    """Which day to pour a small slab, how to protect it, and when each step may follow.

    Without a command: what to do next.
    """


def _root_callback(*, typer_context: typer.Context, version: bool, **given: Any) -> None:
    ctx = shared_context(typer_context, given)
    if version:
        print(f"curecast {__version__}")
        raise typer.Exit
    typer_context.obj = ctx
    if typer_context.invoked_subcommand is None:
        from curecast.cli.start import say_next

        say_next(ctx)


with_shared_options(_root, _root_callback)
app.callback(invoke_without_command=True)(_root_callback)


def execute(args: Sequence[str]) -> int:
    """Run one command and give its exit code; errors are told on stderr.

    Parameters
    ----------
    args : sequence of str
        What stands after ``curecast``.
    """
    debug = "--debug" in args
    as_json = "--json" in args
    try:
        app(list(args), prog_name="curecast")
    except SystemExit as end:
        return _flushed(end.code if isinstance(end.code, int) else 0)
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        return _flushed(0)
    except Exception as fault:
        if debug:
            import traceback

            traceback.print_exc()
        return _flushed(_tell(fault, debug=debug, as_json=as_json))
    return _flushed(0)


def main() -> None:
    """Entry point of the installed program."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    sys.exit(execute(sys.argv[1:]))


def _tell(fault: Exception, *, debug: bool, as_json: bool) -> int:
    """Say what is wrong and what to do, and give the exit code."""
    if isinstance(fault, CurecastError):
        code, message, hint = fault.exit_code, fault.message, fault.hint
    else:
        code = CurecastError.exit_code
        message = f"a fault in curecast itself: {type(fault).__name__}: {fault}"
        hint = "" if debug else "run again with --debug, and send what it prints"
    problems = fault.problems if isinstance(fault, JobError) else ()
    lines = [f"error: {message}"]
    for problem in problems:
        where = f"line {problem.line}: " if problem.line is not None else ""
        what_to_do = f" ({problem.hint})" if problem.hint else ""
        lines.append(f"  {where}{problem.key}: {problem.message}{what_to_do}")
    for line in fitted([*lines, f"hint: {hint}"] if hint else lines, sys.stderr):
        print(line, file=sys.stderr)
    if as_json:
        listed = [
            {"key": p.key, "message": p.message, "line": p.line, "hint": p.hint} for p in problems
        ]
        error = {"message": message, "hint": hint, "exit_code": code}
        Context(json=True).emit({"error": error, "problems": listed}, ())
    return code


def _flushed(code: int) -> int:
    """Flush stdout; a reader that went away (``| head``) is no error of ours."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return code
