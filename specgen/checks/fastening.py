"""Fasteners measured through what they cross, and block joints held against what covers them.

A head sits on the outer face of the layer that it holds: lath at its own plane in the coat, a hat channel on its
flange. Layers inside of the structure count the same way from the room outward.
"""

from __future__ import annotations

from collections.abc import Iterator

from specgen import units
from specgen.checks.layers import kind_of
from specgen.checks.rules import Case, Rule, inches
from specgen.model.finding import Finding, Severity
from specgen.model.wall import Fastening, Layer, Wall

STUD_DEPTH = 2.5 * units.INCH  # anything framed and shallower is furring [m]; our own reading
TOLERANCE = units.INCH / 64  # fasteners are bought by 1/4 in; half a 1/32 in is no difference [m]
BASES = {
    "sheathing": ("wood-panel", "gypsum-sheathing", "fiberboard"),
    "block": ("block",),
    "concrete": ("concrete",),
}
FLUSH_COVERS = ("membrane", "coating", "stucco", "mortar", "plaster", "sheet", "rigid-foam", "mineral-board")


def fastened_into(layer: Layer, base: str) -> bool:
    """Whether a layer is what a fastening record calls studs, furring, sheathing, block or concrete."""
    if base in ("studs", "furring"):
        return layer.framing is not None and (layer.depth >= STUD_DEPTH) == (base == "studs")
    return layer.material is not None and layer.material.kind in BASES.get(base, ())


def fastener_rows(wall: Wall) -> Iterator[tuple[int, str, Fastening, float | None]]:
    """Every fastening that reaches into something.

    Yields
    ------
    index : int
        Of the layer that holds it, exterior first.
    name : str
        Id of the layer or embedded part.
    fastening : Fastening
    crossed : float or None
        What it crosses before the member named, None if the wall has no such member. [m]
    """
    for index, layer in enumerate(wall.layers):
        # a hat channel is fixed through its flanges, which lie on what stands behind it
        flanged = layer.framing is not None and layer.framing.profile == "hat"
        starts = [(layer.id, layer.fastening, 0.0 if flanged else layer.depth)]
        starts += [(part.id, part.fastening, part.offset or 0.0) for part in layer.embedded]
        for name, fastening, own in starts:
            if fastening is None or fastening.into in (None, "plates", "steel"):
                continue  # plates stand in no layer; steel members are told by their framing
            targets = [i for i, other in enumerate(wall.layers) if i != index and fastened_into(other, fastening.into)]
            if not targets:
                yield index, name, fastening, None
                continue
            target = min(targets, key=lambda i: abs(i - index))
            between = wall.layers[min(index, target) + 1 : max(index, target)]
            yield index, name, fastening, own + sum(other.depth for other in between)


def check_reach(case: Case) -> Iterator[Finding]:
    """P52: what a fastener crosses leaves the penetration that its record asks."""
    for index, name, fastening, crossed in fastener_rows(case.reading.wall):
        if crossed is None:
            message = f"{name!r} is fastened into {fastening.into}, which this wall does not have."
            yield case.finding("P52", Severity.WARNING, message, index)
            continue
        if fastening.length is None or _told_by_lath_rule(case, index, name, fastening):
            continue
        left = fastening.length - crossed
        wanted = fastening.penetration or 0.0
        if left > 0 and left >= wanted - TOLERANCE:
            continue
        needed = crossed + max(wanted, 0.0)
        message = (
            f"a fastener {inches(fastening.length)} long holds {name!r} and crosses {inches(crossed)} before the "
            f"{fastening.into}; it takes {inches(needed)} or more"
            + (f" to reach {inches(wanted)} into it." if wanted else " to reach it.")
        )
        yield case.finding("P52", Severity.ERROR if left <= 0 else Severity.WARNING, message, index)


def _told_by_lath_rule(case: Case, index: int, name: str, fastening: Fastening) -> bool:
    """Lath into the studs of a frame is P50's, with the code's own spacing and penetration."""
    parts = {part.id: part.material.kind for part in case.reading.layers[index].embedded}
    kind = parts.get(name, kind_of(case.reading.layers[index]))
    return kind == "lath" and case.reading.framed and fastening.into == "studs" and not fastening.by_engineer


def check_joint_profile(case: Case) -> Iterator[Finding]:
    """P53: block joints flush under what is stuck or coated onto them, tooled where the weather sees them."""
    layers = case.reading.layers
    for index, layer in enumerate(layers):
        if layer.unit is None or kind_of(layer) != "block":
            continue
        profile = layer.unit.joint_profile
        outer = layers[index - 1] if index else None
        if outer is None and profile != "concave":
            message = f"the block is exposed and its joints are {profile}; tool them concave, so that they shed rain."
            yield case.finding("P53", Severity.WARNING, message, index)
        if outer is not None and kind_of(outer) in FLUSH_COVERS and profile != "flush":
            message = f"the block joints are {profile} under {outer.id!r}; cut them flush before it goes on."
            yield case.finding("P53", Severity.WARNING, message, index)


RULES = (
    Rule("P52", check_reach, forbids=lambda case: False),
    Rule("P53", check_joint_profile, forbids=lambda case: False),
)
