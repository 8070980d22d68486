"""The glossary: every name that a public function of optics takes, what it means, and its unit."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """What a name means, and the unit in which it is given; a dash where it has none."""

    meaning: str
    unit: str


def _rows(*rows: tuple[str, str, str]) -> dict[str, Quantity]:
    """Make the glossary from rows of name, meaning, unit."""
    return {name: Quantity(meaning, unit) for name, meaning, unit in rows}


QUANTITIES: dict[str, Quantity] = _rows(
    ("a", "boxed width of the lens", "mm"),
    ("add", "what near needs above distance", "D"),
    ("allowance", "added to a blank for the edge", "mm"),
    ("amount", "size of a prism", "prism dioptres"),
    ("angle", "angle of a meridian", "degrees"),
    ("axis", "axis of the cylinder, 1 to 180, standard notation", "degrees"),
    ("b", "boxed height of the lens", "mm"),
    ("back", "back surface power", "D"),
    ("base_angle", "base of a prism, 0 to 360, counter-clockwise for who faces the wearer", "degrees"),
    ("base_curve", "front curve as marked", "D"),
    ("below", "how far below a point", "mm"),
    ("blank", "diameter of an uncut lens", "mm"),
    ("blanks", "diameters of the right and the left uncut lens", "mm"),
    ("bridge", "distance between lenses as marked on the frame", "mm"),
    ("centre", "optical centre from the boxed centre: inward, upward", "mm"),
    ("centre_thickness", "thickness on the optical axis", "mm"),
    ("child", "whether the wearer is a child", "-"),
    ("clock_index", "index for which a lens clock is made", "-"),
    ("count", "number of radii", "-"),
    ("curve_index", "index for which front curves are marked", "-"),
    ("dbl", "distance between lenses", "mm"),
    ("decentration_in", "a point inward of the boxed centre; outward is minus", "mm"),
    ("decentration_per_lens", "decentration of one lens, either way", "mm"),
    ("density", "density of the material", "g/cm3"),
    ("distance", "a distance, or a distance power", "mm or D"),
    ("ed", "effective diameter: twice the longest radius from the boxed centre", "mm"),
    ("expires_on", "day until which a prescription may be used, as written", "day"),
    ("eye", "what belongs to one eye", "-"),
    ("eye_size", "boxed width as marked on the frame", "mm"),
    ("findings", "what checks found", "-"),
    ("first", "a power", "D"),
    ("fitting_height", "from the lowest point of the lens to the pupil", "mm"),
    ("flattest", "flattest front curve in stock", "D"),
    ("frame_trace", "both shapes of a frame", "mm"),
    ("front", "front surface power", "D"),
    ("high", "the most that is allowed", "any"),
    ("index", "refractive index", "-"),
    ("intermediate", "what a screen needs above distance, as prescribed", "D"),
    ("inward", "toward the nose; outward is minus", "mm"),
    ("left", "the left eye's", "-"),
    ("low", "the least that is allowed", "any"),
    ("matrix", "power matrix, x to the right of who faces the wearer, y up", "D"),
    ("measurements", "both eyes' PD and heights", "mm"),
    ("mend", "what to do about a refused value", "-"),
    ("meridian", "a meridian in standard notation", "degrees"),
    ("min_centre", "least centre thickness", "mm"),
    ("min_edge", "least edge thickness", "mm"),
    ("minimum_fitting_height", "least height, as the maker states for the design", "mm"),
    ("mono_pd", "distance from the middle of the bridge to one pupil", "mm"),
    ("name", "what a thing is called", "-"),
    ("offset_up", "a point above the boxed centre; below is minus", "mm"),
    ("one", "a power to compare", "D"),
    ("other", "the power to compare it with", "D"),
    ("others", "more powers", "D"),
    ("points", "points from the optical centre, rows x and y", "mm"),
    ("power", "a power", "D"),
    ("prescription", "what is written for both eyes", "D"),
    ("previous", "the last prescription of the same wearer", "D"),
    ("prism", "a prism with its base", "prism dioptres"),
    ("prisms", "prisms before the same eye", "prism dioptres"),
    ("progressive", "whether a multifocal is a progressive", "-"),
    ("radii", "radii at equal angles from 3 o'clock counter-clockwise", "mm"),
    ("radius", "radius of a surface; infinity is a plane", "mm"),
    ("reading", "what a lens clock shows", "D"),
    ("reading_below", "reading point under the optical centre", "mm"),
    ("right", "the right eye's", "-"),
    ("screen_share", "share of the add that a screen needs", "-"),
    ("side", "the right or the left eye", "-"),
    ("signed", "whether a sign must be written", "-"),
    ("stated", "what a file or card says of a shape", "mm"),
    ("stated_left", "what a file or card says of the left shape", "mm"),
    ("stated_right", "what a file or card says of the right shape", "mm"),
    ("steepest", "steepest front curve in stock", "D"),
    ("surfaces", "both sides of a lens", "D"),
    ("text", "what was typed", "-"),
    ("today", "the day of asking", "day"),
    ("trace", "one eye's traced shape", "mm"),
    ("unit", "the unit of a refused value", "-"),
    ("upward", "up; down is minus", "mm"),
    ("use", "what a pair is made for", "-"),
    ("value", "a number to look at", "any"),
    ("written_on", "day of the prescription", "day"),
    ("x", "to the right of who faces the wearer", "mm"),
    ("y", "up", "mm"),
)
"""Each parameter name, in alphabetical order."""
