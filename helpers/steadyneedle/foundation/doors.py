"""A package as a door: it passes on names, and loads what stands behind them when somebody asks."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any


def passed_on(package: str, names: Mapping[str, str], name: str) -> Any:
    """What a package passes on under a name.

    Parameters
    ----------
    package : str
        Full name of the package.
    names : mapping
        Each name to the module below the package in which it stands.
    name : str
        Which is asked for.

    Returns
    -------
    object
        What stands there under that name.

    Raises
    ------
    AttributeError
        The package passes on no such name.

    Examples
    --------
    >>> passed_on("steadyneedle.foundation", {"Draws": "draws"}, "Draws").__name__
    'Draws'
    """
    if name not in names:
        raise AttributeError(f"module '{package}' has no attribute '{name}'")
    return getattr(importlib.import_module(f"{package}.{names[name]}"), name)
