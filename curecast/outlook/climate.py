"""The months of a place's climate: where the job does not give them, an archive is asked once."""

from __future__ import annotations

import os

from curecast.clock import from_unix_h
from curecast.errors import WeatherError
from curecast.job.layout import Job
from curecast.outlook.memory import Memory
from curecast.outlook.services import archive_url
from curecast.sources.patience import Patience
from curecast.tracking import NORMALS_LAST_H

__all__ = ["learn_climate"]

#: After a failure the archive is left alone for a day. ASSUMED [h]
_AGAIN_H = 24.0
_SERVICE = "open-meteo"


def learn_climate(job: Job, memory: Memory, patience: Patience) -> None:
    """Ask Open-Meteo's archive for a place's months, where the job names that service.

    Parameters
    ----------
    job : Job
        One that gives its own months is left alone.
    memory : Memory
        Of its place; the months are kept for half a year. Without a store nothing is asked.
    patience : Patience
        Time-outs and the time that is left.
    """
    url = archive_url()
    site = job.site
    if memory.store is None or url is None or _SERVICE not in site.sources:
        return
    if job.climate.normals_c or site.latitude is None or site.longitude is None:
        return
    last = memory.last(_SERVICE, "normals")
    wait_h = NORMALS_LAST_H if last is not None and last.outcome == "given" else _AGAIN_H
    if last is not None and memory.now_h - last.at_h < wait_h:
        return
    from curecast.sources.open_meteo_archive import get_normals

    try:
        normals = get_normals(
            site.latitude,
            site.longitude,
            site.contact,
            year=from_unix_h(memory.now_h).year,
            elevation_m=site.elevation_m,
            key=os.environ.get("CURECAST_OPEN_METEO_KEY", "").strip(),
            base_url=url,
            patience=patience,
        )
    except WeatherError as fault:
        memory.note(_SERVICE, "normals", "failed", {"message": fault.message})
        return
    memory.note(_SERVICE, "normals", "given", {"normals_c": list(normals)})
