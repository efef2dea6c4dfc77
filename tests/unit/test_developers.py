"""DEVELOPERS.md is true: its map is the tree, what it names there is, and it gives a reason for every dependency."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PYPROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PACKAGES = ("materials", "scenes", "render", "gallery")
INDENT = 2
DATA = {"data", "oracle"}
"""Folders of data, which the folder that they belong to speaks for."""


def mapped() -> set[str]:
    """Return the folders that stand in the map, each by its path."""
    lines = re.findall(r"^( *)(\w+)/(?: |$)", DEVELOPERS.split("```")[1], re.MULTILINE)
    above: list[str] = []
    paths = set()
    for indent, name in lines:
        above[len(indent) // INDENT :] = [name]
        paths.add("/".join(above))
    return paths


def folders() -> set[str]:
    """Return the folders of the tree that hold files."""
    files = [path for top in (*PACKAGES, "tests") for path in (ROOT / top).rglob("*") if path.is_file()]
    found = {path.parent.relative_to(ROOT) for path in files} | {Path("tests/data")}
    return {path.as_posix() for path in found if "__pycache__" not in path.parts and path.name[0] not in "._"}


def quoted() -> list[str]:
    """Return what stands in backticks outside blocks of code."""
    return re.findall(r"`([^`]+)`", re.sub(r"^```.*?^```", "", DEVELOPERS, flags=re.MULTILINE | re.DOTALL))


@cache
def names_by_module() -> dict[str, list[set[str]]]:
    """Return the names that modules define at their top, by the module's own name; a package's are its `__init__`'s."""
    modules: dict[str, list[set[str]]] = {}
    for top in PACKAGES:
        for path in (ROOT / top).rglob("*.py"):
            name = path.parent.name if path.name == "__init__.py" else path.stem
            modules.setdefault(name, []).append(set(_defined(ast.parse(path.read_text(encoding="utf-8")))))
    return modules


def _defined(module: ast.Module) -> Iterator[str]:
    for node in module.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            yield from (name.id for target in targets for name in ast.walk(target) if isinstance(name, ast.Name))


@cache
def words() -> frozenset[str]:
    """Return every word of the code."""
    sources = [path.read_text(encoding="utf-8") for top in (*PACKAGES, "tests") for path in (ROOT / top).rglob("*.py")]
    here = Path(__file__).read_text(encoding="utf-8")
    return frozenset(word for source in sources if source != here for word in re.findall(r"\w+", source))


def requirements(names: list[str]) -> set[str]:
    """Return the packages that requirements name."""
    return {re.split(r"[^\w-]", name, maxsplit=1)[0] for name in names}


def test_the_map_has_every_folder_and_no_other() -> None:
    kept = {path for path in folders() if not (set(path.split("/")[2:]) & DATA or path.startswith("tests/unit/"))}
    assert mapped() == kept


def test_the_unit_tests_lie_in_the_folders_of_what_they_test() -> None:
    below = {path.removeprefix("tests/unit/") for path in folders() if path.startswith("tests/unit/")}
    assert below <= folders() | {"support"}


def test_every_path_that_it_names_exists() -> None:
    paths = set(re.findall(rf"(?<![\w/])(?:\.ci|tests|{'|'.join(PACKAGES)})/[\w./-]*\w", DEVELOPERS))
    assert len(paths) >= 20
    assert [path for path in sorted(paths) if not (ROOT / path).exists()] == []


def test_every_name_in_a_module_that_it_names_is_defined_there() -> None:
    dotted = [word.removesuffix("()") for word in quoted() if re.fullmatch(r"[a-z_]+\.\w+(\(\))?", word)]
    dotted = [word for word in dotted if not re.search(r"\.(py|toml|md)$", word)]
    assert len(dotted) >= 5
    for word in dotted:
        module, name = word.split(".")
        assert any(name in defined for defined in names_by_module().get(module, [])), word


def test_every_single_word_of_code_that_it_quotes_is_in_the_code() -> None:
    single = {word for word in quoted() if re.fullmatch(r"[A-Za-z_]+", word)}
    assert len(single) >= 10
    assert single <= words()


def test_every_module_and_target_that_it_runs_exists() -> None:
    modules = re.findall(r"python -m\s+(tests[\w.]+)", DEVELOPERS)
    assert len(modules) >= 3
    paths = [ROOT / module.replace(".", "/") for module in modules]
    assert [p for p in paths if not (p.with_suffix(".py").is_file() or (p / "__main__.py").is_file())] == []
    targets = re.findall(r"`make ([\w-]+)`", DEVELOPERS)
    assert {"test", "test-all"} <= set(targets)
    assert set(targets) <= set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))


def test_every_dependency_stands_in_the_table_and_no_other() -> None:
    project = PYPROJECT["project"]
    extras = [name for names in project["optional-dependencies"].values() for name in names]
    declared = requirements([*PYPROJECT["build-system"]["requires"], *project["dependencies"], *extras])
    rows = re.findall(r"^\| (.+?) \| .+ \|$", DEVELOPERS[DEVELOPERS.index("## Dependencies") :], re.MULTILINE)[1:]
    listed = [package for row in rows for package in row.split(", ")]
    assert sorted(listed) == sorted(declared)
