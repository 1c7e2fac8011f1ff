"""Which day to pour a small slab, how to protect it, and when each step may follow."""

from __future__ import annotations

__version__ = "0.1.0"
