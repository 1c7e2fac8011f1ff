"""Whether the face was kept damp, by the covers and the wetting that are logged."""

from __future__ import annotations

from curecast.clock import from_unix_h, show_instant
from curecast.core.states import PERMISSION
from curecast.prospect.standing import SlabAnswer

#: So long a face stays damp after it was wetted (ASSUMED). [h]
WETTED_H = 12.0
#: A face that lay dry for no longer is not spoken of. [h]
_SHORT_H = 12.0


def damp_notes(answer: SlabAnswer) -> list[str]:
    """What is to be said where the log shows a bare, dry face in the time of its moist cure.

    Wetting changes no temperature and no strength here: every date counts on a face that is kept
    damp for as long as the job says, and a dry one is told, not reckoned.

    Parameters
    ----------
    answer : SlabAnswer
        Where the slab stands. Without a cover or a wetting in its log nothing is said.
    """
    kinds = {done.kind for done in answer.record.done}
    if not kinds & {"cover", "wetting"}:
        return []
    begins = answer.origin_h + answer.placed_h
    planned = begins + answer.job.protection.moist_cure_h
    cure = answer.holds["end-moist-cure"]
    ended = cure.state in PERMISSION
    ends = min(planned, cure.likely_h if ended else answer.now_h, answer.now_h)
    dry = _dry_spells(answer, ends)
    if not dry:
        return []
    job, zone = answer.job, answer.job.site.zone
    since, until = dry[-1]
    if not ended and until >= answer.now_h - 1e-6:
        return [
            f"the face lies bare since {show_instant(from_unix_h(since), zone)} and no wetting is "
            "logged: every date counts on a face kept damp until end-moist-cure; wet or cover it "
            f"and log that: curecast log {job.name} wetted"
        ]
    hours = sum(b - a for a, b in dry)
    return [
        f"by the log the face lay bare and unwetted for {hours:.0f} h of its moist cure: every "
        "date counts it as damp; if it was dry, its top and its anchors are weaker, so amend "
        "protection.moist_cure to the days that it was kept damp"
    ]


def _dry_spells(answer: SlabAnswer, until_h: float) -> list[tuple[float, float]]:
    """Spans since 1970 without a cover and without water, longer than is worth a word."""
    wet = [
        (answer.origin_h + s.from_h, answer.origin_h + s.to_h)
        for s in answer.spells
        if s.heat_to_c is None
    ]
    wet += [(d.at_h, d.at_h + WETTED_H) for d in answer.record.done if d.kind == "wetting"]
    found: list[tuple[float, float]] = []
    at = answer.origin_h + answer.placed_h + WETTED_H  # fresh concrete is wet by itself
    for begins, ends in sorted(wet):
        if begins - at > _SHORT_H and begins <= until_h:
            found.append((at, begins))
        at = max(at, ends)
    if until_h - at > _SHORT_H:
        found.append((at, until_h))
    return found
