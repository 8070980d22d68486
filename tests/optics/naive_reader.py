"""A second reader of one eye's line, for plain spellings only, written apart: one pattern after another."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

_BASES = {"BI": ("h", 1), "BO": ("h", -1), "BU": ("v", 1), "BD": ("v", -1)}


class Naive(NamedTuple):
    """What a line says, in decimals; None for what it leaves out."""

    sphere: Decimal = Decimal(0)
    cylinder: Decimal = Decimal(0)
    axis: int | None = None
    add: Decimal | None = None
    prisms: frozenset[tuple[str, Decimal]] = frozenset()
    balance: bool = False


_EYE = r"(?:(?:OD|OU|R:) )?"
_AXIS = r"(?: (?:x|@|axis)){0,2} (?P<axis>\d{3})(?: deg)?"
_POWER = re.compile(
    r"(?:sph )?(?P<sphere>plano|[+-]\d+\.\d\d|0\.00)(?: (?:DS|sph))?"
    rf"(?: (?:cyl )?(?P<cylinder>[+-]\d+\.\d\d)(?: (?:DC|cyl))?{_AXIS}"
    rf"| (?:cyl )?[+-]?0\.00(?: (?:DC|cyl))?(?:{_AXIS.replace('P<axis>', ':')})?)? "
)
_REST = (
    (re.compile(r"add (?:OU |OD )?(?P<add>[+]?\d+\.\d\d)(?: OU| OD)? "), "add"),
    (re.compile(r"(?P<add>[+]?\d+\.\d\d) add(?: OU| OD)? "), "add"),
    (re.compile(r"(?:prism )?(?P<amount>\d+\.\d\d) (?:prism )?(?P<base>B[IOUD]) "), "prism"),
    (re.compile(r"(?:prism )?(?P<base>B[IOUD]) (?:prism )?(?P<amount>\d+\.\d\d) (?:prism )?"), "prism"),
    (re.compile(r"balance "), "balance"),
)


def read_naively(line: str) -> Naive | None:
    """Read a line of pieces with one blank between; None where it is no prescription to this reader."""
    line = "".join(f"{piece} " for piece in line.split() if piece != "/")
    line = re.sub(f"^{_EYE}", "", line)
    balance = line.startswith("balance ")
    line = line.removeprefix("balance ")
    power = _POWER.match(line)
    found = _rest(line[power.end() :], _powered(power, balance=balance)) if power else None
    return _rest(line, Naive(balance=True)) if found is None and balance else found


def _powered(power: re.Match[str], *, balance: bool) -> Naive:
    sphere = Decimal(0) if power["sphere"] == "plano" else Decimal(power["sphere"])
    cylinder = Decimal(power["cylinder"] or 0)
    return Naive(sphere, cylinder, int(power["axis"]) if power["axis"] and cylinder else None, balance=balance)


def _rest(line: str, found: Naive) -> Naive | None:
    adds: list[Decimal] = []
    prisms: list[tuple[str, Decimal]] = []
    balance = found.balance
    while line:
        for pattern, kind in _REST:
            if match := pattern.match(line):
                line = line[match.end() :]
                if kind == "add":
                    adds.append(Decimal(match["add"]))
                elif kind == "prism":
                    way, sign = _BASES[match["base"]]
                    prisms.append((way, sign * Decimal(match["amount"])))
                else:
                    balance = True
                break
        else:
            return None
    if len(adds) > 1:
        return None
    return found._replace(add=adds[0] if adds else None, prisms=frozenset(prisms), balance=balance)
