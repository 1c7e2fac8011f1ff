"""What the rows of a replay come to."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tests.replay.rows import Row, column

HOLDS = ("walk", "strip", "end-protection", "light-load")
#: Dates are compared up to here: the truth is followed no further. [h]
WEEKS_H, WINTERS_H = 21 * 24.0, 40 * 24.0


def week_scores(rows: Sequence[Row], which: str) -> dict[str, float]:
    """Shares in which nine in ten held before a pour; ``which`` is "any" or "best"."""
    rows = [r for r in rows if r.get(f"{which} at_h") not in (None, "")]
    found = {"weeks": float(len(rows))}
    for name in ("hours above low", "hours below high", "coldest kept"):
        for place in ("surface", "edge"):
            found[f"{place}: {name}"] = float(column(rows, f"{which} {place} {name}").mean())
    came, said = column(rows, f"{which} came coldest"), column(rows, f"{which} said coldest")
    found["coldest anywhere: as said"] = float(np.mean(came >= said))
    for hold in HOLDS:
        true, count = column(rows, f"{which} true {hold}"), column(rows, f"{which} count {hold}")
        kept = np.minimum(true, WEEKS_H) <= np.minimum(count, WEEKS_H) + 1e-6
        found[f"date: {hold}"] = float(kept.mean())
    return found


def air_scores(rows: Sequence[Row]) -> dict[str, float]:
    """Hours of the forecast's air, and its nights' coldest hours."""
    names = ("hours above low", "hours below high", "coldest kept")
    return {f"air: {n}": float(column(rows, f"air {n}").mean()) for n in names}


def bare_scores(rows: Sequence[Row]) -> dict[str, float]:
    """Weeks whose preferred start was bare, and those in which its edge froze young."""
    rows = [r for r in rows if str(r.get("best level")) in ("0", "0.0")]
    arris, fine = column(rows, "best came arris"), column(rows, "best fine edge")
    edge = np.where(np.isfinite(fine), fine, arris)
    return {
        "bare weeks": float(len(rows)),
        "edge froze, fine solver": float(np.sum(~(edge > 0.0))),
        "weeks with air below 0 °C in that span": float(
            np.sum(column(rows, "best coldest air") < 0.0)
        ),
        "least edge": float(edge.min()),
    }


def frosty_scores(rows: Sequence[Row]) -> dict[str, float]:
    """Of frosty weeks, the coldest bare start that was called safe: how many edges froze."""
    rows = [r for r in rows if r.get("at_h") not in (None, "")]
    arris, fine = column(rows, "came arris"), column(rows, "fine edge")
    edge = np.where(np.isfinite(fine), fine, arris)
    return {
        "weeks": float(len(rows)),
        "edge froze, fine solver": float(np.sum(~(edge > 0.0))),
        "edge or corner froze": float(np.sum(~(column(rows, "came coldest") > 0.0))),
        "weeks with air below 0 °C in that span": float(np.sum(column(rows, "air") < 0.0)),
        "least edge": float(edge.min()),
        "mean chance that was said": float(column(rows, "chance freeze").mean()),
    }


def _dates(rows: Sequence[Row], name: str) -> np.ndarray:
    """Dates of the holds, shape (hold, row). [h]"""
    return np.minimum([column(rows, f"{name} {h}") for h in HOLDS], WINTERS_H)


def worth_of_readings(rows: Sequence[Row], ahead: str) -> dict[str, float]:
    """Share of pours whose dates readings improve, and the mean error with over without.

    ``ahead`` is "given" or "forecast". Three truths: a batch of median strength; one whose own
    strength is told to both; one whose own strength nobody knows. For the last, what the true
    temperatures themselves would come to: no thermometer can do better.
    """
    found: dict[str, float] = {}
    truths = {
        "median strength": ("likely", "true median"),
        "own strength, told to both": ("own likely", "true own"),
        "own strength, told to none": ("likely", "true own"),
    }
    for name, (said, true) in truths.items():
        off = {
            which: np.abs(_dates(rows, f"{ahead} {which} {said}") - _dates(rows, true)).mean(axis=0)
            for which in ("with", "without")
        }
        found |= _compared(name, off["with"], off["without"])
        if true == "true own" and said == "likely":
            best = np.abs(_dates(rows, "true median") - _dates(rows, "true own")).mean(axis=0)
            found |= _compared("the same, every temperature known", best, off["without"])
    wrong = column(rows, f"{ahead} with offset") - column(rows, "offset_k")
    return found | {"mean error of the offset learned [K]": float(np.abs(wrong).mean())}


def _compared(name: str, with_c: np.ndarray, without: np.ndarray) -> dict[str, float]:
    """Pours where both are right to the minute are left out of the share: nothing to improve."""
    open_ = np.maximum(with_c, without) > 1.0 / 60.0
    return {
        f"{name}: share better": float(np.mean((with_c < without)[open_])),
        f"{name}: error with / without": float(with_c.mean() / without.mean()),
        f"{name}: mean error without [h]": float(without.mean()),
        f"{name}: mean error with [h]": float(with_c.mean()),
    }


def winter_scores(rows: Sequence[Row], which: str = "with") -> dict[str, float]:
    """Shares in which nine in ten held after a pour, what is ahead being a forecast."""
    found = {}
    for place in ("surface", "edge"):
        for name in ("hours above low", "hours below high", "coldest kept"):
            values = column(rows, f"forecast {which} {name} {place}")
            found[f"{place}: {name}"] = float(values.mean())
    for hold in HOLDS:
        true, count = (
            column(rows, f"true own {hold}"),
            column(rows, f"forecast {which} count {hold}"),
        )
        kept = np.minimum(true, WINTERS_H) <= np.minimum(count, WINTERS_H) + 1e-6
        found[f"date: {hold}"] = float(kept.mean())
    return found
