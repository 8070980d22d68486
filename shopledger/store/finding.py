"""What one field finds: people by words, phone or mail, things by their numbers, parcels by theirs, frames by code.

Each query reads what it compares and no more, and gives the best of what fits; whoever was erased has no words left.
"""

# ruff: noqa: S608 - the queries are made of the words in this file alone

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.finding import MOST_WORDS, Closeness
from shopledger.ledger.things import Thing
from shopledger.ledger.twice import phone_digits
from shopledger.store.customers import digits_in
from shopledger.store.folding import folded
from shopledger.store.lookups import like_part
from shopledger.store.transaction import Area

_RANKS: Final = (Closeness.WHOLE, Closeness.BEGINS, Closeness.WITHIN)
_NAMES: Final = """
SELECT {table}.number, CASE WHEN {column} = :whole THEN 0 WHEN {begins} THEN 1 ELSE 2 END AS rank
FROM {table} WHERE {within} AND {column} <> '' ORDER BY rank, {column}, {table}.number LIMIT :most
"""
# What stands first is quick to compare and lets few through to what is slow; so it is with parcels below.
_CONTACTS: Final = f"""
SELECT number, phone, email FROM customer
WHERE (:phone <> '' AND phone LIKE :spread AND {digits_in("phone")} LIKE :digits)
   OR (:mail <> '' AND lower(email) LIKE :part ESCAPE '\\')
ORDER BY number LIMIT :most
"""
_CUSTOMERS: Final = """
SELECT number, name, city, state, phone, email, erased_on FROM customer WHERE number IN :numbers
"""
_WEARERS: Final = """
SELECT wearer.number, wearer.name, wearer.relationship, wearer.erased_on, wearer.customer_number,
    wearer.folded = customer.folded AS himself, customer.name AS customer
FROM wearer JOIN customer ON customer.number = wearer.customer_number WHERE wearer.number IN :numbers
"""
_SIGNS: Final = "upper(replace(replace(tracking, ' ', ''), '-', ''))"
_TRACKING: Final = f"""
SELECT number, CASE WHEN {_SIGNS} = :signs THEN 0 ELSE 2 END AS rank FROM parcel
WHERE tracking LIKE :spread AND {_SIGNS} LIKE :part ORDER BY rank, number DESC LIMIT :most
"""
_FRAMES: Final = """
SELECT code, maker, model, colour,
    CASE WHEN lower(code) = :whole THEN 0 WHEN lower(code) LIKE :begins ESCAPE '\\' THEN 1 ELSE 2 END AS rank
FROM frame WHERE {within} ORDER BY rank, code LIMIT :most
"""
_FRAME_WORDS: Final = "lower(code || ' ' || maker || ' ' || model || ' ' || colour)"
_THINGS: Final[Mapping[Thing, str]] = {
    Thing.JOB: """
SELECT pair.job_number AS number, sold.number AS order_number, sold.day, customer.name AS customer, frame.code,
    frame.maker, frame.model, frame.colour
FROM order_pair pair JOIN shop_order sold ON sold.number = pair.order_number
JOIN customer ON customer.number = sold.customer_number JOIN frame ON frame.code = pair.frame_code
WHERE pair.job_number IN :numbers
""",
    Thing.ORDER: """
SELECT sold.number, sold.day, customer.name AS customer,
    (SELECT COALESCE(SUM(line.net + line.tax), 0) FROM order_line line WHERE line.order_number = sold.number) AS total
FROM shop_order sold JOIN customer ON customer.number = sold.customer_number WHERE sold.number IN :numbers
""",
    Thing.RECEIPT: """
SELECT receipt.number, receipt.order_number, customer.name AS customer
FROM receipt JOIN shop_order sold ON sold.number = receipt.order_number
JOIN customer ON customer.number = sold.customer_number WHERE receipt.number IN :numbers
""",
    Thing.CUSTOMER: _CUSTOMERS,
    Thing.WEARER: _WEARERS,
    Thing.PARCEL: """
SELECT parcel.number, parcel.order_number, parcel.day, parcel.carrier, parcel.tracking, customer.name AS customer
FROM parcel JOIN shop_order sold ON sold.number = parcel.order_number
JOIN customer ON customer.number = sold.customer_number WHERE parcel.number IN :numbers
""",
}

Found = dict[int, Closeness]
"""Numbers with how well each fits, the best first."""


class Finding(Area):
    """Finds by parts."""

    def people(self, table: str, text: str, most: int) -> Found:
        """Give customers or wearers whose name holds every word, in any order."""
        words = folded(text).split()[:MOST_WORDS]
        if not words:
            return {}
        column = f"{table}.folded"
        within, begins = _each_word(column, words)
        query = _NAMES.format(table=table, column=column, within=within, begins=begins)
        return self._ranked(query, whole=folded(text), most=most, **_parts(words))

    def contacts(self, phone: str, mail: str, most: int) -> Found:
        """Give customers whose phone number holds digits, however it is written, or whose mail address holds a part."""
        if not phone and not mail:
            return {}
        asked = {"phone": phone, "spread": _spread(phone), "digits": f"%{phone}%"}
        rows = self.transaction.asked(_CONTACTS, **asked, mail=mail, part=f"%{like_part(mail)}%", most=most)
        whole = {row.number for row in rows if phone_digits(row.phone) == phone or row.email.lower() == mail}
        return {row.number: Closeness.WHOLE if row.number in whole else Closeness.WITHIN for row in rows}

    def parcels(self, signs: str, most: int) -> Found:
        """Give parcels whose own number at the carrier holds these letters and digits, the newest first."""
        if not signs:
            return {}
        digits = _spread("".join(filter(str.isdigit, signs)))
        return self._ranked(_TRACKING, signs=signs, part=f"%{signs}%", spread=digits, most=most)

    def frames(self, text: str, most: int) -> tuple[tuple[Row[*tuple[Any, ...]], Closeness], ...]:
        """Give frames whose code, maker, model and colour hold every word."""
        words = text.lower().split()[:MOST_WORDS]
        within, _ = _each_word(_FRAME_WORDS, words)
        asked = {"whole": text.lower(), "begins": f"{like_part(text.lower())}%", "most": most}
        rows = self.transaction.asked(
            _FRAMES.format(within=within),
            **asked,
            **{name: value for name, value in _parts(words).items() if name[0] == "w"},
        )
        return tuple((row, _RANKS[row.rank]) for row in rows)

    def told(self, thing: Thing, numbers: Sequence[int]) -> dict[int, Row[*tuple[Any, ...]]]:
        """Give what is said of things with these numbers, of those that there are."""
        if not numbers:
            return {}
        return {int(row.number): row for row in self.transaction.asked(_THINGS[thing], numbers=list(numbers))}

    def _ranked(self, query: str, **asked: object) -> Found:
        return {int(row.number): _RANKS[row.rank] for row in self.transaction.asked(query, **asked)}


def _each_word(column: str, words: Sequence[str]) -> tuple[str, str]:
    """Give the conditions that a text holds every word, and that each begins one of its own."""
    places = range(len(words))
    within = " AND ".join(f"{column} LIKE :within_{place} ESCAPE '\\'" for place in places)
    begins = " AND ".join(
        f"({column} LIKE :first_{place} ESCAPE '\\' OR {column} LIKE :later_{place} ESCAPE '\\')" for place in places
    )
    return within, begins


def _spread(signs: str) -> str:
    """Give the pattern of a text in which these signs stand in this order, whatever is between them."""
    return f"%{'%'.join(signs)}%"


def _parts(words: Sequence[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for place, word in enumerate(map(like_part, words)):
        found |= {f"within_{place}": f"%{word}%", f"first_{place}": f"{word}%", f"later_{place}": f"% {word}%"}
    return found
