"""The README is true: its examples run, its arrangement opens, and it names every command and option there is."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import trimesh
from typer.main import get_command
from typer.testing import CliRunner

from gallery.budget.goal import goal_of
from gallery.budget.summary import Run, summary_lines
from gallery.checks.arrangement import unmatched_patterns
from gallery.cli import app
from gallery.cluster.share import Share, read_share
from gallery.commands.options import Listable
from gallery.inputs import open_input
from scenes.arrangement.arrangement import Arrangement
from scenes.setups.setup import SHEET_ORDER

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SMALL = ("--size", "48x64")
TAKES_LONG = {"sheet", "strip", "diagram"}

Words = tuple[str, ...]


def blocks(language: str) -> list[str]:
    """Return the README's blocks of code in a language."""
    found = re.findall(r"^```(\w*)\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    return [block for said, block in found if said == language]


def examples() -> list[Words]:
    """Return the words after our program's name in every line of a block that calls it."""
    lines = re.findall(r"^(?:\S*[/\\])?spruelight +(.*)", "".join(blocks("sh")), re.MULTILINE)
    return list(dict.fromkeys(tuple(shlex.split(line, comments=True)) for line in lines))


def mentions() -> list[Words]:
    """Return the same of the calls that stand in the text."""
    text = re.sub(r"^```.*?^```|^\|[^\n]*$", "", README, flags=re.MULTILINE | re.DOTALL)
    return [tuple(shlex.split(line)) for line in re.findall(r"`spruelight ([^`]*)`", text)]


def commands() -> dict[str, Any]:
    """Return every command by what is typed for it, the program itself by nothing."""
    root: Any = get_command(app)
    found = {"": root}
    for name, command in root.commands.items():
        below = getattr(command, "commands", None)
        found |= {f"{name} {word}": leaf for word, leaf in below.items()} if below else {name: command}
    return found


COMMANDS = commands()


def split(words: Words) -> tuple[str, list[str]]:
    """Return the command that words call, and the words after it."""
    name = next(called for n in (2, 1, 0) if (called := " ".join(words[:n])) in COMMANDS)
    return name, list(words[len(name.split()) :])


def options(command: str) -> set[str]:
    """Return a command's options but for --help, which all have."""
    params = COMMANDS[command].params
    return {name for param in params if param.param_type_name == "option" for name in param.opts} - {"--help"}


def arguments(command: str) -> list[Any]:
    """Return a command's arguments."""
    return [param for param in COMMANDS[command].params if param.param_type_name == "argument"]


def rows(heading: str) -> list[list[str]]:
    """Return the cells of the README's table under this first heading."""
    table = re.search(rf"^\| {heading} \|.*\n\|[-|]*\n((?:\|.*\n)+)", README, re.MULTILINE)
    assert table is not None, heading
    lines = [re.split(r"(?<!\\)\|", line.strip().strip("|")) for line in table[1].splitlines()]
    return [[cell.strip() for cell in line] for line in lines]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder of what the examples name: a mesh without parts, one with parts, and the README's arrangement."""
    (arrangement,) = blocks("toml")
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "diver.stl")
    scene = trimesh.Scene()
    for name, radius, at in (("suit", 2, (0, 3, 0)), ("helmet", 2, (0, 7, 0)), ("window", 0.8, (0, 7, 1.6))):
        ball = trimesh.creation.icosphere(radius=radius)
        scene.add_geometry(ball.apply_translation(at), node_name=name, geom_name=name)  # y is up in glTF
    scene.export(tmp_path / "diver.glb")
    (tmp_path / "diver.toml").write_text(arrangement, encoding="utf-8", newline="\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "words",
    [pytest.param(w, marks=[pytest.mark.slow] * (w[0] in TAKES_LONG), id=" ".join(w)) for w in examples()],
)
def test_every_example_runs(words: Words, folder: Path) -> None:
    if words[0] == "new":
        (folder / "diver.toml").unlink()
    ran = CliRunner().invoke(app, [*words, *(SMALL if "--size" in options(split(words)[0]) else ())])
    assert ran.exit_code == 0, (ran.output, ran.exception)
    assert ran.stdout.strip()


def test_every_call_that_is_written_out_is_understood() -> None:
    called = set()
    for words in (*examples(), *mentions()):
        command, rest = split(words)
        COMMANDS[command].make_context(command, rest)
        called.add(command)
    assert called >= {"new", "check", "sheet", "proof", "strip", "doctor", "list", "meter"}


@pytest.mark.slow
def test_a_proof_prints_what_the_readme_shows_of_it(folder: Path) -> None:
    (shown,) = (block.splitlines() for block in blocks("") if "lamp centre" in block)
    ran = CliRunner().invoke(app, ["proof", "rembrandt", *SMALL, "--out", str(folder)])
    printed = ran.stdout.replace(f"{folder}{os.sep}", "").splitlines()
    placed = next(i for i, line in enumerate(shown) if " ISO " in line)
    assert printed[:placed] == shown[:placed]  # where everything stands
    numbers = re.compile(r"[-+]?\d[\d./]*")  # of a small picture they are others
    assert [numbers.sub("N", line) for line in printed[placed:]] == [numbers.sub("N", line) for line in shown[placed:]]


def test_the_summary_of_a_run_is_one_that_a_run_of_the_command_beside_it_prints() -> None:
    (shown,) = (block.splitlines() for block in blocks("") if "grain left" in block)
    clock, minutes, duration = re.findall(r"^ended at (\d+:\d+) after (\d+) min: .* after --for (\d+m),", shown[0])[0]
    frames, images, least, most, rounds = map(int, re.findall(r"\d+", shown[1]))
    left, *_ = re.findall(r"^grain left: (.*);", shown[2])
    one_by_one = [(name, float(percent)) for name, percent in re.findall(r"([a-z-]+) ([\d.]+) %,", left)]
    count, finest, coarsest = re.findall(r"the other (\d+) ([\d.]+) to ([\d.]+) %", left)[0]
    others = [float(finest)] + [float(coarsest)] * (int(count) - 1)
    grains = [*one_by_one, *((f"other {i}", percent) for i, percent in enumerate(others))]
    run = Run(
        goal=goal_of(None, work_for=duration), rounds=rounds, images=images, geometries=1, passes=(least, most),
        grains=[(name, percent / 100) for name, percent in grains], failed=[], seconds=60.0 * int(minutes),
        ended_at=datetime.strptime(clock, "%H:%M"), ended=shown[0].partition(": ")[2],
    )  # fmt: skip
    assert summary_lines(run) == shown
    assert {name for name, _ in one_by_one} < set(SHEET_ORDER)
    assert frames == len(grains) == len(SHEET_ORDER)
    assert any(words[0] == "sheet" and words[-2:] == ("--for", duration) for words in mentions())


def test_the_arrangement_opens_and_every_name_in_it_is_met(folder: Path) -> None:
    arrangement = open_input(folder / "diver.toml", {})
    assert arrangement.subject is not None
    assert arrangement.title == "Hard-hat diver"
    assert unmatched_patterns(arrangement) == []


def test_every_key_that_the_text_sets_is_one_of_the_file() -> None:
    schema = Arrangement.model_json_schema()
    known = {key for model in (schema, *schema["$defs"].values()) for key in model.get("properties", {})}
    lines = [" ".join(line.split()) for line in re.findall(r"`(\w+\s+=\s+[^`]+)`", README)]
    lines += re.findall(r"^# (\w+ = .*)$", blocks("toml")[0], re.MULTILINE)
    assert len(lines) >= 20
    assert {key for line in lines for key in tomllib.loads(line)} <= known


def test_every_command_stands_in_the_table_of_commands_and_no_other() -> None:
    told = {}
    for cell, _ in rows("command"):
        assert cell.startswith("`spruelight ")
        command, rest = split(tuple(cell.strip("`").split()[1:]))
        assert len(rest) == len(arguments(command)), cell
        told[command] = rest
    assert told.keys() == COMMANDS.keys() - {""}
    assert told["list"][0].split("\\|") == list(Listable)


def test_every_option_stands_in_the_table_of_options_with_its_commands_and_no_other() -> None:
    sized = {command for command in COMMANDS if "--height-cm" in options(command)}
    told = set()
    for names, _, of in rows("option"):
        called = {"" if command == "spruelight" else command for command in re.findall(r"`([^`]+)`", of)}
        if "FILE" in called:
            called = called - {"FILE"} | sized
        assert called <= COMMANDS.keys(), of
        if of.startswith("all but"):
            called = COMMANDS.keys() - called
        told |= {(command, name) for name in re.findall(r"--[a-z-]+", names) for command in called}
    assert told == {(command, name) for command in COMMANDS for name in options(command)}


def test_every_option_that_the_text_names_there_is() -> None:
    there = {name for command in COMMANDS for name in options(command)} | {"--help"}
    of_others = r"^#SBATCH.*$|`[^`]*\bdask worker\s[^`]*`"
    own = re.sub(of_others, "", README, flags=re.MULTILINE)
    assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", own)) <= there


def test_the_script_for_a_queue_is_one_that_a_shell_takes_and_names_a_share_of_its_jobs(tmp_path: Path) -> None:
    (script,) = blocks("bash")
    shell = ["bash", "-eu", "-c", f'spruelight() {{ printf "%s\\n" "$@"; }}\n{script}']
    environment = {**os.environ, "SLURM_ARRAY_TASK_ID": "3"}
    ran = subprocess.run(shell, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True)
    command, *words = ran.stdout.splitlines()
    COMMANDS[command].make_context(command, list(words))
    share = read_share(words[words.index("--share") + 1])
    jobs = re.search(r"--array=1-(\d+)", script)
    assert jobs is not None
    assert share == Share(3, int(jobs[1]))


def test_every_picture_is_shown_and_is_small() -> None:
    shown = re.findall(r"!\[[^\]]{20,}\]\(([^)]+)\)", README)  # each with what it shows
    assert sorted(shown) == sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "gallery/images").iterdir())
    assert all((ROOT / path).stat().st_size < 400_000 for path in shown)


def test_every_target_that_the_readme_makes_is_in_the_makefile() -> None:
    targets = set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    made = re.findall(r"^make ([\w-]+)", "\n".join(blocks("sh")), re.MULTILINE)
    made += re.findall(r"`make ([\w-]+)`", README)
    assert {"sheet", "test"} <= set(made) <= targets
