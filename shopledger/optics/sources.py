"""Where each rule and number is from; `how_known` tells an owner how far to trust it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

HowKnown: TypeAlias = Literal["read", "second-hand", "memory", "common practice", "definition"]


@dataclass(frozen=True, slots=True)
class Source:
    """A citation and how it is known: read (at least in part), second-hand, from memory, or nobody's."""

    citation: str
    how_known: HowKnown


SOURCES: dict[str, Source] = {
    "definition": Source("Follows from the definition of the quantity", "definition"),
    "common_practice": Source("Common practice of the trade, no source", "common practice"),
    "memory": Source("Value from memory, not checked", "memory"),
    "maker": Source("Stated by the maker of the lens design", "common practice"),
    "ansi_z80_1": Source(
        "ANSI Z80.1-2015, after quick references and summaries; the standard was not read", "second-hand"
    ),
    "ansi_z80_1_1999": Source("ANSI Z80.1-1999, after a published copy of its tables", "second-hand"),
    "iso_21987": Source("ISO 21987:2017, only its title pages were read", "memory"),
    "iso_8624": Source("ISO 8624:2011 and 2020, Measuring system for spectacle frames, excerpts", "second-hand"),
    "iso_8429": Source("ISO 8429:1986, Graduated dial scale, after textbooks", "second-hand"),
    "bs_7394": Source("BS 7394-2, classes of refractive index, after M. Jalie's data page", "second-hand"),
    "dcs": Source("Data Communication Standard 3.12 (2018), contents read, body from memory", "memory"),
    "jalie_2024": Source("M. Jalie, Lens Talk, The Indian Optician, Nov-Dec 2024, pp. 133-134", "read"),
    "jalie_2022": Source("M. Jalie, Lens Talk, The Indian Optician, Sept-Oct 2022, p. 108", "read"),
    "long_1976": Source(
        "W. F. Long, Am J Optom Physiol Opt 53 (1976) 27-33; abstract read, formula from memory", "memory"
    ),
    "thibos_1997": Source(
        "L. N. Thibos, W. Wheeler, D. Horner, Optom Vis Sci 74 (1997) 367-375; abstract read, formula from memory",
        "memory",
    ),
    "dodgson_2004": Source("N. A. Dodgson, Variation and extrema of human interpupillary distance, 2004", "read"),
    "mccarthy_2013": Source("P. McCarthy, Back to basics in dispensing, part 8: anisometropia, 2013", "read"),
    "cet_article": Source("A continuing-education article on anisometropia of 2 D and more", "read"),
    "nfos_06": Source("NFOS opticianry degree, opt11, answers 06a and 06c: surface and nominal power", "read"),
    "nfos_10a": Source("NFOS opticianry degree, opt11, practice answers 10a: oblique meridian", "read"),
    "nfos_11a": Source("NFOS opticianry degree, opt11, practice answers 11a: vertex power", "read"),
    "nfos_12": Source("NFOS opticianry degree, opt12, module 01: resultant prism", "read"),
    "nfos_13a": Source("NFOS opticianry degree, opt11, answers 13a: Prentice's rule", "read"),
    "opt_1156": Source("OPT-1156 Ophthalmic Lens II, unit 1 study cards", "read"),
    "dispensing_course": Source("A free dispensing course, answers of its twelve-question quizzes", "read"),
    "blank_article": Source("An article on mastering minimum blank size, practice exercise", "read"),
    "blank_thread": Source("A forum thread on calculating minimum lens blank size, 21 June 2000", "read"),
    "nao_vol_3": Source("NAO career progression, volume 3, questions and answers", "read"),
    "transposition_page": Source("Glasses or spectacle power transposition, an eye-care page, December 2021", "read"),
    "spectacle_skills": Source("Spectacle skills, a page for ophthalmic technicians", "read"),
    "comt_quiz": Source("COMT practice quiz, question 44547", "read"),
    "noce_guide": Source("NOCE study guide 2.3: spherical equivalent and transposition", "read"),
    "abo_guide": Source("ABO advanced study guide 3.1: prescriptions, cylinders, transposition", "read"),
    "vertex_power_page": Source(
        "Problem solving: back vertex power, an opticianry education page, November 2009", "read"
    ),
    "vertex_cards": Source("Study cards on vertex distance and effective power", "read"),
    "vertex_calculator": Source("A calculator page on contact lens vertex correction", "read"),
    "optics_quiz": Source("Ophthalmology optics quick quiz, answers", "read"),
    "lens_clock_page": Source("An encyclopaedia's article on the lens clock, example", "read"),
    "master_exam": Source("D. Meister, practice Master exam, questions with printed choices", "read"),
    "eop_601": Source("J. Loomis, EOP 601 lecture notes, University of Dayton, 2011: sags and edge thickness", "read"),
    "crossed_thread": Source("A student forum's thread on combining cylinders", "read"),
    "z80_white_paper": Source("D. Torgersen, white paper on ANSI Z80.1-2005, March 2006", "read"),
    "customization_2015": Source("B. Santini, Customization, a trade course, November 2015", "read"),
    "vogel": Source("Vogel's rule for front curves, after two teaching pages", "common practice"),
    "base_curve_cards": Source("Study cards on base curves of a pair", "common practice"),
    "position_of_wear": Source("Martin's formulae for tilt, after teaching pages; from memory", "memory"),
    "clinic_page": Source("A clinic's page on low-impact safety lenses, 3.0 mm", "read"),
    "svg": Source("W3C, Scalable Vector Graphics 1.1, path data; from memory", "memory"),
    "materials_page": Source("A lens laboratory's page on materials; fair for a default", "second-hand"),
    "edging_articles": Source("Two trade articles on edging polycarbonate, one of October 2004", "common practice"),
    "b270_data": Source("Data sheet of B270 glass, through an open index database", "read"),
    "index_database": Source("Open refractive index database, CC0, version of May 2026", "read"),
    "standards_page": Source("A study page on the ANSI standards, after the edition of 2015", "read"),
}
"""Each key as it stands in docstrings and findings, with what it means."""
