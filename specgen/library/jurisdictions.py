"""Files of jurisdictions: which row of a state, county or city stands in place of the model code at a site.

The shipped rows, and an office's own file of the same form. The office's rows go before the shipped ones, a county's
before its state's, and a row without a place holds wherever its file is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from functools import cache
from pathlib import Path

from specgen import data
from specgen.errors import InputError, NotComputableError, UnknownNameError
from specgen.library import file_rules
from specgen.library.codes import Code
from specgen.library.format import SCHEMA
from specgen.library.read import read_file
from specgen.library.sites import find_county
from specgen.library.view import EnoughError, Entry, Report
from specgen.library.wording import found, validated
from specgen.model.jurisdiction import JurisdictionFile, JurisdictionRow
from specgen.model.site import Site

Rows = tuple[JurisdictionRow, ...]
LIMITS = ("wood_r", "mass_r", "wood_u", "mass_u")


def load_jurisdictions(path: Path | None = None) -> Rows:
    """The rows of an office's file, then those that ship.

    Raises
    ------
    InputError
        With every problem of the file, each at its line and column.
    """
    own = _read(path) if path is not None else ()
    return own + _shipped()


@cache
def _shipped() -> Rows:
    return _read(Path(data.__file__).parent / "jurisdictions.yaml")


def row_for(rows: Sequence[JurisdictionRow], site: Site) -> JurisdictionRow | None:
    """The row that holds at a site: a county's before a state's before one without a place, in the order of the rows.

    Parameters
    ----------
    rows : sequence of JurisdictionRow
        From `load_jurisdictions`.
    site : Site
        Only its county and state are asked; a site known by zone alone is in none.
    """
    for kind in ("county", "state", ""):
        for row in rows:
            if kind == "county" and row.county is not None and site.county:
                county = find_county(row.county)
                if (county.name, county.state) == (site.county, site.state):
                    return row
            if kind == "state" and row.county is None and row.state is not None and row.state == site.state:
                return row
            if not kind and row.county is None and row.state is None:
                return row
    return None


def with_jurisdiction(site: Site, rows: Sequence[JurisdictionRow]) -> Site:
    """The site with the row that holds there, if there is one."""
    return replace(site, jurisdiction=row_for(rows, site))


def _read(path: Path) -> Rows:
    source = read_file(path)
    if source.data is None:
        raise InputError(source.problems)
    file, problems = validated(JurisdictionFile, source)
    report = Report({*source.problems, *problems})
    whole = Entry(source, (), source.data)
    number = source.data.get("schema")
    if number is not None and number != str(SCHEMA):
        report.add(whole, Code.SCHEMA_NUMBER, f"schema is {found(number)}; expected schema: {SCHEMA}", "schema")
    with suppress(EnoughError):
        file_rules.check_words(source, report)
        _check_rows(whole, report)
    if report.problems or file is None:
        raise InputError(report.problems)
    return file.jurisdictions


def _check_rows(whole: Entry, report: Report) -> None:
    seen: dict[tuple[str, str], str] = {}
    for row in whole.entries("jurisdictions"):
        name = row.text("id")
        if row.has("county"):
            if row.has("state"):
                report.add(row, Code.COUNTY_OR_ZONE, "gives a county and a state; expected one of them", "state")
            try:
                find_county(row.text("county"))
            except (UnknownNameError, NotComputableError) as error:
                report.add(row, Code.UNKNOWN_WORD, f"county: {error}", "county")
        elif row.has("state"):
            _check_state(row, report)
        place = ("county", row.text("county")) if row.has("county") else ("state", row.text("state"))
        if place in seen:
            where = place[1] or "no place"
            message = f'"{name}" is for {where}, and so is "{seen[place]}"; expected one row for a place'
            report.add(row, Code.DUPLICATE_ID, message, "id")
        seen[place] = name
        if row.has("wood_r") and row.text("r_not_on_file") == "true":
            message = "r_not_on_file is true, but R values are given; expected one of them"
            report.add(row, Code.CONTRADICTION, message, "r_not_on_file")


def _check_state(row: Entry, report: Report) -> None:
    states = data.load_table("counties")["states"]
    state = row.text("state")
    if state not in states:
        near = next((code for code, entry in states.items() if entry["name"].lower() == state.lower()), "")
        hint = f"; did you mean {near}?" if near else "; expected two letters, for example WA"
        report.add(row, Code.UNKNOWN_WORD, f'state is "{state}"{hint}', "state")
