"""Lens powers as text: read the many ways people write them, write them in one way."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence

from shopledger.optics.eye_reader import EYE_NAMES, ZERO_WORDS, both_of, eye_of, prism_of
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.prism import Base, Prism, PrismVector, resolve
from shopledger.optics.refusals import NotationError
from shopledger.optics.sides import Side
from shopledger.optics.tokens import Kind, Token, plain, tokens_of
from shopledger.optics.written_numbers import axis_of, number_of

_BASE_LETTERS = {Base.IN: "BI", Base.OUT: "BO", Base.UP: "BU", Base.DOWN: "BD"}
_AXIS_MARKS = frozenset({"x", "ax", "axis", "@", "*", "°", "deg", "degree", "degrees"})
# A number ends where its digits end, so that no digit of one is taken for the start of the next.
_NUMBER = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?![0-9.])"


def read_dioptres(text: str, *, signed: bool = False) -> float:
    """Read a power such as `-2.50`, `+.25`, `2`, `pl` or `-1.12`; both spellings of an eighth are the eighth itself.

    Parameters
    ----------
    text : str
        As typed.
    signed : bool
        Whether plus or minus must be written, unless the value is zero.

    Returns
    -------
    float
        The power. [D]

    Raises
    ------
    NotationError
        If the text is no power, or lacks its sign or its decimal point.

    References
    ----------
    [common_practice]_ spelling of eighths
    """
    bare = plain(text)
    tokens = tokens_of(bare)
    if len(tokens) == 1 and tokens[0].word in ZERO_WORDS:
        return 0.0
    if not tokens or tokens[0].kind is not Kind.NUMBER or [each.word for each in tokens[1:]] not in ([], ["d"]):
        raise _no_single_power(text, tokens)
    (number, *_) = tokens
    value = number_of(bare, number, calculated=True)
    if signed and value and not number.sign:
        hint = f"Write +{value:.2f} or -{value:.2f}."
        raise NotationError(text, "the sign is missing", hint)
    return value


def _no_single_power(text: str, tokens: Sequence[Token]) -> NotationError:
    """Say why a text is not one power: it names an eye, it is a whole line, or it is nothing of the kind."""
    example = "Write it like -2.50 or +1.25."
    numbers = [token for token in tokens if token.kind is Kind.NUMBER]
    named = [token.text for token in tokens if token.word in EYE_NAMES]
    if named and numbers:
        return NotationError(
            text, "one power is wanted, without the name of an eye", f"Leave {named[0]} out. {example}"
        )
    if len(numbers) > 1:
        hint = f"Give cylinder and axis where they are asked for. {example}"
        return NotationError(text, "one power is wanted, and here are several numbers", hint)
    return NotationError(text, "it is no power in dioptres", example)


def read_axis(text: str) -> int:
    """Read an axis such as `090`, `90` or `x 180`.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    int
        Axis from 1 to 180. [degrees]

    Raises
    ------
    NotationError
        If it is no whole number from 1 to 180; for 0 it says to write 180.

    References
    ----------
    [iso_8429]_ scope
    """
    tokens = [each for each in tokens_of(plain(text)) if each.word not in _AXIS_MARKS]
    if len(tokens) != 1 or tokens[0].kind is not Kind.NUMBER:
        raise NotationError(text, "an axis is a whole number of degrees", "Write it from 1 to 180, as in 090.")
    return axis_of(tokens[0])


def read_prism(text: str) -> Prism:
    """Read one prism such as `2 BU` or `1.5 base in`.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    Prism
        Amount and base. [prism dioptres]

    Raises
    ------
    NotationError
        If it is no prism with a base.
    OutOfRangeError
        If the amount is out of range.

    References
    ----------
    [nfos_12]_ base notation
    """
    prism = prism_of(text)
    if prism is None:
        raise NotationError(text, "it is no prism with a base", "Write it like 2.00 BU (BI, BO, BU or BD).")
    return prism


def read_eye(text: str, side: Side | None = None) -> EyePrescription:
    """Read what is written for one eye, such as `-2.50 -1.25 x 090 add 2.00 2 BU`, `+1.00 DS`, `pl` or `balance`.

    Parameters
    ----------
    text : str
        Sphere, cylinder, axis, add and prism as typed; plus and minus must be written.
    side : Side, optional
        The eye that it is given for; a line that is marked for another is refused.

    Returns
    -------
    EyePrescription
        The same as values; a plain `balance` has no power. [D]

    Raises
    ------
    NotationError
        If a part is not understood, or a sign or the axis is missing.
    OutOfRangeError
        If a value cannot be.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ order of the parts
    """
    return eye_of(text, side)


def read_eyes(text: str) -> Prescription:
    """Read both eyes from one line, such as `OD -2.50 DS OS -2.25 DS add 2.00 OU` or `OU plano`.

    Parameters
    ----------
    text : str
        Each eye's name before its powers.

    Returns
    -------
    Prescription
        The same as values. [D]

    Raises
    ------
    NotationError
        If a part is not understood, an eye is missing, or it is not said for which eyes an add is.
    OutOfRangeError
        If a value cannot be.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ names of the eyes
    """
    return both_of(text)


def read_power(text: str) -> SphereCylinder:
    """Read a power alone, such as `-2.50 -1.25 x 090`.

    Parameters
    ----------
    text : str
        Sphere, cylinder and axis as typed.

    Returns
    -------
    SphereCylinder
        The power, in the form that was written. [D]

    Raises
    ------
    NotationError
        If it is no power, or more than a power.
    OutOfRangeError
        If a value cannot be.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ order of the parts
    """
    eye = read_eye(text)
    if eye.balance or eye.prism or eye.add is not None:
        raise NotationError(text, "only a power is wanted here", "Leave out add, prism and balance.")
    return eye.power


def write_dioptres(power: float) -> str:
    """Write a power with its sign and two decimals; eighths are cut, as in `+0.12` and `-0.37`.

    Parameters
    ----------
    power : float
        The power. [D]

    Returns
    -------
    str
        Such as `+0.25`, `-2.50` or `0.00`.

    References
    ----------
    [common_practice]_ sign and two decimals
    """
    eighths = abs(power) * 8
    size = math.floor(eighths * 12.5) / 100 if eighths == int(eighths) else round(abs(power), 2)
    if size == 0:
        return "0.00"
    return f"{'-' if power < 0 else '+'}{size:.2f}"


def write_power(power: SphereCylinder) -> str:
    """Write a power in the one form used everywhere, in the cylinder form that it has.

    Parameters
    ----------
    power : SphereCylinder
        The power. [D]

    Returns
    -------
    str
        Such as `-2.50 -1.25 x 090`, `+1.00 DS`, `plano` or `plano -0.50 x 180`.

    References
    ----------
    [common_practice]_ axis with three digits
    """
    sphere = write_dioptres(power.sphere)
    cylinder = write_dioptres(power.cylinder)
    written = "plano" if sphere == "0.00" else sphere
    if power.axis is None or cylinder == "0.00":
        return written if written == "plano" else f"{written} DS"
    return f"{written} {cylinder} x {round(power.axis) or 180:03d}"


def write_prism(prism: Prism) -> str:
    """Write one prism, such as `2.00 BU`.

    Parameters
    ----------
    prism : Prism
        Amount and base. [prism dioptres]

    Returns
    -------
    str
        Two decimals and the letters of the base.

    References
    ----------
    [nfos_12]_ base notation
    """
    return f"{prism.amount:.2f} {_BASE_LETTERS[prism.base]}"


def write_prisms(prisms: Iterable[Prism]) -> str:
    """Write all prism of one eye in the one order used everywhere, such as `2.00 BI, 1.00 BU`.

    Parameters
    ----------
    prisms : iterable of Prism
        Amounts with their bases, in any order. [prism dioptres]

    Returns
    -------
    str
        What lies along the line of the eyes first, then up or down; empty without prism.

    References
    ----------
    [nfos_12]_ base notation; [common_practice]_ for the order
    """
    level_first = sorted(prisms, key=lambda prism: not prism.base.horizontal)
    return ", ".join(map(write_prism, level_first))


def write_resultant(prism: PrismVector, side: Side) -> str:
    """Write prism as one amount with the angle of its base, such as `2.50 at 037`.

    Parameters
    ----------
    prism : PrismVector
        Base in and base up of one eye. [prism dioptres]
    side : Side
        The eye.

    Returns
    -------
    str
        Two decimals, and the base from 000 to 359 counter-clockwise for who faces the wearer.

    References
    ----------
    [iso_8429]_ scope: base angles run from 0 to 360
    """
    if round(prism.amount, 2) == 0:
        return "0.00"
    return f"{prism.amount:.2f} at {round(prism.base_angle(side)) % 360:03d}"


def read_resultant(text: str, side: Side) -> PrismVector:
    """Read prism with the angle of its base, such as `2.5 at 037` or `2.50 @ 37`.

    Parameters
    ----------
    text : str
        As typed.
    side : Side
        The eye, since 0 degrees is in for the right one and out for the left.

    Returns
    -------
    PrismVector
        Base in and base up. [prism dioptres]

    Raises
    ------
    NotationError
        If it is no prism with an angle.
    OutOfRangeError
        If the amount or the angle is out of range.

    References
    ----------
    [iso_8429]_ scope: base angles run from 0 to 360
    """
    found = re.fullmatch(
        rf"({_NUMBER})\s*(?:δ|pd)?\s*(?:at|@|base)\s*({_NUMBER})\s*(?:°|deg(?:rees)?)?", plain(text).lower()
    )
    if found is None:
        raise NotationError(text, "it is no prism with the angle of its base", "Write it like 2.50 at 037.")
    return resolve(float(found[1]), float(found[2]), side)


def write_eye(eye: EyePrescription) -> str:
    """Write what is prescribed for one eye, such as `-2.50 -1.25 x 090 add 2.00 prism 2.00 BI, 1.00 BU`.

    Parameters
    ----------
    eye : EyePrescription
        Power, add, prism and balance. [D]

    Returns
    -------
    str
        The parts in the order in which they are read, prism in its one order; `balance` alone without a power.

    References
    ----------
    [common_practice]_ order of the parts
    """
    bare = eye.lacks_power
    parts = ["balance"] if eye.balance else []
    parts += [] if bare else [write_power(eye.power)]
    parts += [] if eye.add is None else [f"add {write_dioptres(eye.add).lstrip('+')}"]
    parts += [f"prism {write_prisms(eye.prism)}"] if eye.prism else []
    return " ".join(parts)
