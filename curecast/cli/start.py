"""``curecast`` alone: what to do next."""

from __future__ import annotations

from curecast.cli.context import Context


def say_next(ctx: Context) -> None:
    """Say what to do next on this machine."""
    steps = [
        ("see the whole story on a sample, offline", "curecast demo"),
        ("describe your slab", "curecast new my-slab.toml"),
        ("find the day", "curecast best-day my-slab.toml"),
    ]
    lines = ["No job is open here. You can:", *(f"  {do:<44}{what}" for what, do in steps)]
    ctx.emit({"next": [{"what": what, "command": do} for what, do in steps]}, lines)
