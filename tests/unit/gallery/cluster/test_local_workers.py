"""Workers on this machine share its cores, and take a card each."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from gallery.cluster import cards
from gallery.cluster.cards import visible_cards
from gallery.cluster.local_workers import environment_of, threads_each

TWO_CARDS = """#!/bin/sh
echo "GPU 0: Some card (UUID: GPU-0f3a)"
echo "GPU 1: Some card (UUID: GPU-1b2c)"
"""


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of programs of a machine without a card."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CUDA_VISIBLE_DEVICES", raising=False)
    monkeypatch.setattr(cards, "DRIVER_FOLDER", tmp_path / "gpus")
    return tmp_path


def add_program(folder: Path, text: str) -> None:
    (folder / "nvidia-smi").write_text(text, encoding="utf-8")
    (folder / "nvidia-smi").chmod(0o755)


@pytest.mark.parametrize(("cores", "workers", "threads"), [(2, 4, 1), (8, 4, 2), (9, 4, 2), (16, 1, 16)])
def test_workers_never_have_more_renderer_threads_than_cores_together_or_one_each(
    cores: int, workers: int, threads: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(cores), raising=False)
    assert threads_each(workers) == threads


def test_each_worker_sees_one_card_and_those_beyond_share_them(machine: Path) -> None:
    add_program(machine, TWO_CARDS)
    assert [environment_of(i, 2)["CUDA_VISIBLE_DEVICES"] for i in range(3)] == ["0", "1", "0"]


def test_cards_that_the_person_has_chosen_are_the_ones(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add_program(machine, TWO_CARDS)
    monkeypatch.setenv("CUDA_VISIBLE_DEVICES", "3, GPU-1b2c")
    assert [environment_of(i, 1)["CUDA_VISIBLE_DEVICES"] for i in range(2)] == ["3", "GPU-1b2c"]
    monkeypatch.setenv("CUDA_VISIBLE_DEVICES", "")
    assert visible_cards() == []


@pytest.mark.parametrize("program", [None, "#!/bin/sh\nexit 9\n"])
def test_without_the_program_that_lists_cards_the_driver_is_asked(machine: Path, program: str | None) -> None:
    if program:
        add_program(machine, program)
    assert visible_cards() == []
    for card in ("0000:01:00.0", "0000:02:00.0"):
        (cards.DRIVER_FOLDER / card).mkdir(parents=True)
    assert visible_cards() == ["0", "1"]


@pytest.mark.usefixtures("machine")
def test_a_machine_without_a_card_leaves_the_choice_of_cards_alone() -> None:
    assert "CUDA_VISIBLE_DEVICES" not in environment_of(0, 1)
