"""The calculators show what the optics say, and ask for what they need."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import Typed, done, read_json, trace_text, type_in

POWER = ("--power", "-2.50 -1.25 x 090")
LENS = (*POWER, "--material", "poly", "--circle", "60")
EYE = ("--right", "-2.50", "--measured-right", "-2.50")

IMPOSSIBLE = {
    "no number": (("transpose", "--sphere", "nan"), ("nan",)),
    "an infinite number": (("meridian", *POWER, "--at", "inf"), ("inf",)),
    "a power that no lens has": (("transpose", "--sphere", "-60.00"), ("-60", "40")),
    "a cylinder without axis": (("transpose", "--sphere", "-2", "--cylinder", "-1"), ("axis", "1 to 180")),
    "a sum that no lens has": (("cross", "--power", "+30.00", "--power", "+30.00"), ("60", "40")),
    "a focus between lens and eye": (
        ("vertex", "--sphere", "+40.00", "--tested-at", "30", "--worn-at", "5"),
        ("pass its own focus",),
    ),
    "a vertex distance that is none": (("vertex", *POWER, "--tested-at", "140", "--worn-at", "12"), ("140", "40")),
    "a lens turned too far": (("vertex", *POWER, "--tilt", "60", "--eye", "left"), ("60", "40")),
    "a point off the lens": (("prism", *POWER, "--eye", "left", "--inward", "1000"), ("1000", "100")),
    "a prism with its angle that is none": (("prism-combine", "--eye", "left", "--at", "2 BU"), ("2.50 at 037",)),
    "a share above the whole": (("prism-split", "--eye", "left", "--prism", "2 BU", "--share", "120"), ("120", "100")),
    "a material that is none": (("thickness", *LENS[:2], "--material", "oak", "--circle", "60"), ("oak", "1.67")),
    "an index that is none": (("thickness", *LENS[:2], "--material", "1.70", "--circle", "60"), ("1.70", "1.586")),
    "a name of two materials": (("thickness", *LENS[:2], "--material", "high", "--circle", "60"), ("more than one",)),
    "a box that is none": (("compare", *POWER, "--box", "52"), ("52", "52x36")),
    "an effective diameter beyond the box": (("compare", *POWER, "--box", "52x36", "--ed", "90"), ("90", "diagonal")),
    "a circle that is no lens": (("compare", *POWER, "--circle", "5"), ("5 mm", "10")),
    "a PD in centimetres": (("compare", *POWER, "--circle", "50", "--pd", "6.3", "--dbl", "18"), ("write 63",)),
    "a front curve that is none": (("compare", *POWER, "--circle", "50", "--base-curve", "90"), ("90",)),
    "a surface that ends before the edge": (
        ("thickness", "--sphere", "-20.00", "--material", "poly", "--circle", "90", "--base-curve", "0"),
        ("too steep to reach the edge at", "degrees"),
    ),
    "a quantity that is none": (("tolerance", "--also", "base curv", "6", "6"), ("base curv", "base curve")),
    "a quantity of another design": (("tolerance", "--also", "segment size", "28", "28"), ("single vision",)),
}


def test_a_power_is_typed_whole_or_in_parts() -> None:
    """Both ways give the same answer."""
    parts = ("--sphere", "-2.50", "--cylinder=-1.25", "--axis", "90")
    assert done(type_in("optics", "transpose", *POWER)).stdout == done(type_in("optics", "transpose", *parts)).stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("optics", "transpose"), "--power is missing"),
        (("optics", "transpose", "--power", "-2.50 add 2.00"), "only a power is wanted"),
        (("optics", "transpose", *POWER, "--axis", "90"), "as a whole and in parts"),
        (("optics", "transpose", "--axis", "90"), "--sphere is missing"),
        (("optics", "decentre", "--a", "52", "--dbl", "18"), "--pd is missing"),
        (("optics", "decentre", "--a", "52", "--dbl", "18", "--pd", "6.3"), "write 63"),
        (("optics", "decentre", "--a", "52", "--dbl", "18", "--pd", "63", "--height", "20"), "--b is missing"),
        (("optics", "blank"), "--trace is missing"),
        (("optics", "cross", "--power", "-2.50"), "--power is given once"),
        (("optics", "cross"), "'--power'"),
        (("optics", "vertex", *POWER), "--tested-at is missing"),
        (("optics", "vertex", *POWER, "--tested-at", "14"), "--worn-at is missing"),
        (("optics", "vertex", *POWER, "--tilt", "8"), "--eye is missing"),
        (("optics", "prism-combine", "--eye", "left"), "--prism is missing"),
        (("optics", "prism-imbalance", "--right", "-2.50", "--left", "-2.50 add 2.00"), "only a power is wanted"),
        (("optics", "thickness", *LENS[:-2]), "--trace is missing. Give one of --trace, --box and --circle."),
        (("optics", "thickness", *LENS, "--box", "52x36"), "--box and --circle are given"),
        (("optics", "thickness", *LENS, "--ed", "55"), "--ed is given without --box"),
        (("optics", "thickness", *LENS, "--pd", "63"), "--dbl is missing"),
        (("optics", "thickness", *LENS, "--dbl", "18"), "--dbl is given without a PD"),
        (
            ("optics", "thickness", *LENS, "--pd", "63", "--mono-pd", "31", "--dbl", "18"),
            "--pd and --mono-pd are given",
        ),
        (("optics", "thickness", *LENS, "--height", "20", "--upward", "1"), "--height and --upward are given"),
        (("optics", "thickness", *LENS, "--min-centre", "2", "--centre-thickness", "2"), "Give one of them"),
        (("optics", "thickness", *POWER, "--circle", "60"), "'--material'"),
        (("optics", "tolerance"), "--right is missing"),
        (("optics", "tolerance", "--right", "-2.50"), "--measured-right is missing"),
        (("optics", "tolerance", "--measured-left", "-2.50"), "--left is missing"),
        (("optics", "tolerance", *EYE, "--pd", "63"), "--measured-pd is missing"),
        (("optics", "tolerance", *EYE, "--measured-pd", "63"), "--pd is missing"),
        (("optics", "tolerance", *EYE, "--pd", "63", "--measured-pd", "63"), "--right and --left are needed"),
        (("optics", "tolerance", *EYE, "--pd", "63", "--measured-pd-left", "31"), "--measured-pd-right and"),
        (("optics", "tolerance", "--right", "-2.50 add 2.00", "--measured-right", "-2.50"), "--design multifocal"),
        (("optics", "tolerance", "--design", "multifocal", "--right", "-2.50 add 2", *EYE[2:]), "--measured-right has"),
        (("claim", "code", "--lens", "progressive"), "--power is missing"),
    ],
)
def test_what_a_calculator_needs_is_named(words: tuple[str, ...], said: str) -> None:
    """A refusal names the option or what to type."""
    result = type_in(*words)
    assert result.exit_code in {2, 20, 30}
    assert said in result.stderr


def test_figures_are_shown_for_reading() -> None:
    """With their units, and the way in words."""
    assert "-3.75 D" in done(type_in("optics", "meridian", *POWER, "--at", "180")).stdout
    prism = done(type_in("optics", "prism", *POWER, "--eye", "right", "--upward", "-10")).stdout
    # Prentice: 2.50 D along 90, 10 mm below the centre of a minus lens, is 2.50 base down.
    assert "2.50 BD" in prism
    assert "10.0 mm down" in prism
    moved = done(
        type_in("optics", "decentre", "--a", "52", "--dbl", "18", "--pd-right", "36", "--pd-left", "33")
    ).stdout
    assert "1.0 mm outward" in moved
    assert "2.0 mm inward" in moved
    assert "trust the trace" in done(type_in("optics", "blank", "--ed", "55", "--upward", "2")).stdout


def test_a_blank_from_a_trace_is_exact(typed: Typed, trace_file: Path) -> None:
    """An ellipse of 52 by 36 needs its width, twice the shift, and the allowance; no ledger is opened."""
    result = read_json(type_in("optics", "blank", "--trace", str(trace_file), "--inward", "3", "--json"))
    assert result["right"] == {"exact": 60.0, "rule_of_thumb": 60.0}
    assert "60.0" in done(typed("optics", "blank", "--trace", str(trace_file), "--inward", "3")).stdout
    both = type_in("optics", "blank", "--trace", str(trace_file), "--ed", "55")
    assert both.exit_code == 2
    assert "the trace has its own" in both.stderr


def test_a_power_between_the_bands_is_left_to_the_owner() -> None:
    """No power is rounded into a band; the codes to choose from are named, and the table's age is told."""
    result = done(
        type_in("claim", "code", "--lens", "single-vision", "--sphere", "-2.50", "--cylinder", "-2.05", "--axis", "90")
    )
    assert "none" in result.stdout
    assert "V2199" in result.stdout
    assert "plan's own rules" in result.stderr


def test_each_charge_of_a_lens_has_its_code() -> None:
    """The progressive design, a high add, a material and a coating are coded beside the lens."""
    words = ("--lens", "progressive", "--power", "-2.50 -1.25 x 090 add 3.50", "--material", "polycarbonate")
    result = read_json(type_in("claim", "code", *words, "--index", "1.586", "--extra", "anti-reflective", "--json"))
    codes = {pick["charge"]: pick["code"] for pick in result["picks"]}
    beside = {"design": "V2781", "add": "V2220", "material": "V2784", "anti-reflective": "V2750"}
    assert codes == {"lens": "V2203", **beside}


def test_a_power_moves_with_the_vertex_distance() -> None:
    """Minus ten found at 14 mm and worn at 12 mm is weaker: 10 over 1.02, by the thin-lens formula."""
    result = read_json(
        type_in("optics", "vertex", "--sphere", "-10.00", "--tested-at", "14", "--worn-at", "12", "--json")
    )
    assert result["sphere"] == pytest.approx(-10 / 1.02, abs=5e-5)
    assert "at 12 mm" in done(type_in("optics", "vertex", *POWER, "--tested-at", "14", "--worn-at", "12")).stdout


@pytest.mark.parametrize(("words", "said"), IMPOSSIBLE.values(), ids=IMPOSSIBLE)
def test_what_cannot_be_is_refused_in_one_line(words: tuple[str, ...], said: tuple[str, ...]) -> None:
    """What was given and what is allowed stand on stderr, and nothing on stdout."""
    result = type_in("optics", *words)
    assert result.exit_code in {2, 20, 30}, result.output
    assert result.stdout == ""
    assert result.stderr.startswith("Error: ")
    assert result.stderr.count("\n") == 1
    assert [part for part in said if part not in result.stderr] == []


def test_a_lens_too_thin_says_where_and_what_would_do() -> None:
    """The centre thickness in the sentence is enough, and a fiftieth of a millimetre less is not."""
    lens = ("optics", "thickness", "--sphere", "+5.00", "--material", "poly", "--circle", "60", "--json")
    refused = type_in(*lens, "--centre-thickness", "1.5")
    assert refused.exit_code == 20
    found = re.search(r"at (\d+) degrees .* A centre thickness of (\d+\.\d\d) mm would do", refused.stderr)
    assert found is not None
    enough = float(found[2])
    made = read_json(type_in(*lens, "--centre-thickness", f"{enough:.2f}"))
    assert (made["centre_thickness"], made["thinnest_edge"]) == (enough, pytest.approx(1.0, abs=0.015))
    assert type_in(*lens, "--centre-thickness", f"{enough - 0.02:.2f}").exit_code == 20


def test_the_thickest_place_is_said_in_words_for_either_eye() -> None:
    """A minus lens that is moved toward the nose is thickest at the temple, which is left of a right lens only."""
    words = (
        "optics",
        "thickness",
        "--sphere",
        "-5",
        "--material",
        "1.67",
        "--box",
        "52x36",
        "--pd",
        "60",
        "--dbl",
        "18",
    )
    right, left = (done(type_in(*words, "--eye", eye)).stdout for eye in ("right", "left"))
    assert "5.0 mm inward from the boxed centre" in right
    assert "at 180°, toward the temple" in right
    assert "at 0°, toward the temple" in left
    centred = done(type_in("optics", "thickness", "--sphere", "-5", "--material", "1.67", "--circle", "50")).stdout
    assert "all round" in centred


def test_a_shape_and_its_centre_come_from_a_trace_file(trace_file: Path) -> None:
    """The file says the distance between lenses, so a PD alone places the centre: half of 52 + 18 less 31.5."""
    words = ("optics", "compare", *POWER, "--trace", str(trace_file), "--eye", "left", "--height", "20", "--json")
    compared = read_json(type_in(*words, "--pd", "63"))
    assert (compared["inward"], compared["upward"], compared["eye"]) == (3.5, 2.0, "left")
    assert read_json(type_in(*words, "--mono-pd", "30"))["inward"] == 5.0
    assert read_json(type_in(*words, "--pd", "63", "--dbl", "20"))["inward"] == 4.5


@pytest.mark.parametrize(
    ("typed_as", "name"),
    [
        ("1.5", "hard resin 1.50"),
        ("1.498", "hard resin 1.50"),
        ("1.53", "urethane 1.53"),
        ("1.59", "polycarbonate 1.59"),
        ("1.6", "high index 1.60"),
        ("Crown", "crown glass 1.52"),
    ],
)
def test_a_material_is_found_by_name_or_index(typed_as: str, name: str) -> None:
    """A part of the name is enough, and an index need not be written as the list has it."""
    lens = ("optics", "thickness", *POWER, "--circle", "50", "--material", typed_as, "--json")
    assert read_json(type_in(*lens))["material"] == name


def test_a_mounting_decides_how_thin_a_lens_may_be() -> None:
    """A low-impact safety lens keeps 3 mm everywhere; an edge that is given wins over the usual one."""
    lens = ("optics", "compare", "--sphere", "-3", "--circle", "50", "--material", "poly", "--json")
    assert read_json(type_in(*lens))["materials"][0]["centre_thickness"] == 1.3
    assert read_json(type_in(*lens, "--mounting", "safety"))["materials"][0]["centre_thickness"] == 3.0
    plus = ("optics", "thickness", "--sphere", "+3", "--circle", "50", "--material", "poly", "--json")
    assert read_json(type_in(*plus, "--min-edge", "1.4"))["thinnest_edge"] == 1.4


def test_materials_are_compared_side_by_side_and_a_refusal_has_its_reason() -> None:
    """What cannot be made keeps its row, and the reason stands below."""
    shown = done(type_in("optics", "compare", "--sphere", "-20.00", "--circle", "70", "--base-curve", "0")).stdout
    assert "Cannot be made" in shown
    assert "26.30" in shown
    assert max(map(len, shown.splitlines())) <= 80


def test_a_lens_outside_its_tolerance_ends_with_20() -> None:
    """A sphere of 2.50 may be off by 0.13; the figures and the rule are shown all the same."""
    passed = done(type_in("optics", "tolerance", "--right", "-2.50", "--measured-right", "-2.62"))
    assert "OUTSIDE" not in passed.stdout
    failed = type_in("optics", "tolerance", "--right", "-2.50", "--measured-right", "-2.75")
    assert failed.exit_code == 20
    assert "OUTSIDE" in failed.stdout
    assert "sphere up to 6.5 D" in failed.stdout
    assert failed.stderr == "Error: outside the tolerance: right sphere. Remake it, or order it again.\n"


@pytest.mark.parametrize(
    ("design", "found", "passed"),
    [
        # 3 mm of PD at 3 D is 0.9 prism dioptres: more than 0.67, and more than 2.5 mm.
        ("single-vision", ("-3.00", "65", "18"), False),
        # At 1 D it is 0.3.
        ("single-vision", ("-1.00", "65", "18"), True),
        ("multifocal", ("-1.00 add 2.00", "62", "19.5"), False),
        ("progressive", ("-1.00 add 2.00", "62", "18.5"), True),
        ("progressive", ("-1.00 add 2.00", "62", "20"), False),
    ],
)
def test_each_design_has_its_own_rules(design: str, found: tuple[str, str, str], passed: bool) -> None:
    """PD passes on prism or on millimetres; a height of a multifocal or progressive may be off by 1 mm."""
    power, pd, height = found
    eyes = [word for name in ("right", "measured-right", "left", "measured-left") for word in (f"--{name}", power)]
    placed = ("--pd", "62", "--measured-pd", pd, "--height", "18", "--measured-height", height)
    result = type_in("optics", "tolerance", "--design", design, *eyes, *placed)
    assert result.exit_code == (0 if passed else 20), result.output
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_prism_is_judged_by_what_it_is_off_whichever_way_it_points() -> None:
    """Two up ordered and two in measured differ by 2.83, though both are two."""
    words = ("optics", "tolerance", "--right", "-2.50 2.00 BU", "--measured-right", "-2.50 2.00 BI", "--json")
    verdict = json.loads(type_in(*words).stdout)["verdicts"][-1]
    assert (verdict["quantity"], verdict["ordered"], verdict["measured"]) == ("prism at reference point", 2.0, 2.0)
    assert verdict["difference"] == pytest.approx(2 * 2**0.5, abs=1e-4)
    assert not verdict["passed"]


def test_an_add_is_judged_by_its_own_row() -> None:
    """Up to 4.00 an add may be off by an eighth."""
    words = ("optics", "tolerance", "--design", "progressive", "--right", "-2.50 add 2.00", "--measured-right")
    assert type_in(*words, "-2.50 add 2.12").exit_code == 0
    assert type_in(*words, "-2.50 add 2.25").exit_code == 20


def test_a_trace_file_is_drawn_with_its_figures(trace_file: Path) -> None:
    """Figures, picture and findings, without any ledger."""
    shown = done(type_in("optics", "trace", str(trace_file))).stdout
    assert "52.00   36.00" in shown
    assert "⠉" in shown
    assert "nothing to ask about" in shown


def test_a_trace_file_may_hold_less_than_a_frame(tmp_path: Path) -> None:
    """Without a distance between lenses it is said so, or taken as given; one eye is mirrored for the other."""
    file = tmp_path / "one.txt"
    eye = trace_text().replace("DBL=18.00", "").split("TRCFMT=1;400;E;L;F")[0]
    file.write_text(eye, encoding="ascii")
    shown = done(type_in("optics", "trace", str(file))).stdout
    assert "not in the file" in shown
    assert "mirror image" in shown
    told = read_json(type_in("optics", "trace", str(file), "--dbl", "17", "--json"))
    assert (told["dbl"], told["one_eye"]) == (17.0, True)
    both = type_in("optics", "trace", str(file), str(file), "--dbl", "17")
    assert both.exit_code == 2
    assert "only shapes are compared" in both.stderr


def test_what_is_found_on_a_trace_file_is_told(tmp_path: Path) -> None:
    """A file that states another width than its own radii have belongs to another frame, or was changed."""
    file = tmp_path / "stated.txt"
    file.write_text(trace_text() + "HBOX=54.00;52.00\r\n", encoding="ascii")
    (finding,) = read_json(type_in("optics", "trace", str(file), "--json"))["findings"]
    assert (finding["field"], finding["value"]) == ("right.trace.a", "52.00")
    shown = done(type_in("optics", "trace", str(file))).stdout
    assert finding["code"] in shown


def test_a_turned_shape_is_laid_back(trace_file: Path, tmp_path: Path) -> None:
    """An ellipse that stands upright is the same shape after a quarter of a turn."""
    upright = tmp_path / "upright.txt"
    upright.write_text(trace_text(width=36.0, height=52.0), encoding="ascii")
    shown = done(type_in("optics", "trace", str(trace_file), str(upright))).stdout
    assert "turned +90.0°" in shown or "turned -90.0°" in shown
    right = read_json(type_in("optics", "trace", str(trace_file), str(upright), "--json"))["right"]
    assert right["worst"] == pytest.approx(0, abs=0.05)


def test_a_table_of_radii_does_where_a_trace_file_does(tmp_path: Path) -> None:
    """A circle of 50 mm as CSV is boxed 50 by 50; a centred sphere's edge in it is the same all round."""
    file = tmp_path / "round.csv"
    file.write_text("right,left\n" + "25.00,25.00\n" * 360, encoding="utf-8")
    shown = read_json(type_in("optics", "trace", str(file), "--json"))
    assert [(shown[eye]["a"], shown[eye]["b"]) for eye in ("right", "left")] == [(50.0, 50.0)] * 2
    words = ("--power", "-4.00 DS", "--material", "1.67", "--trace", str(file), "--inward", "0", "--json")
    thick = read_json(type_in("optics", "thickness", *words))
    assert thick["thickest_edge"] == thick["thinnest_edge"]
    # Twice 25 mm and the allowance of 2 mm.
    assert read_json(type_in("optics", "blank", "--trace", str(file), "--json"))["right"]["exact"] == 52.0


@pytest.mark.parametrize(
    ("power", "lean", "said"),
    [
        ("-4.00 DS", ("--tilt", "10"), False),
        ("-4.00 DS", ("--tilt", "15", "--wrap", "5"), False),
        ("-4.00 DS", ("--tilt", "16"), True),
        ("-4.00 DS", ("--wrap", "26"), True),
        ("+6.00 DS", ("--tilt", "15", "--wrap", "25"), True),  # each within its range, and both together 0.21 D off
    ],
)
def test_a_lens_that_leans_far_is_looked_at_by_a_ray(power: str, lean: tuple[str, ...], said: bool) -> None:
    """Beyond 15 degrees of tilt, 25 of wrap, or an eighth of a dioptre, the size of the formula's error is said."""
    shown = done(type_in("optics", "vertex", f"--power={power}", *lean, "--eye", "right")).stdout
    assert ("the formula is off by" in shown) is said
    assert ("met by that ray" in shown) is said
