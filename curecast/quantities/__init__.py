"""Text with a unit <-> SI: the only place of curecast where units convert.

>>> round(read_quantity("3500 psi", "strength"), 2)
24.13
>>> show_quantity(0.2032, "length", "us")
'8 in'
"""

from __future__ import annotations

from curecast.quantities.kind import Kind
from curecast.quantities.kinds import KINDS
from curecast.quantities.reading import read_quantity
from curecast.quantities.showing import show_quantity

__all__ = ["KINDS", "Kind", "read_quantity", "show_quantity"]
