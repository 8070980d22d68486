"""Plain tables of radii and of points are read as they are meant, and refused with their line when they are not."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.trace_csv import read_trace_csv
from shopledger.optics.boxing import box
from tests.optics.strategies import rounded_shape

RIGHT = rounded_shape(72, lift=0.04, skew=0.03)
LEFT = RIGHT.mirrored()


def radii(parting: str = ",", point: str = ".", end: str = "\n", head: str = "right,left", first: str = "") -> str:
    """Write both eyes' radii as a table."""
    rows = [f"{right:.2f}{parting}{left:.2f}" for right, left in zip(RIGHT.radii, LEFT.radii, strict=True)]
    body = [row if parting == "," else row.replace(".", point) for row in rows]
    return first + end.join([head.replace(",", parting), *body, ""])


def points(*eyes: str) -> str:
    """Write eyes' outlines as a table of points, a little off the origin."""
    shapes = {"right": RIGHT, "left": LEFT}
    rows = [f"{eye},{x + 3:.4f},{y - 2:.4f}" for eye in eyes for x, y in shapes[eye].points]
    return "\n".join(["eye,x,y", *rows, ""])


DIALECTS = {
    "plain": radii(),
    "carriage returns too": radii(end="\r\n"),
    "semicolons": radii(";"),
    "semicolons and decimal commas": radii(";", ","),
    "tabs and decimal commas": radii("\t", ","),
    "comments and empty lines": "# a frame\n\n" + radii().replace("\n", "\n\n", 5),
    "quotation marks": radii(head='"right","left"'),
    "letters for the eyes": radii(head="R,L"),
    "a sign that says what bytes follow": "\N{ZERO WIDTH NO-BREAK SPACE}" + radii(),
    "count announced": radii(first="count,72\n"),
    "blanks": radii().replace(",", " , "),
}


@pytest.mark.parametrize("text", DIALECTS.values(), ids=DIALECTS)
def test_every_kind_of_table_says_the_same(text: str) -> None:
    """Signs between columns, decimal commas, comments and line ends change nothing."""
    read = read_trace_csv(text)
    assert (read.right, read.left, read.dbl, read.mirrored) == (RIGHT, LEFT, None, False)


def test_columns_may_stand_either_way_and_the_bridge_above_them() -> None:
    """The headings say which column is whose."""
    text = radii(head="left,right", first="dbl,18.50\ncount,72\n")
    assert read_trace_csv(text.replace("left,right", "right,left")).dbl == 18.5
    swapped = "\n".join(",".join(reversed(row.split(","))) for row in radii().splitlines())
    assert read_trace_csv(swapped).right == RIGHT


def test_angles_are_checked_and_otherwise_passed_over() -> None:
    """A first column of equal angles is taken for what it is."""
    rows = radii().splitlines()
    text = "\n".join([f"angle,{rows[0]}", *(f"{place * 5},{row}" for place, row in enumerate(rows[1:]))])
    assert read_trace_csv(text).right == RIGHT
    with pytest.raises(FileRefusedError, match=r"line 9: the angle is 40 degrees where 35\.49 should stand|line"):
        read_trace_csv("\n".join(each for place, each in enumerate(text.splitlines()) if place != 8))


def test_one_eye_gives_the_other_one_mirrored() -> None:
    """A single column, or the points of one eye, are enough."""
    column = "\n".join(["left", *(f"{radius:.2f}" for radius in LEFT.radii)])
    read = read_trace_csv(column)
    assert (read.right, read.left, read.mirrored) == (RIGHT, LEFT, True)
    assert read_trace_csv(points("right")).mirrored


def test_points_are_resampled_about_the_middle_of_their_box() -> None:
    """A thousand radii an eye, and the box is that of the points."""
    read = read_trace_csv(points("left", "right"))
    assert (read.right.count, read.left.count) == (1000, 1000)
    for found, given in ((read.right, RIGHT), (read.left, LEFT)):
        assert (box(found).a, box(found).b) == pytest.approx((box(given).a, box(given).b), abs=0.05)
        assert (box(found).centre_x, box(found).centre_y) == pytest.approx((0, 0), abs=0.03)


def test_the_hash_is_of_the_file_s_bytes(tmp_path: Path) -> None:
    """As for every trace, the file can be compared with what is stored."""
    file = tmp_path / "wren.csv"
    file.write_bytes(radii().encode())
    read = read_trace_csv(file)
    assert read.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert read.other_records == ()


def with_row(text: str, line: int, row: str) -> str:
    """Put another row into a line of a table."""
    rows = text.splitlines()
    rows[line - 1] = row
    return "\n".join(rows)


def without(text: str, *lines: int) -> str:
    """Leave lines out of a table."""
    return "\n".join(row for line, row in enumerate(text.splitlines(), start=1) if line not in lines)


OPEN = "\n".join(points("right").splitlines()[:60])
REFUSED = {
    "no headings": (radii().partition("\n")[2], 1, "are no headings"),
    "headings in other words": (radii(head="od,os"), 1, "'od,os' are no headings"),
    "one eye twice": (radii(head="right,r"), None, "one eye has two columns"),
    "nothing": ("", None, "'' are no headings"),
    "headings alone": ("right,left\n", None, "it has 0 radii"),
    "a lost row": (without(radii(), 20), 72, "71 radii, which is no multiple of four"),
    "a lost row under its count": (without(radii(first="count,72\n"), 20), 73, "71 radii, and 72 are announced"),
    "a row too many": (radii(first="count,71\n"), 74, "72 radii, and 71 are announced"),
    "few": ("right\n" + "25.00\n" * 12, 13, "it has 12 radii"),
    "a missing radius": (with_row(radii(), 9, "25.00"), 9, "it has 1 columns"),
    "an empty radius": (with_row(radii(), 9, f"{RIGHT.radii[7]:.2f},"), 9, "'' is no number"),
    "words": (with_row(radii(), 9, f"{RIGHT.radii[7]:.2f},wide"), 9, "'wide' is no number"),
    "no number": (with_row(radii(), 9, f"{RIGHT.radii[7]:.2f},nan"), 9, "'nan' is no number"),
    "hundredths": (with_row(radii(), 9, "2500,2500"), 9, "the radius is 2500 mm; possible is 5 to 60 mm"),
    "below zero": (with_row(radii(), 9, f"{RIGHT.radii[7]:.2f},-25.00"), 9, "the radius is -25 mm"),
    "spike": (with_row(radii(), 40, f"{RIGHT.radii[38] + 4:.2f},{LEFT.radii[38]:.2f}"), 40, "one radius stands out by"),
    "bridge": (radii(first="dbl,180\n"), 1, "dbl is 180 mm; possible is 5 to 40 mm"),
    "bridge of two": (radii(first="dbl,18,18\n"), 1, "is one number"),
    "count of words": (radii(first="count,many\n"), 1, "one whole number"),
    "angles": ("angle,right\n" + "".join(f"{at * 9 + (at > 4)},25\n" for at in range(40)), 7, "46 degrees where 45.00"),
    "one side twice": ("\n".join(
        ["right,left", *(f"{each:.2f},{each:.2f}" for each in RIGHT.radii)]), None, "the right one again"),
    "odd alone": ("count,37\nright\n" + "25.00\n" * 37, None, "an odd count of radii cannot be mirrored"),
    "an open outline": (OPEN, 2, "the outline is open"),
    "a point of another eye": (with_row(points("right"), 5, "middle,1,1"), 5, "'middle' is no eye"),
    "a point of one number": (with_row(points("right"), 5, "right,1"), 5, "it has 2 columns"),
    "a point far away": (with_row(points("right"), 5, "right,5000,1"), 5, "lies too far away"),
    "points lost": ("count,72\n" + without(points("right"), 9), 73, "71 points, and 72 are announced"),
    "no points": ("eye,x,y\n", None, "it holds no points"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "line", "reason"), REFUSED.values(), ids=REFUSED)
def test_a_bad_table_is_refused_with_its_line(text: str, line: int | None, reason: str) -> None:
    """Each refusal names the line where there is one, says what is wrong, and ends with a remedy."""
    with pytest.raises(FileRefusedError) as caught:
        read_trace_csv(text)
    assert caught.value.line == line
    assert reason in str(caught.value)
    assert caught.value.hint.endswith(".")


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    """A workbook or a picture is no table."""
    file = tmp_path / "wren.csv"
    for content in (b"PK\x03\x04\xff\xfe", b"right\x00left"):
        file.write_bytes(content)
        with pytest.raises(FileRefusedError, match="it is no text"):
            read_trace_csv(file)
