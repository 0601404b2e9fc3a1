"""Make, once, an environment with the pinned packages, and find it again at once."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
import tempfile
import time
import tomllib
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDER_VARIABLE: Final = "TUBCARE_ENVIRONMENTS"
READY: Final = "ready"
LOG: Final = "install.log"


class EnvironmentFailedError(Exception):
    """The environment could not be made; the text says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What an environment is made from; another recipe is another environment."""

    checkout: Path
    kind: str
    requirements: tuple[str, ...]
    unresolved: Path | None = None

    @property
    def constraints(self) -> Path:
        """Name the file of pinned versions."""
        return self.checkout / "packaging" / "constraints.txt"

    @property
    def key(self) -> str:
        """A name that changes with the Python, the pins or the dependency lists."""
        digest = hashlib.sha256()
        python = [sys.version, sys.platform, sys.base_prefix]
        digest.update(json.dumps([python, self.kind, self.requirements]).encode())
        for file in (self.constraints, self.unresolved):
            if file is not None and file.is_file():
                digest.update(file.read_bytes())
        return f"{self.kind}-{digest.hexdigest()[:16]}"


def recipe_for(checkout: Path, kind: str, groups: tuple[str, ...]) -> Recipe:
    """Read the dependency lists of the checkout, with those of the named groups."""
    project = tomllib.loads((checkout / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project.get("optional-dependencies", {})
    requirements = [*project.get("dependencies", [])]
    for group in groups:
        requirements += extras.get(group, [])
    unresolved = checkout / "packaging" / "test-data.txt" if groups else None
    return Recipe(
        checkout=checkout, kind=kind, requirements=tuple(requirements), unresolved=unresolved
    )


def cache_folder() -> Path:
    """Name the folder for environments by the platform's rule (Linux: XDG base directories)."""
    if chosen := os.environ.get(FOLDER_VARIABLE):
        return Path(chosen)
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA")
        base = Path(local) if local else Path.home() / "AppData" / "Local"
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        xdg = os.environ.get("XDG_CACHE_HOME", "")
        base = Path(xdg) if Path(xdg).is_absolute() else Path.home() / ".cache"
    return base / "tubcare" / "environments"


def ready_python(recipe: Recipe) -> Path:
    """Return the environment's Python, making the environment first where needed."""
    for folder in (cache_folder(), recipe.checkout / ".tubcare-env"):
        if _is_ready(folder / recipe.key):
            return _python_in(folder / recipe.key)
    folder = _writable_folder(recipe)
    with _lock(folder / f"{recipe.key}.lock"):
        place = folder / recipe.key
        if not _is_ready(place):
            if place.exists():
                print("An environment was left half-finished: making it again.", flush=True)
                shutil.rmtree(place)
            _make(recipe, place)
    return _python_in(place)


def _python_in(place: Path) -> Path:
    if sys.platform == "win32":
        return place / "Scripts" / "python.exe"
    return place / "bin" / "python"


def _is_ready(place: Path) -> bool:
    # The Python that it was made from may have been removed since: a link to nowhere.
    return (place / READY).is_file() and _python_in(place).exists()


def _writable_folder(recipe: Recipe) -> Path:
    problem: OSError | None = None
    for folder in (cache_folder(), recipe.checkout / ".tubcare-env"):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder):
                return folder
        except OSError as error:
            problem = problem or error
        if os.environ.get(FOLDER_VARIABLE):
            break
    msg = f"No folder for the environment: {problem}. Name one in {FOLDER_VARIABLE}."
    raise EnvironmentFailedError(msg)


@contextmanager
def _lock(path: Path) -> Iterator[None]:
    """Hold the lock file; the system lets go of it when its holder dies."""
    with path.open("a+b") as file:
        waiting = False
        while not _try_lock(file.fileno()):
            if not waiting:
                print("Another start is making the environment: waiting for it.", flush=True)
                waiting = True
            time.sleep(0.2)
        yield


if sys.platform == "win32":
    import msvcrt

    def _try_lock(descriptor: int) -> bool:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _try_lock(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _make(recipe: Recipe, place: Path) -> None:
    # Needed once, not at every start.
    from installing import make_virtual_environment, pip_install  # noqa: PLC0415

    begun = time.monotonic()
    print(f"Making an environment for Python {sys.version.split()[0]} in", flush=True)
    print(f"  {place}", flush=True)
    python = _python_in(place)
    log = place / LOG
    needs_pip = bool(recipe.requirements)
    make_virtual_environment(place, with_pip=needs_pip)
    if needs_pip:
        # Ready-made wheels only: nobody has to have a compiler.
        pinned = ["--only-binary", ":all:", "--constraint", str(recipe.constraints)]
        pinned += recipe.requirements
        pip_install(python, pinned, log=log)
    if recipe.unresolved is not None and recipe.unresolved.is_file() and needs_pip:
        pip_install(python, ["--no-deps", "--requirement", str(recipe.unresolved)], log=log)
    (place / READY).write_text(recipe.key + "\n", "utf-8")
    print(f"Ready after {time.monotonic() - begun:.0f} s; the next start is at once.", flush=True)
