"""`python3 packaging/start.py`, as somebody meets it who has only Python."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING
from zipfile import ZipFile

import pytest

if TYPE_CHECKING:
    from tests.packaging.conftest import Checkout

TOP = Path(__file__).resolve().parents[2]


def test_the_first_start_makes_an_environment_and_runs_the_program(checkout: Checkout) -> None:
    code, said = checkout.run("start.py", "week", "--json")
    assert code == 0
    assert said.startswith("Making an environment")
    assert said.endswith("tubcare runs with ['week', '--json']\n")


def test_the_second_start_says_nothing_of_its_own(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    assert checkout.run("start.py", "week") == (0, "tubcare runs with ['week']\n")


def test_the_exit_code_is_the_programs(checkout: Checkout) -> None:
    code, _ = checkout.run("start.py", "week", EXIT_CODE="7")
    assert code == 7


def test_a_half_finished_environment_is_made_again(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    (environment,) = checkout.environments
    (environment / "ready").unlink()
    shutil.rmtree(environment / "bin")
    code, said = checkout.run("start.py", "week")
    assert code == 0
    assert "half-finished" in said
    assert checkout.run("start.py", "week") == (0, "tubcare runs with ['week']\n")


def test_an_environment_whose_python_was_removed_is_made_again(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    (environment,) = checkout.environments
    python = environment / "bin" / "python"
    python.unlink()
    python.symlink_to("/nowhere/python")
    code, said = checkout.run("start.py", "week")
    assert (code, "Making an environment" in said) == (0, True)


def test_other_pins_are_another_environment(checkout: Checkout) -> None:
    checkout.run("start.py", "week")
    (checkout.top / "packaging" / "constraints.txt").write_text("tiny==2\n", "utf-8")
    checkout.run("start.py", "week")
    assert len(checkout.environments) == 2


def test_of_two_starts_at_once_one_makes_the_environment_and_both_run(checkout: Checkout) -> None:
    starts = [checkout.begin("start.py", "week") for _ in range(4)]
    said = [start.communicate(timeout=120)[0] for start in starts]
    assert [start.returncode for start in starts] == [0] * 4
    assert sum(text.count("Making an environment") for text in said) == 1
    assert all(text.endswith("tubcare runs with ['week']\n") for text in said)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows locks files in another way")
def test_a_start_waits_for_the_one_that_is_making_the_environment(checkout: Checkout) -> None:
    import fcntl

    checkout.run("start.py", "week")
    (environment,) = checkout.environments
    (environment / "ready").unlink()
    with environment.with_name(environment.name + ".lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        waiting = checkout.begin("start.py", "week")
        assert waiting.stdout is not None
        assert "waiting for it" in waiting.stdout.readline()
        (environment / "ready").touch()
    said, _ = waiting.communicate(timeout=60)
    assert said == "tubcare runs with ['week']\n"


def test_where_the_cache_cannot_be_written_the_checkout_holds_the_environment(
    checkout: Checkout, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    code, _ = checkout.run("start.py", "week", XDG_CACHE_HOME=str(tmp_path / "file"))
    assert code == 0
    assert list((checkout.top / ".tubcare-env").glob("start-*"))


def test_a_chosen_folder_that_cannot_be_written_is_named(
    checkout: Checkout, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    code, said = checkout.run("start.py", "week", TUBCARE_ENVIRONMENTS=str(tmp_path / "file"))
    assert code == 1
    assert str(tmp_path / "file") in said
    assert "TUBCARE_ENVIRONMENTS" in said


def test_a_folder_of_the_same_name_where_one_stands_is_not_run(checkout: Checkout) -> None:
    (checkout.home / "tubcare").mkdir()
    (checkout.home / "tubcare" / "__main__.py").write_text("print('the wrong one')\n", "utf-8")
    _, said = checkout.run("start.py", "week")
    assert "the wrong one" not in said


def test_help_explains_and_makes_nothing(checkout: Checkout) -> None:
    code, said = checkout.run("start.py", "--help")
    assert code == 0
    assert str(checkout.home / ".cache" / "tubcare" / "environments") in said
    assert checkout.environments == []


def write_wheel(path: Path) -> None:
    """Write the smallest wheel (Binary distribution format 1.0, PyPA specifications)."""
    about = "Metadata-Version: 2.1\nName: tiny\nVersion: 1.5\n"
    kind = "Wheel-Version: 1.0\nGenerator: by hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    with ZipFile(path, "w") as wheel:
        wheel.writestr("tiny.py", "")
        wheel.writestr("tiny-1.5.dist-info/METADATA", about)
        wheel.writestr("tiny-1.5.dist-info/WHEEL", kind)
        wheel.writestr("tiny-1.5.dist-info/RECORD", "")


@pytest.mark.slow
def test_a_failed_installation_is_told_and_done_again_at_the_next_start(
    checkout: Checkout, tmp_path: Path
) -> None:
    wheel = tmp_path / "tiny-1.5-py3-none-any.whl"
    checkout.depend_on(f"tiny @ {wheel.as_uri()}")
    code, said = checkout.run("start.py", "week")
    assert code == 1
    assert "could not be installed" in said
    assert "install.log" in said

    write_wheel(wheel)
    code, said = checkout.run("start.py", "week")
    assert code == 0
    assert "\n  tiny 1.5\n  unpacking 1 package\n" in said
    assert said.endswith("tubcare runs with ['week']\n")


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_an_older_python_is_told_in_one_line(script: str) -> None:
    path = TOP / "packaging" / script
    ast.parse(path.read_text("utf-8"), feature_version=(3, 4))
    pretend = (
        "import runpy, sys; sys.version_info = (3, 9, 2); sys.version = '3.9.2 (main)'; "
        f"runpy.run_path({str(path)!r}, run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", pretend], check=False, capture_output=True, text=True
    )
    assert done.returncode == 1
    assert done.stderr == "tubcare needs Python 3.11 or newer; this is 3.9.2\n"


def test_two_thousand_signals_do_not_end_the_process() -> None:
    # PySide6 6.12.0 on Python 3.11 drops a reference to True at each emit and aborts at exit.
    script = (
        "from PySide6.QtCore import QObject, Signal\n"
        "class Bell(QObject):\n    rung = Signal(bool)\n"
        "bell = Bell(); heard = []; bell.rung.connect(heard.append)\n"
        "for _ in range(2000): bell.rung.emit(True)\n"
        "assert len(heard) == 2000\n"
    )
    environ = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", script], check=False, capture_output=True, env=environ
    )
    assert (done.returncode, done.stderr) == (0, b"")
