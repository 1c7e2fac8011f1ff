"""The hold table: what each step waits for, at which place, and on what ground."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

#: Strength at which concrete survives one freezing, by rule set: ACI 306R 500 psi;
#: EN 13670 5 MPa; Canadian practice 7 MPa. [MPa]
FROST_STRENGTH_MPA = {"ACI": 3.5, "EN": 5.0, "CSA": 7.0}

#: Frost strength that ends the freeze rule itself, whichever set judges protection. [MPa]
FREEZE_MPA = 3.5
#: A need above this share of f28 can hardly be met by nine of ten: a test serves better.
HARDLY_MET = 0.80


@dataclass(frozen=True)
class HoldRule:
    """What one hold waits for.

    Parameters
    ----------
    name : str
        The hold. [-]
    strength_mpa : float or None
        Strength by nine of ten; None where only time or set counts. [MPa]
    least_age_h : float
        Age from the last batch placed. [h]
    place : str
        ``surface``, ``edge``, ``anchor`` or ``coldest`` (every place). [-]
    evidence : str
        ``none``, ``look`` (a reading or a look logged) or ``reading``. [-]
    basis : str
        Where the numbers come from, in plain words. [-]
    needs_test : bool
        Whether a sign-off is refused without a strength test. [-]
    least_te_d : float
        Least age at 20 °C at that place, unless a test stands for it. [d]
    warm_age_h : float or None
        Hours at or above 10 °C that stand for the least age. [h]
    cool_age_h : float or None
        Least age where the mean so far is below 10 °C. [h]
    both_ages : bool
        Whether the smaller of the two ages decides whatever the strength. [-]
    """

    name: str
    strength_mpa: float | None
    least_age_h: float
    place: str
    evidence: str
    basis: str
    needs_test: bool = False
    least_te_d: float = 0.0
    warm_age_h: float | None = None
    cool_age_h: float | None = None
    both_ages: bool = False


_TABLE = (
    HoldRule("walk", 1.0, 12.0, "surface", "look",
             "24 h in cool frost-free weather is common practice; 1.0 MPa ASSUMED",
             cool_age_h=24.0),
    HoldRule("strip", 2.0, 24.0, "edge", "none", "ACI 347; EN 13670", warm_age_h=12.0),
    HoldRule("saw-cut", None, 0.0, "surface", "none", "ACI 302.1R: 4 to 12 h"),
    HoldRule("end-protection", 3.5, 24.0, "coldest", "reading", "ACI 306R; EN 13670; CSA A23.1"),
    HoldRule("light-load", 10.0, 72.0, "edge", "reading",
             "3 to 4 days at 20 °C is common practice"),
    HoldRule("end-moist-cure", None, 168.0, "surface", "none",
             "ACI 308R (from memory); DIN 1045-3"),
    HoldRule("drill", 14.0, 168.0, "anchor", "reading",
             "2000 psi and 7 days ASSUMED; adhesive anchors 21 days, ACI 318-19 26.7.2"),
    HoldRule("snug", 14.0, 168.0, "anchor", "reading",
             "as drill; at most 20 % of the full torque; ASSUMED"),
    HoldRule("full-torque", 20.7, 672.0, "anchor", "reading",
             "the makers' figures, else 3000 psi (common practice) and 28 days (ASSUMED)", True),
    HoldRule("re-check", None, 24.0, "anchor", "none",
             "24 h after full torque, and again after the first loads: common practice"),
    HoldRule("service-load", 20.7, 672.0, "anchor", "reading",
             "as full torque, its re-check done, at the smaller of the two ages; ASSUMED", True,
             both_ages=True),
)  # fmt: skip

_ADHESIVE_AGE_H = 21 * 24.0
#: Least age once a test has shown 1.1 times the need. [h]
_TESTED_AGE_H = 168.0
TEST_MARGIN = 1.1


def hold_rules(
    *,
    rule_set: str = "ACI",
    strict: bool = False,
    maker_strength_mpa: float | None = None,
    maker_age_h: float | None = None,
    adhesive: bool = False,
    lifting: bool = False,
    tested_mpa: float | None = None,
    overrides: Mapping[str, tuple[float | None, float | None]] | None = None,
) -> dict[str, HoldRule]:
    """The hold table for one job.

    Parameters
    ----------
    rule_set : str
        ``ACI``, ``EN`` or ``CSA``. [-]
    strict : bool
        Whether the rule set's own protection length binds. [-]
    maker_strength_mpa, maker_age_h : float or None
        What the equipment's maker asks before full torque. [MPa, h]
    adhesive : bool
        Whether the anchors are glued in. [-]
    lifting : bool
        Whether the equipment lifts or vibrates: its service load also waits for 28 days
        at 20 °C. [-]
    tested_mpa : float or None
        Best strength that a test of this pour has shown. [MPa]
    overrides : mapping, optional
        By hold: (strength or None, age or None), as the job states with a reason. [MPa, h]

    Returns
    -------
    dict of str to HoldRule
        In the order in which people meet them. [various]

    Examples
    --------
    >>> hold_rules(maker_strength_mpa=24.0)["full-torque"].strength_mpa
    24.0
    """
    rules = {rule.name: rule for rule in _TABLE}
    rules["end-protection"] = replace(
        rules["end-protection"],
        strength_mpa=FROST_STRENGTH_MPA[rule_set],
        least_age_h=72.0 if strict else 24.0,
    )
    if adhesive:
        for name in ("drill", "snug"):
            rules[name] = replace(rules[name], least_age_h=_ADHESIVE_AGE_H)
    for name in ("full-torque", "service-load"):
        ripe_d = 28.0 if name == "service-load" and lifting and tested_mpa is None else 0.0
        loaded = _loaded(rules[name], maker_strength_mpa, maker_age_h, tested_mpa)
        rules[name] = replace(loaded, least_te_d=ripe_d)
    for name, (strength, age) in (overrides or {}).items():
        rules[name] = _overridden(rules[name], strength, age)
    return rules


def _loaded(
    rule: HoldRule, maker_mpa: float | None, maker_age_h: float | None, tested_mpa: float | None
) -> HoldRule:
    """A rule of the loaded anchor with the makers' figures, or what a test allows."""
    need = rule.strength_mpa if maker_mpa is None else maker_mpa
    if maker_age_h is not None:
        return replace(rule, strength_mpa=need, least_age_h=maker_age_h)
    proved = need is not None and tested_mpa is not None and tested_mpa >= TEST_MARGIN * need
    age = min(rule.least_age_h, _TESTED_AGE_H) if proved else rule.least_age_h
    return replace(rule, strength_mpa=need, least_age_h=age)


def _overridden(rule: HoldRule, strength: float | None, age: float | None) -> HoldRule:
    """A rule with the job's own figures; its own age has no second form."""
    changed = replace(rule, basis=f"{rule.basis}; changed in the job file")
    if strength is not None:
        changed = replace(changed, strength_mpa=strength)
    if age is not None:
        changed = replace(changed, least_age_h=age, warm_age_h=None, cool_age_h=None)
    return changed
