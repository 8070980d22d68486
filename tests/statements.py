"""Statements of an invented bank, written as banks write them, for the tests of readers, deeds and commands."""

from __future__ import annotations

from typing import Final

HEADER: Final = (
    "OFXHEADER:100\nDATA:OFXSGML\nVERSION:102\nSECURITY:NONE\nENCODING:USASCII\nCHARSET:1252\nCOMPRESSION:NONE\n"
    "OLDFILEUID:NONE\nNEWFILEUID:NONE\n\n"
)
SIGN_ON: Final = "<SIGNONMSGSRSV1><SONRS><STATUS><CODE>0<SEVERITY>INFO</STATUS></SONRS></SIGNONMSGSRSV1>"
SETTLEMENT: Final = (
    "<STMTTRN><TRNTYPE>CREDIT<DTPOSTED>20270104120000[-5:EST]<TRNAMT>1234.50<FITID>20270104.1<NAME>CARD SETTLEMENT"
    "<MEMO>BATCH 0104</STMTTRN>"
)


def transaction(
    day: str = "20270104",
    amount: str = "1234.50",
    fitid: str = "1",
    name: str = "CARD SETTLEMENT",
    *,
    kind: str = "CREDIT",
    more: str = "",
) -> str:
    """Give one line of a statement in the format of 1.x."""
    source = f"<FITID>{fitid}" if fitid else ""
    return f"<STMTTRN><TRNTYPE>{kind}<DTPOSTED>{day}<TRNAMT>{amount}{source}<NAME>{name}{more}</STMTTRN>"


def ofx(
    *lines: str,
    first: str = "20270101",
    last: str = "20270131",
    balance: str = "2149.03",
    balance_day: str = "20270131",
    account: str = "000012345678",
    header: str = HEADER,
) -> str:
    """Give a whole file in the format of 1.x; without a balance where that is empty."""
    told = f"<LEDGERBAL><BALAMT>{balance}<DTASOF>{balance_day}</LEDGERBAL>" if balance else ""
    return (
        f"{header}<OFX>{SIGN_ON}<BANKMSGSRSV1><STMTTRNRS><TRNUID>0<STATUS><CODE>0<SEVERITY>INFO</STATUS><STMTRS>"
        f"<CURDEF>USD<BANKACCTFROM><BANKID>000000000<ACCTID>{account}<ACCTTYPE>CHECKING</BANKACCTFROM>"
        f"<BANKTRANLIST><DTSTART>{first}<DTEND>{last}{''.join(lines)}</BANKTRANLIST>{told}"
        "</STMTRS></STMTTRNRS></BANKMSGSRSV1></OFX>"
    )
