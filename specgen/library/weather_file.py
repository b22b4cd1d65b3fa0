"""Reads an hourly weather file in the EPW layout: eight head lines, then 8760 rows in local standard time.

Rain in such files is no record of rainfall: missing values are common and sums far from the normal. The caller scales
or replaces it, and says so.
"""

from __future__ import annotations

import gzip
import hashlib
import math
import re
import zlib
from dataclasses import dataclass
from pathlib import Path

from specgen.errors import InputError, Problem
from specgen.library.codes import Code

HEAD_LINES = 8
HOURS = 8760
LINE_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class Field:
    """One column of a row."""

    name: str
    place: int  # from 0
    low: float
    high: float
    missing: float | None = None  # from this value on it is missing


FIELDS = (
    Field("dry-bulb temperature", 6, -70.0, 70.0, 99.9),
    Field("dew-point temperature", 7, -70.0, 70.0, 99.9),
    Field("horizontal infrared radiation", 12, 50.0, 700.0, 9999.0),
    Field("global horizontal radiation", 13, 0.0, 1500.0, 9999.0),
    Field("direct normal radiation", 14, 0.0, 1500.0, 9999.0),
    Field("diffuse horizontal radiation", 15, 0.0, 1000.0, 9999.0),
    Field("wind direction", 20, 0.0, 360.0, 999.0),
    Field("wind speed", 21, 0.0, 60.0, 999.0),
)
RAIN_PLACE, RAIN_MISSING = 33, 998.0  # liquid precipitation depth [mm]; older files have no such column


@dataclass(frozen=True, slots=True)
class HourlyFile:
    """What such a file holds: where it stands, and 8760 values of each series; `checks/weather_year.py` runs it."""

    name: str
    latitude: float  # north positive [deg]
    longitude: float  # east positive [deg]
    utc_offset: float  # of local standard time [h]
    elevation: float  # [m]
    series: dict[str, list[float]]  # by the names of `FIELDS`, in the units of the file
    rain: list[float]  # [mm/h]; missing counts as none
    digest: str  # of its bytes


def read_weather_file(path: Path) -> HourlyFile:
    """An EPW file, gzip-compressed if its name ends in `.gz`.

    Parameters
    ----------
    path : Path
        Of the file.

    Raises
    ------
    InputError
        If the file cannot be read, or a line is not what the layout asks for; names line, column, what was found and
        what was expected.
    """
    text, digest = _text(path)
    # the layout knows no quotes: one stray quote must not swallow the lines after it
    lines = [line.split(",") for line in LINE_END.split(text.rstrip("\r\n"))]
    place = _location(path, lines)
    rows = lines[HEAD_LINES:]
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    if len(rows) != HOURS:
        found = f"{len(rows)} hourly rows; expected {HOURS}, a year without leap day"
        raise InputError([Problem(str(path), HEAD_LINES + min(len(rows), HOURS) + 1, 1, Code.WEATHER_LAYOUT, found)])
    columns = {field.name: [_value(path, number, row, field) for number, row in enumerate(rows)] for field in FIELDS}
    rain = [_rain(row) for row in rows]
    return HourlyFile(*place, columns, rain, digest)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _text(path: Path) -> tuple[str, str]:
    try:
        data = path.read_bytes()
        if path.suffix == ".gz":
            data = gzip.decompress(data)
        # older files name their place in Latin-1; anything else that is no UTF-8 is no weather file
        encoding = "latin-1" if data.startswith(b"LOCATION") and not _is_utf8(data) else "utf-8-sig"
        return data.decode(encoding), hashlib.sha256(data).hexdigest()
    except FileNotFoundError:
        message = "no such weather file"
    except UnicodeDecodeError:
        message = "not a text file; expected hourly weather in the EPW layout"
    except (OSError, EOFError, zlib.error) as error:
        message = f"cannot be read: {error}"
    raise InputError([Problem(str(path), 1, 1, Code.WEATHER_UNREADABLE, message)])


def _location(path: Path, lines: list[list[str]]) -> tuple[str, float, float, float, float]:
    """Name, latitude, longitude, UTC offset and elevation from the first line."""
    first = lines[0] if lines else []
    if not first or first[0].strip().upper() != "LOCATION" or len(first) < 10:
        found = (first[0] if first else "")[:40]
        message = f"{found!r} begins the file; expected LOCATION with city, state, ..., latitude, longitude, time zone"
        raise InputError([Problem(str(path), 1, 1, Code.WEATHER_LAYOUT, message)])
    numbers = []
    for place, name, low, high in (
        (6, "latitude", -90.0, 90.0),
        (7, "longitude", -180.0, 180.0),
        (8, "time zone", -12.0, 14.0),
        (9, "elevation", -500.0, 6000.0),
    ):
        numbers.append(_number(path, 1, first, Field(name, place, low, high)))
    name = ", ".join(part.strip() for part in first[1:3] if part.strip() and part.strip() != "-")
    return name, numbers[0], numbers[1], numbers[2], numbers[3]


def _value(path: Path, number: int, row: list[str], field: Field) -> float:
    return _number(path, HEAD_LINES + number + 1, row, field)


def _number(path: Path, line: int, row: list[str], field: Field) -> float:
    """A cell as a number within its limits."""
    if len(row) <= field.place:
        message = f"{len(row)} values in the row; {field.name} should be value {field.place + 1}"
        raise InputError([Problem(str(path), line, 1, Code.WEATHER_LAYOUT, message)])
    cell = row[field.place].strip()
    column = 1 + sum(len(value) + 1 for value in row[: field.place])
    try:
        value = float(cell)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        message = f"{cell!r} is no number; expected {field.name}"
        raise InputError([Problem(str(path), line, column, Code.WEATHER_LAYOUT, message)])
    if field.missing is not None and value >= field.missing:
        message = f"{field.name} is missing ({cell}); expected a file without gaps"
        raise InputError([Problem(str(path), line, column, Code.WEATHER_LAYOUT, message)])
    if not field.low <= value <= field.high:
        message = f"{field.name} {cell} is out of range; expected {field.low:g} to {field.high:g}"
        raise InputError([Problem(str(path), line, column, Code.WEATHER_LAYOUT, message)])
    return value


def _rain(row: list[str]) -> float:
    """Rain of an hour; a missing value counts as none, since the sum is scaled or replaced anyway. [mm]"""
    try:
        value = float(row[RAIN_PLACE])
    except (IndexError, ValueError):
        return 0.0
    return value if 0 <= value < RAIN_MISSING else 0.0
