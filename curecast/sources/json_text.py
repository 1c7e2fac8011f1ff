"""JSON text into a dict, with every way it can go wrong told in one sentence."""

from __future__ import annotations

import json
from typing import Any, NoReturn

from curecast.errors import WeatherUnusable

__all__ = ["LARGEST_BYTES", "parse_json"]

#: The largest payload that is read; real ones are below 0.5 MB. ASSUMED
LARGEST_BYTES = 20_000_000


def _refuse_constant(word: str) -> NoReturn:
    raise WeatherUnusable(f"holds {word}, which is no JSON number")


def parse_json(body: bytes, what: str) -> dict[str, Any]:
    """A JSON object.

    Parameters
    ----------
    body : bytes
        UTF-8, with or without a byte order mark; at most 20 MB.
    what : str
        What it is, for messages.

    Returns
    -------
    dict
        The object.

    Raises
    ------
    WeatherUnusable
        Too large, no text, cut off, nested too deeply, with NaN, or no object.
    """
    if len(body) > LARGEST_BYTES:
        raise WeatherUnusable(f"{what} is larger than {LARGEST_BYTES // 1_000_000} MB")
    try:
        value = json.loads(body.decode("utf-8-sig"), parse_constant=_refuse_constant)
    except WeatherUnusable as error:
        raise WeatherUnusable(f"{what} {error.message}") from None
    except UnicodeDecodeError:
        raise WeatherUnusable(f"{what} is no UTF-8 text") from None
    except RecursionError:
        raise WeatherUnusable(f"{what} is nested too deeply to be a forecast") from None
    except json.JSONDecodeError as error:
        raise WeatherUnusable(
            f"{what} is no complete JSON: {error.msg} at line {error.lineno}, column {error.colno}",
            hint="it may have been cut off: save or fetch it again",
        ) from None
    except ValueError:
        raise WeatherUnusable(f"{what} holds a number that is too long") from None
    if not isinstance(value, dict):
        raise WeatherUnusable(f"{what} is JSON, but not an object with properties")
    return value
