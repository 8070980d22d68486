"""Lens surfaces: power and radius, exact sagitta, vertex powers of a thick lens, and what a lens clock reads."""

from __future__ import annotations

import math

from shopledger.optics.refusals import OutOfRangeError, within

CLOCK_INDEX = 1.530
"""The index that lens clocks and curve markings usually assume; sources differ (1.523 too), so it is a setting [-]."""

_INDEX = (1.3, 2.2)


def surface_power(radius: float, index: float) -> float:
    r"""Give the power of a surface from its radius.

    Parameters
    ----------
    radius : float
        Radius; minus for a surface that is hollow toward the glass side's air. Infinity is a plane. [mm]
    index : float
        Refractive index of the lens. [-]

    Returns
    -------
    float
        Surface power. [D]

    Raises
    ------
    OutOfRangeError
        If the radius is zero or no number, or the index out of range.

    Notes
    -----
    .. math:: F = (n - 1) / r

    References
    ----------
    [nfos_06]_ surface power
    """
    glass = within("index", index, *_INDEX, "")
    if math.isnan(radius) or abs(radius) < 1:
        raise OutOfRangeError("radius", radius, 1, math.inf, "mm", "Give the radius in millimetres, either sign.")
    return 1000 * (glass - 1) / radius


def surface_radius(power: float, index: float) -> float:
    """Give the radius of a surface from its power.

    Parameters
    ----------
    power : float
        Surface power. [D]
    index : float
        Refractive index of the lens. [-]

    Returns
    -------
    float
        Radius with the sign of the power; infinity for a plane. [mm]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [nfos_06]_ surface power
    """
    glass = within("index", index, *_INDEX, "")
    strength = within("surface power", power, -80, 80, "D")
    return 1000 * (glass - 1) / strength if strength else math.inf


def sagitta(radius: float, distance: float) -> float:
    r"""Give the depth of a spherical surface, exactly.

    Parameters
    ----------
    radius : float
        Radius; infinity is a plane. [mm]
    distance : float
        From the vertex across the axis. [mm]

    Returns
    -------
    float
        Depth along the axis, with the sign of the radius. [mm]

    Raises
    ------
    OutOfRangeError
        If the surface does not reach that far.

    Notes
    -----
    .. math:: s = r - \sqrt{r^2 - y^2}

    The approximation without the root is off by 0.4 mm on a usual plus lens of 60 mm, and is not used.

    References
    ----------
    [eop_601]_ sags and edge thickness
    """
    far = within("distance", distance, -200, 200, "mm")
    if math.isinf(radius):
        return 0.0
    within("distance from the vertex", abs(far), 0, abs(radius), "mm", "The surface ends before; choose a flatter one.")
    return far * far / (radius + math.copysign(math.sqrt(radius * radius - far * far), radius))


def back_vertex_power(front: float, back: float, centre_thickness: float, index: float) -> float:
    r"""Give the power that a lensmeter reads from the eye's side.

    Parameters
    ----------
    front : float
        Front surface power. [D]
    back : float
        Back surface power. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    index : float
        Refractive index. [-]

    Returns
    -------
    float
        Back vertex power. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range, or light comes to its focus inside the lens.

    Notes
    -----
    .. math:: F'_v = \frac{F_1}{1 - (t/n) F_1} + F_2

    References
    ----------
    [vertex_power_page]_ worked examples; [nfos_11a]_ worksheet
    """
    return _through(front, centre_thickness, index) + within("back surface power", back, -80, 80, "D")


def front_vertex_power(front: float, back: float, centre_thickness: float, index: float) -> float:
    r"""Give the power that a lensmeter reads from the front, as for an add on the front surface.

    Parameters
    ----------
    front : float
        Front surface power. [D]
    back : float
        Back surface power. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    index : float
        Refractive index. [-]

    Returns
    -------
    float
        Front vertex power. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range, or light comes to its focus inside the lens.

    Notes
    -----
    .. math:: F_v = \frac{F_2}{1 - (t/n) F_2} + F_1

    References
    ----------
    [nfos_11a]_ worksheet
    """
    return _through(back, centre_thickness, index) + within("front surface power", front, -80, 80, "D")


def back_surface_power(power: float, front: float, centre_thickness: float, index: float) -> float:
    """Give the back surface that makes a wanted back vertex power.

    Parameters
    ----------
    power : float
        Wanted back vertex power in one meridian. [D]
    front : float
        Front surface power. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    index : float
        Refractive index. [-]

    Returns
    -------
    float
        Back surface power in that meridian. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range, or light comes to its focus inside the lens.

    References
    ----------
    [nfos_11a]_ worksheet, solved for the back surface
    """
    return within("power", power, -80, 80, "D") - _through(front, centre_thickness, index)


def nominal_power(front: float, back: float) -> float:
    """Give the power of a lens without its thickness.

    Parameters
    ----------
    front : float
        Front surface power. [D]
    back : float
        Back surface power. [D]

    Returns
    -------
    float
        Sum of both. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [nfos_06]_ nominal lens power
    """
    return within("front surface power", front, -80, 80, "D") + within("back surface power", back, -80, 80, "D")


def lens_clock_power(reading: float, index: float, clock_index: float = CLOCK_INDEX) -> float:
    r"""Give the true surface power behind a lens clock's reading.

    Parameters
    ----------
    reading : float
        What the clock shows. [D]
    index : float
        Refractive index of the lens. [-]
    clock_index : float
        Index for which the clock is made; 1.523 for some. [-]

    Returns
    -------
    float
        Surface power. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    Notes
    -----
    .. math:: F = F_{clock} \frac{n - 1}{n_{clock} - 1}

    Sources differ on the clock's index: the printed examples need 1.523 for one and 1.530 for the other.

    References
    ----------
    [lens_clock_page]_ example; [master_exam]_ question
    """
    glass = within("index", index, *_INDEX, "")
    assumed = within("clock index", clock_index, *_INDEX, "")
    return within("lens clock reading", reading, -40, 40, "D") * (glass - 1) / (assumed - 1)


def lens_clock_reading(power: float, index: float, clock_index: float = CLOCK_INDEX) -> float:
    """Give what a lens clock shows on a surface, to tell a front curve at the bench.

    Parameters
    ----------
    power : float
        True surface power. [D]
    index : float
        Refractive index of the lens. [-]
    clock_index : float
        Index for which the clock is made; 1.523 for some. [-]

    Returns
    -------
    float
        Reading. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [lens_clock_page]_ example, turned round
    """
    return within("surface power", power, -80, 80, "D") / lens_clock_power(1.0, index, clock_index)


def _through(surface: float, centre_thickness: float, index: float) -> float:
    """Give the vergence of parallel light behind a surface, at the other one."""
    strength = within("surface power", surface, -80, 80, "D")
    thickness_m = within("centre thickness", centre_thickness, 0, 60, "mm") / 1000
    left = 1 - thickness_m * strength / within("index", index, *_INDEX, "")
    if left < 0.01:
        raise OutOfRangeError("surface power", strength, -80, 80, "D", "Light comes to its focus inside the lens.")
    return strength / left
