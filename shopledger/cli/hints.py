"""What can be answered where there is no list to pick from: one sentence for each kind of value."""

from __future__ import annotations

from typing import Any, Final

import click

from shopledger.cli.params import (
    ADD,
    AMOUNT,
    AXIS,
    DAY,
    EIN,
    MM,
    MONTH,
    NEAR_PD,
    NPI,
    NUMBER,
    PAIR_PRICE,
    PERIOD,
    POWER,
    PRISM,
    RATE,
    RX,
    STATE,
    TRACKING,
    ZIP,
)

HINTS: Final[dict[int, str]] = {
    id(kind): words
    for kind, words in (
        (AMOUNT, "Dollars and cents, as in 180 or 12.50."),
        (PAIR_PRICE, "Dollars and cents for the pair, as in 80, or for one lens, as in '40 each'."),
        (RATE, "A percentage, as in 7 or 7.25."),
        (POWER, "A power with its sign, as in -2.50."),
        (ADD, "An addition, as in 2.00."),
        (AXIS, "Whole degrees from 1 to 180."),
        (PRISM, "Prism with its base, as in '2 BU'."),
        (RX, "All that is written for the eye, as in '-2.50 -1.25 x 090 add 2.00', or '-2.25 DS'."),
        (DAY, "A day, as in 2026-03-02 or 03/02/2026."),
        (MM, "A length in mm, as in 31.5."),
        (NEAR_PD, "Millimetres, for both eyes or right and left, as in 60 or 29.5/30."),
        (NUMBER, "A number, as in 1.5."),
        (PERIOD, "A year, month or quarter, or two days, as in 2026, 2026-03 or 2026-Q1."),
        (MONTH, "A month, as in 2026-03."),
        (TRACKING, "The carrier's number of the parcel."),
        (EIN, "Nine digits, as in 12-3456789."),
        (NPI, "Ten digits, as the prescriber's papers give them."),
        (STATE, "Two letters, as in OH."),
        (ZIP, "Five digits, or nine, as in 43002 or 43002-1234."),
    )
}
"""Kinds of value of which each is one, by what it is."""


def hint_of(kind: object) -> str:
    """Say what can be answered for a kind of value; nothing for one that only its question explains."""
    known = HINTS.get(id(kind), "")
    if known or not isinstance(kind, click.ParamType):
        return known
    if isinstance(kind, click.Path):
        return "A path of a file or folder, as you would type it in the shell."
    return {"integer": "A whole number.", "text": ""}.get(_name(kind), f"As in its option: {_name(kind)}.")


def _name(kind: click.ParamType[Any, Any]) -> str:
    return kind.name
