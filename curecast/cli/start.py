"""``curecast`` alone: what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from curecast.cli.context import Context

if TYPE_CHECKING:
    from curecast.store.connection import Store
    from curecast.store.rows import JobRow, Placement

#: What to do, and how.
Step = tuple[str, str]

BEGIN: tuple[Step, ...] = (
    ("see the whole story on a sample job, offline", "curecast demo"),
    ("describe your slab", "curecast new my-slab.toml"),
    ("find the day", "curecast best-day my-slab.toml"),
    ("keep the day you settled on", 'curecast choose my-slab.toml --start "fri 9:00"'),
)


def say_next(ctx: Context) -> None:
    """Say what to do next on this machine: for each open job, or how to begin."""
    blocks: list[tuple[str, tuple[Step, ...]]] = []
    if ctx.has_store():
        from curecast.store.jobs import open_jobs

        with ctx.store() as store:
            blocks = [_for_job(ctx, store, row) for row in open_jobs(store)]
    if not blocks:
        blocks = [("No job is open here. To begin:", BEGIN)]
    lines = []
    for title, steps in blocks:
        lines += [title, *(f"  {command:<48} {what}" for what, command in steps)]
    lines.append("Every command: curecast --help")
    listed = [{"what": what, "command": command} for _, steps in blocks for what, command in steps]
    ctx.emit({"next": listed}, lines)


def _for_job(ctx: Context, store: Store, row: JobRow) -> tuple[str, tuple[Step, ...]]:
    """Where an open job stands, and what comes next for it."""
    from curecast.cli.jobs import find_job
    from curecast.clock import show_instant
    from curecast.tracking import kept_forecasts, place_of, with_zone

    found = find_job(Context(db=ctx.db), row.name, store)
    name, placement = row.name, found.placement
    if placement is None:
        return f"{name}: no day is chosen.", (("find the day", f"curecast best-day {name}"),)
    zone = with_zone(found.job, kept_forecasts(store, place_of(found.job), ctx.now())).site.zone
    when = show_instant(placement.start_at, zone)
    if found.poured:
        return _poured(store, name, placement, when, zone)
    placed = ("once it is placed", f"curecast pour {name} --start TIME")
    if placement.start_at < ctx.now():
        again = ("if it was not: find another day", f"curecast best-day {name}")
        return f"{name}: the pour was planned for {when}, and that has passed.", (placed, again)
    return (
        f"{name}: the pour is planned for {when}.",
        (
            ("is it still the day", f"curecast best-day {name}"),
            ("be told when that changes", "curecast watch --once"),
            placed,
        ),
    )


def _poured(
    store: Store, name: str, placement: Placement, when: str, zone: str | None
) -> tuple[str, tuple[Step, ...]]:
    """A poured job as its record has it; nothing is computed here."""
    from curecast.clock import show_instant
    from curecast.core.states import PERMISSION
    from curecast.store.holds import hold_states
    from curecast.store.readings import readings

    seen = [r.at for r in readings(store, placement) if r.where != "ground"]
    last = f"last reading {show_instant(max(seen), zone)}" if seen else "no reading yet"
    states = hold_states(store, placement)
    free = [hold for hold, state in states.items() if state in PERMISSION]
    stopped = [hold for hold, state in states.items() if state in ("withdrawn", "barred")]
    told = [f"{name}: poured {when}; {last}."]
    told += [f"Released when last looked at: {', '.join(free)}."] if free else []
    told += [f"WITHDRAWN OR BARRED: {', '.join(stopped)}."] if stopped else []
    return (
        " ".join(told),
        (
            ("put down what the thermometer says", f"curecast log {name} TEMPERATURE"),
            ("what may be done now, and what is missing", f"curecast holds {name}"),
            ("a page to look at or to print", f"curecast report {name} -o {name}.html"),
        ),
    )
