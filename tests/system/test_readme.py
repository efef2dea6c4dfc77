"""The README is true: its examples run, its arrangement opens, and it names every command and option there is."""

from __future__ import annotations

import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import trimesh
from typer.main import get_command
from typer.testing import CliRunner

from gallery.cli import app
from gallery.commands.check import check_facts
from gallery.inputs import open_input
from scenes.arrangement.arrangement import Arrangement

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SIZE = ("--size", "48x64")


def blocks(language: str) -> list[str]:
    """Return the README's blocks of code in a language."""
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.MULTILINE | re.DOTALL)


def programs_lines() -> Iterator[str]:
    """Return every line of a block, and every phrase of the text, that calls our program."""
    for block in (*blocks("sh"), *blocks("powershell")):
        yield from re.findall(r"^\s*(?:\S*[/\\])?spruelight +(.*)", block, re.MULTILINE)
    prose = re.sub(r"^```.*?^```|^\|.*?$", "", README, flags=re.MULTILINE | re.DOTALL)
    yield from re.findall(r"`spruelight ([^`]*)`", prose)


EXAMPLES = [
    tuple(words) for words in dict.fromkeys(tuple(shlex.split(line, comments=True)) for line in programs_lines())
]


def commands() -> dict[str, Any]:
    """Return every command by what is typed for it, the program itself as ''."""
    root: Any = get_command(app)
    found = {"": root}
    for name, command in root.commands.items():
        below = getattr(command, "commands", None)
        found |= {f"{name} {word}": leaf for word, leaf in below.items()} if below else {name: command}
    return found


COMMANDS = commands()


def command_of(words: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Return the name of the command that is called, and the words after it."""
    for count in (2, 1):
        if (name := " ".join(words[:count])) in COMMANDS:
            return name, words[count:]
    return "", words


def options(command: Any) -> set[str]:
    """Return a command's options but for --help, which all have."""
    return {name for param in command.params if param.param_type_name == "option" for name in param.opts} - {"--help"}


def rows(heading: str) -> list[list[str]]:
    """Return the cells of the README's table under this first heading."""
    table = re.search(rf"^\| {heading} \|.*\n\|[-|]*\n((?:\|.*\n)+)", README, re.MULTILINE)
    assert table is not None, heading
    lines = [re.split(r"(?<!\\)\|", line.strip().strip("|")) for line in table[1].splitlines()]
    return [[cell.strip() for cell in line] for line in lines]


def is_slow(words: tuple[str, ...]) -> bool:
    """Return whether an example traces the default sheet of all setups."""
    return words[0] == "sheet" and "--setup" not in words


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder of what the examples name: a mesh without parts, one with parts, and the README's arrangement."""
    (arrangement,) = blocks("toml")
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "diver.stl")
    named = {"helmet": trimesh.creation.icosphere(radius=3), "window": trimesh.creation.icosphere(radius=1)}
    scene = trimesh.Scene({**named, "suit": trimesh.creation.cylinder(radius=3, height=9)})
    for name, height in (("helmet", 7.5), ("window", 7.5)):
        scene.graph.update(
            name, matrix=trimesh.transformations.translation_matrix((0, -2.5 * (name == "window"), height))
        )
    scene.export(tmp_path / "diver.glb")
    (tmp_path / "diver.toml").write_text(arrangement, encoding="utf-8", newline="\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "words", [pytest.param(w, marks=pytest.mark.slow if is_slow(w) else (), id=" ".join(w)) for w in EXAMPLES]
)
def test_every_example_runs(words: tuple[str, ...], folder: Path) -> None:
    if words[0] == "new":
        (folder / "diver.toml").unlink()
    command, _ = command_of(words)
    quick = SIZE if "--size" in options(COMMANDS[command]) else ()
    ran = CliRunner().invoke(app, [*words, *quick])
    assert ran.exit_code == 0, (ran.output, ran.exception)
    assert ran.stdout.strip()


def test_there_are_examples_of_every_kind() -> None:
    assert {"new", "check", "sheet", "proof", "strip", "doctor"} <= {command_of(words)[0] for words in EXAMPLES}
    assert sum(map(is_slow, EXAMPLES)) >= 2


def test_the_arrangement_opens_and_every_name_in_it_is_met(folder: Path) -> None:
    opened = open_input(folder / "diver.toml", {})
    assert opened.subject is not None
    assert opened.title == "Hard-hat diver"
    assert [doubt for doubt in check_facts(opened)["doubts"] if "called" in doubt or "fixed" in doubt] == []


def test_every_key_that_the_text_sets_is_one_of_the_file() -> None:
    schema = Arrangement.model_json_schema()
    known = {key for model in (schema, *schema["$defs"].values()) for key in model.get("properties", {})}
    set_in_text = re.findall(r"`(\w+)\s+=\s+([^`]+)`", README)
    assert len(set_in_text) >= 20
    for key, value in set_in_text:
        assert key in known, key
        tomllib.loads(f"{key} = {' '.join(value.split())}")
    commented = re.findall(r"^# (\w+ = .*?)(?:\s+#.*)?$", blocks("toml")[0], re.MULTILINE)
    assert {key for line in commented for key in tomllib.loads(line)} <= known


def test_every_command_stands_in_the_table_of_commands_and_no_other() -> None:
    told = []
    for cell, _ in rows("command"):
        called = re.fullmatch(r"`spruelight ((?:[a-z]+ ?)+)(.*)`", cell)
        assert called is not None, cell
        told.append(called[1].strip())
        arguments = [param for param in COMMANDS[told[-1]].params if param.param_type_name == "argument"]
        if told[-1] != "list":  # its row says what can be listed
            assert len(called[2].split()) == len(arguments), cell
    assert sorted(told) == sorted(set(COMMANDS) - {""})
    (listed,) = (cell for cell, _ in rows("command") if cell.startswith("`spruelight list "))
    (what,) = (param for param in COMMANDS["list"].params if param.name == "what")
    assert set(what.type.choices) == set(listed.strip("`").split()[2].split("\\|"))


def test_every_option_stands_in_the_table_of_options_with_its_commands_and_no_other() -> None:
    sized = {name for name, command in COMMANDS.items() if "--height-cm" in options(command)}
    told = set()
    for names, _, of in rows("option"):
        called = {"" if command == "spruelight" else command for command in re.findall(r"`([^`]+)`", of)}
        if "FILE" in called:
            called = called - {"FILE"} | sized
        assert called <= set(COMMANDS), of
        if of.startswith("all but"):
            called = set(COMMANDS) - called
        told |= {(name, command) for name in re.findall(r"--[a-z-]+", names) for command in called}
    assert told == {(name, command) for command, leaf in COMMANDS.items() for name in options(leaf)}


def test_every_option_that_the_text_names_there_is() -> None:
    there = {name for command in COMMANDS.values() for name in options(command)} | {"--help"}
    assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", README)) <= there


def test_every_target_that_the_readme_makes_is_in_the_makefile() -> None:
    targets = set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    made = re.findall(r"^make ([\w-]+)", "\n".join(blocks("sh")), re.MULTILINE)
    made += re.findall(r"`make ([\w-]+)`", README)
    assert made
    assert set(made) <= targets
