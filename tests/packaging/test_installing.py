"""What a person is told of pip's many lines."""

from __future__ import annotations

import pytest

from installing import progress_of


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "  Downloading numpy-2.4.6-cp311-cp311-manylinux_2_28_x86_64.whl (16.9 MB)\n",
            "numpy 2.4.6 (16.9 MB)",
        ),
        ("  Using cached babel-2.18.0-py3-none-any.whl (10.2 MB)\n", "babel 2.18.0 (10.2 MB)"),
        ("Processing /home/a/tiny-1.5-py3-none-any.whl\n", "tiny 1.5"),
        ("  Downloading psychrolib-2.5.0.tar.gz (37 kB)\n", "psychrolib 2.5.0 (37 kB)"),
        ("Installing collected packages: a, b, c\n", "unpacking 3 packages"),
    ],
)
def test_each_package_is_told_in_one_line(line: str, told: str) -> None:
    assert progress_of(line) == told


@pytest.mark.parametrize(
    "line",
    [
        "Collecting numpy>=2.2 (from -c packaging/constraints.txt (line 31))\n",
        "  Downloading alembic-1.20.1-py3-none-any.whl.metadata (7.2 kB)\n",
        "Requirement already satisfied: numpy in ./lib/python3.11/site-packages (2.4.6)\n",
        "Successfully installed tiny-1.5\n",
    ],
)
def test_the_rest_is_kept_for_the_log(line: str) -> None:
    assert progress_of(line) is None
