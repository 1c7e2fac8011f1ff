"""Writes readings for ever, or so many, and says each id once it is kept.

Run by tests as a program: ``python -m tests.faults.writer HOME SOURCE [COUNT]``.
"""

from __future__ import annotations

import itertools
import sys
from datetime import UTC, datetime, timedelta

from curecast.store.jobs import save_job
from curecast.store.placements import find_placement, record_pour
from curecast.store.readings import add_reading
from curecast.store.schema import open_store

START = datetime(2027, 3, 12, 14, 0, tzinfo=UTC)


def main(home: str, source: str, count: int | None = None) -> None:
    with open_store(home=home) as store:
        with store.write():
            version = save_job(store, "crane-base", "curecast = 1", "a" * 64, START)
            placement = find_placement(store, version.job)
            if placement is None:
                placement = record_pour(store, version.job, START, version, START)
        for number in itertools.islice(itertools.count(), count):
            at = START + timedelta(seconds=number)
            # Texts long enough that the write-ahead log is folded back while we write.
            kept = add_reading(store, placement, source, None, 9.0, at, source + "." * 900)
            print(kept.id, flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]) if len(sys.argv) > 3 else None)
