"""Whether the files of an installed package are as its own record says."""

from __future__ import annotations

import base64
import hashlib
from importlib.metadata import Distribution, PackagePath
from pathlib import Path

WRITTEN_LATER = ("share/jupyter/kernels/python3/kernel.json",)
"""Files that a tool of their own package may write afresh."""


def changed_files(distribution: Distribution) -> list[str]:
    """Names of the files of a package that are missing or not as they were laid, in order.

    Parameters
    ----------
    distribution : Distribution
        An installed package; one that another installer than pip laid without a record is taken as whole.

    Returns
    -------
    list of str
        Empty where all is whole. Compiled files are left out: Python makes them afresh.

    References
    ----------
    Python Packaging User Guide, "Recording installed projects": the file RECORD holds a path, a digest and a size of
    each file; PEP 376 and PEP 627.

    Examples
    --------
    >>> from importlib.metadata import distribution
    >>> changed_files(distribution("click"))
    []
    """
    try:
        files = distribution.files
    except (OSError, ValueError, IndexError):  # a record of which a part is missing
        return ["RECORD"]
    if files is None:
        return ["RECORD"] if distribution.read_text("INSTALLER") else []
    return sorted(file.as_posix() for file in files if file.hash and not _is_whole(file))


def _is_whole(file: PackagePath) -> bool:
    if file.suffix == ".pyc" or file.as_posix().endswith(WRITTEN_LATER):
        return True
    try:
        path = Path(str(file.locate()))
        if file.size is not None and path.stat().st_size != file.size:
            return False
        if file.hash is None or file.hash.mode not in hashlib.algorithms_available:
            return True
        with path.open("rb") as content:
            digest = hashlib.file_digest(content, file.hash.mode).digest()
    except OSError:
        return False
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode("ascii") == file.hash.value
