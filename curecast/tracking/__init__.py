"""Between the store and the physics: a slab's record read, its holds' moves kept.

Every command and the watch go through here, so that a slab stands the same whoever asks.
"""

from __future__ import annotations

from curecast.tracking.moves import assess_ahead, assess_and_record
from curecast.tracking.record import governing_job, load_record, stored_job
from curecast.tracking.weather import (
    NORMALS_LAST_H,
    OLDEST_H,
    composed,
    for_site,
    in_order,
    keep_forecast,
    kept_forecasts,
    known_forecasts,
    place_of,
    with_climate,
    with_zone,
)

__all__ = [
    "NORMALS_LAST_H",
    "OLDEST_H",
    "assess_ahead",
    "assess_and_record",
    "composed",
    "for_site",
    "governing_job",
    "in_order",
    "keep_forecast",
    "kept_forecasts",
    "known_forecasts",
    "load_record",
    "place_of",
    "stored_job",
    "with_climate",
    "with_zone",
]
