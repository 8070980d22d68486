"""Damaged statements: cut at any place they are refused, and no byte in them ends in anything but a sentence."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import ExchangeError
from shopledger.exchange.camt_file import read_camt
from shopledger.exchange.ofx_file import read_ofx
from shopledger.exchange.statement_csv import read_statement_csv
from shopledger.ledger.books.statement_layout import CsvLayout
from tests.exchange.test_camt_file import CARD, CHECK, camt
from tests.exchange.test_statement_csv import PLAIN, ROWS
from tests.statements import SETTLEMENT, ofx, transaction

OFX: Final = ofx(SETTLEMENT, transaction(amount="-10.00", fitid="2", more="<MEMO>A &amp; B")).encode()
CAMT: Final = camt(CARD, CHECK).encode()
CSV: Final = ROWS.encode()
LAYOUTS: Final = (PLAIN, CsvLayout("1", "3", text=("2",), balance="4"))
READERS: Final[tuple[tuple[bytes, Callable[[bytes], object]], ...]] = (
    (OFX, lambda body: read_ofx(body, "x")),
    (CAMT, lambda body: read_camt(body, "x")),
    (CSV, lambda body: read_statement_csv(body, "x", PLAIN)),
    (CSV, lambda body: read_statement_csv(body, "x", LAYOUTS[1])),
)


@pytest.mark.parametrize(("whole", "read"), READERS[:2], ids=["ofx", "camt"])
def test_a_file_cut_at_any_place_is_refused(whole: bytes, read: Callable[[bytes], object]) -> None:
    """However little is missing: the end is not there."""
    read(whole)
    taken = []
    for place in range(len(whole)):
        with suppress(ExchangeError):
            read(whole[:place])
            taken.append(whole[:place])
    assert taken == []


@pytest.mark.parametrize(("whole", "read"), READERS, ids=["ofx", "camt", "csv", "csv by number"])
@given(data=st.data())
def test_no_byte_ends_in_anything_but_a_sentence(
    whole: bytes, read: Callable[[bytes], object], data: st.DataObject
) -> None:
    """Bytes put in, changed, taken out and doubled: the file is read or refused."""
    body = bytearray(whole)
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(body) - 1))
        some = data.draw(st.one_of(st.binary(max_size=4), st.sampled_from([b"<", b">", b"&", b'"', b",", b"\0", b"-"])))
        length = data.draw(st.integers(0, 30))
        body[place : place + length] = some
        if not body:
            return
    with suppress(ExchangeError):
        read(bytes(body))


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    """Whatever a file holds."""
    for _, read in READERS:
        with suppress(ExchangeError):
            read(body)
