"""The templates of documents: found in a firm's folders first, rendered in a sandbox, every value made literal.

A template is text with sentences of ours and values of the wall; it cannot reach the disk, the network or Python.
A value that is missing, empty or not printable stops the document: nothing prints `None`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import (
    ChoiceLoader,
    FileSystemLoader,
    StrictUndefined,
    TemplateError,
    TemplateNotFound,
    TemplateSyntaxError,
    Undefined,
)
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from specgen.documents.markup import MarkupError, literal
from specgen.documents.printed import FILTERS
from specgen.resources import shipped


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
    loaders = [FileSystemLoader(folder) for folder in (*folders, shipped("templates"))]
    environment = ImmutableSandboxedEnvironment(
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


@contextmanager
def _template_errors(name: str) -> Iterator[None]:
    try:
        yield
    except TemplateNotFound as error:
        raise MarkupError(f"template {name}: {error.name} was not found") from error
    except TemplateSyntaxError as error:
        raise MarkupError(f"template {name}, line {error.lineno}: {error.message}") from error
    except TemplateError as error:
        raise MarkupError(f"template {name}: {error.message}") from error


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
