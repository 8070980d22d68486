"""How long a receipt takes beside a bare canvas that sets the same words with the same embedded font; prints the ratio.

Run it as `python tests/bench/receipt_bench.py [ROUNDS]`.
"""

from __future__ import annotations

import resource
import statistics
import sys
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.ledger.receipt import ReceiptContent
from shopledger.paperwork.marks import Text, leaves
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from tests.paperwork.samples import long_receipt, receipt

GOAL = 2.2


def bare(document: Document) -> bytes:
    """Set every text of a finished paper straight on a canvas: no layout, no lines, no greys."""
    out = BytesIO()
    canvas = Canvas(out, pagesize=(document.width, document.height), invariant=1)
    for page in document.pages:
        for placed in page:
            for mark in leaves(placed.block.marks):
                if isinstance(mark, Text):
                    canvas.setFont(mark.style.font, mark.style.size)
                    canvas.drawString(placed.x + mark.x, document.height - placed.y - mark.y, mark.text)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def compared(content: ReceiptContent, rounds: int) -> tuple[float, float]:
    """Give the median milliseconds of the receipt and of the bare canvas, taken in turns."""
    document = document_of(RECEIPT, content)
    ours, floor = [], []
    for _ in range(rounds):
        ours.append(_timed(lambda: painted(document_of(RECEIPT, content))))
        floor.append(_timed(lambda: bare(document)))
    return statistics.median(ours), statistics.median(floor)


def _timed(work: Callable[[], bytes]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main(rounds: int) -> None:
    """Print the ratio for a short and a long receipt, and how memory grows over the rounds."""
    for name, content in (("one page", receipt()), ("forty lines", long_receipt(40))):
        ours, floor = compared(content, rounds)
        print(f"receipt, {name}: {ours:.2f} ms; bare canvas {floor:.2f} ms; ratio {ours / floor:.2f} (goal {GOAL})")
    before = _peak_mib()
    for number in range(1000):
        painted(document_of(RECEIPT, receipt(number=number, wearer=f"Wearer {number}")))
    print(f"1,000 receipts more: peak memory {before:.1f} to {_peak_mib():.1f} MiB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
