"""Heat parameters of a cement from its composition.

References
----------
Schindler & Folliard, ACI Materials Journal 102-M04, 2005; all constants from memory.
Plain cements only: no fly ash, no slag.
"""

from __future__ import annotations

from dataclasses import dataclass

#: Temperature at which `schindler_tau` holds. [°C]
SCHINDLER_REFERENCE_C = 21.1


@dataclass(frozen=True)
class Cement:
    """Composition of a cement, as fractions of its mass, and its fineness.

    Parameters
    ----------
    c3s, c2s, c3a, c4af : float
        Clinker phases after Bogue. [-]
    so3, free_cao, mgo : float
        Sulphate, free lime, magnesia. [-]
    blaine_m2_kg : float
        Specific surface after Blaine. [m2/kg]
    """

    c3s: float
    c2s: float
    c3a: float
    c4af: float
    so3: float
    free_cao: float
    mgo: float
    blaine_m2_kg: float


# Typical compositions of the ASTM C150 types; from memory, in part ASSUMED.
TYPE_I = Cement(0.54, 0.18, 0.10, 0.08, 0.030, 0.010, 0.020, 369.0)
TYPE_II = Cement(0.55, 0.19, 0.06, 0.11, 0.028, 0.010, 0.020, 377.0)
TYPE_III = Cement(0.55, 0.17, 0.09, 0.08, 0.035, 0.013, 0.020, 548.0)


def heat_from_composition(cement: Cement) -> float:
    """Heat of complete hydration of a cement.

    Parameters
    ----------
    cement : Cement
        Its composition. [-]

    Returns
    -------
    float
        Heat, the phases' heats weighted by mass. [J/kg]

    Examples
    --------
    >>> round(heat_from_composition(TYPE_I) / 1000, 1)
    484.6
    """
    c = cement
    j_g = (
        500.0 * c.c3s + 260.0 * c.c2s + 866.0 * c.c3a + 420.0 * c.c4af
        + 624.0 * c.so3 + 1186.0 * c.free_cao + 850.0 * c.mgo
    )  # fmt: skip
    return 1000.0 * j_g


def schindler_tau(cement: Cement) -> float:
    """Hydration time constant of a cement, at Schindler's 21.1 °C.

    Parameters
    ----------
    cement : Cement
        Its composition. [-]

    Returns
    -------
    float
        Time constant. [h]
    """
    c = cement
    return float(66.78 * c.c3a**-0.154 * c.c3s**-0.401 * c.blaine_m2_kg**-0.804 * c.so3**-0.758)


def schindler_beta(cement: Cement) -> float:
    """Hydration slope of a cement.

    Parameters
    ----------
    cement : Cement
        Its composition. [-]

    Returns
    -------
    float
        Slope. [-]
    """
    c = cement
    return float(181.4 * c.c3a**0.146 * c.c3s**0.227 * c.blaine_m2_kg**-0.535 * c.so3**0.558)


def schindler_activation(cement: Cement) -> float:
    """Activation energy of a cement's heat.

    Parameters
    ----------
    cement : Cement
        Its composition. [-]

    Returns
    -------
    float
        Activation energy. [J/mol]
    """
    c = cement
    return float(22_100.0 * c.c3a**0.30 * c.c4af**0.25 * c.blaine_m2_kg**0.35)
