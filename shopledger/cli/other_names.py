"""What people call a command beside its name. Plain data; a refusal names the command, and none of these is taken."""

from __future__ import annotations

from typing import Final

_NOUNS: Final = {
    "sale": "order orders purchase sell glasses pair",
    "customer": "client clients buyer",
    "wearer": "patient patients child",
    "prescriber": "doctor optometrist",
    "prescription": "rx script eyes",
    "supplier": "vendor vendors lab",
    "spend": "expense expenses cost",
    "extra": "upgrade upgrades coating coatings addon",
    "stock": "inventory shelf count",
    "offer": "discount discounts promotion coupon",
    "refund": "return returns",
    "parcel": "shipment shipments package delivery ship",
    "receipt": "claims superbill",
    "job": "bench lenses",
    "trace": "shape shapes tracing",
    "backup": "copy copies save restore",
    "verify": "check prove",
    "fix": "undo mistake correct repair",
    "void": "delete remove cancel",
    "payment": "pay paid",
    "shop": "settings config configuration",
    "setup": "init start install",
    "changes": "news changelog",
    "manual": "help docs",
    "accessory": "case cases goods",
    "audit": "log history",
    "money": "cash withdrawal",
    "processor": "card cards payouts",
    "payee": "w9 w-9 1099 contractor",
    "year": "annual schedule-c",
    "month": "close workbook",
    "optics": "calculator power vertex transpose",
    "claim": "code codes",
}
_SEVERAL: Final = {
    "invoice": "bill receipt",
    "invoices": "bill receipt",
    "statement": "bank paper",
    "statements": "bank paper",
    "report": "month year",
    "reports": "month year",
    "quote": "paper draft",
}
_VERBS: Final = {
    "add": "new create register insert",
    "record": "new create enter",
    "list": "ls all index",
    "show": "view get info display look",
    "change": "edit update modify set rename",
    "print": "reprint pdf",
    "cancel": "delete remove abort",
    "erase": "delete remove forget",
    "find": "search lookup",
    "take": "receive accept",
    "export": "download excel",
    "ship": "send dispatch",
}


def _turned(known: dict[str, str]) -> dict[str, tuple[str, ...]]:
    others: dict[str, tuple[str, ...]] = {}
    for name, words in known.items():
        for word in words.split():
            others[word] = (*others.get(word, ()), name)
    return others


OTHER_NOUNS: Final = {**_turned(_NOUNS), **{word: tuple(names.split()) for word, names in _SEVERAL.items()}}
"""Other words for what a group is about, with the groups."""
OTHER_VERBS: Final = _turned(_VERBS)
"""Other words for what is done, with the commands' own."""
