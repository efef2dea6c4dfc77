"""Mesh files damaged by chance, loaded by the hundred: python -m tests.bench.fuzz_meshes SECONDS [SEED].

Small valid files of every format are changed: bytes, lengths, numbers in text and JSON, ends cut off, pieces copied; of
zip and GLB files the insides too, put together again so that the damage is reached. Each is loaded by a child process
with a limit on time and memory. A file may load, or be refused by an InputError in one sentence; anything else is
printed, and the file is kept.
"""

from __future__ import annotations

import io
import json
import random
import re
import resource
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import trimesh
from PIL import Image

from scenes.errors import InputError
from scenes.mesh_subject import load_subject
from scenes.sizing import Scaling

LIMIT_S, LIMIT_BYTES = 20, 4 * 2**30
BATCH = 40


def seeds() -> dict[str, bytes]:
    """Return small valid files by name, textured and coloured ones among them."""
    ball = trimesh.creation.icosphere(1)
    ascii_off: str = ball.export(file_type="off")
    coloured = ball.copy()
    coloured.visual.vertex_colors = np.arange(4 * len(ball.vertices)).reshape(-1, 4) % 255
    picture = Image.fromarray(np.arange(192, dtype=np.uint8).reshape(8, 8, 3))
    material = trimesh.visual.material.PBRMaterial(baseColorTexture=picture)
    textured = ball.copy()
    textured.visual = trimesh.visual.TextureVisuals(uv=ball.vertices[:, :2], material=material)
    two = trimesh.Scene([trimesh.creation.box(), ball])
    found = {
        "ball.stl": ball.export(file_type="stl"), "ascii.stl": ball.export(file_type="stl_ascii").encode(),
        "ball.obj": ball.export(file_type="obj").encode(), "coloured.ply": coloured.export(file_type="ply"),
        "ascii.ply": coloured.export(file_type="ply", encoding="ascii"), "ball.off": ascii_off.encode(),
        "two.3mf": two.export(file_type="3mf"), "two.glb": two.export(file_type="glb"),
        "textured.glb": textured.export(file_type="glb"), "coloured.glb": coloured.export(file_type="glb"),
    }  # fmt: skip
    found["two.gltf"] = two.export(file_type="gltf", embed_buffers=True)["model.gltf"]
    return found


def damaged(name: str, data: bytes, draw: random.Random) -> bytes:
    """Return a file with some damage; of files with files inside, half the time there."""
    if name.endswith(".3mf") and draw.random() < 0.7:
        return _inside_zip(data, draw)
    if name.endswith(".glb") and draw.random() < 0.7:
        return _inside_glb(data, draw)
    if name.endswith(".gltf") and draw.random() < 0.7:
        return _tree(data, draw)
    return draw.choice(WAYS)(data, draw)


def _inside_zip(data: bytes, draw: random.Random) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as after:
        for member in before.namelist():
            content = before.read(member)
            after.writestr(member, draw.choice(WAYS)(content, draw) if member.endswith(".model") else content)
    return packed.getvalue()


def _inside_glb(data: bytes, draw: random.Random) -> bytes:
    length = int.from_bytes(data[12:16], "little")
    text, rest = data[20 : 20 + length], data[20 + length :]
    if draw.random() < 0.7:
        text = _tree(text, draw)
    else:
        rest = rest[:8] + draw.choice(WAYS)(rest[8:], draw)
        rest = (len(rest) - 8).to_bytes(4, "little") + rest[4:]
    text += b" " * (-len(text) % 4)
    total = 20 + len(text) + len(rest)
    return data[:8] + total.to_bytes(4, "little") + len(text).to_bytes(4, "little") + data[16:20] + text + rest


def _tree(text: bytes, draw: random.Random) -> bytes:
    """Return JSON with a value replaced or a key taken away."""
    tree = json.loads(text)
    here = tree
    for _ in range(draw.randrange(1, 6)):
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            break
        key = draw.choice(keys)
        if isinstance(here[key], (dict, list)) and draw.random() < 0.75:
            here = here[key]
            continue
        if draw.random() < 0.3:
            del here[key]
        else:
            here[key] = draw.choice([0, -1, 1, 2**31, 2**63, 1e308, -0.5, None, "", "x", [], {}, [0], True])
        break
    return json.dumps(tree).encode()


def _bytes(data: bytes, draw: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(draw.choice([1, 1, 2, 8, 40])):
        changed[draw.randrange(len(changed))] = draw.choice([0, 255, 127, 128, draw.randrange(256)])
    return bytes(changed)


def _cut(data: bytes, draw: random.Random) -> bytes:
    return data[: draw.randrange(len(data))]


def _copied(data: bytes, draw: random.Random) -> bytes:
    start, end = sorted(draw.randrange(len(data)) for _ in range(2))
    place = draw.randrange(len(data))
    return data[:place] + data[start:end] + data[place:]


def _numbers(data: bytes, draw: random.Random) -> bytes:
    odd = [b"0", b"-1", b"nan", b"inf", b"1e400", b"99999999999999999999", b"", b"x", b"4294967296", b"-2147483649"]
    places = list(re.finditer(rb"-?\d+(\.\d+)?", data))
    for place in sorted(draw.sample(places, min(len(places), draw.choice([1, 1, 3]))), key=lambda m: -m.start()):
        data = data[: place.start()] + draw.choice(odd) + data[place.end() :]
    return data


WAYS: tuple[Callable[[bytes, random.Random], bytes], ...] = (_bytes, _cut, _copied, _numbers, _numbers)


def outcome(path: Path) -> str:
    """Return what loading a file came to: loaded, refused, or what went wrong."""
    try:
        load_subject(path, Scaling(height_cm=10))
    except InputError as error:
        return "refused" if "\n" not in str(error) else f"refused in several lines: {error}"
    except BaseException as error:  # whatever it is, it is what is looked for
        return f"{type(error).__name__}: {error}"
    return "loaded"


def _limit() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (LIMIT_BYTES, LIMIT_BYTES))


def main() -> None:
    """Damage and load files until the time is up, and print what came of it."""
    seconds, seed = float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0
    valid, end = seeds(), time.monotonic() + seconds
    kept = Path(tempfile.mkdtemp(prefix="fuzzed-"))
    counts: Counter[tuple[str, str]] = Counter()
    pool = ProcessPoolExecutor(1, get_context("spawn"), _limit)
    draw = random.Random(seed)
    number = 0
    while time.monotonic() < end:
        for _ in range(BATCH):
            name = draw.choice(list(valid))
            path = kept / f"{number:06d}-{name}"
            path.write_bytes(damaged(name, valid[name], draw))
            try:
                came = pool.submit(outcome, path).result(timeout=LIMIT_S)
            except (TimeoutError, BrokenProcessPool) as error:
                came = f"{type(error).__name__}: the process hung or ended"
                for process in pool._processes.values():
                    process.kill()
                pool = ProcessPoolExecutor(1, get_context("spawn"), _limit)
            counts[name, came.partition(":")[0]] += 1
            if came in ("loaded", "refused"):
                path.unlink()
            else:
                print(f"{path}: {came}"[:400], flush=True)
            number += 1
    for (name, came), count in sorted(counts.items()):
        print(f"{name:14} {came:20} {count}")
    print(f"{number} files, seed {seed}")


if __name__ == "__main__":
    main()
