"""Files of a library to resolved walls: read, migrated, held against the format and the rules, then built.

Nothing is half-loaded: a file with one problem gives no wall, and every problem of the file is in the one error.
`open_library` reads nothing but folder lists; materials are read once, walls and fragments when they are asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any, get_args

from specgen import resources
from specgen.errors import InputError, Problem, UnknownNameError
from specgen.library import file_rules, wall_rules
from specgen.library.build import build_walls
from specgen.library.codes import Code
from specgen.library.format import SCHEMA, FragmentFile, MaterialFile, WallFile
from specgen.library.read import Source, printed_path, read_file
from specgen.library.resolve import Fragments, Plan, plans
from specgen.library.view import EnoughError, Entry, Report
from specgen.library.wording import found, nearest, validated
from specgen.model.material import Material
from specgen.model.project import Project
from specgen.model.wall import Construction, Wall

CONSTRUCTIONS: tuple[str, ...] = get_args(Construction)  # also the folders of the walls

# How a file of an older format becomes one of the next: the number it was written for, and the change to its data.
# A number enters here when SCHEMA is raised; the old file then joins the tests and stays.
Migration = Callable[[dict[str, Any]], dict[str, Any]]
MIGRATIONS: dict[int, Migration] = {}


class Library:
    """A folder of walls by construction, fragments and materials.

    Parameters
    ----------
    folder : Path
        The folder that holds `materials/`, `fragments/` and the folders of walls.

    Raises
    ------
    InputError
        If there is no such folder, two walls have the same id, or a link leads out of the folder.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        if not folder.is_dir():
            message = "there is no such folder; expected a library with materials/ and walls by construction"
            raise InputError([Problem(printed_path(folder), 1, 1, Code.CANNOT_OPEN.value, message)])
        self._paths = _wall_paths(folder)
        self._walls: dict[Path, tuple[Wall, ...]] = {}
        self._fragments: dict[str, Source | None] = {}

    @property
    def wall_ids(self) -> tuple[str, ...]:
        """Ids of all walls, in the order of the construction folders and then of their names."""
        return tuple(self._paths)

    @cached_property
    def materials(self) -> dict[str, Material]:
        """All materials by id, in the order of files and entries.

        Raises
        ------
        InputError
            With every problem of every materials file.
        """
        return _load_materials(self.folder)

    @cached_property
    def fragment_names(self) -> tuple[str, ...]:
        """Names of the fragments, as `use: fragments/NAME` takes them."""
        return tuple(path.stem for path in sorted(self.folder.glob("fragments/*.yaml")))

    def wall(self, wall_id: str, variant: str = "") -> Wall:
        """One wall, or a variant of it.

        Parameters
        ----------
        wall_id : str
            As in `wall_ids`.
        variant : str
            Id of the variant; empty for the wall itself.

        Raises
        ------
        UnknownNameError
            If there is no such wall or variant.
        InputError
            With every problem of the file.
        """
        path = self._paths.get(wall_id)
        if path is None:
            raise UnknownNameError("wall", wall_id, self.wall_ids)
        walls = self.load(path)
        for wall in walls:
            if wall.variant == variant:
                return wall
        raise UnknownNameError(f"variant of {wall_id}", variant, walls[0].variants)

    def walls(self) -> Iterator[Wall]:
        """Every wall, each followed by its variants; all are read before the first is given.

        Raises
        ------
        InputError
            With every problem of every file.
        """
        problems: set[Problem] = set()
        loaded: list[Wall] = []
        _ = self.materials  # what is wrong there would be said once for each wall
        for path in self._paths.values():
            try:
                loaded += self.load(path)
            except InputError as error:
                problems.update(error.problems)
        if problems:
            raise InputError(problems)
        return iter(loaded)

    def load(self, path: Path) -> tuple[Wall, ...]:
        """The wall of one file and its variants, read once."""
        if path not in self._walls:
            self._walls[path] = load_wall_file(path, self)
        return self._walls[path]

    def fragment(self, name: str) -> Source | None:
        """A fragment as read, its problems inside; None if there is no such file."""
        if name not in self._fragments:
            path = self.folder / "fragments" / f"{name}.yaml"
            self._fragments[name] = _read_fragment(path) if name in self.fragment_names else None
        return self._fragments[name]


def open_library(folder: Path | None = None) -> Library:
    """The library in `folder`, or the one that came with this installation.

    Raises
    ------
    InputError
        If there is no such folder, or two walls have the same id.
    """
    return Library(folder if folder is not None else resources.shipped("assemblies"))


def load_wall_file(path: Path, library: Library) -> tuple[Wall, ...]:
    """The wall of one file, which may lie anywhere, then its variants, with materials and fragments of `library`.

    Raises
    ------
    InputError
        With every problem of the file and of the fragments it uses.
    """
    materials = library.materials
    source = _migrated(read_file(path))
    if source.data is None:
        raise InputError(source.problems)
    _, problems = validated(WallFile, source)
    report = Report({*source.problems, *problems})
    wall = Entry(source, (), source.data)
    fragments = Fragments(library.fragment, library.fragment_names, report)
    all_plans: tuple[Plan, ...] = ()
    with suppress(EnoughError):
        file_rules.check_words(source, report)
        file_rules.check_id(wall, report)
        _check_folder(wall, library, report)
        wall_rules.check_file(wall, report)
        all_plans = plans(wall, fragments, report)
        for plan in all_plans:
            if plan.variant is None or not report.problems:  # a variant would repeat what is wrong in the wall
                wall_rules.check_plan(plan, materials, report)
    for fragment in fragments.used.values():
        report.problems.update(fragment.problems)
    if report.problems:
        raise InputError(report.problems)
    return build_walls(all_plans, materials, fragments.used)


def load_project(path: Path, library: Library | None = None) -> Project:
    """A project from its file; with a library, the walls and variants that it names are looked up there too.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    source = _migrated(read_file(path))
    project_file, problems = validated(Project, source)
    report = Report({*source.problems, *problems})
    if source.data is not None:
        project = Entry(source, (), source.data)
        with suppress(EnoughError):
            file_rules.check_words(source, report)
            file_rules.check_project(project, report)
            if library:
                _check_walls(project, library, report)
    if report.problems or project_file is None:
        raise InputError(report.problems)
    return project_file


def migrated(data: dict[str, Any], migrations: Mapping[int, Migration], newest: int) -> dict[str, Any]:
    """Data of any older format in the newest; data of the newest, or of an unknown number, as it is.

    Parameters
    ----------
    data : dict
        A file as read, every scalar a text.
    migrations : mapping of int to function
        What turns data written for one number into data of the next.
    newest : int
        The number this package writes. [-]
    """
    number = data.get("schema")
    while isinstance(number, str) and number.isdecimal() and int(number) in migrations and int(number) < newest:
        following = str(int(number) + 1)
        data = {**migrations[int(number)](data), "schema": following}
        number = following
    return data


def _migrated(source: Source) -> Source:
    """The source in the newest format; without data if its number is not one that can be read."""
    if source.data is None:
        return source
    data = migrated(source.data, MIGRATIONS, SCHEMA)
    number = data.get("schema")
    if number == str(SCHEMA):
        return replace(source, data=data)
    if number is None:
        message = f'key "schema" is missing; expected schema: {SCHEMA} as the first line'
    elif (
        isinstance(number, str) and number.isdecimal() and number.isascii() and len(number) < 7 and int(number) > SCHEMA
    ):
        message = f"schema is {number}, which needs a newer specgen; expected schema: {SCHEMA} at most"
    else:
        message = f"schema is {found(number)}; expected schema: {SCHEMA}"
    problem = source.problem(Code.SCHEMA_NUMBER, message, ("schema",) if "schema" in data else ())
    return replace(source, data=None, problems=(*source.problems, problem))


def _wall_paths(folder: Path) -> dict[str, Path]:
    paths: dict[str, Path] = {}
    problems: list[Problem] = []
    for path in sorted(folder.glob("*/*.yml")):
        message = f"the file would not be read; expected the ending .yaml, as {path.stem}.yaml"
        problems.append(Problem(printed_path(path), 1, 1, Code.CANNOT_OPEN.value, message))
    for path in sorted(folder.glob("*/*.yaml")):
        if not resources.inside(path, folder):
            message = "the link leads out of the library; expected a file that lies in it"
            problems.append(Problem(printed_path(path), 1, 1, Code.CANNOT_OPEN.value, message))
    for construction in CONSTRUCTIONS:
        for path in sorted(folder.glob(f"{construction}/*.yaml")):
            if path.stem in paths:
                message = f'"{path.stem}" is also {printed_path(paths[path.stem])}; expected one file for each wall id'
                problems.append(Problem(printed_path(path), 1, 1, Code.DUPLICATE_ID.value, message))
            paths[path.stem] = path
    if problems:
        raise InputError(problems)
    return paths


def _check_folder(wall: Entry, library: Library, report: Report) -> None:
    path, construction = wall.source.path, wall.text("construction")
    inside = path.parent.parent.resolve() == library.folder.resolve() and path.parent.name in CONSTRUCTIONS
    if inside and construction in CONSTRUCTIONS and construction != path.parent.name:
        message = f"construction is {construction}; expected {path.parent.name}, the folder it lies in"
        report.add(wall, Code.CONSTRUCTION_FOLDER, message, "construction")


def _check_walls(project: Entry, library: Library, report: Report) -> None:
    for wall_type in project.entries("wall_types"):
        name, variant = wall_type.text("wall"), wall_type.text("variant")
        if name and name not in library.wall_ids:
            message = f'wall "{name}" does not exist{nearest(name, library.wall_ids)}'
            report.add(wall_type, Code.UNKNOWN_WALL, message, "wall")
        elif name and variant:
            valid = library.wall(name).variants
            if variant not in valid:
                message = f'variant "{variant}" of {name} does not exist{nearest(variant, valid)}'
                report.add(wall_type, Code.UNKNOWN_WALL, message, "variant")


def _read_fragment(path: Path) -> Source:
    source = _migrated(read_file(path))
    if source.data is None:
        return source
    report = Report(set(source.problems))
    with suppress(EnoughError):
        file_rules.check_words(source, report)
        file_rules.check_fragment(Entry(source, (), source.data), report)
    own = {(problem.line, problem.column) for problem in report.problems}
    for problem in validated(FragmentFile, source)[1]:
        # A nested `use` is an unknown key to the format as well; once is enough.
        if (problem.line, problem.column) not in own:
            report.problems.add(problem)
    return replace(source, problems=tuple(sorted(report.problems)))


def _load_materials(folder: Path) -> dict[str, Material]:
    paths = sorted(folder.glob("materials/*.yaml"))
    if not paths:
        message = "there are no files in materials/; expected the materials that the walls name"
        raise InputError([Problem(printed_path(folder), 1, 1, Code.CANNOT_OPEN.value, message)])
    sources = [_migrated(read_file(path)) for path in paths]
    report = Report()
    files: list[MaterialFile] = []
    for source in sources:
        file, problems = validated(MaterialFile, source)
        report.problems.update(source.problems, problems)
        files += [file] if file else []
    with suppress(EnoughError):
        for source in sources:
            file_rules.check_words(source, report)
        file_rules.check_materials(sources, report)
    if report.problems:
        raise InputError(report.problems)
    return {material.id: material for file in files for material in file.materials}
