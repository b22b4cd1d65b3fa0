"""A place as people name it (a zone, a county, a site of a project) to a `Site` with its zone and hazards.

The 2018 code assigns counties by the older map, 2021 and 2024 by the newer one. What a county list cannot know
(wind, debris, termites, rain, frost, flood) is given by the project, or a default with its status, or not known.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, get_args

from specgen import units
from specgen.data import load_table
from specgen.data import source as cite
from specgen.errors import InputError, NotComputableError, Problem, UnknownNameError
from specgen.library.weather_city import OLDER_MAP_EDITIONS, WeatherChoice, choose, choose_named, choose_nearest
from specgen.model.project import Project, SiteHazards
from specgen.model.site import UNKNOWN, Hazards, HazardValue, Site
from specgen.model.wall import Zone

EDITIONS = ("2018", "2021", "2024")
_KIND_WORDS = re.compile(r"\b(county|parish|borough|municipality|census area)\b")


@dataclass(frozen=True, slots=True)
class County:
    """One county of the list; a zone is empty where the source gives none."""

    name: str
    state: str
    older_zone: str
    newer_zone: str
    warm_humid: bool | None


def site_from_zone(zone: str, edition: str = "2021", irc_edition: str = "2021") -> Site:
    """A site known by its climate zone alone, `2A`; hazards stay unknown.

    Raises
    ------
    UnknownNameError
        If the zone does not exist, or the edition.
    """
    _check_editions(edition, irc_edition)
    label = zone.strip().upper()
    if label in {"7A", "7B", "8A", "8B"}:
        label = label[0]  # these zones carry no moisture letter in US county lists
    if label not in get_args(Zone):
        near = [known for known in get_args(Zone) if known[0] == label[:1]] or list(get_args(Zone))
        raise _unknown(f"climate zone {zone.strip()!r} does not exist", [f"expected one of {', '.join(near)}"])
    weather = choose(label, edition)
    return Site(
        id=f"zone-{label.lower()}",
        name=f"climate zone {label}",
        zone=int(label[0]),
        regime=label[1:],
        edition=edition,
        irc_edition=irc_edition,
        warm_humid=True if label in ("1A", "2A") else None,
        zone_source="the zone as given",
        cities=weather.cities,
        city_remark=weather.remark,
    )


def every_zone(edition: str = "2021") -> tuple[Site, ...]:
    """A site for each climate zone there is, warmest first, under one edition of both codes.

    Raises
    ------
    UnknownNameError
        If the edition does not exist.
    """
    return tuple(site_from_zone(zone, edition, edition) for zone in get_args(Zone))


def site_from_county(county: str, edition: str = "2021", irc_edition: str = "2021") -> Site:
    """A site in a county written `Harris, TX`; case, `County`, `Parish`, `St.` or `Saint` make no difference.

    Raises
    ------
    UnknownNameError
        If the state or county does not exist; names the nearest of that state, and the states that have such a county.
    NotComputableError
        If the list gives that place no zone.
    """
    _check_editions(edition, irc_edition)
    entry = find_county(county)
    older = edition in OLDER_MAP_EDITIONS
    zone = entry.older_zone if older else entry.newer_zone
    if not zone:
        raise NotComputableError(f"{_printed(entry)} has no zone in the county list; give the zone instead")
    notes = "" if older else "; warm-humid flag from the 2010 list, not checked for the newer map"
    if edition == "2024":
        notes += "; taken to hold for the 2024 code, from memory"
    weather = choose(zone, edition, entry.name, entry.state)
    return Site(
        id=re.sub(r"[^a-z0-9]+", "-", _plain(f"{entry.name} {entry.state}")).strip("-"),
        name=_printed(entry),
        zone=int(zone[0]),
        regime=zone[1:],
        edition=edition,
        irc_edition=irc_edition,
        county=entry.name,
        state=entry.state,
        warm_humid=entry.warm_humid,
        hazards=default_hazards(entry.name, entry.state),
        zone_source=f"{'older' if older else 'newer'} county map, {cite('pnnl-33270')['title']}{notes}",
        cities=weather.cities,
        city_remark=weather.remark,
    )


def project_site(project: Project, site_id: str) -> Site:
    """A site of a project: its zone by the code chosen there, its hazards as given, else defaults, else unknown.

    Raises
    ------
    UnknownNameError
        If the project has no site of that id, or the county does not exist.
    InputError
        If the site names neither county nor zone, or both and they disagree.
    """
    entry = next((entry for entry in project.sites if entry.id == site_id), None)
    if entry is None:
        raise UnknownNameError("site", site_id, [entry.id for entry in project.sites])
    edition, irc_edition = project.code.energy.split()[-1], project.code.residential.split()[-1]
    if entry.county is None and entry.zone is None:
        raise _site_error(project, f"site {site_id!r} has neither county nor zone; expected one of them")
    if entry.county is not None:
        site = site_from_county(entry.county, edition, irc_edition)
        if entry.zone is not None and entry.zone != site.zone_label:
            raise _site_error(
                project,
                f"site {site_id!r} gives zone {entry.zone}, but {site.name} is {site.zone_label} by the map of the "
                f"{edition} code; expected only the county",
            )
    else:
        site = site_from_zone(entry.zone or "", edition, irc_edition)
    place = f"{entry.name}, {site.name}" if entry.name != site.name else site.name
    site = replace(
        site,
        id=entry.id,
        name=place,
        hazards=_with_given(site.hazards, entry.hazards),
        note=project.code.note,
        edition_chosen=True,
    )
    if (entry.latitude is None) != (entry.longitude is None):
        raise _site_error(project, f"site {site_id!r} gives half a position; expected latitude and longitude")
    return with_weather(site, entry.city, entry.latitude, entry.longitude)


def with_weather(
    site: Site, city: str | None = None, latitude: float | None = None, longitude: float | None = None
) -> Site:
    """The site judged with the weather of a named city, or of the one nearest to its position; unchanged without both.

    Parameters
    ----------
    site : Site
        Its zone and edition stand.
    city : str or None
        Name of a listed city; it wins over the position.
    latitude, longitude : float or None
        North and east positive; both or neither. [deg]

    Raises
    ------
    UnknownNameError
        If no listed city bears the name; names the nearest.
    NotComputableError
        If the position is no place on earth.
    """
    weather: WeatherChoice | None = None
    if city is not None:
        weather = choose_named(site.zone_label, site.edition, city, latitude, longitude)
    elif latitude is not None and longitude is not None:
        weather = choose_nearest(site.zone_label, site.edition, latitude, longitude)
    if weather is None:
        return site
    return replace(site, cities=weather.cities, city_distance=weather.distance, city_remark=weather.remark)


def find_county(text: str) -> County:
    """The county of the list that `text` (`name, state`) means.

    Raises
    ------
    UnknownNameError
        As for `site_from_county`.
    """
    name, comma, state_text = text.rpartition(",")
    if not comma:
        raise _no_state(text)
    state = _find_state(state_text.strip())
    counties = _counties()[state]
    wanted = _key(name)
    if wanted in counties:
        return counties[wanted]
    if f"{wanted} city" in counties:  # an independent city where no county bears the name
        return counties[f"{wanted} city"]
    elsewhere = sorted(code for code, listed in _counties().items() if wanted in listed)
    near = difflib.get_close_matches(wanted, counties, n=3, cutoff=0.6)
    hints = []
    if near:
        hints.append("did you mean " + ", ".join(f"'{counties[key].name}, {state}'" for key in near) + "?")
    if elsewhere:
        hints.append(f"{name.strip()} is a county of {', '.join(elsewhere)}")
    raise _unknown(f"county '{name.strip()}, {state}' does not exist", hints)


def default_hazards(county: str, state: str) -> Hazards:
    """State- and county-level defaults with their status; what has none is not known."""
    table = load_table("hazards")
    own = table["counties"].get(f"{county}, {state}", {})
    return Hazards(
        design_wind=_wind_default(own.get("design_wind")),
        wind_borne_debris=_debris_default(own.get("wind_borne_debris")),
        termite=_termite_default(table, state),
        annual_rain=_rain_default(own.get("annual_rain")),
    )


def _check_editions(edition: str, irc_edition: str) -> None:
    if edition not in EDITIONS:
        raise UnknownNameError("energy code edition", edition, EDITIONS)
    if irc_edition not in EDITIONS:
        raise UnknownNameError("residential code edition", irc_edition, EDITIONS)


def _printed(county: County) -> str:
    if county.name.endswith(" city") or county.name == "Carson City" or county.state == "DC":
        return f"{county.name}, {county.state}"
    if county.state == "AK":  # boroughs and census areas; the list does not say which
        return f"{county.name}, AK"
    kind = "Parish" if county.state == "LA" else "County"
    return f"{county.name} {kind}, {county.state}"


def _plain(text: str) -> str:
    """Lower case without accents, `Doña Ana` as `dona ana`."""
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()


def _key(name: str) -> str:
    """The form under which names are compared: `Saint Mary's Parish` and `st marys` are one."""
    words = re.sub(r"[^a-z0-9 ]", " ", _plain(name).replace("'", "").replace("’", ""))
    words = _KIND_WORDS.sub(" ", words)
    words = re.sub(r"\bsaint\b", "st", words)
    words = re.sub(r"\bsainte\b", "ste", words)
    if re.match(r"\s*city of\s", words):
        words = re.sub(r"^\s*city of\s+", "", words) + " city"
    return re.sub(r"\b(de|du|la|le)\s+(?=\w)", r"\1", " ".join(words.split()))


@cache
def _counties() -> dict[str, dict[str, County]]:
    """All counties by state code and compared name."""
    listed: dict[str, dict[str, County]] = {}
    for state, entry in load_table("counties")["states"].items():
        listed[state] = {}
        for group, names in entry["counties"].items():
            older, newer, *flag = group.split()
            warm_humid = {"warm-humid": True, "unknown": None}[flag[0]] if flag else False
            for name in names.split("; "):
                listed[state][_key(name)] = County(name, state, _zone(older), _zone(newer), warm_humid)
    return listed


def _zone(text: str) -> str:
    return "" if text == "none" else text


def _find_state(text: str) -> str:
    table = load_table("counties")
    names: dict[str, str] = {code: entry["name"] for code, entry in table["states"].items()}
    outside: dict[str, str] = table["without_counties"]
    for code, name in (names | outside).items():
        if text.upper() == code or _plain(text) == _plain(name):
            if code in outside:
                raise NotComputableError(f"{name} has no counties in the list; give the zone instead")
            return code
    by_name = difflib.get_close_matches(text.title(), names.values(), n=3, cutoff=0.6)
    codes = [code for code, name in names.items() if name in by_name]
    if not codes and len(text) == 2:
        codes = [code for code in names if code[0] == text[:1].upper()]
    raise _unknown(
        f"state {text!r} does not exist",
        ["did you mean " + ", ".join(f"{code} ({names[code]})" for code in codes) + "?"] if codes else [],
    )


def _unknown(message: str, hints: list[str]) -> UnknownNameError:
    """An unknown name whose hints the plain constructor cannot word."""
    error = UnknownNameError("", "", [])
    error.args = ("; ".join([message, *hints]),)
    return error


def _no_state(text: str) -> UnknownNameError:
    name = text.strip()
    if not name:
        return _unknown("no county is named", ["expected a name and a state, for example 'Harris, TX'"])
    states = sorted(state for state, listed in _counties().items() if _key(name) in listed)
    found = [f"{name} is a county of {', '.join(states)}"] if states else []
    example = f"{name}, {states[0]}" if states else "Harris, TX"
    return _unknown(f"county {name!r} names no state", [*found, f"expected for example {example!r}"])


def _site_error(project: Project, message: str) -> InputError:
    return InputError([Problem(f"project {project.id}", 0, 0, "L030", message)])


def _default(value: float | bool | str, text: str, row: dict[str, Any]) -> HazardValue:
    return HazardValue(value, text, given=False, status=row["status"], source=cite(row["source"])["title"])


def _wind_default(row: dict[str, Any] | None) -> HazardValue:
    return _default(row["value"] * units.MPH, f"{row['value']} mph, risk category II", row) if row else UNKNOWN


def _debris_default(row: dict[str, Any] | None) -> HazardValue:
    return _default(row["value"], "yes" if row["value"] else "no", row) if row else UNKNOWN


def _rain_default(row: dict[str, Any] | None) -> HazardValue:
    if not row:
        return UNKNOWN
    inches = row["value"] / 1000 / units.INCH
    return _default(row["value"] / 1000, f"{inches:.0f} in per year ({row['station']}, {row['period']})", row)


def _termite_default(table: dict[str, Any], state: str) -> HazardValue:
    for probability, rows in table["termite"].items():
        for row in rows:
            if state in row["states"]:
                return _default(probability, probability.replace("-", " "), row)
    for hint, states in table["termite_hints"].items():
        if state in states:
            return replace(UNKNOWN, text=f"{UNKNOWN.text} ({hint})")
    return UNKNOWN


def _with_given(defaults: Hazards, given: SiteHazards) -> Hazards:
    """What the project gives in place of the defaults; `not known` leaves the default standing."""
    changes: dict[str, HazardValue] = {}
    for name in ("design_wind", "wind_borne_debris", "exposure", "termite", "annual_rain", "frost_depth", "flood"):
        value = getattr(given, name)
        if value is not None:
            changes[name] = HazardValue(
                value, _given_text(name, value), given=True, status="confirmed", source="given for this site"
            )
    return replace(defaults, **changes)


def _given_text(name: str, value: float | bool | str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name == "design_wind":
        return f"{float(value) / units.MPH:.0f} mph"
    if name == "annual_rain":
        return f"{float(value) / units.INCH:.0f} in per year"
    if name == "frost_depth":
        return f"{float(value) / units.INCH:.0f} in"
    return str(value).replace("-", " ")
