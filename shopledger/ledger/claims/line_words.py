"""What a charge is, in words that a stranger understands, before what the shop calls it.

A clerk at a plan knows no names of lenses: `Progressive prescription lens, right – Even progressive` says both. What is
made without a prescription, and a frame sold alone, is never called prescription.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shopledger.ledger.catalogue import Design, TaxCategory
from shopledger.ledger.claims.code_picker import BALANCE, TINT, UNCLASSIFIED
from shopledger.ledger.claims.code_table import CODES
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Charge, OrderLine

BETWEEN: Final = " – "
"""Parts what a charge is from what the shop calls it."""
_SHORTER: Final = {TINT: "tint"}
"""Words for a code whose published ones say more of other codes than of the goods."""


def is_eyewear(line: OrderLine) -> bool:
    """Tell whether a line is a part of glasses that are made to a prescription."""
    return line.pair is not None and line.tax_category.whole is TaxCategory.PRESCRIPTION_EYEWEAR


def charge_words(line: OrderLine, charge: Charge, design: Design | None) -> str:
    """Say what one charge of a line is, and then what the shop calls it; `design` is that of the line's lens.

    The side stands in it as RT or LT (HCPCS Level II modifiers) where there is no code beside which to put them.
    """
    words = BETWEEN.join(part for part in _parts(line, charge, design) if part)
    if line.kind is LineKind.ACCESSORY and line.quantity > 1:
        words = f"{words} (quantity {line.quantity})"
    return f"{words} ({charge.modifier})" if charge.modifier and not charge.code else words


def _parts(line: OrderLine, charge: Charge, design: Design | None) -> Iterator[str]:
    """Give what it is and what the shop calls it; once where both say the same."""
    called = _called(charge)
    if line.kind is LineKind.LENSES:
        yield _sided(_lens(line, charge, design), charge)
        yield _share(line, charge, called)
        return
    what = _frame(line) if line.kind is LineKind.FRAME else _by_code(charge.code)
    if not what or what.casefold() in called.casefold():
        yield _sided(called, charge)
        return
    yield _sided(what, charge)
    yield called


def _called(charge: Charge) -> str:
    """Give the shop's own name, without the side that stands behind it."""
    return charge.description.removesuffix(f", {charge.side.value} lens") if charge.side else charge.description


def _sided(what: str, charge: Charge) -> str:
    if charge.side is None:
        return what
    side = charge.side.value
    return f"{what}, {side}" if what.endswith("lens") else f"{what}, {side} lens"


def _frame(line: OrderLine) -> str:
    if line.pair is None:
        return "Frame without lenses"
    return "Prescription frame" if is_eyewear(line) else "Frame"


def _lens(line: OrderLine, charge: Charge, design: Design | None) -> str:
    if charge.code == BALANCE:
        return "Balance lens"
    kind = [design.value] if design else []
    kind += ["prescription"] if is_eyewear(line) else []
    return _capital(" ".join([*kind, "lens"]))


def _share(line: OrderLine, charge: Charge, called: str) -> str:
    """Say which share of a lens's price a charge is, where it was split; the base comes before what is added to it."""
    of_lens = [each for each in line.charges if each.side is charge.side]
    if len(of_lens) < 2:
        return called
    return f"{called}, base lens" if of_lens[0] == charge else f"{called[:1].lower()}{called[1:]}, added to the base"


def _by_code(code: str) -> str:
    """Say what the published text calls an option; nothing for a code that may mean anything."""
    if not code or code in UNCLASSIFIED:
        return ""
    return _capital(_SHORTER.get(code, CODES[code].description))


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
