"""The files of a library as they are written: walls, fragments, materials. `specgen schema` exports these.

Materials are named by id here; `library/load.py` turns a file into a resolved `model.wall.Wall`.
Migration rule: `schema:` counts up only when a file written for the older number would be read differently;
each older number keeps a reader in `library/load.py` and a file in the tests.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Discriminator, Field, Tag

from specgen.model.base import Count, Id, Part, Text
from specgen.model.material import Material
from specgen.model.wall import (
    Base,
    Caution,
    EmbeddedBase,
    Explained,
    FramingBase,
    GroutBase,
    LayerBase,
    Openings,
    Step,
    Suits,
    UnitBase,
    WallBase,
)

SCHEMA = 1  # the newest file format that this package writes


class EmbeddedEntry(EmbeddedBase):
    material: Id


class FramingEntry(FramingBase):
    material: Id


class GroutEntry(GroutBase):
    material: Id


class UnitEntry(UnitBase):
    grout: GroutEntry | None = None


class LayerEntry(LayerBase):
    """One layer; `material`, or `framing` with an optional `fill`, or an open `cavity`."""

    material: Id | None = None
    fill: Id | None = Field(None, description="What fills the cavity between members, or the cores of a unit.")
    framing: FramingEntry | None = None
    unit: UnitEntry | None = None
    embedded: tuple[EmbeddedEntry, ...] = ()


class UseFragment(Part):
    """`use: fragments/NAME`: the layers, steps or cautions of a fragment stand here; one level, no cycles."""

    use: Text = Field(pattern=r"^fragments/[a-z0-9-]+$")


def _entry_or_fragment(value: object) -> str:
    """Which of the two an entry of a list is meant to be, so that only errors of that one are reported."""
    used = "use" in value if isinstance(value, dict) else isinstance(value, UseFragment)
    return "<fragment>" if used else "<entry>"


_Fragment = Annotated[UseFragment, Tag("<fragment>")]
_Choice = Discriminator(_entry_or_fragment)
LayerOrFragment = Annotated[Annotated[LayerEntry, Tag("<entry>")] | _Fragment, _Choice]
StepOrFragment = Annotated[Annotated[Step, Tag("<entry>")] | _Fragment, _Choice]
CautionOrFragment = Annotated[Annotated[Caution, Tag("<entry>")] | _Fragment, _Choice]


class Change(Part):
    """One change of a variant: one of replace, insert_after, insert_before (with `layers`) or remove, by layer id."""

    replace: Id | None = None
    insert_after: Id | None = None
    insert_before: Id | None = None
    remove: Id | None = None
    layers: tuple[LayerOrFragment, ...] = ()


class Variant(Change):
    """A named swap instead of a copy of the file; further changes stand under `also`."""

    id: Id
    title: Text
    also: tuple[Change, ...] = ()
    suits: Suits | None = Field(None, description="Replaces the wall's claim, if given; so do the fields below.")
    explained: tuple[Explained, ...] | None = None
    base: Base | None = None
    openings: Openings | None = None
    installation: tuple[StepOrFragment, ...] | None = None


class WallFile(WallBase):
    """A wall file."""

    schema_: Count = Field(alias="schema")
    layers: tuple[LayerOrFragment, ...]
    variants: tuple[Variant, ...] = ()
    installation: tuple[StepOrFragment, ...] = ()
    cautions: tuple[CautionOrFragment, ...] = ()


class FragmentFile(Part):
    """A fragment: shared layers, steps or cautions (exactly one of the three)."""

    schema_: Count = Field(alias="schema")
    id: Id
    title: Text
    layers: tuple[LayerEntry, ...] = ()
    installation: tuple[Step, ...] = ()
    cautions: tuple[Caution, ...] = ()


class MaterialFile(Part):
    """Materials of one kind, or of a family of kinds."""

    schema_: Count = Field(alias="schema")
    title: Text
    materials: tuple[Material, ...]
