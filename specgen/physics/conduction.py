"""Steady heat conduction in two dimensions: rectangles with conductivities in, heat flows and temperatures out.

A cut through a wall (`x` along it, `y` from the exterior face inward) made of rectangles, films at its faces, no heat
through a side that has none. Bilinear finite elements on a graded rectangular mesh, solved directly on meshes each half
as fine as the one before until halving changes the heat flow by less than the standard asks. Air spaces go in as an
equivalent conductivity (depth over resistance), the same in both directions, as ISO 10211 does it.
Left out: the third dimension, moisture and temperature effects on conductivity, airflow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from specgen.errors import NotComputableError

METHOD = "finite elements 3"  # goes into the key of stored results: counts up when the figures change
LARGEST_CHANGE = 0.005  # of the heat flow when the cells are halved; ISO 10211 asks for 0.01 (from memory) [-]
LARGEST_IMBALANCE = 1e-5  # of the heat that enters; ISO 10211 asks for 1e-4 (from memory) [-]
FIXED = 1e-7  # film that holds a face at its temperature to one part in 100 000 and keeps the solve regular [m²·K/W]
FINEST = 0.004  # first cells at an edge of the coarsest mesh; thin sheets are cut in two besides [m]
GROWTH = 2.2  # of one cell over the last in the coarsest mesh [-]
MOST_NODES = 250_000  # some seconds of work [-]
MOST_MESHES = 5


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A part of the section with one conductivity; a later one covers an earlier one."""

    name: str
    start: float  # along the wall [m]
    end: float  # [m]
    outer: float  # from the exterior face inward [m]
    inner: float  # [m]
    conductivity: float  # [W/(m·K)]


@dataclass(frozen=True, slots=True)
class Section:
    """A cut through a wall that repeats: mirror planes at its two ends unless they are given a temperature."""

    width: float  # along the wall [m]
    depth: float  # exterior to interior face [m]
    rectangles: tuple[Rectangle, ...]  # together they cover it


@dataclass(frozen=True, slots=True)
class Side:
    """Air or fixed temperature at one side of the section."""

    temperature: float  # [°C]
    film: float = 0.0  # surface resistance; 0 holds the face itself at the temperature [m²·K/W]


@dataclass(frozen=True, slots=True)
class Solution:
    """Temperatures at the corners of the cells, and the heat that enters through each side per length of wall."""

    along: tuple[float, ...]  # positions of the columns of nodes, shape (columns,) [m]
    across: tuple[float, ...]  # positions of the rows of nodes, exterior first, shape (rows,) [m]
    temperatures: tuple[tuple[float, ...], ...]  # columns, then rows, shape (columns, rows) [°C]
    heat_flows: dict[str, float]  # into the section through exterior, interior, start, end [W/m]
    mesh_change: float  # relative change of the heat flow from the mesh of cells twice as large [-]
    imbalance: float  # heat in less heat out, over the heat in [-]
    cells: int  # of the finest mesh

    def temperature(self, along: float, across: float) -> float:
        """Temperature at a point, linear between nodes in each direction.

        Parameters
        ----------
        along, across : float
            Along the wall, and from the exterior face inward. [m]

        Returns
        -------
        temperature : float
            [°C]
        """
        i, a = _place_between(self.along, along)
        j, b = _place_between(self.across, across)
        left = self.temperatures[i][j] * (1 - b) + self.temperatures[i][j + 1] * b
        right = self.temperatures[i + 1][j] * (1 - b) + self.temperatures[i + 1][j + 1] * b
        return left * (1 - a) + right * a

    @property
    def exterior_surface(self) -> tuple[float, ...]:
        """Along the exterior face, shape (columns,). [°C]"""
        return tuple(column[0] for column in self.temperatures)

    @property
    def interior_surface(self) -> tuple[float, ...]:
        """Along the interior face, shape (columns,). [°C]"""
        return tuple(column[-1] for column in self.temperatures)


def solve(
    section: Section,
    exterior: Side,
    interior: Side,
    start: Side | None = None,
    end: Side | None = None,
    *,
    finest: float = FINEST,
    largest_change: float = LARGEST_CHANGE,
) -> Solution:
    """Temperatures and heat flows of a section, on a mesh fine enough that halving it hardly changes the heat flow.

    Parameters
    ----------
    section : Section
        Covered by its rectangles.
    exterior, interior : Side
        At the first and the last row.
    start, end : Side or None
        At the ends of the section; None lets no heat through, as a plane of symmetry does.
    finest : float
        Size of the cells at the edges of materials on the coarsest mesh. [m]
    largest_change : float
        Of the heat flow from one mesh to the next; below it the finer of the two is the answer. [-]

    Returns
    -------
    solution : Solution
        Of the finest mesh that was needed, the second at least.

    Raises
    ------
    NotComputableError
        If the heat flow still changes when the meshes are at their end, if what enters does not leave again, or if a
        part of the section has no conductivity.

    Source
    ------
    ISO 10211 (detailed calculations, and its criteria of accuracy from memory); Fourier's law, steady.

    Notes
    -----
    The heat flow of a wall comes down toward the true value as cells shrink: what is left of the error makes U larger.
    """
    from specgen.physics import conduction_mesh as mesh  # numpy and scipy take time to load

    sides = {"exterior": exterior, "interior": interior, "start": start, "end": end}
    lines = mesh.graded_lines(section, finest, GROWTH)
    before: float | None = None
    change = math.inf
    for _ in range(MOST_MESHES):
        if (len(lines[0]) + 1) * (len(lines[1]) + 1) > MOST_NODES:
            break
        temperatures, flows = mesh.solve_once(section, sides, *lines, fixed=FIXED)
        entering = math.fsum(flow for flow in flows.values() if flow > 0)
        imbalance = abs(math.fsum(flows.values())) / entering if entering > 0 else 0.0
        if not imbalance <= LARGEST_IMBALANCE:
            raise NotComputableError(
                f"conduction in two dimensions: {imbalance:.1e} of the heat that enters does not leave; expected at "
                f"most {LARGEST_IMBALANCE:.0e}"
            )
        if before is not None:
            change = abs(before - entering) / entering if entering > 0 else 0.0
            if change <= largest_change:
                return Solution(
                    along=tuple(lines[0].tolist()),
                    across=tuple(lines[1].tolist()),
                    temperatures=tuple(tuple(column) for column in temperatures.tolist()),
                    heat_flows=flows,
                    mesh_change=change,
                    imbalance=imbalance,
                    cells=(len(lines[0]) - 1) * (len(lines[1]) - 1),
                )
        before = entering
        lines = (mesh.halved(lines[0]), mesh.halved(lines[1]))
    raise NotComputableError(
        f"conduction in two dimensions: halving the cells still changes the heat flow by {change:.2%}; expected at "
        f"most {largest_change:.2%}"
    )


def limits(section: Section, exterior_film: float, interior_film: float) -> tuple[float, float]:
    """U between which conduction in two dimensions must lie, from the section's own shares of area.

    Parameters
    ----------
    section : Section
        With mirror planes at its ends.
    exterior_film, interior_film : float
        Surface resistances. [m²·K/W]

    Returns
    -------
    parallel : float
        Paths side by side from film to film that exchange no heat: never more than the true U. [W/(m²·K)]
    planes : float
        Every plane along the wall at one temperature: never less than the true U. [W/(m²·K)]

    Source
    ------
    First principles: heat finds at least the separate paths, and gains by every ideal short circuit. ISO 6946 calls
    the inverse of the two the upper and lower limit of R.
    """
    columns = _edges(section, along=True)
    rows = _edges(section, along=False)
    fields = [
        [conductivity_at(section, (x0 + x1) / 2, (y0 + y1) / 2) for y0, y1 in pairwise(rows)]
        for x0, x1 in pairwise(columns)
    ]
    shares = [(x1 - x0) / section.width for x0, x1 in pairwise(columns)]
    depths = [y1 - y0 for y0, y1 in pairwise(rows)]
    films = exterior_film + interior_film
    parallel = math.fsum(
        share / (films + math.fsum(depth / k for depth, k in zip(depths, column, strict=True)))
        for share, column in zip(shares, fields, strict=True)
    )
    mean = [
        math.fsum(share * column[j] for share, column in zip(shares, fields, strict=True)) for j in range(len(depths))
    ]
    planes = 1 / (films + math.fsum(depth / k for depth, k in zip(depths, mean, strict=True)))
    return parallel, planes


def conductivity_at(section: Section, along: float, across: float) -> float:
    """Conductivity at a point inside of the section.

    Parameters
    ----------
    section : Section
        Covered by its rectangles.
    along, across : float
        Along the wall, and from the exterior face inward. [m]

    Returns
    -------
    conductivity : float
        Of the last rectangle that covers the point. [W/(m·K)]

    Raises
    ------
    NotComputableError
        If none does, or if it conducts nothing.
    """
    for part in reversed(section.rectangles):
        if part.start <= along <= part.end and part.outer <= across <= part.inner:
            if not part.conductivity > 0:
                raise NotComputableError(f"conduction in two dimensions: {part.name} has no conductivity")
            return part.conductivity
    raise NotComputableError(
        f"conduction in two dimensions: nothing stands at {along * 1000:.4g} mm along and {across * 1000:.4g} mm in"
    )


def edges(section: Section) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Where materials may change: positions along the wall and across it, ends included. [m]"""
    return _edges(section, along=True), _edges(section, along=False)


def _edges(section: Section, along: bool) -> tuple[float, ...]:
    last = section.width if along else section.depth
    found = {0.0, last}
    for part in section.rectangles:
        for at in (part.start, part.end) if along else (part.outer, part.inner):
            if 0 < at < last:
                found.add(at)
    positions: list[float] = []
    for at in sorted(found):
        if positions and at - positions[-1] < 1e-9:
            continue
        positions.append(at)
    positions[-1] = last
    return tuple(positions)


def _place_between(positions: Sequence[float], at: float) -> tuple[int, float]:
    """Index of the interval that holds a position, and how far into it, 0 to 1."""
    import bisect

    index = min(max(bisect.bisect_right(positions, at) - 1, 0), len(positions) - 2)
    low, high = positions[index], positions[index + 1]
    return index, min(1.0, max(0.0, (at - low) / (high - low)))
