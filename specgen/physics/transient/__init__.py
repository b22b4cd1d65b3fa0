"""Coupled heat and moisture through a wall over hours and years (EN 15026 type), in one dimension.

`problem.py` says what is simulated, `properties.py` what a material is, `run.simulate` runs it. Nothing is imported
here: the compiled loops load only when a run is asked for.
"""
