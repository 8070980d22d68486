"""Trace files: what is written is read again, awkward files are read, and bad ones are refused with line and remedy."""

from __future__ import annotations

import hashlib
import math
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.shapes import stated_crosswise, traced_twice
from shopledger.exchange.trace_file import read_trace_file, write_trace_file
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace

RIGHT = tuple(2000 + place for place in range(36))
LEFT = tuple(2100 + place for place in range(36))


def rows(radii: tuple[int, ...], per_line: int = 12) -> list[str]:
    """Write radii as records."""
    return [f"R={';'.join(map(str, radii[at : at + per_line]))}" for at in range(0, len(radii), per_line)]


def trace_text(*records: str, end: str = "\r\n") -> str:
    """Join records to a file."""
    return "".join(f"{record}{end}" for record in records)


PLAIN = ("TRCFMT=1;36;E;R;F", *rows(RIGHT), "TRCFMT=1;36;E;L;F", *rows(LEFT), "HBOX=40.10;40.20", "DBL=18.00")


@st.composite
def shapes(draw: st.DrawFn) -> FrameTrace:
    """Draw two smooth shapes of any count, each with the noise of a tracer."""
    right, left = (Trace(side, draw(one_row())) for side in Side)
    return FrameTrace(right, left, draw(st.integers(500, 4000)) / 100)


@st.composite
def one_row(draw: st.DrawFn) -> tuple[int, ...]:
    """Draw the radii of one eye: wider than high, skew, and a few hundredths off."""
    count, size = draw(st.integers(36, 90)), draw(st.integers(1500, 3200))
    wide, skew = draw(st.integers(0, 300)), draw(st.integers(-200, 200))
    noise = draw(st.lists(st.integers(-5, 5), min_size=count, max_size=count))
    angles = [2 * math.pi * place / count for place in range(count)]
    return tuple(
        round(size + wide * math.cos(2 * angle) + skew * math.sin(2 * angle)) + off
        for angle, off in zip(angles, noise, strict=True)
    )


SIZES = st.none() | st.integers(100, 15000).map(lambda hundredths: hundredths / 100)
FIGURES = st.builds(
    StatedFigures,
    a=st.tuples(SIZES, SIZES),
    b=st.tuples(SIZES, SIZES),
    ed=st.tuples(SIZES, SIZES),
    circumference=st.tuples(SIZES, SIZES),
)


@given(shape=shapes(), stated=FIGURES)
@settings(max_examples=60)
def test_what_is_written_is_read_again(shape: FrameTrace, stated: StatedFigures) -> None:
    """Both shapes, the bridge, the stated figures and the other records come back as they went out."""
    assume(not traced_twice(shape.right, shape.left) and not stated_crosswise(shape.right, shape.left, stated))
    text = write_trace_file(shape, stated, job="42", other_records=("FTYP=1", "DRILLE=R;C;20.00;3.00; 1.40 "))
    read = read_trace_file(text)
    assert (read.right, read.left, read.dbl) == (shape.right, shape.left, shape.dbl)
    assert (read.stated.a, read.stated.b, read.stated.ed) == (stated.a, stated.b, stated.ed)
    assert read.stated.circumference == stated.circumference
    assert read.other_records == ("FTYP=1", "DRILLE=R;C;20.00;3.00; 1.40 ")
    assert not read.mirrored


def test_every_line_of_a_written_file_ends_as_the_standard_asks() -> None:
    """Lines end with CR LF and nothing else, and all is plain ASCII."""
    shape = FrameTrace(Trace(Side.RIGHT, RIGHT), Trace(Side.LEFT, LEFT), 18.0)
    text = write_trace_file(shape, StatedFigures(a=(40.1, None)), job="7")
    assert text.isascii()
    assert text.count("\r\n") == text.count("\n") == text.count("\r")
    assert text.endswith("\r\n")
    assert "HBOX=40.10;?" in text
    assert text.startswith("JOB=7\r\nTRCFMT=1;36;E;R;F\r\n")


def test_records_of_a_former_job_do_not_go_out_with_a_shape() -> None:
    """A lens, a wearer or a job that stood in the tracer's file is not sent to the next lab."""
    shape = FrameTrace(Trace(Side.RIGHT, RIGHT), Trace(Side.LEFT, LEFT), 18.0)
    text = write_trace_file(
        shape, StatedFigures(), other_records=("SPH=-2.50;-2.25", "*JOB=9", " do=B", "DBL=99", "FTYP=2")
    )
    assert read_trace_file(text).other_records == ("FTYP=2",)
    assert read_trace_file(text).dbl == 18.0


@pytest.mark.parametrize("job", ["a;b", "a=b", "J\r\nSPH=1", "é", "x" * 41, " 7"])
def test_a_job_that_a_record_cannot_hold_is_refused(job: str) -> None:
    """A job's name can neither end its field nor begin another record."""
    shape = FrameTrace(Trace(Side.RIGHT, RIGHT), Trace(Side.LEFT, LEFT), 18.0)
    with pytest.raises(RefusedError, match="job is"):
        write_trace_file(shape, StatedFigures(), job=job)


AWKWARD = {
    "line feeds alone": trace_text(*PLAIN, end="\n"),
    "carriage returns alone": trace_text(*PLAIN, end="\r"),
    "no end after the last line": trace_text(*PLAIN).rstrip(),
    "empty lines": trace_text(*PLAIN).replace("\r\n", "\r\n\r\n"),
    "padded fields": trace_text(*PLAIN).replace("TRCFMT=1;36;E;R;F", " TRCFMT = 1 ; 36 ;E; R;F "),
    "semicolon after the last radius": trace_text(*PLAIN).replace(";2035", ";2035;"),
    "small letters": trace_text(*PLAIN).replace("TRCFMT=1;36;E;R;F", "trcfmt=1;36;e;r;f"),
    "mandatory labels": trace_text(*PLAIN).replace("DBL", "*DBL"),
    "left eye first": trace_text("TRCFMT=1;36;E;L;F", *rows(LEFT), *PLAIN[:4], *PLAIN[8:]),
    "figures first": trace_text(*PLAIN[8:], *PLAIN[:8]),
    "one radius a line": trace_text("TRCFMT=1;36;E;R;F", *rows(RIGHT, 1), *PLAIN[4:]),
    "all radii in one line": trace_text("TRCFMT=1;36;E;R;F", *rows(RIGHT, 36), *PLAIN[4:]),
    "a sign that says what bytes follow": "\N{ZERO WIDTH NO-BREAK SPACE}" + trace_text(*PLAIN),
    "a figure given twice alike": trace_text(*PLAIN, "DBL=18.0"),
}


@pytest.mark.parametrize("text", AWKWARD.values(), ids=AWKWARD.keys())
def test_awkward_files_say_the_same_as_a_tidy_one(text: str) -> None:
    """Line ends, padding, order of records and width of lines change nothing."""
    read = read_trace_file(text)
    assert (read.right.hundredths, read.left.hundredths, read.dbl) == (RIGHT, LEFT, 18.0)
    assert read.stated.a == (40.1, 40.2)
    assert read.other_records == ()


def test_further_records_of_the_frame_are_kept_word_for_word() -> None:
    """What describes frame or device is kept with its spaces, in its order, in whichever letters it was written."""
    text = trace_text("VEN= Ötl ;?", *PLAIN, "ZFMT=1;2;E;R;F", "Z=10;-12")
    assert read_trace_file(text).other_records == ("VEN= Ötl ;?", "ZFMT=1;2;E;R;F", "Z=10;-12")


PRIVATE = (
    "CLIENT=Fernhollow, Odalys",
    "*CLIENTF=Odalys",
    "PAT=Odalys Fernhollow;2015-05-09",
    "DOB=20150509",
    "JOB=Fernhollow",
    "ACCN=77",
    "SPH=-2.50;-2.25",
    "OPERID=Ilse",
    "REM=for Odalys",
    "_PATIENT=Odalys Fernhollow",
    "_DOB=2015-05-09",
    "XNAME=Odalys",
    "VEN=4111 1111 1111 1111",
    "SN=123-45-6789",
    "DEV=\x1b[2J",
)
"""Lines as a tracer or a lab may write them: somebody's name and birthday, a job, a lens, what no text may hold."""


@pytest.mark.parametrize("line", PRIVATE)
def test_private_lines_are_neither_kept_nor_written(line: str) -> None:
    """A name or a birthday in a file is not stored with the shape, and one stored before never goes out with it."""
    assert read_trace_file(trace_text(line, *PLAIN, line)).other_records == ()
    shape = FrameTrace(Trace(Side.RIGHT, RIGHT), Trace(Side.LEFT, LEFT), 18.0)
    assert line not in write_trace_file(shape, StatedFigures(), other_records=(line, "FTYP=2"))


def test_letters_of_one_byte_are_kept_too(tmp_path: Path) -> None:
    """A tracer that writes Latin letters of one byte is read like one that writes UTF-8."""
    file = tmp_path / "old.txt"
    file.write_bytes(trace_text("VEN=Ötl", *PLAIN).encode("latin-1"))
    assert read_trace_file(file).other_records == ("VEN=Ötl",)


def test_the_hash_is_of_the_file_s_bytes(tmp_path: Path) -> None:
    """The stored hash can be compared with the file's own years later."""
    file = tmp_path / "trace.txt"
    content = trace_text(*PLAIN).encode()
    file.write_bytes(content)
    assert read_trace_file(file).sha256 == hashlib.sha256(content).hexdigest()


@pytest.mark.parametrize("side", ["R", "L"])
def test_a_single_eye_gives_the_other_one_mirrored(side: str) -> None:
    """Where only one eye was traced, the other is its mirror image, and the result says so."""
    read = read_trace_file(trace_text(f"TRCFMT=1;36;E;{side};F", *rows(RIGHT)))
    assert read.mirrored
    assert read.right.mirrored() == read.left
    assert (read.right if side == "R" else read.left).hundredths == RIGHT
    assert read.dbl is None


def test_a_bridge_that_is_not_given_is_none() -> None:
    """An empty or unknown DBL is no number."""
    for said in ("DBL=", "DBL=?", "DBL= "):
        assert read_trace_file(trace_text(*PLAIN[:-1], said)).dbl is None


SKEW = tuple(round(2200 + 150 * math.sin(2 * math.pi * place / 18)) for place in range(36))
"""A shape with one corner high and the next one low, so that its mirror image is another."""
UNLIKE = ("TRCFMT=1;36;E;R;F", *rows((2010,) * 36), "TRCFMT=1;36;E;L;F", *rows((2030,) * 36))

REFUSED = {
    "binary": (("TRCFMT= 4;512 ;E; R;F", "R=\x5d\x09\x1b\x91"), 1, "format 4, packed binary"),
    "binary absolute": (("DBL=18", "TRCFMT=2;400;E;R;F"), 2, "format 2, binary absolute"),
    "binary differential": (("TRCFMT=3;400;E;R;F",), 1, "format 3, binary differential"),
    "no trace": (("TRCFMT=0;0;E;R;F",), 1, "holds no trace (format 0)"),
    "unknown format": (("TRCFMT=?;36;E;R;F",), 1, "'?' is no trace format"),
    "no count": (("TRCFMT=1;;E;R;F",), 1, "'' is no count"),
    "uneven": (("TRCFMT=1;36;U;R;F",), 1, "uneven (mode U)"),
    "mode": (("TRCFMT=1;36;X;R;F",), 1, "'X' is no mode"),
    "side": (("TRCFMT=1;36;E;B;F",), 1, "'B' is no side"),
    "pattern": (("TRCFMT=1;36;E;R;P",), 1, "type is 'P'"),
    "short of fields": (("TRCFMT=1;36",), 1, "'' is no mode"),
    "twice": (("TRCFMT=1;36;E;R;F", *rows(RIGHT), "TRCFMT=1;36;E;R;F"), 5, "right eye stands in the file twice"),
    "cut short": (PLAIN[:7], 7, "left shape is cut short: 24 radii, and line 5 announces 36"),
    "cut at once": (("TRCFMT=1;36;E;R;F",), 1, "right shape is cut short: 0 radii"),
    "too many": (("TRCFMT=1;36;E;R;F", *rows(RIGHT), "R=2000"), 5, "too many radii: 37"),
    "no number": (("TRCFMT=1;36;E;R;F", "R=2000;20x0"), 2, "'20x0' is no radius"),
    "millimetres": (("TRCFMT=1;36;E;R;F", "R=20.01;20.02"), 2, "'20.01' is no radius"),
    "below zero": (("TRCFMT=1;36;E;R;F", "R=-2000"), 2, "'-2000' is no radius"),
    "gap": (("TRCFMT=1;36;E;R;F", "R=2000;;2000"), 2, "'' is no radius"),
    "no format yet": (("R=2000",), 1, "radii come before any TRCFMT"),
    "too large": (("TRCFMT=1;36;E;R;F", *rows((*RIGHT[:20], 23970, *RIGHT[21:]))), 3, "200.0 degrees is 239.70 mm"),
    "too few": (("TRCFMT=1;8;E;R;F", "R=2000;2000;2000;2000;2000;2000;2000;2000"), 1, "it has 8 radii"),
    "spike": (("TRCFMT=1;36;E;R;F", *rows((*RIGHT[:30], 2900, *RIGHT[31:]))), 4, "one radius stands out by 8.6"),
    "jump": (("TRCFMT=1;36;E;R;F", *rows((*RIGHT[:18], *(3200,) * 18))), 3, "the outline jumps by"),
    "open": (("TRCFMT=1;36;E;R;F", *rows(tuple(range(2000, 3800, 50)))), 4, "the outline is open by"),
    "one side twice": (("TRCFMT=1;36;E;R;F", *rows(SKEW), "TRCFMT=1;36;E;L;F", *rows(SKEW)), 5, "the right one again"),
    "sizes crosswise": ((*UNLIKE, "HBOX=40.60;40.20"), 9, "the sides are swapped"),
    "odd alone": (("TRCFMT=1;37;E;R;F", *rows((2000,) * 37)), None, "odd count of radii cannot be mirrored"),
    "no record": (("hello",), 1, "'hello' is no record"),
    "no label": (("=5",), 1, "'=5' is no record"),
    "session": (("\x1cTRCFMT=1;36;E;R;F",), 1, "live session"),
    "width no number": ((*PLAIN, "VBOX=3O.1;30.1"), 11, "VBOX is '3O.1'"),
    "width absurd": ((*PLAIN, "VBOX=3010;3010"), 11, "VBOX is 3010 mm"),
    "decimal comma": ((*PLAIN, "VBOX=30,1;30,1"), 11, "VBOX is '30,1'"),
    "bridge absurd": (("DBL=180", *PLAIN[:9]), 1, "DBL is 180 mm; possible is 5 to 40 mm"),
    "bridge twice": ((*PLAIN, "DBL=19"), 11, "DBL stands in the file twice"),
    "nothing": ((), None, "no TRCFMT record"),
}


@pytest.mark.parametrize(("records", "line", "reason"), REFUSED.values(), ids=REFUSED.keys())
def test_a_bad_file_is_refused_with_its_line_and_what_to_do(
    records: tuple[str, ...], line: int | None, reason: str
) -> None:
    """Each refusal names the line, says what is wrong, and ends with a remedy."""
    with pytest.raises(FileRefusedError) as caught:
        read_trace_file(trace_text(*records))
    refusal = caught.value
    assert refusal.line == line
    assert reason in str(refusal)
    assert refusal.hint.endswith(".")
    assert str(refusal).endswith(refusal.hint)
    assert "\n" not in str(refusal)
    assert refusal.exit_code == 70


@given(st.integers(0, 10))
def test_a_file_cut_at_any_record_is_never_taken_for_whole(kept: int) -> None:
    """Whatever is missing at the end, both whole shapes are there or the file is refused or only one eye is read."""
    text = trace_text(*PLAIN[:kept])
    try:
        read = read_trace_file(text)
    except FileRefusedError:
        assert kept not in {4, 8, 9, 10}
    else:
        assert read.right.hundredths == RIGHT
        assert read.mirrored is (kept == 4)


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    """No file, however odd, ends in anything but a trace or a refusal."""
    with pytest.raises(FileRefusedError):
        read_trace_file(content.decode("latin-1"))


def test_a_missing_or_huge_file_is_refused(tmp_path: Path) -> None:
    """A path that leads nowhere, to a folder or to something huge is refused by name."""
    with pytest.raises(FileRefusedError, match="no such file"):
        read_trace_file(tmp_path / "gone.txt")
    with pytest.raises(FileRefusedError, match="it is a folder"):
        read_trace_file(tmp_path)
    huge = tmp_path / "huge.txt"
    with huge.open("wb") as handle:
        handle.truncate(5_000_000)
    with pytest.raises(FileRefusedError, match="too large"):
        read_trace_file(huge)
