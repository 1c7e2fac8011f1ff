"""Heat of hydration: how far the cement has reacted, and how much heat that gives.

The age in here is the *heat age*. It belongs to heat alone, with the mix's own constant
activation energy, and says nothing about strength.

References
----------
Schindler & Folliard, ACI Materials Journal 102-M04, 2005; all constants from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.concrete.rates import _gamma_constant
from curecast.core.precision import floats
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

YOUNGEST_H = 1e-6  # below this age nothing has reacted; keeps the power finite


@dataclass(frozen=True)
class HeatOfHydration:
    """What a mix needs to give heat.

    Parameters
    ----------
    heat_j_kg : float
        Heat of complete hydration per mass of cement. [J/kg]
    cement_kg_m3 : float
        Cement in the concrete. [kg/m3]
    alpha_u : float
        Degree of hydration that is reached in the end, above 0 and at most 1. [-]
    tau_h : float
        Hydration time constant at the reference temperature. [h]
    beta : float
        Hydration slope. [-]
    activation_j_mol : float
        Activation energy of the heat. [J/mol]
    reference_temperature_c : float
        Temperature at which ``tau_h`` holds. [°C]

    Raises
    ------
    OutOfRange
        If a number is not positive, or ``alpha_u`` is above 1.
    """

    heat_j_kg: float
    cement_kg_m3: float
    alpha_u: float
    tau_h: float
    beta: float
    activation_j_mol: float
    reference_temperature_c: float = 23.0

    def __post_init__(self) -> None:
        for name in (
            "heat_j_kg", "cement_kg_m3", "alpha_u", "tau_h", "beta", "activation_j_mol",
        ):  # fmt: skip
            if not getattr(self, name) > 0.0:
                raise OutOfRange(f"heat of hydration: {name} must be above 0")
        if self.alpha_u > 1.0:
            raise OutOfRange("heat of hydration: alpha_u is a fraction and ends at 1")


def degree(heat_age_h: ArrayLike, h: HeatOfHydration) -> Array:
    """Degree of hydration.

    Parameters
    ----------
    heat_age_h : array_like
        Heat age; 0 and less count as not begun. [h]
    h : HeatOfHydration
        The mix. [-]

    Returns
    -------
    ndarray
        Degree, 0 to ``alpha_u``: alpha_u exp(-(tau / age)^beta). [-]
    """
    alpha = np.log(np.maximum(floats(heat_age_h), YOUNGEST_H))
    alpha *= -h.beta
    alpha += h.beta * float(np.log(h.tau_h))
    alpha = -np.exp(alpha)
    alpha = np.exp(alpha)
    alpha *= h.alpha_u
    return np.asarray(alpha)


def heat_rate_age(temp_c: ArrayLike, h: HeatOfHydration) -> Array:
    """How fast the heat age runs.

    Parameters
    ----------
    temp_c : array_like
        Temperature of the concrete. [°C]
    h : HeatOfHydration
        The mix. [-]

    Returns
    -------
    ndarray
        Hours of heat age an hour: 1 at the reference temperature, 0 below -10 °C. [h/h]
    """
    return _gamma_constant(temp_c, h.activation_j_mol, h.reference_temperature_c)


def heat_w_m3(heat_age_h: ArrayLike, temp_c: ArrayLike, h: HeatOfHydration) -> Array:
    """Heat given off by the concrete.

    Parameters
    ----------
    heat_age_h : array_like
        Heat age. [h]
    temp_c : array_like
        Temperature of the concrete, in a shape that goes with the age's. [°C]
    h : HeatOfHydration
        The mix. [-]

    Returns
    -------
    ndarray
        Heat per volume of concrete: Hu C dalpha/dage dage/dt / 3600. [W/m3]

    Notes
    -----
    At one temperature the peak comes at age tau (beta / (1 + beta))^(1/beta).
    """
    age = np.maximum(np.asarray(heat_age_h, dtype=np.float64), YOUNGEST_H)
    x = (h.tau_h / age) ** h.beta
    per_hour = h.alpha_u * np.exp(-x) * x * (h.beta / age)
    heat: Array = (h.heat_j_kg * h.cement_kg_m3 / 3600.0) * per_hour * heat_rate_age(temp_c, h)
    return heat


def ultimate_degree(w_c: ArrayLike) -> Array:
    """Degree of hydration that a water-cement ratio allows.

    Parameters
    ----------
    w_c : array_like
        Mass of water over mass of cement, above 0. [-]

    Returns
    -------
    ndarray
        1.031 w/c / (0.194 + w/c), at most 1. [-]

    References
    ----------
    Mills 1966, as used by Schindler & Folliard 2005; from memory.

    Examples
    --------
    >>> round(float(ultimate_degree(0.5)), 4)
    0.7428
    """
    w = np.asarray(w_c, dtype=np.float64)
    if np.any(w <= 0.0):
        raise OutOfRange("a water-cement ratio must be above 0")
    return np.minimum(1.031 * w / (0.194 + w), 1.0)


def tau_at_reference(tau_h: float, activation_j_mol: float, from_c: float, to_c: float) -> float:
    """The hydration time constant at another reference temperature.

    Parameters
    ----------
    tau_h : float
        Time constant at ``from_c``. [h]
    activation_j_mol : float
        Activation energy of the heat. [J/mol]
    from_c : float
        Reference temperature of ``tau_h``. [°C]
    to_c : float
        Reference temperature wanted. [°C]

    Returns
    -------
    float
        Time constant at ``to_c``: shorter where that is warmer. [h]

    Examples
    --------
    >>> round(tau_at_reference(14.0, 40_000.0, 21.1, 23.0), 3)
    12.606
    """
    return tau_h * float(_gamma_constant(from_c, activation_j_mol, to_c))
