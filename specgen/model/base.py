"""The field types of every file we read: text with its unit in, SI out; and the frozen base class.

The loader hands over each YAML scalar as the text that was written, so `no`, `010` and `1:8` stay what they were;
these types alone decide what a text means. A value that is already a float is SI and passes through.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic_core import core_schema

from specgen import units


class Part(BaseModel):
    """A frozen piece of a wall, material or project; a key that it does not know is refused."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", validate_default=False, allow_inf_nan=False, defer_build=True
    )


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where in a file a thing stands; line and column count from 1, 0 where unknown."""

    file: str = ""
    line: int = 0
    column: int = 0


class Status(StrEnum):
    """How we know a value: someone opened the source, a named place quotes it, memory, or trade habit."""

    CONFIRMED = "confirmed"
    SECONDARY = "secondary"
    FROM_MEMORY = "from-memory"
    COMMON_PRACTICE = "common-practice"


@dataclass(frozen=True)
class Quantity:
    """Annotation of a float field: parsed from text with its unit, bounds checked so that absurd values are refused."""

    parse: Callable[[str], float]
    kind: str
    example: str
    low: float = 0.0
    high: float = math.inf
    low_allowed: bool = False
    span: str = ""  # words for the bounds, if they are not simply "greater than 0"

    def read(self, value: object) -> object:
        if isinstance(value, float):
            return value
        if not isinstance(value, str):
            raise ValueError(f"expected {self.kind} with its unit, for example {self.example}")
        number = self.parse(value)
        too_low = number < self.low or (number == self.low and not self.low_allowed)
        if too_low or number > self.high:
            bounds = self.span or ("of 0 or more" if self.low_allowed else "greater than 0")
            raise ValueError(f"is {value.strip()}; expected {self.kind} {bounds}, for example {self.example}")
        return number

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        unit = "" if self.parse is _parse_percent else ", with its unit"
        described = f"{self.kind[0].upper()}{self.kind[1:]}{unit}."
        if self.parse is _parse_percent:  # no unit, so that an editor sees a number
            return {"type": ["number", "string"], "description": described, "examples": [self.example]}
        return {"type": "string", "description": described, "examples": [self.example]}


def _by_units(table: dict[str, float], kind: str, example: str) -> Callable[[str], float]:
    return lambda text: units.parse_quantity(text, table, kind, example)


def _parse_temperature(text: str) -> float:
    body = text.strip()
    if body.endswith("F"):
        return (units.parse_number(body[:-1].rstrip(" °")) - 32) * units.RANKINE
    if body.endswith("C"):
        return units.parse_number(body[:-1].rstrip(" °"))
    raise units.UnitError(f"{text!r} is not a temperature; expected for example 40 F or 5 C")


def _parse_percent(text: str) -> float:
    body = text.strip()
    return units.parse_number(body[:-1]) / 100 if body.endswith("%") else units.parse_number(body)


_DURATION_UNITS = {
    "min": 60.0,
    "h": 3600.0,
    "hours": 3600.0,
    "d": 86400.0,
    "day": 86400.0,
    "days": 86400.0,
    "weeks": 604800.0,
}

# Upper limits are far outside anything that is built; they exist to catch a slipped unit or digit.
Length = Annotated[
    float, Quantity(units.parse_length, "a length", "1/2 in", high=30.0, span="greater than 0 and under 100 ft")
]
Thickness = Annotated[
    float,
    Quantity(
        units.parse_length,
        "a thickness",
        "1/2 in",
        high=0.75,
        span="greater than 0 and no more than 29-1/2 in (0.75 m)",
    ),
]
Offset = Annotated[float, Quantity(units.parse_length, "a length", "4 in", high=30.0, low_allowed=True)]
Conductivity = Annotated[
    float,
    Quantity(
        _by_units(units.CONDUCTIVITY_UNITS, "a thermal conductivity", "0.036 W/(m*K)"),
        "a thermal conductivity",
        "0.036 W/(m*K)",
        low=0.005,
        high=450.0,
        span="from 0.005 to 450 W/(m*K)",
    ),
]
Resistance = Annotated[
    float,
    Quantity(
        units.parse_resistance, "a thermal resistance", "R-13", high=20.0, low_allowed=True, span="from R-0 to R-113"
    ),
]
Density = Annotated[
    float,
    Quantity(
        _by_units(units.DENSITY_UNITS, "a density", "20 kg/m3"),
        "a density",
        "20 kg/m3",
        high=12000.0,
        span="greater than 0 and no more than 12000 kg/m3",
    ),
]
SpecificHeat = Annotated[
    float,
    Quantity(
        _by_units(units.SPECIFIC_HEAT_UNITS, "a specific heat", "840 J/(kg*K)"),
        "a specific heat",
        "840 J/(kg*K)",
        high=5000.0,
        span="greater than 0 and no more than 5000 J/(kg*K)",
    ),
]
Permeance = Annotated[
    float,
    Quantity(
        _by_units(units.PERMEANCE_UNITS, "a vapor permeance", "10 perm"),
        "a vapor permeance",
        "10 perm",
        low_allowed=True,
        high=2000 * units.PERM,
        span="from 0 to 2000 perm",
    ),
]
Permeability = Annotated[
    float,
    Quantity(
        _by_units(units.PERMEABILITY_UNITS, "a vapor permeability", "3.2 perm-in"),
        "a vapor permeability",
        "3.2 perm-in",
        high=2.1e-10,
        span="greater than 0 and no more than that of still air",
    ),
]
WaterUptake = Annotated[
    float,
    Quantity(
        _by_units(units.WATER_UPTAKE_UNITS, "a water uptake", "0.5 kg/(m2*h^0.5)"),
        "a water uptake",
        "0.5 kg/(m2*h^0.5)",
        low_allowed=True,
    ),
]
Speed = Annotated[
    float,
    Quantity(
        _by_units(units.SPEED_UNITS, "a wind speed", "115 mph"),
        "a wind speed",
        "115 mph",
        high=120.0,
        span="greater than 0 and under 268 mph",
    ),
]
Pressure = Annotated[float, Quantity(_by_units(units.PRESSURE_UNITS, "a pressure", "30 psf"), "a pressure", "30 psf")]
ArealMass = Annotated[
    float, Quantity(_by_units(units.AREAL_MASS_UNITS, "a weight per area", "10 psf"), "a weight per area", "10 psf")
]
Area = Annotated[float, Quantity(_by_units(units.AREA_UNITS, "an area", "144 sq ft"), "an area", "144 sq ft")]
Duration = Annotated[float, Quantity(_by_units(_DURATION_UNITS, "a duration", "48 h"), "a duration", "48 h")]
Temperature = Annotated[
    float, Quantity(_parse_temperature, "a temperature", "40 F", low=-60.0, high=120.0, span="from -76 F to 248 F")
]
Latitude = Annotated[
    float,
    Quantity(
        _by_units(units.ANGLE_UNITS, "a latitude", "29.76 deg"),
        "a latitude",
        "29.76 deg",
        low=-90.0,
        high=90.0,
        low_allowed=True,
        span="from -90 deg to 90 deg, north positive",
    ),
]
Longitude = Annotated[
    float,
    Quantity(
        _by_units(units.ANGLE_UNITS, "a longitude", "-95.37 deg"),
        "a longitude",
        "-95.37 deg",
        low=-180.0,
        high=180.0,
        low_allowed=True,
        span="from -180 deg to 180 deg, east positive",
    ),
]
ShareOfOne = Annotated[
    float, Quantity(_parse_percent, "a share", "0.25", high=1.0, low_allowed=True, span="from 0 to 1")
]


def _read_flag(value: object) -> object:
    if isinstance(value, bool):
        return value
    if value in ("true", "false"):
        return value == "true"
    raise ValueError(f"is {value!s}; expected true or false")


def _read_count(value: object) -> object:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if (
        isinstance(value, str)
        and value.isascii()
        and value.isdigit()
        and (value == "0" or value[0] != "0")
        and len(value) < 7
    ):
        return int(value)
    raise ValueError(f"is {value!s}; expected a whole number, for example 2")


def _read_date(value: object) -> object:
    if isinstance(value, datetime.date):
        return value
    try:
        # The date type itself would also read 20261102 and 2026-W45-1; one way to write a date is enough.
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", str(value)):
            raise ValueError
        return datetime.date.fromisoformat(str(value))
    except ValueError:
        raise ValueError(f"is {value!s}; expected a date as 2026-11-02") from None


def _read_text(value: object) -> object:
    if not isinstance(value, str):
        raise ValueError("expected a text")
    if not value.strip():
        raise ValueError("is empty; expected a text")
    if len(value) > 2000:
        raise ValueError(f"has {len(value)} characters; expected a text of at most 2000")
    return " ".join(value.split())


def _read_id(value: object) -> object:
    text = value if isinstance(value, str) else ""
    if (
        not text
        or len(text) > 64
        or text.strip("-") != text
        or not all(c.islower() or c.isdigit() or c == "-" for c in text)
        or not text.isascii()
    ):
        raise ValueError(
            f"is {value!s}; expected an id of lower-case letters, digits and hyphens, for example drainage-mat"
        )
    return text


Flag = Annotated[bool, BeforeValidator(_read_flag), WithJsonSchema({"type": "boolean"})]
Count = Annotated[int, BeforeValidator(_read_count), WithJsonSchema({"type": "integer", "minimum": 0})]
Date = Annotated[datetime.date, BeforeValidator(_read_date), WithJsonSchema({"type": "string", "format": "date"})]


class _TextSchema:
    """What an editor takes as a text: it sees a number in 1.10 or 0142, which here stays the text that was written."""

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        described = dict(handler(schema))
        kinds: dict[str, Any] = {} if "pattern" in described else {"type": ["string", "number"]}
        return {"minLength": 1, "maxLength": 2000} | described | kinds


Text = Annotated[str, BeforeValidator(_read_text), _TextSchema()]
Id = Annotated[
    str,
    BeforeValidator(_read_id),
    WithJsonSchema({"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$", "maxLength": 64}),
]
