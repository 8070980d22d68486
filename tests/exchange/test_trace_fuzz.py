"""Files that were damaged on their way: whatever happens to them, they are read whole or refused, and soon."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.errors import ExchangeError, OpticsError
from shopledger.exchange.shapes import ReadTrace
from shopledger.exchange.trace_csv import read_trace_csv
from shopledger.exchange.trace_file import read_trace_file

pytestmark = pytest.mark.slow

CORPUS = Path(__file__).parent / "corpus"
SEEDS = [path.read_bytes() for path in sorted(CORPUS.glob("*.txt")) if path.stat().st_size < 4000]
TIDY = (CORPUS / "tidy.txt").read_bytes()
SOON = 2.0
"""No file of this size may take longer. [s]"""

PIECES = [
    b";",
    b"=",
    b"\r\n",
    b"\n",
    b"?",
    b"TRCFMT=1;72;E;R;F\r\n",
    b"R=",
    b"DBL=18\r\n",
    b"\x00",
    b"\x1b",
    b"\xff",
    b"9",
    b"-",
]


@st.composite
def damaged(draw: st.DrawFn, seeds: list[bytes]) -> bytes:
    """Cut, double, swap and overwrite pieces of a file, bytes and whole lines."""
    content = draw(st.sampled_from(seeds))
    for _ in range(draw(st.integers(1, 4))):
        if draw(st.booleans()):
            content = _with_damaged_lines(draw, content)
            continue
        start, length = draw(st.integers(0, len(content))), draw(st.integers(0, 12))
        content = content[:start] + draw(st.sampled_from(PIECES) | st.binary(max_size=4)) + content[start + length :]
    return content


def _with_damaged_lines(draw: st.DrawFn, content: bytes) -> bytes:
    lines = content.splitlines(keepends=True) or [b""]
    at, other = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
    kind = draw(st.sampled_from(["lose", "double", "swap", "join"]))
    if kind == "lose":
        del lines[at]
    elif kind == "double":
        lines.insert(other, lines[at])
    elif kind == "swap":
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines[at] = lines[at].rstrip(b"\r\n")
    return b"".join(lines)


def read_soon(read: Callable[[Path | str], ReadTrace], path: Path, content: bytes) -> ReadTrace | None:
    """Read a file, or give None where it is refused; nothing else may happen, and it may not take long."""
    path.write_bytes(content)
    began = time.process_time()
    said = ""
    try:
        return read(path)
    except (ExchangeError, OpticsError) as error:
        said = str(error)
        return None
    finally:
        assert said.isprintable()
        assert time.process_time() - began < SOON


def announced(content: bytes) -> list[int]:
    """Find every count that the bytes announce, without the reader's own code."""
    found = re.findall(rb"(?im)^[ \t*]*TRCFMT[ \t]*=[^;\r\n]*;([^;\r\n]*)", content.replace(b"\r", b"\n"))
    return [int(count) for count in found if count.strip().isdigit()]


def radii_in(content: bytes) -> int:
    """Count the whole numbers in all records of radii, without the reader's own code."""
    rows = re.findall(rb"(?im)^[ \t*]*R[ \t]*=([^\r\n]*)", content.replace(b"\r", b"\n"))
    return sum(len(re.findall(rb"[0-9]+", row)) for row in rows)


@settings(max_examples=300)
@given(content=damaged(SEEDS))
def test_a_damaged_file_is_read_whole_or_refused(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What is read has for each eye exactly the count announced, and no radius in the file is left over."""
    read = read_soon(read_trace_file, tmp_path_factory.getbasetemp() / "damaged.txt", content)
    if read is not None:
        counts = announced(content.removeprefix(b"\xef\xbb\xbf"))
        traced = [read.right.count] if read.mirrored else [read.right.count, read.left.count]
        assert sorted(counts) == sorted(traced)
        assert radii_in(content.removeprefix(b"\xef\xbb\xbf")) == sum(traced)


@settings(max_examples=200)
@given(lost=st.sets(st.integers(0, 143), min_size=1, max_size=3))
def test_a_file_that_lost_radii_is_never_read(lost: set[int]) -> None:
    """One radius less, wherever it stood, is noticed by the count."""
    numbers = -1
    lines = []
    for line in TIDY.decode("ascii").splitlines():
        if not line.startswith("R="):
            lines.append(line)
            continue
        kept = []
        for field in line[2:].split(";"):
            numbers += 1
            kept += [] if numbers in lost else [field]
        lines.append(f"R={';'.join(kept)}")
    with pytest.raises(ExchangeError, match="cut short"):
        read_trace_file("\r\n".join(lines))


TABLES = [
    ("dbl,18.00\ncount,40\nright,left\n" + "25.00,25.10\n" * 40).encode(),
    ("right;left\n" + "25,00;25,10\n" * 40).encode(),
    (
        "eye,x,y\n" + "".join(f"right,{25 - abs(at - 20)},{(at if at < 20 else 40 - at) - 10}\n" for at in range(40))
    ).encode(),
]


@settings(max_examples=200)
@given(content=damaged(TABLES))
def test_a_damaged_table_is_read_or_refused(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A table of radii or points ends in a shape or a refusal, whatever happened to it."""
    read = read_soon(read_trace_csv, tmp_path_factory.getbasetemp() / "damaged.csv", content)
    if read is not None:
        assert read.right.count >= 36
