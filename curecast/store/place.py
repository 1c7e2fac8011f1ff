"""Where the store's file lies; asking loads no database."""

from __future__ import annotations

import os
from pathlib import Path

from curecast.errors import StoreError

__all__ = ["FILE_NAME", "data_folder", "make_data_folder"]

FILE_NAME = "curecast.db"


def data_folder(home: str | Path | None = None) -> Path:
    """The data folder, which need not exist: ``home``, CURECAST_HOME, or the platform's place."""
    home = home or os.environ.get("CURECAST_HOME") or None
    if home is None:
        from platformdirs import user_data_dir

        home = user_data_dir("curecast", appauthor=False)
    return Path(home).expanduser().absolute()


def make_data_folder(home: str | Path | None = None) -> Path:
    """The data folder, made where it is missing."""
    folder = data_folder(home)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError) as error:
        raise StoreError(
            f"the data folder {folder} is a file, or lies below one",
            "Set CURECAST_HOME to a folder.",
        ) from error
    except OSError as error:
        raise StoreError(
            f"the data folder {folder} cannot be made: {error.strerror}",
            "Set CURECAST_HOME to a folder that is yours.",
        ) from error
    return folder
