"""Numbers of a prescription as written: what they are worth, and which of them may have lost their point."""

from __future__ import annotations

from shopledger.errors import listed
from shopledger.optics.refusals import NotationError, PointMissingError
from shopledger.optics.tokens import Token, size_of

_DECIMALS = 2
_WHOLE_TURN = 180
_LOST = 100
"""Whole numbers from here on are written without their point and not meant so [D]."""


def number_of(text: str, token: Token, *, eighths: bool = True, calculated: bool = False) -> float:
    """Give a power or an amount of prism with its sign.

    Parameters
    ----------
    text : str
        The whole line, to say how it is written with the point.
    token : Token
        The number in it.
    eighths : bool
        Whether an eighth may be written with its third decimal, as powers are.
    calculated : bool
        Whether it may have any decimals, as a calculated power has.

    Returns
    -------
    float
        Its value. [D]

    Raises
    ------
    NotationError
        If the point seems to be missing, or there are more decimals than are written.
    PointMissingError
        If it is a whole number of two digits, which may have lost its point.

    References
    ----------
    [common_practice]_ whole numbers and decimals
    """
    if token.whole and (len(token.digits) > _DECIMALS or token.size >= _LOST):
        if token.size:
            digits = token.digits.lstrip("0").rjust(_DECIMALS + 1, "0")
            hint = f"Write it like {token.sign}{digits[:-_DECIMALS]}.{digits[-_DECIMALS:]}."
            raise NotationError(token.text, "the decimal point seems to be missing", hint)
    elif ways := ways_of(token):
        lines = tuple(f"{text[: token.start]}{way}{text[token.end :]}" for way in ways)
        reason = f"it has no decimal point and may be {listed(ways)}"
        raise PointMissingError(token.text, reason, "Write it with its point.", ways, lines)
    # A prism of 0.37 is just that; only powers are written in cut eighths.
    size = size_of(token.digits) if eighths else float(token.digits)
    if not calculated and round(size, _DECIMALS) != size and not (eighths and on_step(token.digits)):
        hint = "Write two decimals; eighths may have three." if eighths else "Write two decimals."
        raise NotationError(token.text, "it has more decimals than are written", hint)
    return token.value if eighths else size


def ways_of(token: Token) -> tuple[str, ...]:
    """Give what a whole number may be that seems to have lost its point, as it is written then.

    Parameters
    ----------
    token : Token
        The number.

    Returns
    -------
    (n,) tuple of str
        Such as `+0.25`, `+2.50` and `+25.00`; none for one digit, which is a usual way of writing.

    References
    ----------
    [common_practice]_ steps of a quarter, and their short spellings
    """
    if not token.whole or len(token.digits) == 1 or not token.size:
        return ()
    digits = token.digits
    cut = [f"{digits[:-2] or '0'}.{digits[-2:]}", f"{digits[:-1]}.{digits[-1]}0"]
    found = [each for each in cut if on_step(each)] or cut[1:]
    return tuple(f"{token.sign}{each}" for each in (*found, f"{int(digits)}.00"))


def on_step(text: str) -> bool:
    """Tell whether a number lies on a step in which powers are written: a quarter or an eighth.

    Parameters
    ----------
    text : str
        Its digits, without a sign.

    Returns
    -------
    bool
        Whether it does.

    References
    ----------
    [common_practice]_ steps of powers
    """
    eighths = size_of(text) * 8
    return eighths == int(eighths)


def axis_of(token: Token, least: int = 1) -> int:
    """Give an axis.

    Parameters
    ----------
    token : Token
        The number.
    least : int
        The smallest that may be written: 1, or 0 beside a cylinder of zero. [degrees]

    Returns
    -------
    int
        The axis. [degrees]

    Raises
    ------
    NotationError
        If it is no whole number of degrees up to 180; for 0 it says to write 180.

    References
    ----------
    [iso_8429]_ scope
    """
    digits = token.digits.removesuffix(".")
    if token.sign or not digits.isdigit() or len(digits) > 3:
        raise NotationError(token.text, "an axis is a whole number of degrees", "Write it from 1 to 180, as in 090.")
    axis = int(digits)
    if axis < least:
        raise NotationError(token.text, "standard notation has no axis 0", "Write 180.")
    if axis > _WHOLE_TURN:
        raise NotationError(token.text, "an axis runs from 1 to 180", "Check the digits.")
    return axis
