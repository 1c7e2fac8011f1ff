"""What is to be said: pure decisions from a slab or a week, and what was said before."""

from __future__ import annotations

from collections.abc import Sequence

from curecast.alerts.findings.cold import failing, freeze_ahead
from curecast.alerts.findings.days import day_findings
from curecast.alerts.findings.holds import changed, moved, reading_wanted
from curecast.alerts.findings.kinds import DAILY, KINDS, Finding, Said
from curecast.alerts.findings.next_steps import bar_lifted, cover_may_go, strength_test_due
from curecast.alerts.findings.sky import rain_ahead, weather_lost
from curecast.core.weather.series import Forecast
from curecast.prospect.standing import SlabAnswer
from curecast.store.rows import HoldChange

__all__ = ["DAILY", "KINDS", "MOVED_H", "Finding", "Said", "day_findings", "slab_findings"]

#: A date that moves by no more than this, or than this share of the time to go, is no news.
MOVED_H, MOVED_SHARE = 24.0, 0.1


def slab_findings(
    answer: SlabAnswer,
    placement_id: str,
    changes: Sequence[HoldChange],
    said: Sequence[Said] = (),
    *,
    newest: Forecast | None = None,
    moved_h: float = MOVED_H,
) -> list[Finding]:
    """What is to be said about a poured slab, the most pressing first.

    Parameters
    ----------
    answer : SlabAnswer
        The slab now.
    placement_id : str
        Its placement.
    changes : sequence of HoldChange
        The holds' moves on record, this assessment's among them, in the order of entry.
    said : sequence of Said
        Messages queued before, oldest first.
    newest : Forecast or None
        The newest forecast known, to be named.
    moved_h : float
        A date that moves by more than this, and by a tenth of the time to go, is told. [h]

    Returns
    -------
    list of Finding
        The same state of affairs always gives the same keys, so that what is queued already
        is not queued twice.
    """
    found = [
        *changed(answer, placement_id, changes),
        *freeze_ahead(answer, placement_id, newest),
        *failing(answer, placement_id),
        *rain_ahead(answer, placement_id, newest),
        *reading_wanted(answer, placement_id),
        *weather_lost(answer, placement_id, newest),
        *bar_lifted(answer, placement_id, changes),
        *cover_may_go(answer, placement_id, changes),
        *strength_test_due(answer, placement_id),
        *moved(answer, placement_id, changes, said, moved_h, MOVED_SHARE),
    ]
    return sorted(found, key=lambda finding: finding.priority)
