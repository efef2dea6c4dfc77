"""Clusters as they are typed."""

from __future__ import annotations

import sys

import pytest

from gallery.cluster.address import ClusterAddress, read_cluster
from scenes.errors import InputError


@pytest.mark.usefixtures("with_extra")
@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("local:4", ClusterAddress(workers=4)),
        (" local:256 ", ClusterAddress(workers=256)),
        ("tcp://node-7.club.example:8786", ClusterAddress("tcp://node-7.club.example:8786")),
        ("tls://[fd00::7]:8786", ClusterAddress("tls://[fd00::7]:8786")),
    ],
)
def test_a_cluster_is_read_and_said_again(typed: str, address: ClusterAddress) -> None:
    assert read_cluster(typed) == address
    assert str(address) == typed.strip()


@pytest.mark.parametrize(
    "typed", ["", "local", "local:", "local:0", "local:-1", "local:257", "node-7:8786", "http://node-7:8786",
              "tcp://node-7", "tcp://:8786", "tcp://node-7:8786/x", "tcp://a b:8786"],
)  # fmt: skip
def test_what_is_no_cluster_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(InputError, match=r"^--cluster .*: give the address of a Dask scheduler, .* as local:4$"):
        read_cluster(typed)


@pytest.mark.usefixtures("with_extra")
@pytest.mark.parametrize("missing", ["distributed", "cryptography"])
def test_without_the_extra_the_command_that_installs_it_is_named(missing: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, missing, None)
    with pytest.raises(InputError, match=r"--cluster local:2: needs Dask: run .pip install distributed cryptography.$"):
        read_cluster("local:2")


@pytest.fixture
def with_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stand in for the extra, which not everyone has who runs the tests."""
    for name in ("distributed", "cryptography"):
        monkeypatch.setitem(sys.modules, name, sys)
