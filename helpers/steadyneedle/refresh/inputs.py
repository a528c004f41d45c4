"""What a computed dataset is made from: the maker's module, all it imports from this package, the datasets they name.

Each input has a digest of what it says, not of how it looks: a comment, a docstring, another layout of the same code
or another `source` of the same number changes none. What is left out: the versions of Python and of other libraries,
which differ from machine to machine.
"""

from __future__ import annotations

import ast
import hashlib
from pathlib import Path
from typing import Any

from steadyneedle.foundation import datasets, places

ROOT = "steadyneedle"


def inputs_of(module: str) -> dict[str, str]:
    """Every input of the datasets that a module makes, with its digest.

    Parameters
    ----------
    module : str
        Full name of the module with the maker.

    Returns
    -------
    dict
        Path below the package ("physics/rig.py") or the repository ("datasets/faults.csv") to 16 hexadecimal digits.

    Raises
    ------
    DatasetError
        A dataset among them cannot be read.

    Examples
    --------
    >>> sorted(inputs_of("steadyneedle.physics.stages"))[:3]
    ['__init__.py', 'datasets/bench_setup.csv', 'datasets/first_stages.csv']
    """
    trees = _closure(module)
    found = {
        path.relative_to(places.PACKAGE).as_posix(): _digest(_plain(tree)) for path, tree in trees.items() if tree.body
    }
    words = {node.value for tree in trees.values() for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    folder = places.datasets()
    for path in folder.rglob("*.csv"):
        name = path.relative_to(folder).as_posix()
        if name.removesuffix(".csv") in words:
            found[f"datasets/{name}"] = rows_digest(path)
    return found


def rows_digest(path: Path) -> str:
    """Digest of a dataset's cells; the `source` column says where they are from and is left out.

    >>> len(rows_digest(places.datasets() / "gauge_classes.csv"))
    16
    """
    header, rows = datasets.read_rows(path)
    kept = [k for k, column in enumerate(header) if column != "source"]
    return _digest([[row[k] for k in kept] for row in (header, *(cells for _, cells in rows))])


def _digest(content: Any) -> str:
    return hashlib.sha256(ascii(content).encode("ascii")).hexdigest()[:16]


def _closure(start: str) -> dict[Path, ast.Module]:
    """The module, the packages it lies in, and whatever they import from this package, without docstrings.

    Imports inside functions count as well: a maker runs them. A package that passes on names when it is asked is a
    door: a module that merely lies behind it needs none of them, one that imports a name from it needs them all.
    """
    found: dict[Path, ast.Module] = {}
    waiting = [(start, True)]
    while waiting:
        module, asked = waiting.pop()
        path = _file(module)
        if path is None or path in found:
            continue
        tree = _without_docstrings(ast.parse(path.read_text(encoding="utf-8")))
        if not asked and _is_door(tree):
            continue
        found[path] = tree
        package = module if path.name == "__init__.py" else module.rpartition(".")[0]
        waiting += [(one, True) for one in _imported(tree, package)]
        waiting.append((module.rpartition(".")[0], False))
    return found


def _is_door(tree: ast.Module) -> bool:
    """Whether a package's own file passes on names and loads nothing by itself."""
    gives = [node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == "__getattr__"]
    return any(isinstance(one, ast.Name) and one.id == "passed_on" for node in gives for one in ast.walk(node))


def _file(module: str) -> Path | None:
    """Where a module of this package stands; None for other packages and for names that are no module."""
    top, *rest = module.split(".")
    if top != ROOT:
        return None
    path = places.PACKAGE.joinpath(*rest)
    return next((one for one in (path / "__init__.py", path.with_suffix(".py")) if one.is_file()), None)


def _imported(tree: ast.Module, package: str) -> list[str]:
    """Names that a module in `package` imports, of modules and of what stands in them."""
    names = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names += [one.name for one in node.names]
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            base = ".".join([*above, *([node.module] if node.module else [])])
            inside = [f"{base}.{one.name}" for one in node.names]
            names += inside if all(map(_file, inside)) else [base, *inside]
    return names


def _without_docstrings(tree: ast.Module) -> ast.Module:
    """A string that stands alone does nothing: docstrings, and the notes below constants."""
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            node.body = [one for one in body if not _stands_alone(one)]  # type: ignore[attr-defined]
    return tree


def _stands_alone(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


def _plain(node: Any) -> Any:
    """A syntax tree as nested lists, the same from every Python: `ast.dump` names fields that only newer ones have."""
    if isinstance(node, ast.AST):
        fields = [[name, _plain(value)] for name, value in ast.iter_fields(node) if value not in (None, [])]
        return [type(node).__name__, *(field for field in fields if field[0] != "kind")]
    return [_plain(one) for one in node] if isinstance(node, list) else node
