"""specgen: one YAML description of a wall in; checks, a scaled section, a specification and a crew page out."""

__version__ = "0.1.0"
