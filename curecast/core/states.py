"""The states of a hold and the moves between them: one small machine.

Only ``released`` and ``signed-off`` are permission. A release or a sign-off that no longer
holds is withdrawn, and a withdrawal is never forgotten: it ends only with new evidence.
"""

from __future__ import annotations

from dataclasses import dataclass

STATES = (
    "not-poured", "projected", "unproven", "released", "signed-off", "withdrawn", "barred", "over",
)  # fmt: skip
PERMISSION = ("released", "signed-off")


@dataclass(frozen=True)
class Standing:
    """What the evidence says of one hold now.

    Parameters
    ----------
    met : bool
        Its criteria are met on evidence. [-]
    due : bool
        Its date has passed by the model, nine of ten. [-]
    barred : bool
        The concrete froze early or a test failed. [-]
    closed : bool
        Its window has closed. [-]
    signed_off : bool
        A person has signed it off and not taken that back. [-]
    taken_back : bool
        A person has withdrawn it since, and no evidence of the slab is newer. [-]
    tested : bool
        A strength test of this pour has shown what it asks. [-]
    """

    met: bool
    due: bool
    barred: bool = False
    closed: bool = False
    signed_off: bool = False
    taken_back: bool = False
    tested: bool = False


def next_state(before: str, now: Standing) -> str:
    """The state that follows.

    Parameters
    ----------
    before : str
        One of ``STATES``. [-]
    now : Standing
        What the evidence says. [-]

    Returns
    -------
    str
        One of ``STATES``. [-]

    Examples
    --------
    >>> next_state("released", Standing(met=False, due=True))
    'withdrawn'
    """
    if now.barred:
        return "barred"
    if now.closed:
        return "over"
    if now.taken_back:
        return "withdrawn"
    if before == "barred" and not now.tested:
        # What barred it was undone by a correction: evidence begins anew, a release takes
        # another look.
        return "unproven" if now.due or now.met else "projected"
    if now.met:
        return "released"
    if now.signed_off:
        return "signed-off"
    if before in (*PERMISSION, "withdrawn"):
        return "withdrawn"
    return "unproven" if now.due else "projected"
