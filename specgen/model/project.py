"""A project as its file gives it: sites, wall types by tag, the code adopted there."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from specgen.model.base import Count, Date, Flag, Id, Latitude, Length, Longitude, Part, Speed, Text
from specgen.model.site import Termite
from specgen.model.wall import Zone


class OrNotKnown:
    """Annotation of a field that also takes the words `not known`, which are None inside."""

    @staticmethod
    def read(value: object) -> object:
        return None if value == "not known" else value

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        described = dict(handler(schema))
        return {"anyOf": [{"const": "not known"}, *described.get("anyOf", [described])]}


_NotKnown = OrNotKnown()


class CodeChoice(Part):
    """The code in force, always stated: nothing is assumed."""

    energy: Literal["IECC 2018", "IECC 2021", "IECC 2024"]
    residential: Literal["IRC 2018", "IRC 2021", "IRC 2024"]
    note: Text = Field(description="Jurisdiction and its amendments, or that they are to be confirmed.")
    jurisdictions: Text | None = Field(None, description="The office's file of amended limits, beside the project.")


class SiteHazards(Part):
    """What the county list cannot know; each is a value or the words `not known`."""

    design_wind: Annotated[Speed | None, _NotKnown] = None
    wind_borne_debris: Annotated[Flag | None, _NotKnown] = None
    exposure: Annotated[Literal["B", "C", "D"] | None, _NotKnown] = None
    termite: Annotated[Termite | None, _NotKnown] = None
    annual_rain: Annotated[Length | None, _NotKnown] = None
    frost_depth: Annotated[Length | None, _NotKnown] = None
    flood: Annotated[Flag | None, _NotKnown] = None


class ProjectSite(Part):
    id: Id
    name: Text
    county: Text | None = Field(None, description="As 'Harris, TX'; gives the zone of the edition chosen.")
    zone: Zone | None = Field(None, description="Only where no county is given.")
    city: Text | None = Field(None, description="Listed weather city, 'Houston, TX'; else the nearest to the position.")
    latitude: Latitude | None = Field(None, description="North positive; with the longitude.")
    longitude: Longitude | None = Field(None, description="East positive, so negative in the United States.")
    hazards: SiteHazards = SiteHazards()


class WallType(Part):
    """A tag of the project, mapped to one wall of the office."""

    tag: Text = Field(pattern=r"^[A-Z][A-Za-z0-9.-]{0,7}$")
    wall: Id
    variant: Id | None = None
    site: Id
    where: Text
    remarks: Text | None = None


class Project(Part):
    """The project file."""

    schema_: Count = Field(alias="schema")
    id: Id
    name: Text
    number: Text
    office: Text
    invented: Flag = False
    units: Literal["inch-pound", "si"] = "inch-pound"
    issued_for: Text
    revision: Count
    date: Date
    drawn_by: Text | None = None
    checked_by: Text | None = None
    code: CodeChoice
    sites: tuple[ProjectSite, ...]
    wall_types: tuple[WallType, ...]
