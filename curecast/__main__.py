"""``python -m curecast`` is ``curecast``."""

from __future__ import annotations

from curecast.cli.app import main

if __name__ == "__main__":
    main()
