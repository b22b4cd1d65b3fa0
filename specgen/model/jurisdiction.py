"""What a state or city puts in place of the model energy code: limits as its code writes them, with their source."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from specgen.model.base import Count, Flag, Id, Part, Status, Text
from specgen.model.wall import Zone

FrameR = Annotated[Text, Field(pattern=r"^\d{1,2}(&\d{1,2}ci)?$")]
MassR = Annotated[Text, Field(pattern=r"^\d{1,2}$")]
LimitU = Annotated[Text, Field(pattern=r"^0\.\d{2,3}$")]


class JurisdictionRow(Part):
    """One state, county or city; what it does not give stays as in the model code."""

    id: Id
    name: Text = Field(description="As it prints: State of Washington, City of Rivermouth.")
    state: Text | None = Field(None, description="Two letters; the row then holds in the whole state.")
    county: Text | None = Field(None, description="As 'Harris, TX'; of two rows that fit, the county's holds.")
    energy: Literal["IECC 2018", "IECC 2021", "IECC 2024"] = Field(description="Model edition that was adopted.")
    zones: tuple[Zone, ...] = Field((), description="Where the limits hold; none: in all its zones.")
    wood_r: tuple[FrameR, ...] = Field((), description="Alternatives for wood frames as the code has them: 20&5ci.")
    mass_r: MassR | None = Field(None, description="R of mass walls.")
    mass_r_inside: MassR | None = Field(None, description="The same where most of it lies inside; absent: as mass_r.")
    wood_u: LimitU | None = Field(None, description="Greatest U of framed walls, Btu/(h·ft²·°F).")
    mass_u: LimitU | None = Field(None, description="Greatest U of mass walls.")
    mass_u_inside: LimitU | None = Field(None, description="The same, insulation inside; absent: as mass_u.")
    r_not_on_file: Flag = Field(False, description="The model's R table does not hold here; only U is judged.")
    source: Text = Field(description="Title and section of the law or ordinance.")
    status: Status
    note: Text | None = None

    @property
    def edition(self) -> str:
        """`2021`."""
        return self.energy.split()[-1]


class JurisdictionFile(Part):
    """A file of jurisdictions."""

    schema_: Count = Field(alias="schema")
    title: Text
    jurisdictions: tuple[JurisdictionRow, ...]
