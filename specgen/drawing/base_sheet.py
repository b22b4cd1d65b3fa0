from __future__ import annotations


def base_scene(*a):
    raise NotImplementedError
