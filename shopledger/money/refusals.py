"""What money refuses: each error names the value, what is allowed and what to type instead."""

from __future__ import annotations

from shopledger.errors import RefusedError


class AmountError(RefusedError):
    """A text or number is no amount of dollars and whole cents."""


class RateError(RefusedError):
    """A text or number is no percentage from 0 to 100."""


class SplitError(RefusedError):
    """An amount cannot be shared out in the way that was asked."""
