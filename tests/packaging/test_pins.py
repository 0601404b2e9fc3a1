"""The pinned versions, and the files that a desktop reads about the program."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tomllib
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

TOP = Path(__file__).resolve().parents[2]
PACKAGING = TOP / "packaging"
APP_ID = "org.tubcare.Tubcare"
PIN = re.compile(r"([a-z0-9-]+)==([0-9][^ ;]*)(?: ; .+)?")


def pin_lines() -> list[str]:
    lines = (PACKAGING / "constraints.txt").read_text("utf-8").splitlines()
    return [line for line in lines if not line.startswith("#")]


def test_every_line_pins_one_version() -> None:
    assert [line for line in pin_lines() if not PIN.fullmatch(line)] == []


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    groups = [project["dependencies"], *project["optional-dependencies"].values()]
    listed = [requirement for group in groups for requirement in group]
    names = {re.split(r"[^A-Za-z0-9_.-]", text)[0].lower().replace("_", "-") for text in listed}
    pinned = {line.split("==")[0] for line in pin_lines()}
    assert names - pinned == set()


def test_qt_below_6_12_on_python_3_11() -> None:
    pins = [line for line in pin_lines() if line.startswith("pyside6-essentials==")]
    old = [pin for pin in pins if "python_full_version < '3.12'" in pin]
    assert len(old) == 1
    major, minor = re.split(r"[.= ]+", old[0])[1:3]
    assert (int(major), int(minor)) < (6, 12)


def test_desktop_file_and_description_carry_one_id() -> None:
    root = ET.parse(PACKAGING / f"{APP_ID}.metainfo.xml").getroot()  # noqa: S314 - our own file
    entry = (PACKAGING / f"{APP_ID}.desktop").read_text("utf-8")
    assert root.findtext("id") == APP_ID
    assert root.findtext("launchable") == f"{APP_ID}.desktop"
    assert f"Icon={APP_ID}\n" in entry
    assert (PACKAGING / f"{APP_ID}.svg").is_file()


def test_the_description_tells_the_version_that_is_built() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    root = ET.parse(PACKAGING / f"{APP_ID}.metainfo.xml").getroot()  # noqa: S314 - our own file
    newest = root.find("releases/release")
    assert newest is not None
    assert newest.get("version") == project["version"]


@pytest.mark.parametrize(
    "command",
    [
        # Desktop Entry Specification and AppStream, by freedesktop.org's own validators.
        ["desktop-file-validate", f"{APP_ID}.desktop"],
        ["appstreamcli", "validate", "--no-net", f"{APP_ID}.metainfo.xml"],
    ],
    ids=["desktop-file-validate", "appstreamcli"],
)
def test_the_validators_of_the_standards_find_nothing_wrong(command: list[str]) -> None:
    if shutil.which(command[0]) is None and os.environ.get("CI") != "true":
        pytest.skip(f"{command[0]} is not installed")
    done = subprocess.run(command, cwd=PACKAGING, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    "script",
    [TOP / ".ci" / "run", *sorted(PACKAGING.glob("*.sh"))],
    ids=lambda script: script.name,
)
def test_the_shell_scripts_parse_and_may_be_run(script: Path) -> None:
    bash = shutil.which("bash")
    assert bash is not None
    done = subprocess.run([bash, "-n", str(script)], check=False, capture_output=True)
    assert (done.returncode, done.stderr) == (0, b"")
    assert os.access(script, os.X_OK)
