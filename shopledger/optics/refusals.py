"""What optics refuses: each error carries its fields and says what was given, what is allowed and what to do."""

from __future__ import annotations

import math

from shopledger.errors import OpticsError


def _number(value: object, unit: str = "") -> str:
    """Write a number as short as it can be, with its unit."""
    shown = f"{value:.6g}" if isinstance(value, float) else str(value)
    return f"{shown} {unit}".rstrip()


class OutOfRangeError(OpticsError):
    """A quantity lies outside what can be."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    hint: str = "Check the digits, the sign and the decimal point."

    def __str__(self) -> str:
        allowed = f"{_number(self.low)} to {_number(self.high, self.unit)}"
        return f"{self.name} is {_number(self.value, self.unit)}; allowed is {allowed}. {self.hint}"


class NotationError(OpticsError):
    """A text is no lens value."""

    text: str
    reason: str
    hint: str
    sentence = "'{text}' cannot be read: {reason}. {hint}"


class PointMissingError(NotationError):
    """A whole number may have lost its point; each way of reading it is given, alone and in its line."""

    numbers: tuple[str, ...]
    lines: tuple[str, ...]


class IncompleteError(OpticsError):
    """A value that the work needs is missing, or stands where it has no meaning."""

    field: str
    reason: str
    hint: str
    sentence = "{field}: {reason}. {hint}"


class TraceError(OpticsError):
    """A set of radii is no lens shape, or cannot be used in this way."""

    reason: str
    hint: str
    sentence = "the trace cannot be used: {reason}. {hint}"


class BlankTooSmallError(OpticsError):
    """The uncut lens does not cover the shape where its optical centre must stand."""

    blank: float
    needed: float
    angle: float
    sentence = (
        "a blank of {blank:.1f} mm is too small: the shape needs {needed:.1f} mm, most at {angle:.0f} degrees. "
        "Order a larger blank, a decentred one, or choose a smaller frame."
    )


class ImpossibleLensError(OpticsError):
    """A lens would have no glass at a place, or a surface would end before it reaches the edge."""

    reason: str
    angle: float
    thickness: float
    centre_needed: float
    hint: str = "Choose a flatter curve, a higher index or a smaller shape."

    def __str__(self) -> str:
        said = f"this lens cannot be made: {self.reason} at {self.angle:.0f} degrees"
        if math.isfinite(self.thickness):
            said += f" (edge {self.thickness:.2f} mm)"
        if math.isfinite(self.centre_needed):
            return f"{said}. A centre thickness of {self.centre_needed:.2f} mm would do."
        return f"{said}. {self.hint}"


def within(name: str, value: float, low: float, high: float, unit: str, hint: str = OutOfRangeError.hint) -> float:
    """Give the value as a float when it is a finite number from low to high.

    Parameters
    ----------
    name : str
        What the number is, for the refusal.
    value : float
        The number. [any]
    low : float
        The least that is allowed. [any]
    high : float
        The most that is allowed. [any]
    unit : str
        The unit of all three, for the refusal.
    hint : str
        What to do about it, where the usual advice is not the best.

    Returns
    -------
    float
        The same number; zero is always plus zero. [any]

    Raises
    ------
    OutOfRangeError
        If it is no number, not finite, or outside.

    References
    ----------
    [definition]_
    """
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not math.isfinite(value) or not low <= value <= high:
        raise OutOfRangeError(name, value, low, high, unit, hint)
    return float(value) + 0.0
