"""Traced shapes: both eyes' radii, where they came from, and what the tracer's file stated."""

from __future__ import annotations

import json

from shopledger.store import columns as kept
from shopledger.store.scales import THOUSANDTHS
from shopledger.store.tables.base import Recorded, table


def _write_records(records: tuple[str, ...]) -> str:
    return json.dumps(records, ensure_ascii=False)


def _read_records(stored: str) -> tuple[str, ...]:
    return tuple(json.loads(stored))


def _write_radii(hundredths: tuple[int, ...]) -> str:
    return " ".join(map(str, hundredths))


def _read_radii(stored: str) -> tuple[int, ...]:
    return tuple(map(int, stored.split()))


class TraceColumns(Recorded):
    """One tracing of a frame; radii are whole hundredths of a mm, parted by spaces."""

    number = kept.key()
    frame_code = kept.words(kept.to("frame.code"), index=True)
    dbl = kept.rounded(THOUSANDTHS, kept.between(5_000, 40_000))
    file_name = kept.words(kept.FILLED)
    file_sha256 = kept.words(kept.FILLED)
    traced_on = kept.day()
    device = kept.words()
    stated_right_a = kept.optional(kept.rounded(THOUSANDTHS))
    stated_left_a = kept.optional(kept.rounded(THOUSANDTHS))
    stated_right_b = kept.optional(kept.rounded(THOUSANDTHS))
    stated_left_b = kept.optional(kept.rounded(THOUSANDTHS))
    stated_dbl = kept.optional(kept.rounded(THOUSANDTHS))
    stated_right_ed = kept.optional(kept.rounded(THOUSANDTHS))
    stated_left_ed = kept.optional(kept.rounded(THOUSANDTHS))
    stated_right_circumference = kept.optional(kept.rounded(THOUSANDTHS))
    stated_left_circumference = kept.optional(kept.rounded(THOUSANDTHS))
    other_records = kept.as_text(_write_records, _read_records)
    right_radii = kept.as_text(_write_radii, _read_radii, kept.FILLED)
    left_radii = kept.as_text(_write_radii, _read_radii, kept.FILLED)


trace = table("trace", TraceColumns)
