"""Strength from the two ages, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.shapes import aci209, eurocode, exponential, hyperbola
from curecast.errors import OutOfRange

Array = NDArray[np.float64]

SHAPES = ("eurocode", "aci209", "hyperbola", "exponential")

#: Up to this share of f28 a strength is read at the smaller of the two ages.
BOTH_AGES_UP_TO = 0.55

COV_LATE = 0.15  # ASSUMED from the spread of f3/f28 in 1030 laboratory mixes
COV_EARLY = 0.25  # the same, at age 0, added in squares and gone at 7 d
COV_EARLY_ENDS_D = 7.0


def coefficient_of_variation(
    te_d: ArrayLike, late: float = COV_LATE, early: float = COV_EARLY
) -> Array:
    """How widely real strengths scatter about the curve.

    Parameters
    ----------
    te_d : array_like
        Age at 20 °C at which the strength is read. [d]
    late : float
        Coefficient of variation from 7 d on. [-]
    early : float
        What age 0 adds, in squares, falling in a straight line to 0 at 7 d. [-]

    Returns
    -------
    ndarray
        Coefficient of variation; ASSUMED. [-]

    Examples
    --------
    >>> coefficient_of_variation([3.5, 7.0]).round(3).tolist()
    [0.195, 0.15]
    """
    t = np.asarray(te_d, dtype=np.float64)
    young = early * np.clip(1.0 - t / COV_EARLY_ENDS_D, 0.0, 1.0)
    return np.asarray(np.sqrt(late**2 + young**2))


def doubt_factor(
    z: ArrayLike, te_d: ArrayLike, late: float = COV_LATE, early: float = COV_EARLY
) -> Array:
    """What one draw makes of the median strength (lognormal, median 1).

    Parameters
    ----------
    z : array_like
        One standard normal draw a member, kept for life; -1.2816 is nine of ten. [-]
    te_d : array_like
        Age at 20 °C at which the strength is read. [d]
    late, early : float
        As in `coefficient_of_variation`. [-]

    Returns
    -------
    ndarray
        exp(z sqrt(ln(1 + cov^2))), in the common shape of ``z`` and ``te_d``. [-]

    Examples
    --------
    >>> round(float(doubt_factor(-1.2816, 28.0)), 3)
    0.826
    """
    cov = coefficient_of_variation(te_d, late, early)
    return np.asarray(np.exp(np.asarray(z, dtype=np.float64) * np.sqrt(np.log1p(cov**2))))


@dataclass(frozen=True)
class StrengthCurve:
    """Strength of one mix against its ages; the median of site-made, moist-cured concrete.

    Parameters
    ----------
    f28_mpa : float
        Median strength after 28 days at 20 °C. [MPa]
    shape : str
        One of ``SHAPES``; each reads only its own numbers below. [-]
    s : float
        Eurocode's s. [-]
    a : float
        ACI 209R's a. [d]
    b : float
        ACI 209R's b. [-]
    ultimate : float
        Su / f28 of the hyperbola and the exponential. [-]
    rate_per_d : float
        k of the hyperbola. [1/d]
    delay_d : float
        t0 of the hyperbola. [d]
    tau_d : float
        Time constant of the exponential. [d]
    alpha : float
        Shape of the exponential. [-]
    cov_late, cov_early : float
        The doubt, see `coefficient_of_variation`; tests shrink it. [-]

    Raises
    ------
    OutOfRange
        For an unknown shape, a strength or a shape's number that is not positive, or a doubt
        or delay below 0.
    """

    f28_mpa: float
    shape: str = "eurocode"
    s: float = 0.38
    a: float = 4.0
    b: float = 0.85
    ultimate: float = 1.3
    rate_per_d: float = 0.12
    delay_d: float = 0.0
    tau_d: float = 4.0
    alpha: float = 0.5
    cov_late: float = COV_LATE
    cov_early: float = COV_EARLY

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise OutOfRange(
                f"no strength curve is called {self.shape!r}", "take one of " + ", ".join(SHAPES)
            )
        if not self.f28_mpa > 0.0:
            raise OutOfRange(f"a 28-day strength must be above 0, not {self.f28_mpa} MPa")
        for name in ("s", "a", "b", "ultimate", "rate_per_d", "tau_d", "alpha"):
            if not getattr(self, name) > 0.0:
                raise OutOfRange(f"strength curve: {name} must be above 0")
        for name in ("delay_d", "cov_late", "cov_early"):
            if not getattr(self, name) >= 0.0:
                raise OutOfRange(f"strength curve: {name} cannot be below 0")

    def fraction(self, te_d: ArrayLike) -> Array:
        """Share of the 28-day strength at one age.

        Parameters
        ----------
        te_d : array_like
            Age at 20 °C. [d]

        Returns
        -------
        ndarray
            Share of ``f28_mpa``. [-]
        """
        if self.shape == "eurocode":
            return eurocode(te_d, self.s)
        if self.shape == "aci209":
            return aci209(te_d, self.a, self.b)
        if self.shape == "hyperbola":
            return hyperbola(te_d, self.ultimate, self.rate_per_d, self.delay_d)
        return exponential(te_d, self.ultimate, self.tau_d, self.alpha)

    def fraction_of_both(self, te_d: ArrayLike, ttf_d: ArrayLike) -> Array:
        """Share of the 28-day strength that the two ages together vouch for.

        Parameters
        ----------
        te_d : array_like
            Equivalent age at 20 °C. [d]
        ttf_d : array_like
            The temperature-time factor as days at 20 °C. [d]

        Returns
        -------
        ndarray
            g(te) where that is above 0.55, else g(the smaller age). [-]

        Notes
        -----
        The largest share that `need_is_met` grants. It never falls while the ages grow,
        but it may step up, from g(the smaller age) to 0.55, when g(te) passes 0.55.
        """
        te = np.asarray(te_d, dtype=np.float64)
        g_te = self.fraction(te)
        g_least = self.fraction(np.minimum(te, np.asarray(ttf_d, dtype=np.float64)))
        return np.where(g_te > BOTH_AGES_UP_TO, g_te, g_least)

    def strength_mpa(self, te20_h: ArrayLike, ttf_c_h: ArrayLike, datum_c: float = 0.0) -> Array:
        """Median strength from the two ages.

        Parameters
        ----------
        te20_h : array_like
            Equivalent age at 20 °C. [h]
        ttf_c_h : array_like
            Temperature-time factor. [°C h]
        datum_c : float
            Datum of that factor. [°C]

        Returns
        -------
        ndarray
            ``f28_mpa`` times `fraction_of_both`. [MPa]
        """
        te_d = np.asarray(te20_h, dtype=np.float64) / 24.0
        ttf_d = age_days_at_20_from_ttf(ttf_c_h, datum_c)
        return np.asarray(self.f28_mpa * self.fraction_of_both(te_d, ttf_d))

    def need_is_met(
        self, need: ArrayLike, te_d: ArrayLike, ttf_d: ArrayLike, z: ArrayLike = 0.0
    ) -> NDArray[np.bool_]:
        """Whether one needed strength has been reached.

        Parameters
        ----------
        need : array_like
            Strength needed, over the median 28-day strength. [-]
        te_d : array_like
            Equivalent age at 20 °C. [d]
        ttf_d : array_like
            The temperature-time factor as days at 20 °C. [d]
        z : array_like
            The member's draw, see `doubt_factor`. [-]

        Returns
        -------
        ndarray of bool
            A need up to 0.55 is read at the smaller age, one above at equivalent age; the
            doubt belongs to the age at which it is read. NaN is never met. [-]

        Examples
        --------
        >>> bool(StrengthCurve(27.6).need_is_met(0.3, te_d=4.5, ttf_d=1.0))
        False
        """
        need = np.asarray(need, dtype=np.float64)
        te = np.asarray(te_d, dtype=np.float64)
        least = np.minimum(te, np.asarray(ttf_d, dtype=np.float64))
        age = np.where(need <= BOTH_AGES_UP_TO, least, te)
        reached = self.fraction(age) * doubt_factor(z, age, self.cov_late, self.cov_early)
        return np.asarray(reached >= need)
