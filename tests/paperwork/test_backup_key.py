"""The paper with the secret key: one page, its letters in groups, and squares that a camera reads."""

from __future__ import annotations

import io
import shutil
import subprocess
from dataclasses import replace

import pytest

from shopledger.paperwork.backup_key import BACKUP_KEY
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from tests.paperwork.reading import texts_of

# Of the length and the letters of a real one, with a check that is not its own.
LETTERS = "AGE-SECRET-KEY-1QPZRY9X8GF2TVDW0S3JN54KHCE6MUA7LQPZRY9X8GF2TVDW0S3JN54KHCE6"
CONTENT = replace(BACKUP_KEY.sample(), secret=LETTERS)


def test_the_key_stands_in_groups_of_four_on_one_page() -> None:
    """Read from left to right and down, the groups are the key."""
    (page,) = document_of(BACKUP_KEY, CONTENT).pages
    groups = [mark for mark in texts_of(page) if mark.style.size == 15 and mark.style.bold]
    read = sorted(groups, key=lambda mark: (round(mark.y), mark.x))
    assert "".join(mark.text for mark in read) == LETTERS
    assert {len(mark.text) for mark in read[:-1]} == {4}


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_a_decoder_reads_the_squares(size: str) -> None:
    """A picture of the page is read by another program, where one is on the machine."""
    decoder = pytest.importorskip("zxingcpp", reason="no decoder is on this machine")
    image = pytest.importorskip("PIL.Image", reason="pillow opens the picture")
    if shutil.which("pdftoppm") is None:
        pytest.skip("poppler makes the picture")
    pdf = painted(document_of(BACKUP_KEY, CONTENT, size=size))
    made = subprocess.run(["pdftoppm", "-r", "150", "-png"], input=pdf, capture_output=True, check=True)
    (found,) = decoder.read_barcodes(image.open(io.BytesIO(made.stdout)))
    assert found.text == LETTERS


def test_the_key_is_in_nothing_that_programs_show_of_a_file() -> None:
    """Title and subject, which stand in window titles and lists of files, say the public key's beginning alone."""
    document = document_of(BACKUP_KEY, CONTENT)
    assert LETTERS[16:24] not in f"{document.title} {document.subject} {document.author}"
