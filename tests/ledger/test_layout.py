"""Laying a lens into a frame: centres, blanks and thickness, worked out by hand for round shapes.

Round shapes of 25 mm radius with a vertex every 5 degrees: boxed 50 by 50 mm, centre in the middle. With 18 mm
between them half of the frame's PD is 34 mm. The lens's index is 1.53, for which front curves are marked, so that a
marked curve is a true power; edges are then those of spheres (sagitta r - sqrt(r² - y²), r = 530 / F).
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shopledger.ledger.catalogue import Lens
from shopledger.ledger.layout import PairLayout, lay_out, lay_out_each
from shopledger.ledger.settings import Settings
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.shelf import LINED, MARKED, SINGLE

ROUND = FrameTrace(Trace(Side.RIGHT, (2500,) * 72), Trace(Side.LEFT, (2500,) * 72), 18)
CENTRED = Measurements(EyeMeasurements(34), EyeMeasurements(34))
MOVED = Measurements(EyeMeasurements(31.5, 29.0, 27.5), EyeMeasurements(34.0, 31.5, 22.0))
LENS = replace(SINGLE, index=1.53, density=1.3, min_centre=2.0, blank_diameters=(50, 55, 60))
MINUS_4 = Prescription(EyePrescription(SphereCylinder(-4)), EyePrescription(SphereCylinder(-4)))


def laid(
    lens: Lens = LENS,
    made: Prescription = MINUS_4,
    measured: Measurements = CENTRED,
    use: LensUse = LensUse.DISTANCE,
    settings: Settings | None = None,
) -> PairLayout:
    """Lay a pair into the round frame."""
    return lay_out(dict.fromkeys(Side, lens), made, ROUND, measured, use, settings or Settings())


def spheres(right: float, left: float) -> Prescription:
    """Give two spheres to make."""
    return Prescription(EyePrescription(SphereCylinder(right)), EyePrescription(SphereCylinder(left)))


def sagitta(power: float, height: float) -> float:
    """Give the depth in mm of a surface of that power, at that height, for an index of 1.53."""
    radius = 530 / power
    return radius - math.copysign(math.sqrt(radius**2 - height**2), radius)


def back_of(power: float, front: float, thickness: float) -> float:
    """Give the back surface that makes a back vertex power on that front: F2 = F - F1 / (1 - t F1 / n)."""
    return power - front / (1 - thickness / 1000 / 1.53 * front)


def test_centres_stand_inward_and_up_from_the_boxed_middle() -> None:
    """34 less the monocular PD inward; the height less half of 50 up; without a height in the middle."""
    eyes = laid(measured=MOVED).eyes
    assert [(eye.decentration_in, eye.offset_up) for eye in eyes] == [
        pytest.approx((2.5, 2.5)),
        pytest.approx((0.0, -3.0)),
    ]
    assert [(eye.decentration_in, eye.offset_up) for eye in laid().eyes] == [(0, 0), (0, 0)]


def test_a_reading_pair_is_centred_for_the_near_pd() -> None:
    """34 less 29.0 and 34 less 31.5; any other use takes the distance PD."""
    reading = laid(measured=MOVED, use=LensUse.READING)
    assert [eye.decentration_in for eye in reading.eyes] == pytest.approx([5.0, 2.5])
    screen = laid(measured=MOVED, use=LensUse.SCREEN)
    assert [eye.decentration_in for eye in screen.eyes] == pytest.approx([2.5, 0.0])


def test_a_segment_is_laid_out_at_the_near_pd_and_its_distance_centre_at_the_distance_pd() -> None:
    """34 less near 29 and far 31.5; 2 in and 4 down on the blank, the distance centre 4 above the segment's top."""
    right, left = laid(LINED, measured=MOVED, use=LensUse.MULTIFOCAL).eyes
    assert right.fitted.centre == pytest.approx((5.0, 2.5))
    assert right.centre == pytest.approx((2.5, 6.5))
    assert right.blank_middle.centre == pytest.approx((3.0, 6.5))
    assert left.fitted.centre == pytest.approx((2.5, -3.0))
    assert left.centre == pytest.approx((0.0, 1.0))
    assert right.blank_needed == pytest.approx(2 * (25 + math.hypot(3.0, 6.5)) + 2, abs=0.05)
    assert (right.lined, right.assumed) == (True, False)
    assert right.level.centre == pytest.approx((2.5, 2.5))


def test_a_progressive_s_blank_hangs_below_its_cross() -> None:
    """The cross stands 4 above the middle of the blank, where prism is nil; where nothing is known, in the middle."""
    right = laid(MARKED, measured=MOVED, use=LensUse.MULTIFOCAL).right
    assert right.fitted.centre == pytest.approx((2.5, 2.5))
    assert right.blank_middle.centre == right.centre == pytest.approx((2.5, -1.5))
    bare = laid(replace(MARKED, fitting_up=None), measured=MOVED, use=LensUse.MULTIFOCAL).right
    assert bare.blank_middle.centre == bare.centre == pytest.approx((2.5, 2.5))
    assert bare.assumed


def test_the_shape_is_measured_for_each_eye() -> None:
    """Right, then left, both 50 by 50 mm."""
    layout = laid()
    assert [eye.side for eye in layout.eyes] == [Side.RIGHT, Side.LEFT]
    assert [(eye.boxed.a, eye.boxed.b) for eye in layout.eyes] == [pytest.approx((50, 50))] * 2


def test_the_exact_blank_reaches_the_farthest_vertex() -> None:
    """Moved 2.5 in and 2.5 up the farthest vertex lies straight behind: twice 25 and 3.5355, and 2 mm to grind."""
    right, left = laid(measured=MOVED).eyes
    assert right.blank_needed == pytest.approx(2 * (25 + math.hypot(2.5, 2.5)) + 2)
    assert left.blank_needed == pytest.approx(2 * (25 + 3) + 2)


def test_the_rule_of_thumb_stands_beside_it() -> None:
    """Effective diameter, twice the decentration and the allowance: it does not see the vertical shift."""
    assert [eye.blank_by_rule for eye in laid(measured=MOVED).eyes] == pytest.approx([50 + 5 + 2, 50 + 2])


def test_the_allowance_is_the_shop_s_setting() -> None:
    """5 mm instead of 2, on both figures."""
    eye = laid(settings=Settings(blank_allowance=5.0)).right
    assert (eye.blank_needed, eye.blank_by_rule) == pytest.approx((55, 55))


@pytest.mark.parametrize(("diameters", "blank"), [((65, 50, 60, 55), 55), ((51.9,), None), ((52.1,), 52.1), ((), None)])
def test_the_smallest_diameter_that_covers_is_chosen(diameters: tuple[float, ...], blank: float | None) -> None:
    """52 mm are needed; where none of the maker's covers, or none is known, there is none."""
    assert laid(replace(LENS, blank_diameters=diameters)).right.blank == blank


@pytest.mark.parametrize(
    ("right", "left", "curve"),
    [(-4.0, -2.0, 4.0), (-2.0, -4.0, 4.0), (2.0, 1.0, 8.0), (-2.0, 1.0, 7.0)],
)
def test_both_lenses_share_one_front_curve(right: float, left: float, curve: float) -> None:
    """Half the power and 6 for minus, the power and 6 for plus; the flatter of a minus pair, else the steeper."""
    assert laid(made=spheres(right, left)).base_curve == pytest.approx(curve)


def test_a_minus_lens_has_its_least_centre_and_a_thick_edge() -> None:
    """-4.00 on a front of 4.00: the edge is 2.0 less the front's depth and more the back's, all round."""
    body = laid().right.body
    assert body is not None
    back = -back_of(-4, 4, 2.0)
    edge = 2.0 - sagitta(4, 25) + sagitta(back, 25)
    assert body.centre_thickness == 2.0
    assert (body.thickest, body.thinnest) == pytest.approx((edge, edge), abs=1e-6)
    assert edge == pytest.approx(4.532, abs=0.0005)  # by pocket calculator: 2.0 - 2.380 + 4.912


def test_the_thickest_edge_is_that_of_the_stronger_lens() -> None:
    """The pair's figure is the larger of both lenses."""
    layout = laid(made=spheres(-4, -2))
    assert layout.right.body is not None
    assert layout.left.body is not None
    assert layout.right.body.thickest > layout.left.body.thickest
    assert layout.thickest == layout.right.body.thickest
    assert laid(made=spheres(-2, -4)).thickest == pytest.approx(layout.thickest)


def test_a_pair_weighs_what_both_lenses_do() -> None:
    """A cylinder as high as the edge, with the front's cap on and the back's cap out, at 1.3 g per cubic centimetre."""
    # A cap of depth s over a circle of radius a has the volume pi s (3 a² + s²) / 6 [definition].
    front, back = sagitta(4, 25), sagitta(-back_of(-4, 4, 2.0), 25)
    caps = [math.pi * depth * (3 * 25**2 + depth**2) / 6 for depth in (front, back)]
    volume = math.pi * 25**2 * (2.0 - front + back) + caps[0] - caps[1]
    assert laid().weight == pytest.approx(2 * volume * 1.3 / 1000, rel=0.001)


def test_a_lens_that_cannot_be_made_says_why() -> None:
    """-20.00 on the flattest front: the back's radius of 26 mm does not reach 25 and 3.5 mm; the other lens is made."""
    measured = Measurements(EyeMeasurements(30.5), EyeMeasurements(34))
    layout = laid(made=spheres(-20, -2), measured=measured)
    assert layout.right.body is None
    assert "too steep to reach the edge" in layout.right.refusal
    assert layout.left.body is not None
    assert layout.left.refusal == ""
    assert not layout.makeable
    assert (layout.thickest, layout.weight) == (None, None)
    assert layout.right.blank_needed == pytest.approx(2 * 28.5 + 2)
    assert laid().makeable


def test_several_lenses_are_laid_out_as_each_alone() -> None:
    """One shape, one placing, one curve; only the material makes the difference."""
    thin = replace(LENS, code="THIN", index=1.6, min_centre=1.5, blank_diameters=(60,))
    both = lay_out_each((LENS, thin), MINUS_4, ROUND, MOVED, LensUse.DISTANCE, Settings())
    for layout, lens in zip(both, (LENS, thin), strict=True):
        alone = laid(lens, measured=MOVED)
        assert layout.lens == lens
        assert (layout.thickest, layout.thinnest, layout.centre) == (alone.thickest, alone.thinnest, alone.centre)
        assert (layout.weight, layout.right.blank, layout.left.centre) == (
            alone.weight, alone.right.blank, alone.left.centre,
        )  # fmt: skip
    assert both[1].thickest is not None
    assert both[0].thickest is not None
    assert both[1].thickest < both[0].thickest


def test_the_pair_s_figures_are_the_worse_of_both_lenses() -> None:
    """The thinner edge and the thicker centre; none where a lens cannot be made."""
    layout = laid(made=spheres(-4, 2))
    bodies = layout.right.body, layout.left.body
    assert bodies[0] is not None
    assert bodies[1] is not None
    assert layout.thinnest == bodies[1].thinnest < bodies[0].thinnest
    assert layout.centre == bodies[1].centre_thickness > bodies[0].centre_thickness
    impossible = laid(made=spheres(-20, -2), measured=Measurements(EyeMeasurements(30.5), EyeMeasurements(34)))
    assert (impossible.thinnest, impossible.centre) == (None, None)
    assert [layout.eye(side).side for side in Side] == list(Side)


def test_the_powers_laid_out_are_those_to_make() -> None:
    """Nothing is worked out a second time."""
    layout = laid(made=spheres(-4, -2))
    assert [eye.power.power.sphere for eye in layout.eyes] == [-4, -2]
    assert layout.lens == LENS


@pytest.mark.parametrize("base", [Base.IN, Base.OUT])
def test_prescribed_prism_is_surfaced_into_each_lens(base: Base) -> None:
    """A circle turned about the back's vertex by sin d / (n - cos d) on the level line; the blank is as without."""
    # -4 D with 4 prism dioptres is thinnest 10 mm from its reference point, which is inside; there it keeps 2 mm.
    made = Prescription(*(EyePrescription(SphereCylinder(-4), prism=(Prism(4.0, base),)) for _ in Side))
    plain, layout = laid(), laid(made=made)
    assert [eye.blank_needed for eye in layout.eyes] == [eye.blank_needed for eye in plain.eyes]
    turned = math.atan(0.04)
    lean = math.atan(math.sin(turned) / (1.53 - math.cos(turned)))
    for eye in layout.eyes:
        body = eye.body
        assert body is not None
        front = layout.base_curve
        radius = -530 / back_of(-4, front, body.centre_thickness)

        def thick(
            x: float, centre: float = body.centre_thickness, radius: float = radius, front: float = front
        ) -> float:
            back = radius * math.cos(lean) - math.sqrt(radius**2 - (x + radius * math.sin(lean)) ** 2)
            return centre + back - sagitta(front, x)

        to_base = eye.side.inward * (1 if base is Base.IN else -1)
        at_right, at_left = body.edge_thickness[0], body.edge_thickness[36]
        assert (at_right, at_left) == pytest.approx((thick(25 * to_base), thick(-25 * to_base)), abs=1e-9)
        assert min(thick(each / 100) for each in range(-2500, 2501)) == pytest.approx(2.0, abs=1e-5)
