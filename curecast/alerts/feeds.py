"""Calendars that are kept: files which hold the dates of all jobs, written anew as dates move.

A phone or another calendar subscribes to such a file where it lies in a synced or served
folder. The text comes from what was last said of each hold, so that making it computes
nothing. Which files are kept stands in ``calendars.json`` beside the store: it is of this
machine, not of the record.
"""

from __future__ import annotations

import json
import os
from datetime import datetime, timedelta
from pathlib import Path

from curecast.alerts.calendar import render_entries
from curecast.errors import InputError
from curecast.store.calendar import last_entries
from curecast.store.connection import Store
from curecast.store.jobs import closed_since, find_job, open_jobs
from curecast.store.place import data_folder
from curecast.store.placements import find_placement

__all__ = ["calendar_of_jobs", "forget_calendar", "keep_calendar", "kept_calendars", "write_kept"]

#: A job that was closed leaves the calendar after so long, its dates cancelled until then.
_CLOSED_STAYS = timedelta(days=30)
_NAME = "calendars.json"


def calendar_of_jobs(store: Store, now: datetime, name: str | None = None) -> str:
    """The dates of every open job, or of one, as they were last said.

    Parameters
    ----------
    store : Store
    now : datetime
        [aware]
    name : str or None
        Only this job; None: all.

    Returns
    -------
    str
        RFC 5545. The same text as before, within an hour, where no date has moved.
    """
    if name is None:
        rows = [*open_jobs(store), *closed_since(store, now - _CLOSED_STAYS)]
    else:
        row = find_job(store, name)
        rows = [] if row is None else [row]
    entries = []
    for row in rows:
        placement = find_placement(store, row)
        if placement is not None:
            last = last_entries(store, placement).values()
            entries += [(row.name, placement.id, entry) for entry in last]
    return render_entries(f"{name or 'Slabs'}: holds", entries, now)


def kept_calendars(store: Store) -> list[tuple[Path, str | None]]:
    """The files that are kept, each with its job; None: all jobs."""
    try:
        data = json.loads(_list_of(store).read_text(encoding="utf-8"))
        return [(Path(one["file"]), one["job"]) for one in data["keep"]]
    except FileNotFoundError:
        return []
    except (OSError, ValueError, KeyError, TypeError) as fault:
        raise InputError(
            f"{_list_of(store)} cannot be read",
            "delete it, and name the calendars again: curecast calendar --keep FILE.ics",
        ) from fault


def keep_calendar(store: Store, file: Path, name: str | None) -> None:
    """Keep a calendar of one job, or of all, in a file from now on."""
    others = [one for one in kept_calendars(store) if one[0] != file]
    _remember(store, [*others, (file, name)])


def forget_calendar(store: Store, file: Path) -> bool:
    """Keep a file no longer; it stays as it is. False where it was not kept."""
    kept = kept_calendars(store)
    others = [one for one in kept if one[0] != file]
    _remember(store, others)
    return len(others) < len(kept)


def write_kept(store: Store, now: datetime) -> list[str]:
    """Write every kept calendar anew where it differs; whole or not at all.

    Parameters
    ----------
    store : Store
    now : datetime
        [aware]

    Returns
    -------
    list of str
        What went wrong: a folder that is not there stops nothing else.
    """
    wrong = []
    for file, name in kept_calendars(store):
        try:
            _replace(file, calendar_of_jobs(store, now, name))
        except OSError as error:
            wrong.append(f"the calendar {file} cannot be written: {error.strerror}")
    return wrong


def _replace(file: Path, text: str) -> None:
    body = text.encode()
    if file.exists() and file.read_bytes() == body:
        return
    fresh = file.with_name(f".{file.name}.{os.getpid()}")
    try:
        fresh.write_bytes(body)
        fresh.replace(file)
    finally:
        fresh.unlink(missing_ok=True)


def _list_of(store: Store) -> Path:
    return (data_folder() / _NAME) if store.file is None else store.file.with_name(_NAME)


def _remember(store: Store, kept: list[tuple[Path, str | None]]) -> None:
    data = {"schema": 1, "keep": [{"file": str(file), "job": name} for file, name in kept]}
    place = _list_of(store)
    place.parent.mkdir(parents=True, exist_ok=True)
    _replace(place, json.dumps(data, indent=1) + "\n")
