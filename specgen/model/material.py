"""A generic material: what it is, what it resists, and how we know each value."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from specgen.model.base import (
    Conductivity,
    Density,
    Flag,
    Id,
    Part,
    Permeability,
    Permeance,
    Resistance,
    ShareOfOne,
    SpecificHeat,
    Status,
    Text,
    Thickness,
    WaterUptake,
)

Kind = Literal[
    "adhered-veneer", "batt", "block", "brick", "coating", "concrete", "drainage-mat", "fiber-cement", "fiberboard",
    "gypsum-board", "gypsum-sheathing", "lath", "loose-fill", "membrane", "metal", "mineral-board", "mortar",
    "panel-siding", "plaster", "rigid-foam", "sheet", "spray-foam", "stucco", "tile", "wall-covering", "wood",
    "wood-panel", "wood-siding",
]  # fmt: skip

Facing = Literal["none", "foil", "kraft", "glass", "paper", "polymer"]

Hazard = Literal[
    "silica", "cement", "fibers", "solvent", "isocyanate", "foam-fire", "wood-dust", "heavy", "sharp-metal"
]


class Sourced(Part):
    """Base of a value with its source; subclasses add `value` in one kind of unit."""

    source: Text = Field(description="Id in data/sources.yaml, or 'common practice'.")
    status: Status
    note: Text | None = None


class ConductivityValue(Sourced):
    value: Conductivity
    low: Conductivity | None = Field(None, description="Lower end of the range where sources disagree.")
    high: Conductivity | None = Field(None, description="Upper end of the range where sources disagree.")


class DensityValue(Sourced):
    value: Density


class SpecificHeatValue(Sourced):
    value: SpecificHeat


class EmissivityValue(Sourced):
    value: ShareOfOne


class WaterUptakeValue(Sourced):
    value: WaterUptake


class RatedResistance(Sourced):
    """A labeled or unit R that belongs to one thickness: never scaled to another."""

    thickness: Thickness
    resistance: Resistance


class PermeanceValue(Sourced):
    """Permeance of a film, sheet or facing as applied; dry cup always, wet cup where known."""

    dry: Permeance
    wet: Permeance | None = None
    thickness: Thickness | None = Field(None, description="Film or board thickness that the value belongs to.")


class PermeabilityValue(Sourced):
    """Permeability of a material that is the same at any thickness."""

    dry: Permeability
    wet: Permeability | None = None


class Material(Part):
    """One generic material. Rules reason on these attributes, never on its id or title."""

    id: Id
    title: Text = Field(description="Full generic name, as a specification would print it.")
    label: Text = Field(description="Short name for callouts and tables, at most 40 characters.", max_length=40)
    kind: Kind
    facing: Facing = "none"
    foam_plastic: Flag = False
    absorptive: Flag = Field(False, description="Stores rain or construction water: stucco, brick, block, wood.")
    moisture_sensitive: Flag = Field(False, description="Rots, swells or feeds mold when it stays wet.")
    treated: Flag = Field(False, description="Preservative-treated wood.")
    combustible: Flag = False
    insulating: Flag | None = Field(None, description="Sold and labeled as insulation; absent: by kind.")
    wood_based: Flag = Field(False, description="Wood, plywood, OSB, wood fiber: what the stucco rules mean by it.")
    air_barrier: Flag = Field(False, description="Tested as an air-barrier material (ASTM E2178 or equal).")
    air_open: Flag = Field(False, description="Air moves through it: batts, blown fiber, uncoated block.")
    water_barrier: Flag = Field(False, description="Accepted as a water-resistive barrier or waterproof coating.")
    bond_break: Flag = Field(False, description="Cement does not bond to it: paper, mat, film.")
    drainable: Flag = Field(False, description="Has a drained depth of its own: mat, grooved board.")
    film_forming: Flag = Field(False, description="Coating that closes the surface with a film.")
    thermal_barrier: Flag = Field(False, description="Accepted 15-minute thermal barrier at 1/2 in or more.")
    metal: Flag = False
    wrb_type: Literal["I", "II"] | None = Field(None, description="ASTM E2556 type, for sheet barriers.")
    drainage_efficiency: ShareOfOne | None = Field(None, description="ASTM E2273 or E2925 result, for mats.")
    conductivity: ConductivityValue | None = None
    rated: tuple[RatedResistance, ...] = ()
    density: DensityValue | None = None
    specific_heat: SpecificHeatValue | None = None
    permeability: PermeabilityValue | None = None
    permeance: PermeanceValue | None = None
    water_uptake: WaterUptakeValue | None = None
    emissivity: EmissivityValue | None = None
    storage: Id | None = Field(None, description="Moisture set of data/hygrothermal.yaml; absent: by kind.")
    hazards: tuple[Hazard, ...] = Field((), description="What can hurt the crew; calls up the usual cautions.")
    standards: tuple[Text, ...] = Field((), description="Product standards by number, type, grade and class.")
    stock: tuple[Thickness, ...] = Field((), description="Thicknesses commonly sold.")
    products: tuple[Text, ...] = Field((), description="House-only: products that the office accepts. Ships empty.")
    note: Text | None = None


def uncapped(name: str) -> str:
    """A name within a sentence: `latex paint`, `OSB sheathing`; a first word that is an abbreviation stays as it is.

    Parameters
    ----------
    name : str
        As it stands at the head of a row, a label for example.
    """
    first = name.split(" ", 1)[0]
    return name if any(letter.isupper() for letter in first[1:]) else name[:1].lower() + name[1:]
