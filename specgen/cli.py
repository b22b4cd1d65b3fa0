"""The command line: parse the words, call one function, print, set the exit code.

0 nothing at error level, 1 findings at error level (or a set that must not be issued), 2 the input or the
command was wrong. Results go to stdout, remarks and progress to stderr. Heavy imports stay inside the commands.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, NoReturn

import typer

from specgen.errors import SpecgenError, UnknownNameError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from specgen.library.load import Library
    from specgen.model.assessment import Assessment
    from specgen.model.material import Material
    from specgen.model.project import Project
    from specgen.model.site import Site
    from specgen.model.wall import Wall
    from specgen.physics.weather import WeatherYear
    from specgen.write.issued_set import TaggedWall

app = typer.Typer(
    help="Wall assemblies from YAML: checked for a place, drawn to scale, specified, one page for the crew.\n\n"
    "A design aid. Not a substitute for the code in force, the manufacturer's instructions, or a licensed "
    "professional where one is required.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

WallName = Annotated[str, typer.Argument(metavar="WALL", help="A wall's id, id+variant, or the path of a wall file.")]
Walls = Annotated[
    list[str] | None, typer.Argument(metavar="[WALL]...", help="Ids, id+variant or paths; none: the whole library.")
]
LibraryFolder = Annotated[
    Path | None, typer.Option("--library", help="Office library folder; default ./assemblies, else the shipped one.")
]
OutFolder = Annotated[Path, typer.Option("-o", "--out", help="Folder where documents land.")]
ZoneOption = Annotated[str | None, typer.Option("--zone", help="Climate zone, as 2A.")]
CountyOption = Annotated[str | None, typer.Option("--county", help="County and state, as 'Harris, TX'.")]
CityOption = Annotated[
    str | None,
    typer.Option("--city", help="Weather of that listed city, as 'Houston, TX'; alone it is the place too."),
]
LatitudeOption = Annotated[
    float | None, typer.Option("--latitude", help="Degrees north: weather of the nearest listed city.")
]
LongitudeOption = Annotated[float | None, typer.Option("--longitude", help="Degrees east, negative in the states.")]
JurisdictionOption = Annotated[
    Path | None, typer.Option("--jurisdiction", help="The office's file of state and city limits.")
]
EditionOption = Annotated[
    str | None, typer.Option("--edition", help="IECC and IRC edition: 2018, 2021 or 2024; default 2021.")
]
ProjectName = Annotated[str, typer.Argument(metavar="PROJECT", help="A project file, or the word demo.")]

TransientOption = Annotated[
    bool, typer.Option("--transient", help="Simulate heat and moisture hour by hour, three years.")
]
WeatherOption = Annotated[
    list[Path] | None,
    typer.Option("--weather", help="Hourly file (EPW) for the simulation, instead of the listed city."),
]
DEFAULT_EDITION = "2021"
EDITIONS = ("2018", "2021", "2024")
NEAR_CITY = 50e3  # a rain normal holds that far [m]


@app.command()
def check(
    walls: Walls = None,
    zone: ZoneOption = None,
    county: CountyOption = None,
    city: CityOption = None,
    latitude: LatitudeOption = None,
    longitude: LongitudeOption = None,
    edition: EditionOption = None,
    jurisdiction: JurisdictionOption = None,
    form: Annotated[str, typer.Option("--format", help="text or json.")] = "text",
    transient: TransientOption = False,
    weather: WeatherOption = None,
    jobs: Annotated[int, typer.Option("--jobs", min=1, help="How many simulations to run at once.")] = 1,
    library: LibraryFolder = None,
) -> None:
    """Check walls: figures, code paths, every finding.

    Without --zone or --county, each wall is checked in every zone that it claims under suits. A simulation takes some
    10 to 20 seconds for a wall in a city; its result is kept.

    Example: specgen check framed-stucco-drained --county "Harris, TX"
    """
    from specgen.checks.assess import assess_all
    from specgen.checks.comply import with_ways
    from specgen.documents.findings import assessments_json, assessments_text

    _one_of("--format", form, ("text", "json"))
    if weather and not transient:
        raise SpecgenError("--weather gives hours to the simulation; add --transient")
    place = _county(zone, county, city)
    pairs = [
        (wall, site)
        for wall in _walls(walls, library)
        for site in _weather(_sites(wall, zone, place, edition, jurisdiction), city, latitude, longitude)
    ]
    assessments = [
        with_ways(found, wall, site, _materials(walls, library))
        for found, (wall, site) in zip(assess_all(pairs), pairs, strict=True)
    ]
    if transient:
        assessments = _simulated(pairs, assessments, weather or [], jobs)
    if form == "json":
        typer.echo(assessments_json(assessments))
    else:
        editions = sorted({assessment.energy_code.edition for assessment in assessments})
        chosen = (
            "" if edition or any(site.jurisdiction for _, site in pairs) else ", by default; --edition chooses another"
        )
        _remark(f"Energy code: IECC {' and '.join(editions)}{chosen}.")
        typer.echo(assessments_text(assessments))
    raise typer.Exit(0 if all(assessment.meets for assessment in assessments) else 1)


@app.command()
def draw(
    wall: Annotated[
        str | None, typer.Argument(metavar="[WALL]", help="A wall's id, id+variant, or the path of a wall file.")
    ] = None,
    out: OutFolder = Path("out"),
    form: Annotated[str, typer.Option("--format", help="svg, pdf, dxf or all.")] = "all",
    unit: Annotated[str, typer.Option("--unit", help="Unit of the DXF file: in or mm.")] = "in",
    layers: Annotated[str, typer.Option("--layers", help="Layer names of the DXF file: ncs or flat.")] = "ncs",
    tag: Annotated[str, typer.Option("--tag", help="Wall-type tag to print, as W1.")] = "",
    every: Annotated[bool, typer.Option("--all", help="All walls and variants on one sheet, as SVG and PDF.")] = False,
    library: LibraryFolder = None,
) -> None:
    """Draw a wall to scale, as SVG, PDF and DXF; or all walls side by side.

    Section and plan with callouts; the scale is chosen from the usual list and printed. The DXF file is at full size,
    a block for each view, to be inserted at the set-out face.

    Example: specgen draw framed-stucco-drained+exterior-insulated -o drawings
    """
    _one_of("--format", form, ("svg", "pdf", "dxf", "all"))
    _one_of("--unit", unit, ("in", "mm"))
    _one_of("--layers", layers, ("ncs", "flat"))
    if every:
        if wall or tag:
            given = f"the wall {wall!r}" if wall else f"the tag {tag!r}"
            raise SpecgenError(f"--all draws every wall of the library; {given} names one: give either of them")
        if form == "dxf":
            raise SpecgenError("--all writes svg and pdf; for a DXF file name one wall")
        _draw_all(out, form, library)
        return
    if wall is None:
        raise SpecgenError("no wall named; give its id, or --all for every wall of the library")
    from specgen.documents.drawing_set import drawing_document
    from specgen.write.pdf import write_pdf
    from specgen.write.svg import write_svg

    chosen = _wall(wall, library)
    document = drawing_document(chosen, tag=tag)
    files: dict[str, bytes] = {}
    if form in ("svg", "all"):
        for number, scene in enumerate(document.scenes, start=1):
            files[f"{chosen.name}{'' if number == 1 else f'-{number}'}.svg"] = write_svg(scene).encode()
    if form in ("pdf", "all"):
        files[f"{chosen.name}.pdf"] = write_pdf(document)
    if form in ("dxf", "all"):
        from specgen.write.dxf import write_dxf  # half a second to import, wanted only here

        chosen_unit: Literal["in", "mm"] = "in" if unit == "in" else "mm"
        revision = str(chosen.revision.number)
        files[f"{chosen.name}.dxf"] = write_dxf(document.scenes, chosen_unit, tag, revision, layers)
    _write(out, files)


@app.command()
def spec(
    wall: Annotated[str, typer.Argument(metavar="WALL", help="A wall as elsewhere, a project file, or the word demo.")],
    zone: ZoneOption = None,
    county: CountyOption = None,
    edition: EditionOption = None,
    jurisdiction: JurisdictionOption = None,
    out: OutFolder = Path("out"),
    tag: Annotated[str, typer.Option("--tag", help="Wall-type tag to print, as W1.")] = "",
    library: LibraryFolder = None,
) -> None:
    """Write a wall's specification, or a project's sections by product, as PDF.

    A wall: three parts, with the drawing; without a place, for the first zone that the wall claims. A project: one
    file per section number, each with what all its wall types ask of that work.

    Example: specgen spec block-direct-stucco --zone 2B
    """
    if _is_project(wall):
        _write_sections(wall, library, out)
        return
    from specgen.checks.assess import assess
    from specgen.documents.drawing_set import drawing_document
    from specgen.documents.spec import spec_document
    from specgen.write.pdf import write_pdf

    chosen = _wall(wall, library)
    assessment = assess(chosen, _sites(chosen, zone, county, edition, jurisdiction)[0])
    sheets = drawing_document(chosen, tag=tag).scenes
    document = spec_document(chosen, assessment, tag=tag, sheets=sheets, folders=_templates(library, wall))
    _write(out, {f"{chosen.name}-specification.pdf": write_pdf(document)})


@app.command()
def crew(
    wall: WallName,
    zone: ZoneOption = None,
    county: CountyOption = None,
    edition: EditionOption = None,
    jurisdiction: JurisdictionOption = None,
    out: OutFolder = Path("out"),
    tag: Annotated[str, typer.Option("--tag", help="Wall-type tag to print, as W1.")] = "",
    where: Annotated[str, typer.Option("--where", help="Where the wall is used, as it prints.")] = "",
    full: Annotated[bool, typer.Option("--full", help="Add the office's annex: reasons, sources, reckoning.")] = False,
    library: LibraryFolder = None,
) -> None:
    """Write the crew's one page, as PDF.

    Front: layers, steps, limits, cautions. Back: hold points, openings, base, mixes, what to bring for 100 sq ft.

    Example: specgen crew framed-stucco-drained --zone 2A --tag W1
    """
    from specgen.checks.assess import assess
    from specgen.documents.crew import crew_document
    from specgen.write.pdf import write_pdf

    chosen = _wall(wall, library)
    site = _sites(chosen, zone, county, edition, jurisdiction)[0]
    folders = _templates(library, wall)
    assessment = assess(chosen, site)
    document = crew_document(chosen, assessment, site, tag=tag, where=where, folders=folders, annex=full)
    _write(out, {f"{chosen.name}-crew.pdf": write_pdf(document)})


@app.command()
def report(
    wall: WallName,
    zone: ZoneOption = None,
    county: CountyOption = None,
    city: CityOption = None,
    latitude: LatitudeOption = None,
    longitude: LongitudeOption = None,
    edition: EditionOption = None,
    jurisdiction: JurisdictionOption = None,
    out: OutFolder = Path("out"),
    tag: Annotated[str, typer.Option("--tag", help="Wall-type tag to print, as W1.")] = "",
    where: Annotated[str, typer.Option("--where", help="Where the wall is used, as it prints.")] = "",
    transient: TransientOption = False,
    weather: WeatherOption = None,
    library: LibraryFolder = None,
) -> None:
    """Write the calculation record, as PDF.

    First the plan reviewer's page: each answer with its clause, edition and how sure the clause is. Then every figure
    with formula, numbers put in, result, method, source and status, so that it can be redone by hand.

    Example: specgen report framed-stucco-drained --county "Harris, TX"
    """
    from specgen.checks.assess import assess
    from specgen.checks.comply import with_ways
    from specgen.documents.report import report_document
    from specgen.write.pdf import write_pdf

    chosen = _wall(wall, library)
    place = _county(zone, county, city)
    site = _weather(_sites(chosen, zone, place, edition, jurisdiction), city, latitude, longitude)[0]
    folders = _templates(library, wall)
    if weather and not transient:
        raise SpecgenError("--weather gives hours to the simulation; add --transient")
    assessment = with_ways(assess(chosen, site), chosen, site, _materials([wall], library))
    if transient:
        [assessment] = _simulated([(chosen, site)], [assessment], weather or [], 1)
    document = report_document(chosen, assessment, site, tag=tag, where=where, folders=folders)
    _write(out, {f"{chosen.name}-report.pdf": write_pdf(document)})


@app.command()
def schedule(
    project: ProjectName,
    out: OutFolder = Path("out"),
    sheet: Annotated[str, typer.Option("--sheet", help="letter, tabloid, arch-d or ansi-d.")] = "arch-d",
    form: Annotated[str, typer.Option("--format", help="pdf, xlsx or all.")] = "pdf",
    library: LibraryFolder = None,
) -> None:
    """Write a project's wall-type schedule, as PDF or XLSX.

    The PDF goes over as many sheets as it needs, the heads repeated; type is never made smaller.

    Example: specgen schedule demo --sheet letter
    """
    from specgen.checks.assess import assess
    from specgen.documents.schedule import ScheduleRow, schedule_document
    from specgen.documents.schedule_grid import sheet_grid

    _one_of("--format", form, ("pdf", "xlsx", "all"))
    sheet_grid(sheet)
    loaded, tagged, folders = _project(project, library)
    rows = [ScheduleRow(entry.wall_type, entry.wall, entry.site, assess(entry.wall, entry.site)) for entry in tagged]
    files: dict[str, bytes] = {}
    if form in ("pdf", "all"):
        from specgen.write.pdf import write_pdf

        document = schedule_document(rows, loaded, folders=folders, sheet=sheet)
        files[f"{loaded.id}-schedule.pdf"] = write_pdf(document)
    if form in ("xlsx", "all"):
        from specgen.documents.schedule_table import schedule_table
        from specgen.write.xlsx import write_xlsx

        files[f"{loaded.id}-schedule.xlsx"] = write_xlsx(schedule_table(rows, loaded, folders=folders))
    _write(out, files)


@app.command()
def issue(project: ProjectName, out: OutFolder = Path("out"), library: LibraryFolder = None) -> None:
    """Issue a project's whole set, or nothing.

    Drawings, specification sections, crew pages, schedule and checks, in a folder of the project's own.

    Example: specgen issue demo -o out
    """
    import gc

    from specgen.write.issued_set import NotIssuedError, issued_files
    from specgen.write.out import write_set

    gc.disable()  # pages hold no cycles worth the search, which takes a fifth of the time; the process ends here
    loaded, tagged, folders = _project(project, library)
    try:
        files = issued_files(loaded, tagged, _remark, folders, _materials([project], library))
    except NotIssuedError as error:
        _remark(f"{error}\nNot issued; the earlier set, if any, stands unchanged.")
        raise typer.Exit(1) from None
    for path in write_set(out / loaded.id, files):
        typer.echo(path)


@app.command()
def zones(
    walls: Walls = None,
    edition: Annotated[
        str, typer.Option("--edition", help="IECC and IRC edition: 2018, 2021 or 2024.")
    ] = DEFAULT_EDITION,
    form: Annotated[str, typer.Option("--format", help="text or json.")] = "text",
    library: LibraryFolder = None,
) -> None:
    """Show which wall suits which climate zone.

    Each wall and variant against all climate zones: what it claims, and what the checks say of the claim.

    Example: specgen zones framed-stucco-drained
    """
    from specgen.documents.zones import zones_json, zones_text
    from specgen.library.sites import every_zone
    from specgen.review.matrix import zone_rows

    _one_of("--format", form, ("text", "json"))
    _one_of("--edition", edition, EDITIONS)
    rows = zone_rows(_walls(walls, library), every_zone(edition))
    typer.echo(zones_json(rows, edition) if form == "json" else zones_text(rows, edition))
    raise typer.Exit(0 if all(row.confirmed for row in rows) else 1)


@app.command()
def init(
    folder: Annotated[Path, typer.Argument(metavar="[FOLDER]", help="A new or empty folder; default: here.")] = Path(),
) -> None:
    """Make an office library in an empty folder.

    Walls in review, materials, a project to fill in, templates to override. What exists is never touched.

    Example: specgen init office
    """
    from datetime import date

    from specgen.library.starter import next_steps, starter_files
    from specgen.write.out import write_new

    written = write_new(folder, starter_files(date.today()))
    _remark(f"{len(written)} files written.")
    for line in next_steps(folder):
        typer.echo(line)


@app.command()
def explain(
    code: Annotated[str, typer.Argument(metavar="CODE", help="A finding or input error, as P01 or L012.")],
) -> None:
    """Explain a finding or an input error.

    Example: specgen explain P01
    """
    from specgen.checks.catalog import explain as explanation

    typer.echo(explanation(code))


@app.command()
def schema(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="wall, fragment, materials, project, jurisdictions.")
    ] = "wall",
) -> None:
    """Print the JSON Schema of a file format.

    Example: specgen schema wall
    """
    import json

    from specgen.library.schema import json_schemas

    schemas = json_schemas()
    if name not in schemas:
        raise UnknownNameError("schema", name, schemas)
    typer.echo(json.dumps(schemas[name], indent=2, ensure_ascii=False))


def main() -> NoReturn:
    """Run the command line; every input error becomes its message and exit code 2, never a traceback."""
    try:
        app()
    except SpecgenError as error:
        typer.echo(str(error), err=True)
        raise SystemExit(2) from None
    except BrokenPipeError:  # the reader of our output has gone, as in `specgen check | head`
        sys.stderr.close()
        raise SystemExit(2) from None
    raise SystemExit(0)


def _library(folder: Path | None, near: Path | None = None) -> Library:
    """The library asked for; else the one that `near` stands in or beside; else ./assemblies; else the shipped one."""
    from specgen.library.load import open_library

    if folder is not None:
        return open_library(folder)
    above = [*near.resolve().parents] if near is not None else []
    for candidate in [*(place for parent in above for place in (parent, parent / "assemblies")), Path("assemblies")]:
        if (candidate / "materials").is_dir():
            return open_library(candidate)
    return open_library()


def _walls(names: list[str] | None, folder: Path | None) -> list[Wall]:
    """The walls named, or every wall and variant of the library."""
    if not names:
        return list(_library(folder).walls())
    return [wall for name in names for wall in _named(name, folder)]


def _materials(names: list[str] | None, folder: Path | None) -> Iterator[Material]:
    """Materials of the libraries that the walls come from, read only when something asks for one."""
    found: dict[str, Material] = {}
    for name in names or [""]:
        found |= _library(folder, near=_file(name)).materials
    yield from found.values()


def _wall(name: str, folder: Path | None) -> Wall:
    return _named(name, folder)[0]


def _named(name: str, folder: Path | None) -> tuple[Wall, ...]:
    """One wall by id or id+variant; a path gives the wall and its variants, path+variant one of them."""
    from specgen.library.load import load_wall_file

    plain, _, variant = name.partition("+")
    path = _file(name)
    if path is not None:
        walls = load_wall_file(path, _library(folder, near=path))
        if variant:
            found = tuple(wall for wall in walls if wall.variant == variant)
            if not found:
                raise UnknownNameError(f"variant of {plain}", variant, (wall.variant for wall in walls if wall.variant))
            return found
        return walls
    return (_library(folder).wall(plain, variant),)


def _file(name: str) -> Path | None:
    """The path, where a wall is named by its file."""
    plain = name.partition("+")[0]
    return Path(plain) if plain.endswith((".yaml", ".yml")) or "/" in plain else None


def _sites(
    wall: Wall, zone: str | None, county: str | None, chosen: str | None, jurisdiction: Path | None = None
) -> list[Site]:
    """The place asked for, or one site for every zone that the wall claims, each with the code adopted there."""
    from dataclasses import replace

    from specgen.library.jurisdictions import load_jurisdictions, row_for
    from specgen.library.sites import site_from_county, site_from_zone

    edition = chosen or DEFAULT_EDITION
    _one_of("--edition", edition, EDITIONS)
    if zone and county:
        raise SpecgenError("--zone and --county both name a place; give one of them")
    if not zone and not county and (wall.suits is None or not wall.suits.zones):
        raise SpecgenError(f"{wall.name} claims no zones under suits; give --zone or --county")
    rows = load_jurisdictions(jurisdiction)
    found = []
    for place in [county] if county else [zone] if zone else wall.suits.zones if wall.suits else ():
        make = site_from_county if county else site_from_zone
        site = make(place or "", edition, edition)
        own = row_for(rows, site)
        if own is not None and not chosen and own.edition != edition:
            site = make(place or "", own.edition, own.edition)
        found.append(replace(site, edition_chosen=chosen is not None, jurisdiction=own))
    return found


def _county(zone: str | None, county: str | None, city: str | None) -> str | None:
    """The county asked for; that of the city where nothing else names the place."""
    from specgen.library.weather_city import find_city

    if city is None or zone or county:
        return county
    found = find_city(city)
    return f"{found.county}, {found.state}"


def _weather(sites: list[Site], city: str | None, latitude: float | None, longitude: float | None) -> list[Site]:
    """The sites with the weather asked for: of a named city, or of the one nearest to a position.

    A city of another zone is told: a wall may meet in its weather and has still been held to the rules of its own zone.
    """
    from specgen.library.sites import with_weather

    if (latitude is None) != (longitude is None):
        raise SpecgenError("half a position; give --latitude and --longitude")
    found = [with_weather(site, city, latitude, longitude) for site in sites]
    if city or latitude is not None:
        for remark in dict.fromkeys(site.city_remark for site in found if site.city_remark):
            _remark(f"{remark}; code and rules are those of the site's zone.")
    return found


def _simulated(
    pairs: list[tuple[Wall, Site]], assessments: list[Assessment], files: list[Path], jobs: int
) -> list[Assessment]:
    """The assessments with the simulation's answers; progress goes to stderr."""
    from specgen.checks.transient_findings import with_transient
    from specgen.checks.transient_jobs import simulate_all

    weather = [_hourly_year(path, {site.zone_label for _, site in pairs}) for path in files]
    outcomes = simulate_all(pairs, weather, jobs, _remark)
    return [
        with_transient(assessment, wall, site, result, failure)
        for assessment, (wall, site), (result, failure) in zip(assessments, pairs, outcomes, strict=True)
    ]


def _hourly_year(path: Path, zones: set[str]) -> WeatherYear:
    """An hourly file as a year, its rain scaled to the normal of the listed city nearby, if one is near.

    A file of another climate zone than those checked is named, since it is easily taken by mistake.
    """
    from specgen.checks.weather_year import file_year
    from specgen.library.weather_city import nearest_city
    from specgen.library.weather_file import read_weather_file

    found = read_weather_file(path)
    city, distance = nearest_city(found.latitude, found.longitude)
    if distance > NEAR_CITY:
        _remark(f"{path.name}: no listed city within {NEAR_CITY / 1000:.0f} km; its rain stands as in the file.")
        return file_year(found)
    _remark(f"{path.name}: rain scaled to the normal of {city.title}.")
    if not zones & {city.zone_older, city.zone_newer}:
        own = " or ".join(dict.fromkeys((city.zone_newer, city.zone_older)))
        _remark(f"{path.name}: {city.title} lies in climate zone {own}, not in {' or '.join(sorted(zones))}.")
    return file_year(found, city.rain[0].annual)


def _draw_all(out: Path, form: str, library: Path | None) -> None:
    """The sheet of all sections, `library-sections`."""
    from specgen.checks.thermal import thermal_result
    from specgen.documents.library_sheet import library_document
    from specgen.write.pdf import write_pdf
    from specgen.write.svg import write_svg

    opened = _library(library)
    document = library_document([(wall, thermal_result(wall)) for wall in opened.walls()], _beside(opened))
    files: dict[str, bytes] = {}
    if form in ("svg", "all"):
        for number, scene in enumerate(document.scenes, start=1):
            files[f"{document.id}{'' if number == 1 else f'-{number}'}.svg"] = write_svg(scene).encode()
    if form in ("pdf", "all"):
        files[f"{document.id}.pdf"] = write_pdf(document)
    _write(out, files)


def _is_project(name: str) -> bool:
    """Whether the argument names a project: the word demo, or a file that lists wall types."""
    from specgen.library.kinds import lists_wall_types

    path = Path(name)
    return lists_wall_types(path) if path.is_file() else name == "demo"


def _write_sections(name: str, library: Path | None, out: Path) -> None:
    from specgen.checks.assess import assess
    from specgen.documents.schedule import ScheduleRow
    from specgen.write.sections import open_questions, section_files

    loaded, tagged, folders = _project(name, library)
    rows = [ScheduleRow(entry.wall_type, entry.wall, entry.site, assess(entry.wall, entry.site)) for entry in tagged]
    for line in open_questions(rows):
        _remark(line)
    _write(out, section_files(loaded, rows, folders))


def _project(name: str, folder: Path | None) -> tuple[Project, list[TaggedWall], tuple[Path, ...]]:
    """A project file, its walls and sites looked up, the office's templates; the word demo names the shipped one."""
    from specgen.library.jurisdictions import load_jurisdictions, with_jurisdiction
    from specgen.library.load import load_project
    from specgen.library.sites import project_site
    from specgen.resources import shipped
    from specgen.write.issued_set import TaggedWall

    path = shipped("assemblies") / "demo" / "project.yaml" if name == "demo" and not Path(name).exists() else Path(name)
    library = _library(folder, near=path)
    project = load_project(path, library)
    named = project.code.jurisdictions
    rows = load_jurisdictions(path.parent / named if named else None)
    tagged = [
        TaggedWall(
            entry,
            library.wall(entry.wall, entry.variant or ""),
            with_jurisdiction(project_site(project, entry.site), rows),
        )
        for entry in project.wall_types
    ]
    return project, tagged, _beside(library)


def _templates(folder: Path | None, wall: str) -> tuple[Path, ...]:
    """The templates of the office whose library the wall comes from."""
    return _beside(_library(folder, near=_file(wall)))


def _beside(library: Library) -> tuple[Path, ...]:
    """An office's own templates stand in the folder `templates` beside its library."""
    from specgen.documents.templating import firm_folders

    return firm_folders(library.folder.resolve().parent)


def _write(out: Path, files: dict[str, bytes]) -> None:
    from specgen.write.out import write_file

    for name, content in files.items():
        typer.echo(write_file(out, name, content))


def _one_of(option: str, value: str, valid: tuple[str, ...]) -> None:
    if value not in valid:
        raise SpecgenError(f"{option} {value!r} does not exist; expected one of {', '.join(sorted(valid))}")


def _remark(text: str) -> None:
    typer.echo(text, err=True)


if __name__ == "__main__":
    main()
