"""The invented shop's worst week, line by line as typed, with what the owner may be asked and what he may not do.

A check comes back after the parcel left, a card payment is disputed, glasses were entered for the wrong wearer, a frame
is exchanged, lenses are made again for a new prescription, a parcel returns, a payment stood on the wrong order, a rest
is never paid, a customer marries, and an order is given back whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.cli.conftest import ADDRESS, CATALOGUE, LEFT, RIGHT, SHOP_OPTIONS

OUT: Final = ("--into", "{out}")
GOODS: Final = f"""{CATALOGUE.replace("count = 3", "count = 6")}
[[frame]]
code = "LARK-50"
maker = "Thistledown"
model = "Lark"
colour = "bone"
eye_size = 50
bridge = 18
temple = 140
price = "150.00"
cost = "48.00"
count = 2
"""
ODALYS, CHILD, BRAM, CORIN, MAB = "Odalys Fernhollow", "Wren Fernhollow", "Bram Ollerenshaw", "Corin Tarn", "Mab Larch"
NEW_NAME: Final = "Corin Ashdown"
SINGLE: Final = ("--frame", "WREN-52", "--lens", "SV-150", "--pd", "63", "--height", "19")
CHANGED: Final = "-3.00 -1.25 x 090 add 2.00"
"""The right eye's power after the prescriber looked again."""
POST: Final = ("--carrier", "post", "--without-inspection", "shown at the counter")


@dataclass(frozen=True, slots=True)
class Deed:
    """One line, on a day of March 2026; `refused` is what the refusal says, where it must be one."""

    day: int
    words: tuple[str, ...]
    refused: str = ""

    def __str__(self) -> str:
        """Write it as it is typed."""
        return " ".join(self.words)


def _on(day: int, *words: str, refused: str = "") -> Deed:
    return Deed(day, words, refused)


def _prescribed(customer: int, wearer: str, right: str = RIGHT, written: str = "2026-02-20") -> tuple[str, ...]:
    return (
        *("prescription", "add", "--customer", str(customer), "--wearer", wearer, "--prescriber", "Castellane"),
        *("--written", written, "--expires", "2028-02-20", "--right", right, "--left", LEFT),
    )


def _paid(order: int, amount: str, method: str, reference: str = "") -> tuple[str, ...]:
    said = ("--reference", reference) if reference else ()
    return ("payment", "take", str(order), "--amount", amount, "--method", method, *said)


SHOP: Final = (
    _on(2, "setup", *SHOP_OPTIONS),
    _on(2, "catalogue", "load", "{catalogue}"),
    _on(2, "customer", "add", "--name", ODALYS, *ADDRESS, "--phone", "555-0142"),
    _on(2, "wearer", "add", "--customer", "1", "--name", CHILD, "--relationship", "child"),
    *(
        _on(2, "customer", "add", "--name", name, *ADDRESS[:1], f"{number} Tansy Lane", *ADDRESS[2:], "--phone", phone)
        for number, name, phone in ((20, BRAM, "555-0150"), (22, CORIN, "555-0151"), (24, MAB, "555-0152"))
    ),
    _on(2, "prescriber", "add", "--name", "Dr. Imre Castellane"),
    _on(2, *_prescribed(1, ODALYS)),
    _on(2, *_prescribed(1, CHILD)),
    _on(2, *_prescribed(2, BRAM)),
    _on(2, *_prescribed(3, CORIN)),
    _on(2, "supplier", "add", "--name", "Tollgate Lenses"),
)
"""Customers 1 to 4, with a prescription each but the last."""

MONDAY: Final = (
    _on(
        2,
        *("sale", "record", "--customer", "1", "--wearer", ODALYS, "--frame", "WREN-52", "--lens", "PROG"),
        *("--pd-right", "31.5", "--pd-left", "31.5", "--height", "19", "--extra", "AR", "--accessory", "CASE"),
    ),
    _on(2, *_paid(1, "300", "check", "1187")),
    _on(2, *_paid(1, "289.29", "card", "4242")),
    _on(2, "sale", "record", "--customer", "2", "--wearer", BRAM, *SINGLE),
    _on(2, *_paid(2, "186.50", "card", "5151")),
    _on(2, "sale", "record", "--customer", "3", "--wearer", CORIN, *SINGLE),
    _on(2, *_paid(3, "100", "card", "3131")),
    # Meant for the child; an hour later somebody looks at the job sheet.
    _on(2, "sale", "record", "--customer", "1", "--wearer", ODALYS, *SINGLE),
    _on(2, *_paid(4, "186.50", "card", "4242")),
    _on(2, "fix", "job", "4"),
    _on(2, "job", "put-right", "4", "--wearer", "Nobody", "--reason", "for the child", refused="Nobody"),
    _on(2, "job", "put-right", "4", "--wearer", CHILD, "--reason", "for the child", refused="MEASURED-FOR-OTHER"),
    _on(2, *("job", "put-right", "4", "--wearer", CHILD, "--pd", "54", "--height", "17", "--reason", "for the child")),
    _on(2, "job", "inspect", "4", "--right", RIGHT, "--left", LEFT, "--pd", "63", refused="job 5"),
    _on(2, "sale", "record", "--customer", "4", "--accessory", "CASE=2"),
    _on(2, *_paid(5, "32.18", "cash")),
)
"""Orders 1 to 5: 589.29, three of 186.50 and one of 32.18, worked out from the catalogue by hand."""

TUESDAY: Final = (
    _on(3, "sale", "ship", "1", "--line", "4", "--carrier", "post"),
    _on(3, "sale", "ship", "1", "--line", "4", "--carrier", "post", refused="line 4"),
    _on(3, "sale", "ship", "1", *POST),
    _on(3, "sale", "ship", "2", *POST),
    _on(3, "sale", "ship", "4", *POST),
    _on(3, "sale", "ship", "5", "--carrier", "post", "--tracking", "LP-5"),
    _on(3, "receipt", "issue", "1", *OUT),
    _on(3, "receipt", "issue", "2", *OUT),
    _on(3, "receipt", "issue", "4", *OUT),
    _on(3, "receipt", "issue", "5", *OUT),
)
"""Receipts 1 to 4, all paid in full."""

WEDNESDAY: Final = (
    _on(4, "payment", "reverse", "1", "--amount", "10", "--reason", "no funds", refused="sent back whole"),
    _on(4, "payment", "reverse", "1", "--fee", "12", "--charge", "12", "--reason", "not enough funds"),
    _on(4, "payment", "reverse", "1", "--reason", "again", refused="nothing of it stands"),
    _on(4, "payment", "reverse", "3", "--fee", "15", "--reason", "says it was not him"),
    _on(4, "payment", "reverse", "6", "--reason", "bad note", refused="cash"),
    _on(4, "receipt", "issue", "1", "--wearer", ODALYS, *OUT, refused="not paid in full"),
)

THURSDAY: Final = (
    _on(5, "sale", "exchange", "4", "--line", "4", "--for", "LARK-50", "--reason", "too wide", refused="30.00"),
    _on(
        5,
        *("sale", "exchange", "4", "--line", "4", "--for", "LARK-50", "--reason", "too wide"),
        *("--method", "card", "--reference", "4242"),
    ),
    _on(5, "sale", "ship", "4", *POST),
    _on(5, "parcel", "returned", "5", "--reason", "moved"),
    _on(5, "parcel", "returned", "5", "--reason", "moved", refused="came back"),
    _on(5, "sale", "address", "5", "--street", "7 Sorrel Court", "--reason", "moved"),
    _on(5, "parcel", "send-again", "5", "--carrier", "post", "--tracking", "LP-9"),
)

FRIDAY: Final = (
    _on(6, *_prescribed(2, BRAM, CHANGED, "2026-03-05"), "--accept", "ANISOMETROPIA"),
    _on(
        6,
        *("job", "remake", "2", "--because", "prescriber change", "--prescription", "5"),
        *("--only", "right", "--reason", "right eye looked at again"),
    ),
    _on(6, "job", "order-lenses", "7", "--from", "Tollgate", *OUT),
    _on(6, "job", "lenses-arrived", "7"),
    _on(6, "bill", "record", "Tollgate", "--invoice", "T-7", "--job", "7=18.50"),
    _on(6, "sale", "ship", "2", *POST),
    _on(6, "payment", "dispute-won", "3", "--fee", "15", "--reason", "the processor wrote"),
    _on(6, "sale", "record", "--customer", "2", "--accessory", "CASE"),
    _on(6, *_paid(3, "19.34", "card", "5151")),
    _on(6, "payment", "move", "7", "6", "--amount", "50", "--reason", "wrong order", refused="19.34"),
    _on(6, "payment", "move", "7", "6", "--reason", "typed on the wrong order", "--accept", "PAYS-FOR-ANOTHER"),
    _on(6, "sale", "ship", "6", "--carrier", "post"),
)
"""Job 7 is Bram's right lens; order 6 a case of 19.34."""

SATURDAY: Final = (
    _on(7, *_paid(1, "313", "transfer"), refused="312.00"),
    _on(7, *_paid(1, "312", "transfer")),
    _on(7, "sale", "cancel", "3", "--reason", "never paid", "--day", "2026-03-01", refused="2026-03-0"),
    _on(7, "sale", "ship", "3", *POST),
    _on(7, "refund", "give", "3", "--line", "1=150", "--method", "card", "--reason", "x", refused="sale reduce 3"),
    _on(7, "payment", "write-off", "3", "--amount", "90", "--reason", "no answer", refused="86.50"),
    _on(7, "payment", "write-off", "3", "--reason", "no answer to three letters"),
    _on(7, "customer", "change", "3", "--name", NEW_NAME, "--name-from", "2026-03-07"),
    _on(
        7,
        *("refund", "give", "5", "--line", "1", "--line", "2", "--returned", "1=2"),
        *("--method", "cash", "--reason", "did not fit"),
    ),
)

REPLACED: Final = (
    _on(8, "receipt", "replace", "1", "--reason", "a check came back and was paid anew", *OUT),
    _on(8, "receipt", "replace", "3", "--reason", "frame exchanged", *OUT),
    _on(8, "receipt", "replace", "4", "--reason", "given back", *OUT),
    _on(8, "receipt", "issue", "6", *OUT),
    _on(8, "receipt", "issue", "1", "--wearer", "nobody", *OUT),
    _on(8, "receipt", "issue", "3", *OUT, refused="86.50"),
    _on(8, "receipt", "issue", "3", "--not-paid-in-full", *OUT),
    _on(8, "receipt", "replace", "2", "--reason", "made again for a new prescription", *OUT),
)
"""Receipts 5 to 7 and 11 take the place of 1, 3, 4 and 2; 8 is of order 6, 9 of what is nobody's, 10 of order 3."""
CURRENT: Final = {5: 1, 6: 4, 7: 5, 8: 6, 9: 1, 10: 3, 11: 2}
"""The receipts that nothing replaced, each with its order."""
FOR_NOBODY: Final = {7, 8, 9}
"""Those of goods that are the customer's: no plan or account is told of them."""

WEEK: Final = (*SHOP, *MONDAY, *TUESDAY, *WEDNESDAY, *THURSDAY, *FRIDAY, *SATURDAY, *REPLACED)

CARDS: Final = {"2026-03-02": 28929 + 18650 + 10000 + 18650, "2026-03-06": 1934}
"""What the processor saw by card, by day, in cents: the one that was moved once, the disputed one whole."""
CUSTOMERS: Final = {1: (1, 4), 2: (2, 6), 3: (3,), 4: (5,)}
"""The orders of each customer."""
KEPT: Final = {1: 60129, 2: 18650, 3: 10000, 4: 15650, 5: 0, 6: 1934}
"""What the shop keeps of the money of each order: of 1 with 12.00 for the check, of 4 less 30.00, of 5 nothing."""
