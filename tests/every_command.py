"""A shop in which everything happened once, and for each command that writes a line that writes there.

The lines are held against the program's own commands: a new one belongs here, or among those that only look.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.cli.conftest import ADDRESS, LEFT, PAIR, RIGHT, SHOP_OPTIONS, UNSEEN
from tests.processor_reports import COLUMNS

OUT: Final = ("--into", "out")
TOTAL: Final = "186.50"
"""What a plain pair comes to: a frame of 180.00 with its lenses included, and 6.50 for shipping."""
INSPECTED: Final = ("--right", "-2.50 -1.25 x 090", "--left", "-2.25 -1.00 x 085", "--pd", "63", "--height", "19")
KEY: Final = "{key}"
"""Stands for a public key; so `{copy}` for the newest copy, `{older}` for one made elsewhere, `{head}` for the head."""

Words = tuple[str, ...]

BASE: Final[tuple[Words, ...]] = (
    ("setup", *SHOP_OPTIONS),
    ("catalogue", "load", "catalogue.toml"),
    (
        *("frame", "add", "LARK-50", "--maker", "Thistledown", "--model", "Wren", "--colour", "bone"),
        *("--count", "1", "--as", "opening"),
        *("--eye-size", "52", "--bridge", "18", "--temple", "140", "--price", "180", "--cost", "61"),
    ),
    ("customer", "add", "--name", "Odalys Fernhollow", *ADDRESS, "--phone", "555-0142"),
    ("wearer", "add", "--customer", "1", "--name", "Wren Fernhollow", "--relationship", "child"),
    ("prescriber", "add", "--name", "Dr. Imre Castellane"),
    (
        *("prescription", "add", "--customer", "1", "--wearer", "Odalys", "--prescriber", "Castellane"),
        *("--written", "2026-02-20", "--expires", "2028-02-20", "--right", RIGHT, "--left", LEFT),
    ),
    ("supplier", "add", "--name", "Tollgate Frames"),
    ("bill", "record", "Tollgate", "--invoice", "TG-1", "--stock", "CASE=5@4", "--file", "scan.pdf"),
    ("trace", "add", "WREN-52", "trace.txt"),
    ("sale", "record", "--customer", "1", *PAIR, "--pay", TOTAL, "--method", "cash"),
    ("sale", "record", "--customer", "1", *PAIR, "--pay", "20", "--method", "cash", "--accept", "ORDER-TWICE"),
    ("deposit", "take", "1", "30", "--method", "cash"),
    (
        *("spend", "record", "Alder Row", "850", "--category", "rent-of-premises", "--method", "bank"),
        *("--description", "rent", "--receipt", "scan.pdf"),
    ),
    ("money", "contribute", "5000", "--till", "bank"),
    ("money", "contribute", "500", "--till", "cash"),
    ("job", "inspect", "1", *INSPECTED, "--aligned"),
    ("sale", "ship", "1", "--carrier", "post"),
    ("receipt", "issue", "1", "--wearer", "Odalys", *OUT),
    ("job", "inspection-record", "1", *OUT),
    ("job", "order-lenses", "2", "--from", "Tollgate", *OUT),
    ("reorder", "--customer", "1", "--wearer", "Odalys", "--frame", "WREN-52", "--lens", "SV-150", *OUT),
    ("backup", "place", "add", "copies", "--away"),
    ("backup", "make"),
)
"""What happened before, line by line."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line that writes, and what had to happen for it since the shop was as described."""

    words: Words
    before: tuple[Words, ...] = ()
    on: str = "2026-03-02"
    fresh: bool = False
    """Whether there is no ledger before."""
    revision: str = ""
    """To which earlier state the ledger is taken down before."""
    of_before: tuple[int, ...] = ()
    """Orders that count as sold since they were recorded, as all did once; nothing is paid on them."""

    @property
    def name(self) -> str:
        """The words that it begins with, up to its first value."""
        return " ".join(self.words[:4])


def _line(*words: str, before: tuple[Words, ...] = (), on: str = "2026-03-02") -> Line:
    return Line(words, before, on)


_CANCELLED: Final[tuple[Words, ...]] = (
    ("customer", "add", "--name", "Bram Pike", *ADDRESS),
    (
        *("prescription", "add", "--customer", "2", "--wearer", "Bram", "--prescriber", "1"),
        *("--written", "2026-02-20", "--right", RIGHT, "--left", LEFT),
    ),
    ("sale", "record", "--customer", "2", "--wearer", "Bram", *PAIR[2:]),
    ("sale", "cancel", "3", "--reason", "changed his mind"),
    ("wearer", "add", "--customer", "2", "--name", "Lin Pike", "--relationship", "child"),
)
_UNLIKE: Final = ("--accept", "CUSTOMERS-UNLIKE")
_GONE: Final = ("--reason", "asked by letter", "--accept", "ERASED-FOR-GOOD")
_BY_CLOCK: Final = ("--accept", "NOT-YET-BY-CLOCK")
"""A yes to a day that is not today by the computer's clock; who bought nothing is kept until no day."""
_MARCH: Final = (
    *("month", "close", "2026-03", "--accept", "NO-LENS-BILL", "--accept", "TAX-NOT-SET"),
    *("--accept", "NOT-SHIPPED", "--accept", "NOT-PAID"),
)
_BY_CHECK: Final = ("payment", "take", "2", "--amount", "40", "--method", "check")
_DISPUTED: Final[tuple[Words, ...]] = (
    ("payment", "take", "2", "--amount", "40", "--method", "card"),
    ("payment", "reverse", "3", "--fee", "15", "--reason", "says it was not her"),
)
_AT_BANK: Final[tuple[Words, ...]] = (
    ("bank", "account", "Checking", "--ending", "5678"),
    ("bank", "import", "statement.ofx"),
)
"""An account, and a statement of it with a fee of 4.00 on 1 March 2026."""
_REPORTED: Final[tuple[Words, ...]] = (
    ("processor", "columns", "Cardwell", "report.csv", *COLUMNS),
    ("processor", "import", "report.csv"),
)
"""A card processor, and a report of a payout of 5.00 on 1 March 2026."""
_WRITTEN_OFF: Final = ("payment", "write-off", "2", "--reason", "moved away")
_FREE_FORM: Final = (
    *("--aligned", "--compensated-right", "-2.50 -1.25 x 090", "--compensated-left", "-2.25 -1.00 x 085"),
    *("--sheet", "scan.pdf"),
)
_LATER: Final = "2034-04-15"
_RETURNED: Final[tuple[Words, ...]] = (
    *_CANCELLED,
    ("backup", "make", "--into", "older"),
    ("--today", _LATER, "customer", "erase", "2", *_GONE, *_BY_CLOCK),
    ("backup", "restore", "{older}", "--yes-replace", "{head}"),
)
"""An older copy is put back, which still knows whom a later one had erased."""

_IN_CREDIT: Final[tuple[Words, ...]] = (
    ("bill", "pay", "1", "20", "--method", "bank"),
    ("bill", "credit", "1", "5", "--reason", "scuffed"),
)
_SECOND_BILL: Final = ("bill", "record", "Tollgate", "--invoice", "B-9", "--stock", "CASE=2@4")
_ADJUSTED: Final = (
    *("--debit", "depreciation=50", "--credit", "accumulated-depreciation=50", "--reason", "one year of the edger"),
)
_W9: Final = ("--name", "Alder Row", *ADDRESS, "--kind", "partnership", "--number-from", "number.txt")
_STOOL: Final = (
    *("spend", "record", "Fennick Stationers", "88", "--category", "equipment", "--method", "bank"),
    *("--description", "stool", "--reference", "17"),
)
_SOLD: Final = ("equipment", "dispose", "expense 2", "--how", "sold", "--depreciation", "0", "--proceeds", "9")
_WHY: Final = ("--reason", "found out an hour later")

_TWO_UNPAID: Final[tuple[Words, ...]] = (
    ("sale", "record", "--customer", "1", *PAIR),
    ("sale", "record", "--customer", "1", *PAIR, "--accept", "ORDER-TWICE"),
)
_OLD: Final = (
    *(
        words
        for words in BASE
        if words[0] in {"setup", "catalogue", "customer", "wearer", "prescriber", "prescription"}
    ),
    *_TWO_UNPAID,
)
_OLDER: Final = tuple(words for words in _OLD if words[0] not in {"catalogue", "sale"})
"""What earlier states of the tables have a place for, and those still older."""

LINES: Final[tuple[Line, ...]] = (
    Line(("setup", *SHOP_OPTIONS), fresh=True),
    _line("shop", "change", "--phone", "555-0199", "--shipping-charge", "7"),
    _line("shop", "keeping", "--state-years", "5"),
    _line("audit", "prune", on=_LATER),
    _line("backup", "key", "add", KEY, "--holder", "Ines"),
    _line("backup", "key", "remove", KEY, before=(("backup", "key", "add", KEY),)),
    _line("backup", "key", "new", *OUT, "--holder", "Ines"),
    _line("backup", "make"),
    _line("backup", "make", "--into", "copies", before=(("backup", "key", "add", KEY),)),
    _line("backup", "place", "add", "more", "--here"),
    _line("backup", "place", "remove", "copies"),
    _line("backup", "remind", "--days", "3"),
    _line(
        "backup", "restore", "{copy}", "--yes-replace", "{head}", before=(("shop", "change", "--phone", "555-0198"),)
    ),
    _line("manual", *OUT),
    _line("demo", "--into", "demo"),
    _line("catalogue", "load", "more.toml"),
    _line(
        *("frame", "add", "FINCH-50", "--maker", "Thistledown", "--model", "Finch", "--colour", "red"),
        *("--count", "2", "--as", "opening"),
        *("--eye-size", "50", "--bridge", "18", "--temple", "140", "--price", "90", "--cost", "30"),
    ),
    _line("frame", "change", "WREN-52", "--price", "185"),
    _line(
        *("lens", "add", "SV-TINT", "--name", "Tinted single vision", "--design", "single-vision"),
        *("--material", "hard resin 1.50", "--price", "120", "--cost", "30", "--blank", "70"),
    ),
    _line("lens", "change", "SV-150", "--price", "85"),
    _line("extra", "add", "TINT", "--name", "Grey tint", "--kind", "tint", "--price", "20", "--cost", "4"),
    _line("extra", "change", "AR", "--price", "120"),
    _line(
        *("accessory", "add", "CORD", "--name", "Cord", "--price", "9", "--cost", "2"),
        *("--count", "4", "--as", "opening"),
    ),
    _line("accessory", "change", "CASE", "--price", "13"),
    _line(
        *("offer", "add", "TENTH", "--name", "A tenth off coatings", "--kind", "percent", "--percent", "10"),
        *("--reduces", "extra"),
    ),
    _line("offer", "end", "SV-FREE", "--on", "2026-12-31"),
    _line("tax", "set", "OH", "accessory", "7.25", "--place", "Millbrae"),
    _line("tax", "export", "2026-03", "--state", "OH", "--csv", *OUT),
    _line("tax", "limit", "VT", "--sales", "100000", "--orders", "200"),
    _line("stock", "count", "CASE", "--counted", "13"),
    _line("stock", "give", "CASE"),
    _line("stock", "receive", "CASE", "--quantity", "3", "--unit-cost", "4.10", "--paid", "bank"),
    _line("stock", "take-home", "CASE"),
    _line("stock", "write-off", "CASE", "--reason", "broken"),
    _line("customer", "add", "--name", "Bram Pike", *ADDRESS),
    _line("wearer", "become-customer", "Wren", "--customer", "1", "--city", "Marfa", "--phone", "555-0160"),
    _line("customer", "join", "2", "--into", "1", "--reason", "recorded twice", *_UNLIKE, before=_CANCELLED[:1]),
    _line(
        *("customer", "part", "2", "--reason", "two after all"),
        before=(*_CANCELLED[:1], ("customer", "join", "2", "--into", "1", "--reason", "recorded twice", *_UNLIKE)),
    ),
    _line("customer", "change", "1", "--phone", "555-0143"),
    _line("customer", "erase", "2", *_GONE, *_BY_CLOCK, before=_CANCELLED, on=_LATER),
    _line("customer", "held", "1", *OUT),
    _line("customer", "hold", "1", "--reason", "a lawsuit"),
    _line("wearer", "add", "--customer", "1", "--name", "Ada Fernhollow", "--relationship", "child"),
    _line("wearer", "change", "Wren", "--customer", "1", "--born", "2015-05-09"),
    _line("wearer", "erase", "Lin", "--customer", "2", *_GONE, before=_CANCELLED, on=_LATER),
    _line("wearer", "held", "Odalys", "--customer", "1", *OUT),
    _line("wearer", "hold", "Wren", "--customer", "1", "--reason", "a lawsuit"),
    _line("erasure", "again", before=_RETURNED, on=_LATER),
    _line("prescriber", "add", "--name", "Dr. Ada Quill", "--phone", "555-0177"),
    _line(
        *("prescription", "add", "--customer", "1", "--wearer", "Wren", "--prescriber", "1"),
        *("--written", "2026-02-20", "--right", "-1.00 DS", "--left", "-1.25 -0.50 x 010"),
    ),
    _line("prescription", "diagnose", "1", "--diagnosis", "H52.4"),
    _line("prescription", "keep-file", "1", "scan.pdf"),
    _line("prescription", "file", "1", *OUT, before=(("prescription", "keep-file", "1", "scan.pdf"),)),
    _line("prescription", "show", "1"),
    _line("trace", "add", "WREN-52", "trace.txt"),
    _line("trace", "adopt", "WREN-52", "LARK-50"),
    _line("trace", "write", "WREN-52", "--into", "out/wren.txt"),
    _line("trace", "draw", "WREN-52", "--into", "out/wren.svg"),
    _line("trace", "compare", "WREN-52", "WREN-52", "--into", "out/both.svg"),
    _line("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE=2", "--pay", "30", "--method", "cash"),
    _line("sale", "record", "--from", "order.toml", "--accept", "NEAR-PD-MISSING"),
    _line("sale", "cancel", "2", "--reason", "changed her mind"),
    _line("sale", "ship", "2", "--carrier", "post", *UNSEEN),
    _line("sale", "ship", "2", "--carrier", "post", "--job", "2", *UNSEEN),
    _line("sale", "address", "2", "--street", "9 New Street", "--reason", "moved"),
    _line("parcel", "returned", "1", "--reason", "nobody at home"),
    _line(
        *("parcel", "send-again", "1", "--carrier", "post"),
        before=(("parcel", "returned", "1", "--reason", "nobody at home"),),
    ),
    _line("sale", "show", "1"),
    _line("sale", "reduce", "2", "--line", "1=20", *_WHY),
    _line("sale", "price", "2", "--line", "1=170", *_WHY),
    _line("sale", "add", "2", "--accessory", "CASE", "--wearer", "Odalys", *_WHY),
    _line("sale", "take-out", "2", "--line", "3", *_WHY),
    _line("sale", "exchange", "1", "--line", "1", "--for", "LARK-50", *_WHY),
    _line("draft", "copy", "2"),
    _line("payment", "take", "2", "--amount", "40", "--method", "card"),
    _line("payment", "take", "2", "--amount", "30", "--deposit", "1"),
    _line("payment", "reverse", "3", "--fee", "12", "--charge", "15", "--reason", "no funds", before=(_BY_CHECK,)),
    _line("payment", "dispute-won", "3", "--fee", "5", "--reason", "proof of delivery", before=_DISPUTED),
    _line("payment", "dispute-lost", "3", "--reason", "no proof of delivery", before=_DISPUTED),
    _line("payment", "correct", "2", "--method", "check", "--reference", "77", "--reason", "it was a check"),
    _line("payment", "move", "1", "2", "--reason", "typed on the wrong order"),
    _line("payment", "write-off", "2", "--reason", "moved away"),
    _line("payment", "revive", "2", "--reason", "she wrote", before=(_WRITTEN_OFF,)),
    _line("refund", "give", "1", "--line", "1=20", "--method", "cash", "--reason", "a scratch"),
    _line("receipt", "claimed", "1"),
    _line("receipt", "issue", "2", "--wearer", "Odalys", "--not-paid-in-full", *OUT),
    _line("receipt", "issue", "--all-open", *OUT),
    _line("receipt", "print", "1", *OUT),
    _line("receipt", "replace", "1", "--reason", "a correction", *OUT),
    _line("receipt", "show", "1"),
    _line(
        "paper", "again", "receipt", "2", *OUT, before=(("receipt", "replace", "1", "--reason", "x", "--into", "full"),)
    ),
    _line("paper", "check", *OUT),
    _line("paper", "confirmation", "1", *OUT),
    _line("paper", "quote", "--customer", "1", *PAIR, "--valid-until", "2026-04-01", *OUT),
    _line("paper", "slip", "1", *OUT),
    _line("paper", "slip", "1", "--parcel", "1", *OUT),
    _line("paper", "statement", "1", *OUT),
    _line("paper", "worksheet", "1", *OUT),
    _line("paper", "year", "1", "2026", *OUT),
    _line(
        *(
            "reorder",
            "--customer",
            "1",
            "--wearer",
            "Odalys",
            "--frame",
            "WREN-52",
            "--lens",
            "SV-150",
            "--extra",
            "AR",
        ),
        *OUT,
    ),
    _line("draft", "record", "1"),
    _line(*_MARCH, on="2026-04-02"),
    _line("month", "reopen", "2026-03", "--reason", "a late bill", before=(("--today", "2026-04-02", *_MARCH),)),
    _line("month", "export", "2026-03", *OUT),
    Line(("month", "put-off"), (_TWO_UNPAID[1],), of_before=(3,)),
    _line("year", "export", "2026", *OUT),
    _line("supplier", "add", "--name", "Brightwater Lab"),
    _line("supplier", "change", "1", "--phone", "555-0118"),
    _line("bill", "file", "1", *OUT),
    _line("bill", "pay", "1", "10", "--method", "bank"),
    _line("bill", "pay", "1", "10", "--method", "bank", "--discount", "0.50"),
    _line("bill", "credit", "1", "3", "--item", "CASE", "--reason", "scuffed"),
    _line("bill", "charge", "1", "3", "--reason", "billed too low"),
    _line("bill", "refunded", "1", "2", "--to", "bank", before=_IN_CREDIT),
    _line("bill", "set-against", "1", "2", before=(*_IN_CREDIT, _SECOND_BILL)),
    _line("bill", "record", "--from", "bill.toml"),
    _line("bill", "record", "Tollgate", "--invoice", "B-2", "--job", "1=18.40", "--freight", "2", "--paid", "bank"),
    _line("bill", "send-back", "1", "--item", "CASE", "--quantity", "2", "--credit", "8", "--reason", "scratched"),
    _line("deposit", "give-back", "1", "10"),
    _line("deposit", "take", "1", "25", "--method", "check"),
    _line("spend", "receipt", "1", *OUT),
    _line(
        *("spend", "record", "Fennick Stationers", "24.60", "--category", "office-expense", "--method", "bank"),
        *("--description", "paper", "--receipt", "scan.pdf"),
    ),
    _line("money", "bank", "50"),
    _line("money", "contribute", "10", "--till", "cash"),
    _line("money", "put-in", "10", "--till", "cash"),
    _line("money", "draw", "10", "--till", "cash"),
    _line("money", "take-out", "10", "--till", "cash"),
    _line("money", "withdraw", "10"),
    _line("money", "fetch", "10"),
    _line("money", "open", "10", "--till", "cash"),
    _line("money", "other-income", "2.50", "--from", "interest"),
    _line("money", "pay-card", "7", "--accept", "CARD-ABOVE-OWED"),
    _line("money", "pay-tax", "OH", "3", "--accept", "TAX-ABOVE-OWED"),
    _line("money", "payout", "40", "--fee", "1.20", "--accept", "PAYOUT-ABOVE-CLEARING"),
    _line("money", "payout", "-4", "--accept", "PAYOUT-BELOW-ZERO"),
    _line("money", "fee", "20"),
    _line("money", "reserve", "10", "--accept", "PAYOUT-ABOVE-CLEARING"),
    _line("money", "release", "10", "--accept", "RELEASE-ABOVE-RESERVE"),
    _line("processor", "columns", "Cardwell", "report.csv", *COLUMNS),
    _line("processor", "import", "report.csv", before=_REPORTED[:1]),
    _line("processor", "record", "--yes", "--accept", "PAYOUT-ABOVE-CLEARING", before=_REPORTED),
    _line("adjust", "record", *_ADJUSTED),
    _line("adjust", "open", "--has", "equipment=180", "--owes", "loans=90", "--tax", "OH=4.10"),
    _line("bill", "record", "Tollgate", "--invoice", "OLD-1", "--owed-before", "12"),
    _line("sale", "owed-before", "1", "120", "--about", "invoice 88"),
    _line("adjust", "reverse", "1", before=(("adjust", "record", *_ADJUSTED),)),
    _line("void", "expense", "1", "--reason", "was private"),
    _line("bank", "account", "Savings", "--ending", "4321"),
    _line("bank", "balance", "Checking", "100", before=_AT_BANK[:1]),
    _line("bank", "import", "statement.ofx", before=_AT_BANK[:1]),
    _line(
        *("bank", "columns", "Checking", "statement.csv", "--day", "1", "--amount", "2", "--balance", "3"),
        before=_AT_BANK[:1],
    ),
    _line("bank", "match", before=_AT_BANK),
    _line("bank", "record", "1", "fee", before=_AT_BANK),
    _line("bank", "page", "2026-03", *OUT, before=(*_AT_BANK, ("bank", "balance", "Checking", "96"))),
    _line("bank", "unmatch", "1", before=(*_AT_BANK, ("bank", "record", "1", "fee"))),
    _line("refund", "give", "1", "--line", "1=20", "--method", "credit", "--reason", "a scratch"),
    _line("payee", "limit", "2027", "2100"),
    _line("payee", "w9", "Alder Row", *_W9),
    _line(
        "payee", "hand-out", "Alder Row", *OUT, "--accept", "WHOLE-NUMBER", before=(("payee", "w9", "Alder Row", *_W9),)
    ),
    _line(
        *("payee", "erase-w9", "Alder Row", "--reason", "over", "--accept", "ERASED-FOR-GOOD"),
        before=(("payee", "w9", "Alder Row", *_W9),),
        on=_LATER,
    ),
    _line(*_SOLD, before=(_STOOL,)),
    _line("void", "disposal", "1", "--reason", "another one", before=(_STOOL, _SOLD)),
    _line("void", "bill", "credit", "1", "--reason", "a mistake", before=_IN_CREDIT),
    _line("job", "inspection-record", "2", *OUT, before=(("job", "inspect", "2", *INSPECTED, "--aligned"),)),
    _line("job", "impact", "1", "--certificate", "C-2207"),
    _line("job", "inspect", "2", *INSPECTED, "--aligned"),
    _line("job", "put-right", "2", "--pd", "62", "--accept", "LENSES-ORDERED", *_WHY),
    _line("job", "frame-broken", "2", *_WHY),
    _line("job", "lenses-arrived", "2"),
    _line("job", "makers-sheet", "2", *OUT, before=(("job", "inspect", "2", *INSPECTED, *_FREE_FORM),)),
    _line("job", "order-lenses", "2", "--from", "Tollgate", "--again", "lost", *OUT),
    _line("job", "print-record", "1", *OUT),
    _line("job", "print-lens-order", "1", *OUT),
    _line("job", "remake", "2", "--reason", "scratched", "--cost", "12"),
    _line("job", "remake", "1", "--reason", "the coating peels", "--because", "maker-error", "--only", "left"),
    _line("job", "sheet", "1", *OUT),
    Line(
        ("shop", "keeping", "--state-years", "5"),
        _OLD,
        fresh=True,
        revision="20261127_document_columns",
        of_before=(1, 2),
    ),
    Line(("shop", "keeping", "--state-years", "5"), _OLDER, fresh=True, revision="20261125_inspections"),
)
"""At least one for each command that writes a ledger, a copy of it or a file."""

LOOKING: Final = frozenset(
    """
    shop show, audit show, where, changes, completion, backup check, backup key show, backup list, backup place list,
    verify, frame list, frame show, lens list, lens show, extra list, extra show, accessory list, accessory
    show, offer list, offer show, tax due, tax list, tax watch, stock ageing, stock history, stock list, stock
    low, stock value, customer find, customer show, erasure list, prescriber list, prescription check, trace
    show, trace list, trace nearest, trace check, sale list, sale margin, receipt list, receipt unclaimed, draft
    list, draft show, month list, month show, year show, fix, supplier list, supplier show, bill list, bill
    show, deposit list, deposit show, spend categories, spend list, spend show, money list, money cards, payment
    list, money show, job list, job margin, job show, parcel list, parcel show, bank accounts, bank lines, bank
    reconcile, adjust list, adjust show, adjust accounts, year balance, processor payouts, processor compare,
    payee list, payee show, equipment list, today, find, counter
    """.replace("\n", " ")
    .replace("  ", "")
    .strip()
    .split(", ")
)
"""The commands that show what is there; `optics` and `claim` need no ledger at all."""
