"""The whole record of a job as one open file, and such a file taken in.

``docs/record.md`` describes the file. Its digest tells a file that was cut or altered.
"""

from __future__ import annotations

import json
from datetime import datetime
from hashlib import sha256
from typing import Any

from curecast import __version__
from curecast.clock import iso
from curecast.errors import InputError, Refused
from curecast.job.addresses import leave_out, left_out_names
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.jobs import find_version, version_uses
from curecast.store.portable import RECORD_TABLES, add_record, record_rows
from curecast.store.rows import JobRow
from curecast.tracking.weather import place_of

__all__ = [
    "LAYOUT",
    "dump_record",
    "names_to_set",
    "parse_record",
    "record_digest",
    "take_in",
]

#: Layout of the file; a higher one is of a newer curecast.
LAYOUT = 1


def dump_record(store: Store, job: JobRow, now: datetime) -> str:
    """The record of a job as JSON, one row a line.

    Parameters
    ----------
    store : Store
    job : JobRow
    now : datetime
        [aware]
    """
    tables = _tables(store, job)
    head = {
        "curecast_record": LAYOUT, "job": job.name, "exported_at": iso(now),
        "version": __version__, "sha256": _digest(tables),
    }  # fmt: skip
    lines = [json.dumps(head, ensure_ascii=False)[:-1] + ',\n "tables": {']
    for k, (name, rows) in enumerate(tables.items()):
        body = ",\n   ".join(_line(row) for row in rows)
        lines.append(f'  "{name}": [{body}]' + ("," if k + 1 < len(tables) else ""))
    return "\n".join([*lines, " }}", ""])


def record_digest(store: Store, job: JobRow) -> str:
    """The check sum that an exported file of this record bears."""
    return _digest(_tables(store, job))


def _tables(store: Store, job: JobRow) -> dict[str, list[dict[str, Any]]]:
    hashes = {use.hash for use in version_uses(store, job)}
    versions = [find_version(store, job, one) for one in sorted(hashes)]
    places = {place_of(parse_job(v.text, job.name)) for v in versions if v is not None}
    return _without_secrets(record_rows(store, job, places), job.name)


def _without_secrets(
    tables: dict[str, list[dict[str, Any]]], name: str
) -> dict[str, list[dict[str, Any]]]:
    """The rows with a name in the place of each address that may hold a secret."""
    texts = [row["text"] for row in tables["job_version"]]
    addresses = [a.to for text in texts for a in parse_job(text, name).alerts]
    names = leave_out([*addresses, *(row["to"] for row in tables["message"])])
    if not names:
        return tables
    found = {**tables, "message": [{**row, "to": names.get(row["to"], row["to"])}
                                   for row in tables["message"]]}  # fmt: skip
    found["job_version"] = []
    for row in tables["job_version"]:
        text = row["text"]
        for to in sorted(names, key=len, reverse=True):
            text = text.replace(to, names[to])
        if leave_out(a.to for a in parse_job(text, name).alerts):
            raise Refused(
                f"an address of alerts in {name} may hold a secret and cannot be left out",
                "write it in the job file without escapes",
            )
        found["job_version"].append({**row, "text": text})
    return found


def parse_record(text: str, name: str) -> dict[str, list[dict[str, Any]]]:
    """The rows of an exported file, by table.

    Parameters
    ----------
    text : str
        The file.
    name : str
        Its name, for words.

    Raises
    ------
    InputError
        No such file, one of a newer curecast, or one that was cut or altered.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as fault:
        raise InputError(
            f"{name} is cut short, or no exported record", "export the job again"
        ) from fault
    layout = data.get("curecast_record") if isinstance(data, dict) else None
    if type(layout) is not int:
        raise InputError(f"{name} is no exported record", "make one: curecast export JOB -o FILE")
    if layout > LAYOUT:
        raise InputError(f"{name} was written by a newer curecast", "upgrade curecast")
    tables = data.get("tables")
    known = {table.name for table in RECORD_TABLES}
    whole = isinstance(tables, dict) and set(tables) == known
    if not whole or not all(isinstance(rows, list) for rows in tables.values()):
        raise InputError(f"{name} does not hold every part of a record", "export the job again")
    if _digest(tables) != data.get("sha256"):
        raise InputError(f"{name} was altered after it was exported", "export the job again")
    found: dict[str, list[dict[str, Any]]] = tables
    return found


def names_to_set(text: str) -> list[str]:
    """The names that stand in a record for addresses of alerts that were left out of it."""
    return left_out_names([text])


def take_in(store: Store, text: str, name: str) -> tuple[str, dict[str, int]]:
    """Import an exported file; returns the job's name, and how many rows of each kind are new."""
    tables = parse_record(text, name)
    jobs = tables["job"]
    if len(jobs) != 1 or not isinstance(jobs[0], dict):
        raise InputError(f"{name} does not hold exactly one job")
    added = add_record(store, tables)
    return str(jobs[0].get("name")), added


def _line(row: dict[str, Any]) -> str:
    return json.dumps(row, ensure_ascii=False, allow_nan=False, sort_keys=True)


def _digest(tables: dict[str, Any]) -> str:
    """SHA-256 over all rows, each as one line of JSON with its keys sorted."""
    digest = sha256()
    for name in sorted(tables):
        for row in tables[name]:
            digest.update(
                f"{name} {json.dumps(row, ensure_ascii=False, sort_keys=True)}\n".encode()
            )
    return digest.hexdigest()
