"""Values as documents print them: SI in, inch-pound text out, rounded here and nowhere before.

Lengths in fractions to 1/16, films in mils, R to 0.1, U to 0.001, permeance to two figures. The words for enumerated
fields of the model stand here too, so that one field reads the same in every document.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from specgen import units
from specgen.drawing.callouts import layer_name
from specgen.model.assessment import CodePath
from specgen.model.project import Project
from specgen.model.wall import Fastening

FILM = units.INCH / 16  # below this a thickness is a film and prints in mils [m]

COATINGS = {
    "bright": "bright",
    "electro-galvanized": "electro-galvanized",
    "hot-dip-galvanized": "hot-dip galvanized",
    "stainless": "stainless steel",
    "polymer-coated": "polymer-coated",
}
STATUSES = {
    "confirmed": "confirmed",
    "secondary": "from a secondary source, unverified",
    "from-memory": "from memory, unverified",
    "common-practice": "common practice",
}


def inches(length: float) -> str:
    """A length in inches, `5/8 in.`, a film in mils, `30 mil`; the fraction sign is set later.

    Parameters
    ----------
    length : float
        >= 0. [m]
    """
    if 0 < length < FILM:
        return mils(length)
    return f"{units.format_inches(length)} in."


def mils(length: float) -> str:
    """A film thickness, `30 mil`, to two figures below 10.

    Parameters
    ----------
    length : float
        > 0. [m]
    """
    count = length / units.MIL
    return f"{count:.0f} mil" if count >= 9.95 else f"{count:.2g} mil"


def feet(length: float) -> str:
    """A length in feet where it is a whole number of them, `18 ft`, else in inches.

    Parameters
    ----------
    length : float
        >= 0. [m]
    """
    count = length / units.FOOT
    return f"{count:.0f} ft" if abs(count - round(count)) < 1e-6 and count >= 4 else inches(length)


def square_feet(area: float) -> str:
    """`144 sq. ft`.

    Parameters
    ----------
    area : float
        [m²]
    """
    return f"{area / units.FOOT**2:.3g} sq. ft"


def fahrenheit(temperature: float) -> str:
    """`40 °F`.

    Parameters
    ----------
    temperature : float
        [°C]
    """
    return f"{temperature / units.RANKINE + 32:.0f} °F"


def mph(speed: float) -> str:
    """`15 mph`.

    Parameters
    ----------
    speed : float
        [m/s]
    """
    return f"{speed / units.MPH:.0f} mph"


def duration(time: float) -> str:
    """`48 hours` up to three days, `7 days` beyond, `30 minutes` below two hours.

    Parameters
    ----------
    time : float
        > 0. [s]
    """
    hours = time / 3600
    if hours < 2 and hours != 1:
        return f"{hours * 60:.0f} minutes"
    if hours <= 72:
        return f"{hours:.3g} {'hour' if hours == 1 else 'hours'}"
    days = hours / 24
    return f"{days:.3g} days"


def perms(permeance: float) -> str:
    """`10 perms`, two figures.

    Parameters
    ----------
    permeance : float
        >= 0. [kg/(m²·s·Pa)]
    """
    value = permeance / units.PERM
    text = f"{value:.0f}" if value >= 10 else f"{value:.2g}"
    return f"{text} perm" if text == "1" else f"{text} perms"


def perm_inches(permeability: float) -> str:
    """`3.2 perm-inch`, two figures.

    Parameters
    ----------
    permeability : float
        [kg/(m·s·Pa)]
    """
    value = permeability / units.PERM_INCH
    return f"{value:.0f} perm-inch" if value >= 10 else f"{value:.2g} perm-inch"


def r_value(resistance: float) -> str:
    """`R-13.0` from SI.

    Parameters
    ----------
    resistance : float
        [m²·K/W]
    """
    return f"R-{resistance / units.R_IP:.1f}"


def rated_r(resistance: float) -> str:
    """A labeled R as labels print it, `R-13`, `R-7.5`.

    Parameters
    ----------
    resistance : float
        [m²·K/W]
    """
    return f"R-{round(resistance / units.R_IP, 1):g}"


def u_factor(transmittance: float) -> str:
    """`U-0.060` from SI.

    Parameters
    ----------
    transmittance : float
        [W/(m²·K)]
    """
    return f"U-{transmittance / units.U_IP:.3f}"


def pounds_per_square_foot(mass: float) -> str:
    """A weight per area, `10 psf`.

    Parameters
    ----------
    mass : float
        [kg/m²]
    """
    return f"{mass / units.AREAL_MASS_IP:.3g} psf"


def pressure(load: float) -> str:
    """A pressure, `30 psf`.

    Parameters
    ----------
    load : float
        [Pa]
    """
    return f"{load / units.PSF:.3g} psf"


def percent(share: float) -> str:
    """`90 percent`.

    Parameters
    ----------
    share : float
        0 to 1. [-]
    """
    return f"{share * 100:.3g} percent"


def code_value(path: CodePath, side: str) -> str:
    """What a code path requires or provides, as it is printed beside the limit.

    Parameters
    ----------
    path : CodePath
        One alternative, in inch-pound units.
    side : str
        `required` or `provided`.
    """
    value = path.required if side == "required" else path.provided
    if not isinstance(value, dict):
        return f"U-{value:.3f}"
    if "total" in value:
        return f"R-{round(value['total'], 1):g}"
    parts = [f"R-{round(value[key], 1):g} {key}" for key in ("cavity", "continuous") if value.get(key)]
    return " + ".join(parts) or "none"


def fastener(fastening: Fastening) -> str:
    """What the fastener is, `11 ga hot-dip galvanized roofing nail, 2 in. long, 7/16 in. head`."""
    words = [
        fastening.gauge if fastening.gauge else "",
        COATINGS[fastening.coating] if fastening.coating else "",
        fastening.name or fastening.type,
    ]
    text = " ".join(word for word in words if word)
    tie = fastening.type == "tie"  # its diameter is the wire's, its length that of the screw that holds it
    details = []
    if fastening.diameter:
        details.append(f"{'wire ' if tie else ''}{inches_of_wire(fastening.diameter)} diameter")
    if fastening.length:
        details.append(f"{'screw ' if tie else ''}{inches(fastening.length)} long")
    if fastening.head:
        details.append(f"{inches(fastening.head)} head")
    return ", ".join([text, *details])


def inches_of_wire(diameter: float) -> str:
    """A shank or wire diameter, `0.120 in.` where it is no sixteenth.

    Parameters
    ----------
    diameter : float
        > 0. [m]
    """
    sixteenths = diameter / units.INCH * 16
    if abs(sixteenths - round(sixteenths)) < 1e-6:
        return f"{units.format_inches(diameter)} in."
    return f"{diameter / units.INCH:.3f} in."


def u_si(transmittance: float) -> str:
    """`0.34 W/(m²·K)`.

    Parameters
    ----------
    transmittance : float
        [W/(m²·K)]
    """
    return f"{transmittance:.2f} W/(m²·K)"


def pounds_per_cubic_foot(density: float) -> str:
    """`3.5 lb/cu. ft`.

    Parameters
    ----------
    density : float
        [kg/m³]
    """
    return f"{density / units.DENSITY_IP:.2g} lb/cu. ft"


def uptake(coefficient: float) -> str:
    """A water uptake, `0.1 kg/(m²·√h)`, two figures.

    Parameters
    ----------
    coefficient : float
        [kg/(m²·s^½)]
    """
    return f"{coefficient * 3600**0.5:.2g} kg/(m²·√h)"


def project_name(project: Project) -> str:
    """Name of a project as running lines print it, with `(invented)` where it is, once."""
    marked = project.invented and "(invented)" not in project.name
    return f"{project.name} (invented)" if marked else project.name


def listed(items: Iterable[object]) -> str:
    """`a, b and c`."""
    texts = [str(item) for item in items]
    return " and ".join(part for part in (", ".join(texts[:-1]), *texts[-1:]) if part)


def either(items: Iterable[object]) -> str:
    """`a, b or c`."""
    texts = [str(item) for item in items]
    return " or ".join(part for part in (", ".join(texts[:-1]), *texts[-1:]) if part)


def sentence(text: str) -> str:
    """A text with a capital first letter and a full stop."""
    text = text.strip()
    closed = text if text.endswith((".", ":", "!", "?")) else f"{text}."
    return capitalized(closed)


def closed(text: str) -> str:
    """A text with a full stop, its first letter as it is."""
    return sentence(text) if not text else text.strip()[:1] + sentence(text)[1:]


def capitalized(text: str) -> str:
    """First letter large, the rest untouched."""
    return text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """First letter small where a name stands inside a sentence; an abbreviation keeps its capitals."""
    return text if len(text) < 2 or text[1].isupper() or not text[1].isalpha() else text[:1].lower() + text[1:]


FILTERS: dict[str, Callable[..., Any]] = {
    "inches": inches,
    "mils": mils,
    "feet": feet,
    "square_feet": square_feet,
    "fahrenheit": fahrenheit,
    "mph": mph,
    "duration": duration,
    "perms": perms,
    "perm_inches": perm_inches,
    "r_value": r_value,
    "rated_r": rated_r,
    "u_factor": u_factor,
    "pounds_per_square_foot": pounds_per_square_foot,
    "pressure": pressure,
    "percent": percent,
    "fastener": fastener,
    "code_value": code_value,
    "u_si": u_si,
    "pounds_per_cubic_foot": pounds_per_cubic_foot,
    "uptake": uptake,
    "listed": listed,
    "either": either,
    "named": layer_name,
    "sentence": sentence,
    "capitalized": capitalized,
    "closed": closed,
    "lowered": lowered,
    "status": lambda word: STATUSES[word],
}
