"""What has changed since a certificate was issued, and what has overtaken the inspection that it is of."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.ledger.certificates import changed_since, overtaken
from shopledger.ledger.inspections import BenchHistory, Remake
from shopledger.ledger.papers.certificate import ImpactLine
from tests.ledger.papers.test_certificate import FOUND, certificate

ISSUED = replace(certificate(), number=3, issued_on="2026-03-10", paper="a4", wording_sha256="ab" * 32)
PASSED = replace(FOUND, verdicts=FOUND.verdicts[:1], off=(), marks_seen=(True, True), day=date(2026, 3, 12), number=43)


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (certificate(), ()),
        (certificate(shipped_on=date(2026, 3, 11)), ("the day until which its records are kept",)),
        (replace(certificate(), shop=replace(ISSUED.shop, name="Elsewhere")), ("the shop's profile",)),
        (replace(certificate(), wearer="Ø. F.", spellings=(("Ø. F.", "O. F."),)), ("the wearer's name",)),
        (replace(certificate(), glasses="other"), ("the names of frame and lens",)),
        (
            replace(certificate(), glasses="other", impact=(ImpactLine("certificate", "C-2207", "2026-03-11"),)),
            ("the names of frame and lens", "the proof of impact resistance"),
        ),
        (replace(certificate(), standard="another"), ("how its figures are written",)),
    ],
)
def test_what_a_certificate_would_state_otherwise_is_named(now: object, words: tuple[str, ...]) -> None:
    """Facts alone count: neither number and day of issue nor paper and wording."""
    assert isinstance(now, type(ISSUED))
    assert changed_since(ISSUED, now) == words


def test_an_inspection_is_overtaken_by_what_came_after_it() -> None:
    """By a remake that followed it or a later one, and by the newest inspection after it; by nothing before it."""
    before, after = (Remake(57, date(2026, 3, day), "why", 0, follows=follows, number=number)
                     for number, day, follows in ((1, 8, None), (2, 10, 41)))  # fmt: skip
    history = BenchHistory(57, (FOUND, PASSED), (before, after))
    assert overtaken(BenchHistory(57, (FOUND,), (before,)), 41) == ()
    remade = "the job was made again on 2026-03-10 (remake 2)"
    assert overtaken(history, 41) == (remade, "it was inspected anew on 2026-03-12 and passed (inspection 43)")
    assert overtaken(history, 43) == ()
    assert overtaken(replace(history, inspections=(PASSED, replace(FOUND, number=44))), 43) == (
        "it was inspected anew on 2026-03-09 and failed (inspection 44)",
    )
