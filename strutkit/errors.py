"""Errors of the kit. Each also is the built-in kind that Python users expect.

The text says what is wrong, where, the value with its unit, the limit, and what to do.
"""


class StrutkitError(Exception):
    """Any fault that the kit reports about a door, a file or a request."""


class RecordError(StrutkitError, ValueError):
    """A value that a record (panel, hinge, strut, condition ...) cannot hold."""


class TravelError(StrutkitError, ValueError):
    """A strut that does not fit its mounts somewhere in the travel, or an angle outside it."""


class UnitError(StrutkitError, ValueError):
    """A quantity that cannot be read: no unit, wrong kind of unit, not a number."""


class FileFault(StrutkitError, ValueError):
    """A door file or stock list that cannot be read; lists every fault found."""


class SaveError(StrutkitError, OSError):
    """A file that cannot be written; the former file is left whole."""
