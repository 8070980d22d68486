"""What optics refuses: each error carries its fields and says what was given, what is allowed and what to do."""

from __future__ import annotations

import math

from shopledger.errors import OpticsError


def _number(value: object, unit: str) -> str:
    """Write a number as short as it can be, with its unit."""
    shown = f"{value:.6g}" if isinstance(value, float) else str(value)
    return f"{shown} {unit}".rstrip()


class OutOfRangeError(OpticsError):
    """A quantity lies outside what can be."""

    def __init__(self, name: str, value: float, low: float, high: float, unit: str, mend: str = "") -> None:
        super().__init__(name, value, low, high, unit, mend)
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        self.mend = mend or "Check the digits, the sign and the decimal point."

    def __str__(self) -> str:
        """Say it in one line."""
        allowed = f"{_number(self.low, '')} to {_number(self.high, self.unit)}"
        return f"{self.name} is {_number(self.value, self.unit)}; allowed is {allowed}. {self.mend}"


class NotationError(OpticsError):
    """A text is no lens value."""

    def __init__(self, text: str, reason: str, mend: str) -> None:
        super().__init__(text, reason, mend)
        self.text = text
        self.reason = reason
        self.mend = mend

    def __str__(self) -> str:
        """Say it in one line."""
        return f"'{self.text}' cannot be read: {self.reason}. {self.mend}"


class IncompleteError(OpticsError):
    """A value that the work needs is missing, or stands where it has no meaning."""

    def __init__(self, field: str, reason: str, mend: str) -> None:
        super().__init__(field, reason, mend)
        self.field = field
        self.reason = reason
        self.mend = mend

    def __str__(self) -> str:
        """Say it in one line."""
        return f"{self.field}: {self.reason}. {self.mend}"


class TraceError(OpticsError):
    """A set of radii is no lens shape, or cannot be used in this way."""

    def __init__(self, reason: str, mend: str) -> None:
        super().__init__(reason, mend)
        self.reason = reason
        self.mend = mend

    def __str__(self) -> str:
        """Say it in one line."""
        return f"the trace cannot be used: {self.reason}. {self.mend}"


class BlankTooSmallError(OpticsError):
    """The uncut lens does not cover the shape where its optical centre must stand."""

    def __init__(self, blank: float, needed: float, angle: float) -> None:
        super().__init__(blank, needed, angle)
        self.blank = blank
        self.needed = needed
        self.angle = angle

    def __str__(self) -> str:
        """Say it in one line."""
        return (
            f"a blank of {self.blank:.1f} mm is too small: the shape needs {self.needed:.1f} mm, most at "
            f"{self.angle:.0f} degrees. Order a larger blank, a decentred one, or choose a smaller frame."
        )


class ImpossibleLensError(OpticsError):
    """A lens would have no glass at a place, or a surface would end before it reaches the edge."""

    def __init__(self, reason: str, angle: float, thickness: float, centre_needed: float, mend: str = "") -> None:
        super().__init__(reason, angle, thickness, centre_needed, mend)
        self.reason = reason
        self.angle = angle
        self.thickness = thickness
        self.centre_needed = centre_needed
        self.mend = mend

    def __str__(self) -> str:
        """Say it in one line."""
        said = f"this lens cannot be made: {self.reason} at {self.angle:.0f} degrees"
        if math.isfinite(self.thickness):
            said += f" (edge {self.thickness:.2f} mm)"
        if math.isfinite(self.centre_needed):
            return f"{said}. A centre thickness of {self.centre_needed:.2f} mm would do."
        return f"{said}. {self.mend or 'Choose a flatter curve, a higher index or a smaller shape.'}"


def within(name: str, value: float, low: float, high: float, unit: str, mend: str = "") -> float:
    """Give the value as a float when it is a finite number from low to high.

    Parameters
    ----------
    name : str
        What the number is, for the refusal. [-]
    value : float
        The number. [any]
    low : float
        The least that is allowed. [any]
    high : float
        The most that is allowed. [any]
    unit : str
        The unit of all three, for the refusal. [-]
    mend : str
        What to do about it, where the usual advice is not the best. [-]

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
        raise OutOfRangeError(name, value, low, high, unit, mend)
    return float(value) + 0.0
