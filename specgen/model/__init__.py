"""The contracts between the stages: frozen, serializable, SI inside, one short module each."""
