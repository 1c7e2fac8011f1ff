"""Where a poured slab stands, as the tracker answers it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.concrete.ages import age_days_at_20_from_ttf
from curecast.core.concrete.fits import CurveFit
from curecast.core.concrete.strength import doubt_factor
from curecast.core.correction import Site
from curecast.core.evidence import Evidence
from curecast.core.heat.covers import CoverSpell
from curecast.core.histories import Histories
from curecast.core.holdpoints import HARDLY_MET, HoldRule
from curecast.core.measured import Measured
from curecast.core.openings import Strengths
from curecast.core.weather.series import HourlyWeather
from curecast.job.layout import Job
from curecast.prospect.record import Record

Array = NDArray[np.float64]


@dataclass(frozen=True)
class HoldAnswer:
    """One hold as it stands. Dates are hours since 1970, infinity beyond the horizon.

    ``met`` by evidence; ``share`` of the maturity it needs that is vouched for; ``needed_d``
    the equivalent age at 20 °C that nine of ten need, ``reached_d`` what they have now;
    ``age_met`` whether its least age has passed; ``lags`` which age holds it back.
    """

    rule: HoldRule
    state: str
    likely_h: float
    count_on_h: float
    closes_h: float | None
    met: bool
    due: bool
    share: float
    needed_d: float
    reached_d: float
    age_met: bool
    lags: str
    why: str
    by_test: bool = False


@dataclass(frozen=True)
class SlabAnswer:
    """A poured slab now.

    ``past`` is the corrected history and future, its clock starting at ``origin_h``;
    ``weather`` the joined weather at the site; ``misfit_k`` readings minus the plain
    model, ``left_k`` minus the one that learned from them; ``fit`` what
    tests made of the curve of ``case``.
    """

    job: Job
    record: Record
    case: Case
    now_h: float
    origin_h: float
    placed_h: float
    past: Histories
    strengths: Strengths
    evidence: Evidence
    site: Site
    misfit_k: Array
    weather: HourlyWeather
    holds: dict[str, HoldAnswer]
    frozen_early: str
    chance_frozen: float
    spells: tuple[CoverSpell, ...]
    measured: Measured
    left_k: Array
    fit: CurveFit | None = None

    @property
    def age_h(self) -> float:
        """Now, on the history's clock. [h]"""
        return self.now_h - self.origin_h


def strength_quantiles(answer: SlabAnswer, place: int) -> tuple[Array, Array]:
    """Median and nine-of-ten strength at a place over the history, shape (time,). [MPa]"""
    past, s = answer.past, answer.strengths
    factor = s.factor(past, place)[1:]
    te = past.te20_h[:, place, 1:]
    ttf_d = age_days_at_20_from_ttf(past.ttf_c_h[:, place, 1:])
    share = s.curve.fraction_of_both(te / 24.0, ttf_d)
    doubt = doubt_factor(s.z[None, 1:], te / 24.0, s.curve.cov_late, s.curve.cov_early)
    mpa = s.curve.f28_mpa * share * doubt * factor
    return np.quantile(mpa, 0.5, axis=1), np.quantile(mpa, 0.1, axis=1)


def hardly_met(answer: SlabAnswer, rule: HoldRule) -> bool:
    """Whether nine of ten can hardly reach the need without a test."""
    top = np.max(answer.strengths.top_factor)
    f28 = answer.strengths.curve.f28_mpa * float(top)
    return rule.strength_mpa is not None and rule.strength_mpa > HARDLY_MET * f28
