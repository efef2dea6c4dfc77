"""The commands of the main job, in the order of a session: a sheet, a proof, and both again with other lamps."""

from __future__ import annotations

from pathlib import Path

from .commands import TREE, Ran, run_command

DEMO = TREE / "scenes" / "builtin" / "diver.toml"
SETUP = "butterfly"
OWNED = {
    "panel A": "desk panel", "panel B": "desk panel", "small light A": "pocket panel", "small light B": "pocket panel",
}  # fmt: skip
"""Lamps as the demo lends them, by name and preset."""
DIMMED, WARM = {"panel A": "dimmer = 0.5"}, dict.fromkeys(OWNED, "dimmer = 0.5\nkelvin = 3200")
"""What a person changes: one dimmer, or every lamp. The lamp images stay the same, so nothing is traced."""
WORDS = {
    "sheet": "`sheet`: 14 setups, draft, nothing stored",
    "proof": f"`proof {SETUP}`: nothing stored",
    "relit proof": f"`proof {SETUP}`: other lamps, images stored",
    "relit sheet": "`sheet`: one dimmer changed, images stored",
}


def run_jobs(folder: Path, size: str | None = None, tree: Path = TREE) -> dict[str, Ran]:
    """Run the commands of `WORDS` of a checkout in an empty folder; frames of `size`, WxH, or of the product's own.

    The sheet's store is then in `folder`/sheet-store, its frames are in `folder`/sheet.
    """
    for name, changes in {"dimmed": DIMMED, "warm": WARM}.items():
        write_demo(folder / f"{name}.toml", changes)
    sized = ("--size", size) if size else ()
    sheets, proofs = folder / "sheet-store", folder / "proof-store"
    relit = str(folder / "warm.toml")
    return {
        "sheet": run_command(sheets, folder / "sheet", "sheet", *sized, tree=tree),
        "proof": run_command(proofs, folder, "proof", SETUP, *sized, tree=tree),
        "relit proof": run_command(proofs, folder, "proof", SETUP, relit, *sized, tree=tree),
        "relit sheet": run_command(
            sheets, folder / "relit", "sheet", str(folder / "dimmed.toml"), *sized, tree=tree
        ),
    }  # fmt: skip


def write_demo(path: Path, changes: dict[str, str]) -> None:
    """Write the demo's arrangement with its lamps spelled out, and lines added to those that `changes` names."""
    lamps = [
        f'\n[[lamps]]\nname = "{name}"\npreset = "{preset}"\n{changes.get(name, "")}\n'
        for name, preset in OWNED.items()
    ]
    path.write_text("".join([DEMO.read_text(encoding="utf-8"), *lamps]), encoding="utf-8")


def stored_bytes(store: Path) -> int:
    """Return the size of all files of a cache."""
    return sum(path.stat().st_size for path in store.rglob("*") if path.is_file())
