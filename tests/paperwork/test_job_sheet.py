"""The job sheet as it is placed: one page, large type, everything said, nothing crossing."""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import replace

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design, Lens, SegmentShape
from shopledger.ledger.papers.job_sheet import JobSheet, job_sheet
from shopledger.optics.materials import MaterialClass
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.paperwork.cutting import shop_cutting
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.marks import Box, Circle, Outline, Trail
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import MM
from shopledger.paperwork.wording import Wording, read_wording
from tests.ledger.papers.bench import TOUGH, elliptic, hard_job, job, measured, one_lens_job
from tests.paperwork.reading import (
    crossing_blocks,
    crossing_texts,
    marks_of,
    outside,
    paths,
    read,
    text_of,
    texts_of,
)
from tests.shelf import GRADUAL, LINED, MARKED, THIN, WREN

SAMPLE = JOB_SHEET.sample()
LONG_NOTE = "Please make the left one a little tighter, since it fell out twice in the old frame. " * 4
SENTENCE = "The right blank is 80 mm but the shape needs 109.3 mm. Order a larger blank or choose a smaller frame."

UNEVEN = Measurements.from_monocular((29.5, 33), 59, 17, 18)


def bifocal(lens: Lens) -> JobSheet:
    """Give the sheet of a lined pair before an uneven face."""
    return job_sheet(job("-2 DS add 2", "-2 DS add 2", lens=lens, use=LensUse.MULTIFOCAL, measurements=UNEVEN))


CASES: Mapping[str, JobSheet] = {
    "sample": SAMPLE,
    "strong minus": job_sheet(job("-12.00 -3.25 x 175 2 BO", "-10.50 -2.75 x 005 2 BO", lens=THIN)),
    "strong plus": job_sheet(job("+9.50 -1.25 x 090", "+10.00 -2.00 x 085", lens=TOUGH, number=1_234_567)),
    "prism": job_sheet(job("+0.75 +0.50 x 170 2 BU 1.5 BI", "-0.50 DS 2 BD 1.50 BI", lens=TOUGH)),
    "tiny": job_sheet(job(shape=elliptic(32, 20, 20), measurements=measured(None))),
    "huge": job_sheet(job(shape=elliptic(74, 60, 14), measurements=measured(32))),
    "too low": job_sheet(job("-2 DS add 2", "-2 DS add 2", lens=GRADUAL, measurements=measured(15))),
    "bifocal": bifocal(LINED),
    "trifocal": bifocal(replace(LINED, design=Design.TRIFOCAL, intermediate_depth=7)),
    "round": bifocal(replace(LINED, segment_shape=SegmentShape.ROUND, segment_width=24)),
    "full width": bifocal(replace(LINED, segment_shape=SegmentShape.FULL_WIDTH, segment_width=None)),
    "bare bifocal": bifocal(replace(LINED, segment_shape=None, segment_width=None, fitting_in=None, distance_up=None)),
    "untraced": job_sheet(job(untraced=True)),
    "reading": job_sheet(job(use=LensUse.READING)),
    "many words": replace(
        job_sheet(job(note=LONG_NOTE, frame=replace(WREN, maker="W" * 60, model="M" * 60))),
        stops=(SENTENCE,) * 3,
        asks=(SENTENCE,) * 3,
        extras=("Anti-reflective coating of the better kind",) * 5,
    ),
    "hard": job_sheet(hard_job()),
    "full": replace(job_sheet(hard_job()), note="", strips=job_sheet(hard_job()).strips[1:]),
    "one lens": job_sheet(one_lens_job()),
    "no prescription": replace(
        SAMPLE,
        right=replace(SAMPLE.right, power=""),
        left=replace(SAMPLE.left, power=""),
    ),
}
each_case = pytest.mark.parametrize("content", CASES.values(), ids=CASES.keys())


@each_case
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_sheet_is_one_page_on_which_nothing_crosses(content: JobSheet, paper: str) -> None:
    """No two texts or blocks touch, all stay within the margins, and there is no second page."""
    document = document_of(JOB_SHEET, content, size=paper)
    assert len(document.pages) == 1
    assert outside(document, 43) == []
    assert crossing_texts(document.pages[0]) == []
    assert crossing_blocks(document.pages[0]) == []


@each_case
def test_figures_can_be_read_at_arm_s_length(content: JobSheet) -> None:
    """Powers are set in 11 points at the very least, the number in 28, and nothing below 7."""
    texts = texts_of(document_of(JOB_SHEET, content).pages[0])
    assert max(mark.style.size for mark in texts if mark.text == str(content.job_number)) >= 28
    assert min(mark.style.size for mark in texts if mark.text == (content.right.power or "no prescription")) >= 11
    assert min(mark.style.size for mark in texts) >= 5.5


@pytest.mark.parametrize("name", ["sample", "strong minus", "strong plus", "prism", "tiny", "untraced", "reading"])
def test_usual_sheets_are_set_large(name: str) -> None:
    """Powers stand in 14 points bold or more, cautions in 9."""
    texts = texts_of(document_of(JOB_SHEET, CASES[name]).pages[0])
    powers = [mark.style for mark in texts if mark.text in {CASES[name].right.power, CASES[name].left.power}]
    assert len(powers) >= 2
    assert all(style.bold and style.size >= 14 for style in powers)
    assert all(mark.style.size >= 9 for mark in texts if mark.text.startswith("Wear eye protection"))


def test_a_sheet_says_everything_that_the_bench_needs() -> None:
    """Each figure of the sample stands on the paper, with its words."""
    text = text_of(document_of(JOB_SHEET, SAMPLE))
    for said in (
        *("57", "I.M.", "Order 311", "Feb 27, 2026", "Harrow Row Finch, moss, 50-19-140"),
        *(
            "Even progressive · hard resin 1.50 · all distances",
            "Anti-reflective coating",
            "-3.25 -1.25 x 090",
            "+2.00",
            "1.00 BU",
        ),
        *(
            "31.5",
            "21.0",
            "3.0 IN · 2.0 UP",
            "65 5.7 to spare; needs 59.3",
            "OK, 3.0 to spare",
            "Corridor 13 · Needs 18 from lowest point",
        ),
        *("CUT WET", "Bevel", "Polish", "Safety bevel", "back, always", "front, only where sharp"),
        *("eye protection", "test each lens for impact", "never go to the wearer", "Initials when done", "Inspected"),
    ):
        assert said in text


def test_a_bifocal_s_sheet_says_both_pds_the_inset_and_both_places() -> None:
    """29.5 and 33 with near 59: 27.848 and 31.152, so 1.652 and 1.848 in; top and distance centre stand in the box."""
    text = text_of(document_of(JOB_SHEET, CASES["bifocal"]))
    for said in (
        *("29.5", "33.0", "27.85 inset 1.65", "31.15 inset 1.85", "17.0 flat top 28", "18.0 flat top 28"),
        *("7.2 IN · 1.0 DOWN", "3.8 IN · 0.0", "5.5 IN · 3.0 UP", "2.0 IN · 4.0 UP", "28 wide", "inset 1.65"),
    ):
        assert said in text
    bare = text_of(document_of(JOB_SHEET, CASES["bare bifocal"]))
    assert "needs about" in bare


def trails(content: JobSheet) -> list[Trail]:
    """Give the open lines of a sheet's page, which are those of segments and crosses."""
    return [mark for mark in marks_of(document_of(JOB_SHEET, content).pages[0]) if isinstance(mark, Trail)]


def outlines(content: JobSheet) -> list[Outline]:
    """Give both lenses as drawn, right first."""
    page = document_of(JOB_SHEET, content).pages[0]
    found = [mark for mark in marks_of(page) if isinstance(mark, Outline)]
    return sorted(found, key=lambda outline: outline.extent[0])


def test_a_segment_is_drawn_as_wide_as_it_is_where_it_stands() -> None:
    """28 mm, its top 7.152 mm inward and 1 mm below the middle of the right lens, 3.848 and level on the left."""
    content = CASES["bifocal"]
    places = ((1, 7.152, -1.0), (-1, 3.848, 0.0))
    for lens, (nose, inward, up) in zip(outlines(content), places, strict=True):
        left, top, right, bottom = lens.extent
        middle, level = (left + right) / 2, (top + bottom) / 2
        own = [trail for trail in trails(content) if left < trail.extent[0] < right]
        level_line = next(trail for trail in own if trail.extent[1] == trail.extent[3])
        assert (level_line.extent[0] + level_line.extent[2]) / 2 == pytest.approx(middle + nose * inward * MM, abs=0.05)
        assert level_line.extent[1] == pytest.approx(level - up * MM, abs=0.05)
        # It is cut off where the lens ends.
        assert all(left - 1 <= trail.extent[0] and trail.extent[3] <= bottom + 1 for trail in own)


def test_a_full_width_segment_is_a_line_across_the_lens() -> None:
    """From rim to rim at the height of its top."""
    content = CASES["full width"]
    right_lens = outlines(content)[0].extent
    line = next(trail for trail in trails(content) if trail.extent[0] < right_lens[2])
    assert line.extent[0] == pytest.approx(right_lens[0], abs=3)
    assert line.extent[2] == pytest.approx(right_lens[2], abs=3)


def test_a_progressive_s_fitting_cross_is_drawn_above_the_dot() -> None:
    """The dot stands in the middle of the blank, 4 mm below the cross."""
    content = job_sheet(job("-2 DS add 2", "-2 DS add 2", lens=MARKED, use=LensUse.MULTIFOCAL))
    right = min(trails(content), key=lambda trail: trail.extent[0])
    page = document_of(JOB_SHEET, content).pages[0]
    dots = sorted((mark for mark in marks_of(page) if isinstance(mark, Circle)), key=lambda dot: dot.x)
    across, level = (right.extent[0] + right.extent[2]) / 2, (right.extent[1] + right.extent[3]) / 2
    assert dots[0].x == pytest.approx(across, abs=0.05)
    assert dots[0].y - level == pytest.approx(4 * MM, abs=0.05)


def test_dry_cutting_is_said_large_and_its_dust_in_strong_type() -> None:
    """Polycarbonate is cut dry."""
    texts = texts_of(document_of(JOB_SHEET, CASES["strong plus"]).pages[0])
    assert next(mark.style for mark in texts if mark.text == "CUT DRY").size >= 18
    assert next(mark.style for mark in texts if mark.text.startswith("DRY CUT")).bold


def test_a_missing_trace_is_said_white_on_black_and_no_layout_is_printed() -> None:
    """The sheet prints all the same."""
    document = document_of(JOB_SHEET, CASES["untraced"])
    notice = next(mark for mark in texts_of(document.pages[0]) if mark.text.startswith("NO TRACE"))
    assert (notice.style.bold, notice.style.ink) == (True, 1.0)
    text = text_of(document)
    assert "Decentration" not in text
    assert "Blank" not in text
    assert not any(isinstance(mark, Outline) for mark in marks_of(document.pages[0]))


def test_what_stops_and_what_is_asked_stands_above_the_rest() -> None:
    """Errors are white on black."""
    document = document_of(JOB_SHEET, replace(SAMPLE, stops=(SENTENCE,), asks=("Look at the corridor.",)))
    texts = texts_of(document.pages[0])
    stop = next(mark for mark in texts if mark.text.startswith("The right blank"))
    ask = next(mark for mark in texts if mark.text == "Look at the corridor.")
    power = next(mark for mark in texts if mark.text == "-3.25 -1.25 x 090")
    assert stop.y < ask.y < power.y
    assert (stop.style.ink, ask.style.ink) == (1.0, 0.0)


def test_that_nothing_is_to_be_made_stands_before_what_would_be_needed_to_make_it() -> None:
    """Nobody traces a frame for a job that another took the place of."""
    document = document_of(JOB_SHEET, replace(SAMPLE, shape=None, stops=("Do not make it.",)))
    texts = texts_of(document.pages[0])
    stop = next(mark for mark in texts if mark.text == "Do not make it.")
    untraced = next(mark for mark in texts if mark.text.startswith("NO TRACE"))
    assert stop.y < untraced.y


@pytest.mark.parametrize(
    ("left", "said"),
    [
        ({"decentration_in": -1.5, "offset_up": -2.0}, "1.5 OUT · 2.0 DOWN"),
        ({"decentration_in": 0.0, "offset_up": 0.0}, "0.0 · 0.0"),
        ({"blank": None}, "NONE needs 59.3"),
        ({"height": 17.0}, "TOO LOW by 1.0"),
        ({"height": 18.0}, "OK, 0.0 to spare"),
        ({"height": None}, "not measured"),
        ({"edge": None, "centre_thickness": None}, "cannot be made"),
        ({"near": True}, "31.5 near"),
    ],
)
def test_each_figure_has_its_words(left: dict[str, object], said: str) -> None:
    """In and out, up and down, too low and none are said, never left to a sign."""
    sheet = SAMPLE
    changed = replace(sheet.left, **left)  # type: ignore[arg-type] # each is a field of its own kind
    assert said in text_of(document_of(JOB_SHEET, replace(sheet, left=changed)))


def test_what_the_catalogue_does_not_keep_is_said() -> None:
    """Neither blanks nor a least height are made up."""
    eyes = (SAMPLE.right, SAMPLE.left)
    right, left = (replace(eye, blank=None, largest_blank=None, minimum_height=None) for eye in eyes)
    bare = replace(SAMPLE, minimum_height=None, corridor=None, right=right, left=left)
    text = text_of(document_of(JOB_SHEET, bare))
    assert "needs 59.3; diameters not kept" in text
    assert "Least height needed not kept" in text


def test_the_shapes_are_drawn_at_full_size() -> None:
    """Both outlines of the PDF, read back in millimetres, are the shape's within 0.02 mm."""
    content = CASES["strong minus"]
    assert content.shape is not None
    drawn = [path for path in paths(read(document_of(JOB_SHEET, content)).pages[0]) if len(path) > 100]
    assert len(drawn) == 2
    for points, outline in zip(drawn, (content.shape.right, content.shape.left), strict=True):
        dx, dy = points[0][0] / MM - outline[0][0], points[0][1] / MM - outline[0][1]
        for (x, y), (right, up) in zip(points, outline, strict=True):
            assert x / MM - dx == pytest.approx(right, abs=0.02)
            assert y / MM - dy == pytest.approx(up, abs=0.02)
    noses = max(x for x, _ in drawn[0]), min(x for x, _ in drawn[1])
    assert (noses[1] - noses[0]) / MM == pytest.approx(content.shape.dbl, abs=0.02)


@pytest.mark.parametrize("name", [name for name in CASES if name not in {"many words", "untraced", "hard"}])
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_sheet_of_one_job_keeps_its_drawing(name: str, paper: str) -> None:
    """Also with three strips, a bifocal's rows and five upgrades: the type gives way first, never below 12 points."""
    page = document_of(JOB_SHEET, CASES[name], size=paper).pages[0]
    assert sum(isinstance(mark, Outline) for mark in marks_of(page)) == 2
    powers = [mark.style.size for mark in texts_of(page) if mark.text == (CASES[name].right.power or "no prescription")]
    assert min(powers) >= 12


def test_shapes_without_room_are_left_out_and_that_is_said() -> None:
    """Figures come first: with many words on a page the drawing goes, and the command for it is named."""
    text = text_of(document_of(JOB_SHEET, CASES["many words"]))
    assert "found no room" in text
    assert "'shopledger trace draw'" in text


def test_words_without_end_are_refused() -> None:
    """A sheet never becomes two pages or unreadable."""
    with pytest.raises(DoesNotFitError, match="the sheet of job 57 does not fit"):
        document_of(JOB_SHEET, replace(SAMPLE, note="word " * 3000))


@pytest.mark.slow
def test_the_number_stands_in_bars_at_the_top() -> None:
    """A picture of the page is read by a decoder, where one is on the machine."""
    decoder = pytest.importorskip("zxingcpp", reason="no decoder is on this machine")
    image = pytest.importorskip("PIL.Image", reason="pillow opens the picture")
    if shutil.which("pdftoppm") is None:
        pytest.skip("poppler makes the picture")
    for content in CASES.values():
        made = subprocess.run(
            ["pdftoppm", "-r", "100", "-png"],
            input=painted(document_of(JOB_SHEET, content)),
            capture_output=True,
            check=True,
        )
        found = decoder.read_barcodes(image.open(io.BytesIO(made.stdout)))
        assert [bars.text for bars in found] == [str(content.job_number)]


def test_the_bars_of_a_page_are_those_of_its_number() -> None:
    """More than a dozen black boxes stand in the upper right, and the digits below them."""
    page = document_of(JOB_SHEET, SAMPLE).pages[0]
    bars = [mark for mark in marks_of(page) if isinstance(mark, Box) and mark.height == 44.0]
    assert len(bars) == 13
    below = next(mark for mark in texts_of(page) if mark.text == "57" and mark.x > bars[0].x)
    assert bars[0].y + bars[0].height < below.extent[1]


def own(**ways: str) -> Wording:
    """Give the shipped wording with the owner's ways of cutting."""
    words = read_wording("job")
    return replace(words, entries={**words.entries, **{f"cutting.{name}": way for name, way in ways.items()}})


def test_the_owner_s_way_of_cutting_is_read_from_the_wording() -> None:
    """What is left empty is as usual."""
    assert shop_cutting(read_wording("job")) == {}
    assert shop_cutting(own(urethane=" Dry ", polycarbonate="wet")) == {
        MaterialClass.URETHANE: "dry",
        MaterialClass.POLYCARBONATE: "wet",
    }


def test_a_way_of_cutting_that_is_none_is_refused() -> None:
    """With what may be written, and where."""
    with pytest.raises(RefusedError, match=r"cutting of urethane is 'moist'.*dry, wet, or empty.*job\.toml"):
        shop_cutting(own(urethane="moist"))


def test_the_same_sheet_gives_the_same_bytes() -> None:
    """A sheet can be printed again years later."""
    assert painted(document_of(JOB_SHEET, SAMPLE)) == painted(document_of(JOB_SHEET, SAMPLE))
