"""How issued papers are drawn: who changes that counts the drawing up, so that copies say that they look otherwise."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from types import MappingProxyType
from typing import Any, Final

import pytest

from shopledger.paperwork.certificate import CERTIFICATE
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import DRAWING, Paper, document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.wording import Wording, read_wording
from tests.paperwork.reading import text_of

DRAWN: Final[Mapping[str, tuple[int, str]]] = MappingProxyType(
    {
        "receipt": (2, "9694cf1864f442aa"),
        "certificate": (2, "0292d1e003ecb52b"),
        "lens_order": (2, "9f033e677e278632"),
    }
)
"""The drawing in which each sample was seen last, and what it looked like: pinned, not worked out.

Where a sample looks otherwise because the program draws it otherwise, `DRAWING` counts up. Where only the sample itself
was changed, the new look alone is written here.
"""

ISSUED = pytest.mark.parametrize("paper", [RECEIPT, CERTIFICATE, LENS_ORDER], ids=lambda paper: paper.key)


def look_of(document: Document) -> str:
    """Give a short sign of where every mark stands, to a hundredth of a point, whatever the machine."""
    return hashlib.sha256("\n".join(told(document.pages)).encode()).hexdigest()[:16]


def told(value: object) -> Iterator[str]:
    """Give a value part by part as text; what a block is called cannot be seen."""
    if isinstance(value, float):
        yield f"{value + 0.0:.2f}"
    elif isinstance(value, tuple | list):
        for part in value:
            yield from told(part)
    elif is_dataclass(value):
        yield type(value).__name__
        for each in fields(value):
            yield from told(getattr(value, each.name)) if each.name != "name" else ()
    else:
        yield str(value)


@ISSUED
def test_another_look_is_another_drawing(paper: Paper[Any]) -> None:
    """What is issued in a drawing looks the same as long as that drawing lasts."""
    seen = DRAWING, look_of(document_of(paper, paper.sample()))
    assert seen == DRAWN[paper.key], "count DRAWING up in shopledger/paperwork/paper.py, or write the sample's new look"


@ISSUED
def test_a_copy_in_another_drawing_says_so(paper: Paper[Any]) -> None:
    """The foot of each page tells which drawing it is and which the first print was."""
    note = f"drawn in form {DRAWING} (first print: form 1)"
    assert note not in text_of(document_of(paper, paper.sample()))
    again = document_of(paper, paper.sample(), first_drawn=1)
    assert text_of(again).count(note) == len(again.pages)


def test_a_kept_wording_is_completed_and_keeps_its_own_words() -> None:
    """Entries that a wording did not have yet come from the shipped one; its own stay as they were."""
    shipped = read_wording("receipt")
    kept = {key: entry for key, entry in shipped.entries.items() if key != "lines.offer"}
    kept["titles.number"] = "Nr. {number}"
    whole = Wording(kept).completed_from(shipped)
    assert whole["lines.offer"] == shipped["lines.offer"]
    assert whole["titles.number"] == "Nr. {number}"
