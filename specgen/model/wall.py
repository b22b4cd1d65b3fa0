"""A wall: layers from exterior to interior with everything the checks, drawings and documents ask of them.

The parts here serve both the file format (`library/format.py`, materials by id) and the resolved wall
(materials as objects, variant and fragments applied, every length in m).
"""

from __future__ import annotations

from functools import cached_property
from typing import Literal

from pydantic import Field

from specgen.model.base import (
    Area,
    ArealMass,
    Count,
    Date,
    Duration,
    Flag,
    Id,
    Length,
    Offset,
    Part,
    Place,
    Pressure,
    ShareOfOne,
    Speed,
    Status,
    Temperature,
    Text,
    Thickness,
)
from specgen.model.material import Material

Construction = Literal["framed", "mass-exterior-insulated", "mass-interior-insulated", "mass-direct-render"]
WallStatus = Literal["draft", "in-review", "approved", "superseded", "retired"]
Control = Literal["water", "air", "vapor", "thermal"]
Zone = Literal[
    "0A", "0B", "1A", "1B", "2A", "2B", "3A", "3B", "3C", "4A", "4B", "4C", "5A", "5B", "5C", "6A", "6B", "7", "8",
]  # fmt: skip


class Cavity(Part):
    """An air space in a layer: how it is open decides what it drains, dries and resists."""

    kind: Literal["drained", "ventilated", "unventilated"]
    open: tuple[Literal["bottom", "top"], ...] = ()
    depth: Thickness | None = Field(None, description="Clear depth, if less than the layer.")


class Fastening(Part):
    """How a layer is held: the row that a crew or a plan reviewer looks for."""

    type: Literal["nail", "screw", "staple", "anchor", "tie", "clip", "adhesive", "bedded", "friction"]
    name: Text | None = Field(None, description="Trade name of the fastener, for example 'roofing nail'.")
    gauge: Text | None = None
    diameter: Length | None = None
    length: Length | None = None
    head: Length | None = None
    spacing: Length | None = Field(None, description="Along the member.")
    spacing_across: Length | None = Field(None, description="Between members, or rows the other way.")
    spacing_field: Length | None = Field(
        None, description="In the field of a panel; `spacing` is then along its edges."
    )
    penetration: Length | None = Field(None, description="Least depth into what is named in `into`.")
    into: Literal["studs", "furring", "sheathing", "block", "concrete", "plates", "steel"] | None = None
    edge_distance: Length | None = None
    coating: Literal["bright", "electro-galvanized", "hot-dip-galvanized", "stainless", "polymer-coated"] | None = None
    by_engineer: Flag = Field(False, description="Type and spacing are the engineer's; nothing here replaces that.")
    note: Text | None = None
    source: Text | None = None
    status: Status | None = None


class Laps(Part):
    """Laps of a sheet, lath or membrane."""

    side: Length | None = None
    end: Length | None = None


class Cure(Part):
    moist: Duration | None = Field(None, description="Kept damp for this long.")
    before_next: Duration | None = Field(None, description="Least time until the next coat or layer.")


class Limits(Part):
    """Weather and condition limits while a layer is installed and cures."""

    air_min: Temperature | None = None
    air_max: Temperature | None = None
    wind_max: Speed | None = None
    rain_protection: Duration | None = None
    exposure_max: Duration | None = Field(None, description="Longest time that it may stay uncovered.")
    base: Text | None = Field(None, description="Condition of the base: dry, damp, cured, moisture limit.")


class FramingBase(Part):
    """Members that bridge a layer; the rest of the layer is cavity, filled or empty."""

    width: Thickness = Field(description="Face width of one member, dressed.")
    spacing: Length = Field(description="On center.")
    fraction: ShareOfOne = Field(description="Framing factor of the whole opaque wall: studs, plates, headers.")
    orientation: Literal["vertical", "horizontal"] = "vertical"
    profile: Literal["solid", "hat", "zee", "cee"] = "solid"
    gauge: Text | None = None


class GroutBase(Part):
    """Where cells are grouted: solid, or at a spacing of vertical cells and horizontal courses."""

    solid: Flag = False
    vertical_spacing: Length | None = None
    horizontal_spacing: Length | None = None


class UnitBase(Part):
    """One masonry unit and its bond."""

    length: Length
    height: Length
    joint: Length
    hollow: Flag = True
    face_shell: Thickness | None = Field(None, description="Average thickness of one face shell.")
    web: Thickness | None = Field(None, description="Average thickness of one web.")
    webs: Count | None = None
    joint_profile: Literal["flush", "concave", "struck", "raked"] = "concave"


class EmbeddedBase(Part):
    """A part bedded in a layer without adding thickness: lath, mesh, bars."""

    id: Id
    offset: Offset | None = Field(None, description="From the layer's inner face, for the drawing.")
    fastening: Fastening | None = None
    laps: Laps | None = None
    crew_note: Text | None = None


class LayerBase(Part):
    """What a layer says of itself, whether its materials are ids or objects."""

    id: Id
    thickness: Thickness | None = Field(None, description="True thickness, films and coatings too where known.")
    coats: Count | None = None
    wet_film: Thickness | None = Field(None, description="Wet-film thickness per coat, for the gauge.")
    group: Id | None = Field(None, description="Layers of one group share one callout and number.")
    group_title: Text | None = Field(None, description="Callout of the group, on its first layer.")
    label: Text | None = Field(None, description="Callout wording, if the material's own is not enough.")
    controls: tuple[Control, ...] = ()
    cavity: Cavity | None = None
    fastening: Fastening | None = None
    ties: Fastening | None = None
    laps: Laps | None = None
    mix: Text | None = Field(None, description="Proportions by volume, as written: 1:4 cement to sand.")
    cure: Cure | None = None
    limits: Limits | None = None
    exposure: Length | None = Field(None, description="Exposed height of a lap siding course.")
    condition: Literal["new", "existing-to-remain", "existing-to-verify"] = "new"
    crew_note: Text | None = Field(None, description="A few words for the crew table: which face out, what is butted.")


class Framing(FramingBase):
    material: Material


class Grout(GroutBase):
    material: Material


class Unit(UnitBase):
    grout: Grout | None = None


class Embedded(EmbeddedBase):
    material: Material
    place: Place = Field(default_factory=Place, exclude=True)


class Layer(LayerBase):
    """A resolved layer. `material` is None for a framed or open layer whose body is members and cavity."""

    material: Material | None = None
    fill: Material | None = Field(None, description="What fills the cavity between members, or the cores of a unit.")
    framing: Framing | None = None
    unit: Unit | None = None
    embedded: tuple[Embedded, ...] = ()
    place: Place = Field(default_factory=Place, exclude=True)

    @property
    def depth(self) -> float:
        """Thickness in the build-up, 0 where a coating or sheet gives none. [m]"""
        return self.thickness or 0.0

    @property
    def main_material(self) -> Material | None:
        """What the layer is chiefly made of: its material, else its fill, else its members."""
        return self.material or self.fill or (self.framing.material if self.framing else None)


class HoldPoint(Part):
    """Stop here: nothing is covered until someone has looked and signed."""

    name: Text = Field(description="One to three words for the crew page.")
    check: Text = Field(description="What must be true, with the number.")
    sign: Text = Field(description="Who signs.")
    record: Text | None = Field(None, description="Photo, reading or test kept.")


class Step(Part):
    """One step of the installation, in the order of the work."""

    trade: Text
    do: Text = Field(description="One line for the crew page, at most 60 characters.", max_length=60)
    detail: tuple[Text, ...] = Field((), description="Sentences for the specification, imperative.")
    layers: tuple[Id, ...] = ()
    tools: tuple[Text, ...] = ()
    limits: Text | None = None
    hold_point: HoldPoint | None = None


class Caution(Part):
    """A caution of this wall beyond the usual ones that its materials call up."""

    word: Text
    do: Text = Field(description="One line for the crew page, at most 36 characters.", max_length=36)
    detail: Text
    source: Text = "common practice"
    status: Status = Status.COMMON_PRACTICE


class Openings(Part):
    """Where a window sits and how water is turned out around it."""

    flange_plane: Id = Field(description="Layer on whose outer face the flange or frame sits.")
    sill_pan: Text
    jamb: Text
    head_flashing: Text
    air_seal: Text | None = None
    sealant_joint: Length | None = None
    note: Text | None = None


class Base(Part):
    """How the wall ends at the floor: what the base of the section shows."""

    support: Literal["slab-edge", "block-stem"]
    floor_above_grade: Length
    cladding_clearance: Length = Field(description="Lowest cladding edge above earth.")
    paving_clearance: Length | None = None
    termination: Literal["weep-screed", "base-screen", "casing-bead", "weeps"]
    flashing: Text
    flashing_up: Length | None = None
    flashing_down: Length | None = None
    foam_clearance: Offset | None = Field(None, description="Lowest foam plastic above earth; 0 if it goes below.")
    note: Text | None = None


class Ratings(Part):
    """Entered from listings and tests, never computed; what is blank prints 'by others'."""

    fire_hours: Text | None = None
    fire_listing: Text | None = None
    fire_exposed_sides: Text | None = None
    stc: Text | None = None
    oitc: Text | None = None
    cladding_weight: ArealMass | None = None
    design_pressure: Pressure | None = None


class PanelLimits(Part):
    """Control-joint limits of stucco panels."""

    area: Area
    length: Length
    ratio: Text
    note: Text | None = None


class Revision(Part):
    number: Count
    date: Date
    note: Text


class Approval(Part):
    by: Text
    date: Date
    note: Text | None = None


class Suits(Part):
    """The keeper's claim, which the checks confirm or contradict."""

    zones: tuple[Zone, ...]
    because: Text


class Explained(Part):
    """A finding that the keeper accepts, with the reason that prints beside it. It never hides an error."""

    code: Text
    zones: tuple[Zone, ...] = ()
    because: Text


class WallBase(Part):
    """Everything of a wall that needs no look-up."""

    id: Id
    title: Text
    construction: Construction
    status: WallStatus = "draft"
    revision: Revision
    approval: Approval | None = None
    datum: Text = Field(description="Set-out face: a layer id with -exterior or -interior, as sheathing-exterior.")
    ratings: Ratings = Ratings()
    suits: Suits | None = None
    explained: tuple[Explained, ...] = ()
    base: Base | None = None
    openings: Openings | None = None
    control_joints: PanelLimits | None = None
    sources: tuple[Text, ...] = ()
    note: Text | None = None


class Wall(WallBase):
    """A resolved wall, one variant applied or none; layers from exterior to interior."""

    layers: tuple[Layer, ...]
    variant: str = ""
    variant_title: str = ""
    variants: tuple[str, ...] = Field((), description="Ids of all variants that its file offers.")
    installation: tuple[Step, ...] = ()
    cautions: tuple[Caution, ...] = ()
    content_hash: str = Field("", description="SHA-256 of the file, its fragments and its materials.")
    place: Place = Field(default_factory=Place, exclude=True)

    @cached_property
    def faces(self) -> tuple[float, ...]:
        """Position of each interface from the exterior face, layer by layer, shape (n + 1,). [m]"""
        positions = [0.0]
        for layer in self.layers:
            positions.append(positions[-1] + layer.depth)
        return tuple(positions)

    @property
    def thickness(self) -> float:
        """Overall thickness, the true sum. [m]"""
        return self.faces[-1]

    @property
    def datum_position(self) -> float:
        """Position of the set-out face from the exterior face. [m]"""
        name, _, side = self.datum.rpartition("-")
        index = self.index(name)
        return self.faces[index if side == "exterior" else index + 1]

    @property
    def name(self) -> str:
        """Id with the variant, as the command line and file names use it: `wall` or `wall+variant`."""
        return f"{self.id}+{self.variant}" if self.variant else self.id

    def index(self, layer_id: str) -> int:
        """Index of a layer by its id, exterior first.

        Raises
        ------
        KeyError
            If no layer has that id (the loader has checked all ids that files name).
        """
        for index, layer in enumerate(self.layers):
            if layer.id == layer_id:
                return index
        raise KeyError(layer_id)

    def layer(self, layer_id: str) -> Layer:
        """The layer with that id; KeyError if there is none."""
        return self.layers[self.index(layer_id)]
