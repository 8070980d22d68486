"""What cannot be read of what was typed in parts: the part that is meant, and why."""

from __future__ import annotations

from shopledger.errors import OpticsError


class EyePartError(OpticsError):
    """What was typed for one eye, part by part, is no power."""

    field: str
    """The eye and the part that is meant, such as `right.axis`."""
    said: str
    sentence = "{said}"
