"""Wall -> quantities per 100 sq ft of opaque wall, waste apart: what a crew brings and an estimator checks."""

from specgen.takeoff.quantities import REFERENCE_AREA, quantities
from specgen.takeoff.quantity import Quantity

__all__ = ["REFERENCE_AREA", "Quantity", "quantities"]
