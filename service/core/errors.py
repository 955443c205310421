"""What can go wrong, without any HTTP: ``http_errors.py`` gives each its status.

WadebookError
├── SettingsError         the environment is set wrongly; the service does not start
├── Unauthenticated       no key, or one that is not (or no longer) good
├── Forbidden             a good key whose role may not do this
├── NotFound              no such thing, or none that this caller may know of
├── Conflict              the same id already stands for something else
├── PreconditionRequired  a change that does not say which version it changes
├── PreconditionFailed    a change of a version that stands no longer
├── NotNow                too much of this kind of work is being done at this moment
├── BadQuery              a query parameter that is unknown or cannot be read
└── Invalid               a body that breaks rules, with one FieldError for each
"""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FieldError:
    """One broken rule: a JSON pointer into the body (RFC 6901) and what to do about it."""

    pointer: str
    message: str


class WadebookError(Exception):
    """Base of all expected errors. ``message`` is meant for the person who called."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class SettingsError(WadebookError):
    """The environment is set wrongly."""


class Unauthenticated(WadebookError):
    """No key, or not a good one."""


class Forbidden(WadebookError):
    """The key's role does not allow this."""


class NotFound(WadebookError):
    """Nothing there that this caller may know of."""


class Conflict(WadebookError):
    """The id already stands for something else."""


class PreconditionRequired(WadebookError):
    """The change does not say which version it changes."""


class NotNow(WadebookError):
    """The same request may do in a while; until then others come first."""


class PreconditionFailed(WadebookError):
    """What was to be changed has changed since the caller saw it."""


class BadQuery(WadebookError):
    """A query parameter is unknown or cannot be read."""


class Invalid(WadebookError):
    """The body breaks rules; ``errors`` holds all of them."""

    def __init__(self, errors: Sequence[FieldError]) -> None:
        super().__init__("The body breaks the rules named in errors; nothing was stored.")
        self.errors = tuple(errors)
