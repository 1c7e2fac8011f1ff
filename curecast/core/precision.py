"""Single precision for many columns: half the memory, twice the speed; what goes in comes out."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

#: The type of an ensemble of many starts. A temperature is then known to 2e-6 °C.
SINGLE: Any = np.float32


def floats(values: ArrayLike) -> Array:
    """Values as an array of floats: single precision stays, all else becomes double.

    Parameters
    ----------
    values : array_like, any shape
        Numbers. [any unit]

    Returns
    -------
    ndarray, same shape
        The same numbers. [the same unit]

    Examples
    --------
    >>> floats(np.ones(1, np.float32)).dtype.name, floats([1]).dtype.name
    ('float32', 'float64')
    """
    array = np.asarray(values)
    return array if array.dtype == SINGLE else np.asarray(array, dtype=np.float64)
