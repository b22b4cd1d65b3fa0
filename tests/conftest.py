"""Shared by all tests; that it stands here puts `tests/` on the import path, so that `builders` can be imported."""
