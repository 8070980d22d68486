"""Statements in camt.053: every version by local names, signs as they are said, hostile files refused whole.

The check value is worked out by hand: 1,000.00 with 1,234.50 in and 95.00 out is 2,139.50.
"""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.exchange.camt_file import read_camt
from shopledger.exchange.refusals import FileRefusedError
from shopledger.ledger.books.statements import StatedAccount, StatedBalance, StatedLine

FILE = "january.xml"


def amount(value: str, way: str) -> str:
    """Give an amount with its way."""
    return f'<Amt Ccy="USD">{value}</Amt><CdtDbtInd>{way}</CdtDbtInd>'


def balance(kind: str, value: str, day: str) -> str:
    """Give a balance."""
    code = f"<Tp><CdOrPrtry><Cd>{kind}</Cd></CdOrPrtry></Tp>"
    return f"<Bal>{code}{amount(value, 'CRDT')}<Dt><Dt>{day}</Dt></Dt></Bal>"


def entry(value: str, way: str, day: str, ref: str, text: str, status: str = "<Cd>BOOK</Cd>", more: str = "") -> str:
    """Give one line."""
    told = f"<NtryDtls><TxDtls>{more}<RmtInf><Ustrd>{text}</Ustrd></RmtInf></TxDtls></NtryDtls>"
    booked = f"<Sts>{status}</Sts><BookgDt><Dt>{day}</Dt></BookgDt><AcctSvcrRef>{ref}</AcctSvcrRef>"
    return f"<Ntry>{amount(value, way)}{booked}{told}</Ntry>"


def camt(*entries: str, closing: str = "2139.50", version: str = "08", account: str = "000012345678") -> str:
    """Give a whole file."""
    name = f"urn:iso:std:iso:20022:tech:xsd:camt.053.001.{version}"
    days = "<FrToDt><FrDtTm>2027-01-01T00:00:00</FrDtTm><ToDtTm>2027-01-31T23:59:59</ToDtTm></FrToDt>"
    own = f"<Acct><Id><Othr><Id>{account}</Id></Othr></Id></Acct>"
    both = balance("OPBD", "1000.00", "2027-01-01") + balance("CLBD", closing, "2027-01-31")
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><Document xmlns="{name}"><BkToCstmrStmt><GrpHdr/>'
        f"<Stmt><Id>1</Id>{days}{own}{both}{''.join(entries)}</Stmt></BkToCstmrStmt></Document>"
    )


CARD = entry("1234.50", "CRDT", "2027-01-04", "A1", "CARD SETTLEMENT")
CHECK = entry("95.00", "DBIT", "2027-01-20", "A2", "CHECK", more="<Refs><ChqNb>1041</ChqNb></Refs>")


def read(text: str | bytes) -> StatedAccount:
    """Read a file with one statement."""
    (found,) = read_camt(text if isinstance(text, bytes) else text.encode(), FILE)
    return found


@pytest.mark.parametrize("version", ["02", "04", "08", "13"])
def test_every_version_is_read_by_local_names(version: str) -> None:
    """Lines with their signs, both balances, the days, four digits of the account."""
    found = read(camt(CARD, CHECK, version=version))
    assert found.lines == (
        StatedLine(date(2027, 1, 4), 123_450, "CARD SETTLEMENT", "A1"),
        StatedLine(date(2027, 1, 20), -9_500, "CHECK", "A2", "1041"),
    )
    assert found.opening == StatedBalance(date(2027, 1, 1), 100_000)
    assert found.closing == StatedBalance(date(2027, 1, 31), 213_950)
    assert (found.span, found.ending) == ((date(2027, 1, 1), date(2027, 1, 31)), "5678")


def test_prefixes_and_older_words_are_read() -> None:
    """A name before each element, the state as plain text, a time in the place of a day."""
    text = camt(CARD, CHECK).replace("<Sts><Cd>BOOK</Cd></Sts>", "<Sts>BOOK</Sts>")
    text = text.replace("<BookgDt><Dt>2027-01-04</Dt>", "<BookgDt><DtTm>2027-01-04T23:30:00-05:00</DtTm>")
    assert read(text) == read(camt(CARD, CHECK))
    named = text.replace("<", "<c:").replace("<c:/", "</c:").replace("<c:?", "<?").replace("xmlns=", "xmlns:c=")
    assert read(named) == read(camt(CARD, CHECK))


def test_what_is_not_booked_is_left_out() -> None:
    """It is said, and may still change."""
    waiting = entry("5.00", "DBIT", "2027-01-31", "A3", "HELD", "<Cd>PDNG</Cd>")
    found = read(camt(CARD, CHECK, waiting))
    assert (len(found.lines), found.notes) == (2, ("Lines that are not booked yet were left out.",))


def test_a_reversal_is_what_it_says() -> None:
    """The way is the net effect already, whether it takes back another or not."""
    back = entry("95.00", "CRDT", "2027-01-21", "A3", "RETURNED").replace("<Sts>", "<RvslInd>true</RvslInd><Sts>")
    assert [line.amount for line in read(camt(CARD, CHECK, back, closing="2234.50")).lines] == [123_450, -9_500, 9_500]


def test_lines_that_do_not_lead_to_the_last_balance_are_refused() -> None:
    """One is missing."""
    with pytest.raises(FileRefusedError, match=r"to 2,234\.50, and it says 2,139\.50\. Lines are missing"):
        read(camt(CARD))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (camt(CARD, CHECK)[:-30], "it is damaged, or stops in the middle"),
        (camt(CARD, CHECK).replace("1234.50", "12.345"), "'12.345' is no amount"),
        (camt(CARD, CHECK).replace("1234.50", "-5.00"), "'-5.00' is no amount"),
        (camt(CARD, CHECK).replace("1234.50", "NaN"), "'NaN' is no amount"),
        (camt(CARD, CHECK).replace("DBIT", "BOTH"), "'BOTH' does not say whether it came in"),
        (camt(CARD, CHECK).replace('"USD">95', '"EUR">95'), "it is in EUR"),
        (camt(CARD, CHECK).replace("2027-01-20", "2027-02-30"), "no day on which it was booked"),
        (camt(CARD, CHECK).replace("2027-01-31</Dt>", "</Dt>"), "a balance of it: it has no day"),
        ("<Document><BkToCstmrStmt></BkToCstmrStmt></Document>", "holds no statement"),
        (f'<!DOCTYPE a [<!ENTITY b "c">]>{camt(CARD, CHECK).partition("?>")[2]}', "declares a document type"),
        (f'<!DOCTYPE a SYSTEM "http://127.0.0.1/a">{camt(CARD).partition("?>")[2]}', "declares a document type"),
        ("<a>" * 100_000, "stand in one another without end"),
        (camt(CARD.replace("CARD SETTLEMENT", "x" * 20_001), CHECK), "more than 20,000 letters"),
        (camt(CARD.replace("CARD SETTLEMENT", "&b;"), CHECK), "is damaged"),
        ("", "is damaged, or stops"),
        (camt(CARD, CHECK).replace("UTF-8", "TF-8"), "in letters that are not known here"),
    ],
)
def test_what_is_cut_hostile_or_wrong_is_refused_whole(text: str, said: str) -> None:
    """With the line, and what to do."""
    with pytest.raises(FileRefusedError, match=said):
        read(text)


def test_more_lines_than_a_statement_has_are_refused() -> None:
    """Fifty thousand lines are many years of a shop's account."""
    with pytest.raises(FileRefusedError, match="more than 50,000 lines"):
        read(camt("<Ntry></Ntry>" * 50_001))
