"""Every error that curecast raises on purpose, and the exit code of each.

::

    CurecastError                      70   a fault in curecast itself
    ├── InputError                     65   something that a person wrote cannot be used
    │   ├── JobError                   65   the job file; carries every Problem
    │   ├── ReadingsError              65   a reading or a logger's file
    │   │   └── TwoReadings            65   a file that could be meant in several ways
    │   └── OutOfRange                 65   a formula asked to go beyond its stated range
    ├── WeatherError
    │   ├── WeatherUnavailable         69   network, time-out, service down: try again
    │   └── WeatherUnusable            65   gaps, stale, unknown unit, absurd values: do not guess
    ├── Refused                        65   a move that the rules do not allow
    ├── StoreError                     74   the data folder or the database
    └── AlertNotSent                   75   ``permanent`` means: stop trying and say so

A message says what is wrong; a hint says what to do. Bugs are not caught here.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "AlertNotSent",
    "CurecastError",
    "InputError",
    "JobError",
    "OutOfRange",
    "Problem",
    "ReadingsError",
    "Refused",
    "StoreError",
    "TwoReadings",
    "WeatherError",
    "WeatherUnavailable",
    "WeatherUnusable",
]


class CurecastError(Exception):
    """Root of the tree.

    Parameters
    ----------
    message : str
        What is wrong, in one sentence.
    hint : str
        What to do about it.
    """

    exit_code = 70

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True)
class Problem:
    """One mistake in a job file: where it stands, what is wrong, what to do."""

    key: str
    message: str
    line: int | None = None
    hint: str = ""


class InputError(CurecastError):
    """Something that a person wrote cannot be used."""

    exit_code = 65


class JobError(InputError):
    """The job file is wrong; ``problems`` holds every mistake at once."""

    def __init__(self, message: str, problems: tuple[Problem, ...] = (), hint: str = "") -> None:
        super().__init__(message, hint)
        self.problems = problems


class ReadingsError(InputError):
    """A reading, or a line of a logger's file, cannot be used."""


class TwoReadings(ReadingsError):
    """A logger's file could be meant in several ways.

    ``option`` is the one of ``curecast log`` that settles it, ``choices`` what may stand after it.
    """

    def __init__(self, message: str, option: str, choices: tuple[str, ...]) -> None:
        quoted = [f'"{choice}"' if " " in choice else choice for choice in choices]
        said = " or ".join(f"--{option} {choice}" for choice in quoted)
        super().__init__(message, f"repeat it with {said}")
        self.option = option
        self.choices = choices


class OutOfRange(InputError):
    """A formula was asked to go beyond the range that its source states."""


class Refused(InputError):
    """The rules do not allow this move."""


class WeatherError(CurecastError):
    """Weather is not to be had, or not to be trusted."""


class WeatherUnavailable(WeatherError):
    """Network, time-out or a service that is down: trying again may help."""

    exit_code = 69


class WeatherUnusable(WeatherError):
    """A payload with gaps, unknown units or absurd values: never guessed at."""

    exit_code = 65


class StoreError(CurecastError):
    """The data folder or the database cannot be used."""

    exit_code = 74


class AlertNotSent(CurecastError):
    """A channel did not take a message.

    ``permanent`` stops the retries; ``stops`` (permanent too) says that the receiver refuses
    this address for good, so that nothing else is tried there; ``maybe_arrived`` says that
    nobody knows whether it arrived all the same, so that the next try calls itself a repeat.
    """

    exit_code = 75

    def __init__(
        self,
        message: str,
        hint: str = "",
        *,
        permanent: bool = False,
        maybe_arrived: bool = False,
        stops: bool = False,
    ) -> None:
        super().__init__(message, hint)
        self.permanent = permanent or stops
        self.stops = stops
        self.maybe_arrived = maybe_arrived
