"""``export`` and ``import``: the whole record of a job as one open file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from curecast.cli.commands import JobArgument, command, wrong_usage
from curecast.cli.context import Context


@command("export", example="curecast export crane-base -o crane-base.json")
def export_job(
    ctx: Context,
    job: JobArgument = None,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="The file to write.")
    ] = None,
) -> int | None:
    """Write everything that is on record of a job into one open file."""
    from curecast.cli.jobs import find_job
    from curecast.errors import InputError
    from curecast.tracking.portable import dump_record, names_to_set

    if not ctx.has_store():
        raise InputError("nothing is on record here", "choose or pour a job first")
    with ctx.store() as store:
        found = find_job(ctx, job, store)
        name = found.job.name
        if found.row is None:
            raise InputError(f"nothing is on record of {name}", "choose or pour it first")
        text = dump_record(store, found.row, ctx.now())
    path = out or Path(f"{name}.record.json")
    if path.suffix == ".toml":
        raise InputError(
            f"{path} would be a record under the name of a job file", "name it like record.json"
        )
    ctx.write_file(path, text)
    names = names_to_set(text)
    ctx.emit(
        {"file": str(path.resolve()), "bytes": len(text.encode()), "left_out": names},
        [
            f"Written: {path.resolve()}",
            *[f"Left out, as it may hold a secret: an address of alerts, now {n}." for n in names],
            f"Elsewhere: curecast import {path.name}",
        ],
    )
    return 0


@command("import", example="curecast import crane-base.json")
def import_job(
    ctx: Context,
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", show_default=False, help="An exported record.")
    ] = None,
) -> int | None:
    """Take an exported record in; what is here already is not added twice."""
    from curecast.errors import InputError
    from curecast.tracking.portable import names_to_set, take_in

    if file is None:
        wrong_usage("say which file", "for instance: curecast import crane-base.json")
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        why = fault.strerror if isinstance(fault, OSError) else "it is no text"
        raise InputError(f"{file} cannot be read: {why}", "check the name") from fault
    with ctx.writing_store() as store:
        name, added = take_in(store, text, file.name)
    ctx.job_name = name
    names = names_to_set(text)
    total = sum(added.values())
    counts = ", ".join(f"{n} of {what.replace('_', ' ')}" for what, n in added.items() if n)
    ctx.emit(
        {"added": added, "left_out": names},
        [
            f"{name}: {total} rows are new ({counts})" if total else f"{name}: all of it is here",
            *(
                f"Alerts go nowhere until {one} is set: it stands for an address that was left out "
                f"of the file. Keep it by: curecast alerts secret {one}"
                for one in names
            ),
            f"Next: curecast holds {name}",
        ],
    )
    return 0
