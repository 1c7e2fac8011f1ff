"""Figures of the rule sets ACI, EN and CSA, each with its source and edition.

"From memory" marks a published figure that was not seen in the document itself. The
insulation tables of ACI 306R are not here: they were not to be had. Every function raises
`OutOfRange` for a rule set, service, thickness or ratio that its table does not know.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from curecast.errors import OutOfRange


@dataclass(frozen=True)
class RuleSet:
    """The figures of one body of rules that do not depend on the slab.

    Parameters
    ----------
    name : str
        ``ACI``, ``EN`` or ``CSA``. [-]
    cold_air_c : float
        Air below this during the protection period is cold weather. [°C]
    frost_strength_mpa : float
        Strength at which concrete stands one freeze. [MPa]
    hot_limit_c : float
        Highest temperature of the concrete as placed. [°C]
    cold_source, frost_source, hot_source : str
        Where those stand. [-]
    """

    name: str
    cold_air_c: float
    frost_strength_mpa: float
    hot_limit_c: float
    cold_source: str
    frost_source: str
    hot_source: str


RULE_SETS: dict[str, RuleSet] = {
    "ACI": RuleSet(
        "ACI", 4.4, 3.5, 35.0,
        "ACI 306R-16: air below 40 °F during the protection period",
        "ACI 306R-16: 500 psi stands one freeze, saturated cycles not",
        "ACI 301-20 and 305.1-14: 95 °F at discharge",
    ),
    "EN": RuleSet(
        "EN", 5.0, 5.0, 30.0,
        "EN 13670:2009, 8.5: ambient temperature low; 5 °C after UK practice, from memory",
        "EN 13670:2009, 8.5: 5 MPa before the first freeze, from memory",
        "EN 206: 30 °C at delivery unless agreed otherwise, from memory",
    ),
    "CSA": RuleSet(
        "CSA", 5.0, 7.0, 35.0,
        "CSA A23.1: air at or below 5 °C, or likely to be within 24 h of placing",
        "CSA A23.1 practice: 7 MPa before the first freeze",
        "CSA A23.1, table of placing temperatures: 35 °C under 0.3 m",
    ),
}  # fmt: skip

HOT_WARN_C = 32.0  # 90 °F, TM 5-822-7
THIN_REMOVAL_K = 11.0  # 20 °F, ACI's lowest row, for thin slabs in wind; ASSUMED

ACI_TEMPERATURES = "ACI 306R-16, table 5.1; from memory"
ACI_DAYS = "ACI 306R-16, protection period for no early strength, Type I/II; from memory"
CSA_PLACING = "CSA A23.1, table of placing temperatures"
CSA_REMOVAL = "CSA A23.1, largest difference of face and air at removal, wind up to 25 km/h"
EN_FACE = "EN 13670:2009, 8.5: face above 0 °C until 5 MPa; 5 °C after UK practice, from memory"

# Least dimension: under 300 mm, to 900, to 1800, above.
_ACI_UP_TO_M = (0.3, 0.9, 1.8)
_ACI_MAINTAINED_C = (13.0, 10.0, 7.0, 5.0)
_ACI_MIXED_C = {  # by air: above -1 °C, -18 to -1 °C, below -18 °C
    "mild": (16.0, 13.0, 10.0, 7.0),
    "frost": (18.0, 16.0, 13.0, 10.0),
    "hard frost": (21.0, 18.0, 16.0, 13.0),
}
_ACI_DROP_K = (28.0, 22.0, 17.0, 11.0)  # 50, 40, 30, 20 °F in 24 h

# Least dimension: under 0.3 m, to 1, to 2, above: coldest and hottest as placed.
_CSA_UP_TO_M = (0.3, 1.0, 2.0)
_CSA_PLACING_C = ((10.0, 35.0), (10.0, 30.0), (5.0, 25.0), (5.0, 20.0))

_CSA_THICKNESS_M = (0.3, 0.6, 0.9, 1.2)
_CSA_LENGTH_OVER_HEIGHT = (0.0, 3.0, 5.0, 7.0, 20.0)
_CSA_REMOVAL_K = (
    (29.0, 22.0, 19.0, 17.0, 12.0),
    (22.0, 18.0, 16.0, 15.0, 12.0),
    (18.0, 16.0, 15.0, 14.0, 12.0),
    (17.0, 15.0, 14.0, 13.0, 12.0),
)

# Service: no load, not exposed; no load, exposed; partial load, exposed.
_ACI_PROTECTION_DAYS = {1: (2.0, 1.0), 2: (3.0, 2.0), 3: (6.0, 4.0)}


def rule_set(name: str) -> RuleSet:
    """One body of rules by its name.

    Parameters
    ----------
    name : str
        ``ACI``, ``EN`` or ``CSA``. [-]

    Returns
    -------
    RuleSet
        Its figures. [-]
    """
    if name not in RULE_SETS:
        raise OutOfRange(f"no rule set is called {name!r}", "take ACI, EN or CSA")
    return RULE_SETS[name]


def least_maintained_c(name: str, thickness_m: float) -> tuple[float, str]:
    """Least temperature of the concrete, as placed and while it is protected.

    Parameters
    ----------
    name : str
        ``ACI``, ``EN`` or ``CSA``. [-]
    thickness_m : float
        Least dimension of the slab. [m]

    Returns
    -------
    temperature_c, source : float and str
        Least temperature. [°C]
    """
    rule_set(name)
    if name == "ACI":
        return _ACI_MAINTAINED_C[_row(thickness_m, _ACI_UP_TO_M)], ACI_TEMPERATURES
    if name == "CSA":
        return _CSA_PLACING_C[_row(thickness_m, _CSA_UP_TO_M)][0], CSA_PLACING
    _row(thickness_m, ())
    return 5.0, EN_FACE


def least_mixed_c(thickness_m: float, air_c: float) -> tuple[float, str]:
    """Least temperature of the concrete as mixed, after ACI.

    Parameters
    ----------
    thickness_m : float
        Least dimension of the slab. [m]
    air_c : float
        Air temperature at mixing. [°C]

    Returns
    -------
    temperature_c, source : float and str
        Least temperature. [°C]
    """
    row = _row(thickness_m, _ACI_UP_TO_M)
    key = "mild" if air_c > -1.0 else "frost" if air_c >= -18.0 else "hard frost"
    return _ACI_MIXED_C[key][row], ACI_TEMPERATURES


def most_placed_c(name: str, thickness_m: float) -> tuple[float, str]:
    """Highest temperature of the concrete as placed.

    Parameters
    ----------
    name : str
        ``ACI``, ``EN`` or ``CSA``. [-]
    thickness_m : float
        Least dimension of the slab. [m]

    Returns
    -------
    temperature_c, source : float and str
        Highest temperature. [°C]
    """
    rules = rule_set(name)
    if name == "CSA":
        return _CSA_PLACING_C[_row(thickness_m, _CSA_UP_TO_M)][1], CSA_PLACING
    _row(thickness_m, ())
    return rules.hot_limit_c, rules.hot_source


def most_drop_k(thickness_m: float) -> tuple[float, str]:
    """Largest drop of the concrete in the first 24 h after protection: a limit, not the aim.

    Parameters
    ----------
    thickness_m : float
        Least dimension of the slab. [m]

    Returns
    -------
    drop_k, source : float and str
        Largest gradual drop. [K]
    """
    return _ACI_DROP_K[_row(thickness_m, _ACI_UP_TO_M)], ACI_TEMPERATURES


def removal_difference_k(thickness_m: float, length_over_height: float) -> tuple[float, str]:
    """Largest difference of face and air when protection comes off in wind, after CSA.

    Parameters
    ----------
    thickness_m : float
        Least dimension; under 0.3 m as 0.3, over 1.2 m as 1.2. [m]
    length_over_height : float
        Length of the piece over its height. [-]

    Returns
    -------
    difference_k, source : float and str
        Largest difference, linear between the table's rows and columns. [K]
    """
    _row(thickness_m, ())
    if not length_over_height >= 0.0:
        raise OutOfRange("a ratio of length to height cannot be negative")
    by_row = [
        float(np.interp(length_over_height, _CSA_LENGTH_OVER_HEIGHT, row)) for row in _CSA_REMOVAL_K
    ]
    return float(np.interp(thickness_m, _CSA_THICKNESS_M, by_row)), CSA_REMOVAL


def protection_days(service: int, *, rapid: bool = False) -> tuple[float, str]:
    """Days of protection that ACI asks by the concrete's service.

    Parameters
    ----------
    service : int
        1 no load, not exposed; 2 no load, exposed; 3 partial load, exposed. Full load
        (4) goes by strength and has no figure here. [-]
    rapid : bool
        Type III cement, an accelerator, or 60 kg/m3 more cement. [-]

    Returns
    -------
    days, source : float and str
        Days of protection. [d]
    """
    if service not in _ACI_PROTECTION_DAYS:
        raise OutOfRange("ACI gives days for services 1 to 3; full load goes by strength")
    return _ACI_PROTECTION_DAYS[service][1 if rapid else 0], ACI_DAYS


def _row(thickness_m: float, up_to_m: tuple[float, ...]) -> int:
    """Row of a table by thickness: the first whose limit lies above it."""
    if not thickness_m > 0.0:
        raise OutOfRange("a slab's thickness must be above 0")
    return sum(thickness_m >= limit for limit in up_to_m)
