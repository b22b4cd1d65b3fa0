"""Hollow concrete masonry: geometry of webs and grout and the concrete's density in, resistance of the unit out.

Isothermal planes through face shells, webs and cores; head joints count as unit, bed joints are left out.
"""

from __future__ import annotations

import math

from specgen import units
from specgen.physics.heat import bridged_layer

EXPOSED_MOISTURE = (
    1.2  # conductivity in exposed outdoor masonry over that of the dry concrete (ACI 122R, from memory) [-]
)


def concrete_conductivity(density: float, moisture_factor: float = 1.0) -> float:
    """Conductivity of concrete from its oven-dry density, k = 0.5 exp(0.02 rho) in inch-pound units.

    Parameters
    ----------
    density : float
        [kg/m³]
    moisture_factor : float
        1 oven-dry; about `EXPOSED_MOISTURE` for masonry exposed outdoors. [-]

    Returns
    -------
    conductivity : float
        [W/(m·K)]

    Source
    ------
    ACI 122R (from memory); gives 3.69 Btu·in/(h·ft²·°F) at 100 lb/ft³ where NCMA TEK 67A (1986) prints 3.7.

    Notes
    -----
    Handbook and masonry-association tables are oven-dry, and so is what we compute unless a caller says otherwise.
    """
    return moisture_factor * 0.5 * math.exp(0.02 * density / units.DENSITY_IP) * units.K_IP


def hollow_unit_resistance(
    thickness: float, face_shell: float, web_share: float, conductivity: float, core_resistance: float
) -> float:
    """Resistance of a hollow unit, surface to surface: face shells in series with webs and cores side by side.

    Parameters
    ----------
    thickness : float
        Of the unit. [m]
    face_shell : float
        Average thickness of one face shell; two of them are less than the unit. [m]
    web_share : float
        Share of the wall face that is web, 0 to 1. [-]
    conductivity : float
        Of the unit's concrete. [W/(m·K)]
    core_resistance : float
        Of the core along the heat flow: an air space, or core depth over conductivity of its fill. [m²·K/W]

    Returns
    -------
    resistance : float
        [m²·K/W]

    Source
    ------
    NCMA TEK 67A (1986): R = 2 fs/kc + 1/(aw kc/Lw + ac/Rcore), isothermal planes.

    Notes
    -----
    Against handbook tests (`tests/published`): empty units within a quarter; filled units 1.4 to 1.9 times the printed
    R, as the method knows neither mortar, nor taper, nor the lateral flow around light fill.
    """
    core_depth = thickness - 2 * face_shell
    middle = bridged_layer((web_share, 1 - web_share), (core_depth / conductivity, core_resistance))
    return 2 * face_shell / conductivity + middle


def web_share(web: float, webs: int, length: float) -> float:
    """Share of a unit's face that is web.

    Parameters
    ----------
    web : float
        Average thickness of one web. [m]
    webs : int
        Number of webs of one unit. [-]
    length : float
        Length of the unit itself. [m]

    Returns
    -------
    share : float
        [-]

    Source
    ------
    NCMA TEK 67A (1986).

    Notes
    -----
    Taken over the unit without its head joint, as that note does: the joint is mortared at the face shells only,
    and the length with the joint would give a share 2 % smaller and a resistance that much better.
    """
    return min(1.0, web * webs / length)


def grouted_share(
    vertical_spacing: float | None,
    horizontal_spacing: float | None,
    cell: float = 8 * units.INCH,
    course: float = 8 * units.INCH,
) -> float:
    """Share of the wall area whose cells are grouted, f = 1 - (1 - cell/S)(1 - course/H).

    Parameters
    ----------
    vertical_spacing : float or None
        Spacing on center of grouted vertical cells; None if there are none. [m]
    horizontal_spacing : float or None
        Spacing on center of grouted bond-beam courses; None if there are none. [m]
    cell, course : float
        Width of one cell with its webs, and height of one course, both with their joints. [m]

    Returns
    -------
    share : float
        [-]

    Source
    ------
    Area rule of the masonry association's method (from memory).
    """
    open_cells = 1 - min(1.0, cell / vertical_spacing) if vertical_spacing else 1.0
    open_courses = 1 - min(1.0, course / horizontal_spacing) if horizontal_spacing else 1.0
    return 1 - open_cells * open_courses
