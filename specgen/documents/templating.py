"""The templates of documents: found in a firm's folders first, rendered in a sandbox, every value made literal.

A template is text with sentences of ours and values of the wall; it cannot reach the disk, the network or Python.
A value that is missing, empty or not printable stops the document: nothing prints `None`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import TracebackType
from typing import Any

from jinja2 import (
    ChoiceLoader,
    FileSystemLoader,
    StrictUndefined,
    Template,
    TemplateError,
    TemplateNotFound,
    TemplateSyntaxError,
    Undefined,
)
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from specgen.documents.markup import MarkupError, literal
from specgen.documents.printed import FILTERS
from specgen.errors import SpecgenError
from specgen.model.base import Part
from specgen.resources import inside, shipped


def firm_folders(*places: Path) -> tuple[Path, ...]:
    """The `templates` folders that exist in these places (project, library), in the order of the search."""
    return tuple(place / "templates" for place in places if (place / "templates").is_dir())


@cache
def template_environment(folders: tuple[Path, ...] = ()) -> ImmutableSandboxedEnvironment:
    """The environment that renders templates of light markup.

    Parameters
    ----------
    folders : tuple of Path
        Folders of the firm, searched first; the shipped templates come last.
    """
    loaders = [_FolderLoader(folder) for folder in (*folders, shipped("templates"))]
    environment = _Sandbox(
        loader=ChoiceLoader(loaders),
        undefined=StrictUndefined,
        autoescape=True,  # marks what a template itself wrote; `finalize` escapes the rest for our markup
        finalize=_printable,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update({name: _checked(name, function) for name, function in FILTERS.items()})
    return environment


def render(name: str, context: dict[str, Any], folders: Sequence[Path] = ()) -> str:
    """A template's text with the context put in.

    Raises
    ------
    MarkupError
        If the template does not exist, is no valid template, or asks for a value that is not there.
    """
    with _template_errors(name):
        return template_environment(tuple(folders)).get_template(name).render(context)


def render_macro(name: str, macro: str, context: dict[str, Any], folders: Sequence[Path] = ()) -> str:
    """One macro of a template, without arguments; empty if the template does not define it.

    Raises
    ------
    MarkupError
        As `render`.
    """
    with _template_errors(f"{name}, {macro}"):
        module = template_environment(tuple(folders)).get_template(name).make_module(context)
        body = getattr(module, macro, None)
        return str(body()) if body is not None else ""


class _Sandbox(ImmutableSandboxedEnvironment):
    """A sandbox in which a wall has its fields and nothing of the class that reads files into them."""

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        # The base class of our models can parse a file or a pickle; a template reaches only what the model adds.
        own = not (isinstance(obj, Part) and hasattr(Part, attr))
        return own and super().is_safe_attribute(obj, attr, value)


class _FolderLoader(FileSystemLoader):
    """Templates of one folder; a link that leads out of it is not followed."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.folder = folder

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        source, path, uptodate = super().get_source(environment, template)
        if not inside(Path(path), self.folder):
            raise MarkupError(f"{path}: leads out of the folder {self.folder}; expected a file in it")
        return source, path, uptodate


@contextmanager
def _template_errors(name: str) -> Iterator[None]:
    """Whatever goes wrong in a template is the error of that file and line; `name` stands in where none is known."""
    try:
        yield
    except SpecgenError:
        raise  # a template inside this one, which has named its place already
    except TemplateNotFound as error:
        raise MarkupError(f"template {_place(error, name)}: {error.name} was not found") from error
    except TemplateSyntaxError as error:
        raise MarkupError(f"template {error.filename or name}, line {error.lineno}: {error.message}") from error
    except TemplateError as error:
        raise MarkupError(f"template {_place(error, name)}: {error.message}") from error
    except UnicodeDecodeError as error:
        raise MarkupError(f"template {name}: is not UTF-8 text; save it as UTF-8") from error
    except Exception as error:  # the template computes, so it can fail in any way that Python can
        raise MarkupError(f"template {_place(error, name)}: {error}") from error


def _place(error: Exception, name: str) -> str:
    """File and line of the innermost template at work when `error` was raised."""
    found = name
    trace: TracebackType | None = error.__traceback__
    while trace is not None:
        variables = trace.tb_frame.f_globals
        template = variables.get("__jinja_template__")
        if isinstance(template, Template):  # compiled code: its lines are not yet those of the file
            line = template.get_corresponding_lineno(trace.tb_lineno)
            found = f"{template.filename or template.name}, line {line}"
        elif "__jinja_exception__" in variables:  # a frame that the renderer has put in the place of the compiled one
            found = f"{trace.tb_frame.f_code.co_filename}, line {trace.tb_lineno}"
        trace = trace.tb_next
    return found


def _printable(value: object) -> object:
    if isinstance(value, Markup | Undefined):
        return value
    if value is None:
        raise TemplateError("a value that is not given was to be printed")
    if isinstance(value, bool | float | list | tuple | dict):
        raise TemplateError(f"{value!r} has no printed form; use a filter")
    return Markup(literal(str(value)))


def _checked(name: str, function: Any) -> Any:
    def filtered(value: Any, *arguments: Any) -> str:
        if value is None:
            raise TemplateError(f"a value that is not given went into {name}")
        if isinstance(value, Undefined):
            str(value)  # raises and names the variable
        return str(function(value, *arguments))

    return filtered
