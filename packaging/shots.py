"""Take pictures of the window's sections, light and dark, at two scales.

    python packaging/shots.py module:attribute [key…] [--out FOLDER] [--text PERCENT]

`module:attribute` names a function without arguments that returns a tuple: the sections, the call
that opens the logbook, the first-run section or None. The pictures go to README and to whoever
looks; each is taken in a process of its own, as the scale is fixed when Qt starts.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CASES = (
    ("light", "light", 1, (1280, 800)),
    ("dark", "dark", 1, (1280, 800)),
    ("light-200", "light", 2, (1280, 800)),
    ("dark-200", "dark", 2, (1280, 800)),
)


def main() -> int:
    """Take the pictures that the arguments ask for."""
    parser = argparse.ArgumentParser(description="Take pictures of the window's sections.")
    parser.add_argument("source", help="module:attribute that gives sections and logbook")
    parser.add_argument("keys", nargs="*", help="sections to take; all when none is named")
    parser.add_argument("--out", type=Path, default=Path("shots"))
    parser.add_argument("--text", type=int, default=100, help="text size in percent")
    parser.add_argument("--only", choices=[name for name, *_ in CASES], action="append")
    wanted = parser.parse_intermixed_args()
    wanted.out.mkdir(parents=True, exist_ok=True)
    worst = 0
    for name, appearance, scale, (width, height) in CASES:
        if wanted.only and name not in wanted.only:
            continue
        pattern = str(wanted.out / f"{{key}}-{name}.png")
        arguments = [wanted.source, pattern, appearance, str(wanted.text), f"{width}x{height}"]
        done = subprocess.run(
            [sys.executable, str(ROOT / "packaging" / "picture.py"), *arguments, *wanted.keys],
            env=os.environ | _surroundings(scale),
            cwd=ROOT,
            check=False,
        )
        worst = max(worst, abs(done.returncode))
    return worst


def _surroundings(scale: int) -> dict[str, str]:
    return {
        "QT_QPA_PLATFORM": "offscreen",
        "QT_QPA_PLATFORMTHEME": "",
        "QT_STYLE_OVERRIDE": "",
        "QT_FONT_DPI": "96",
        "QT_SCALE_FACTOR": str(scale),
        "QT_LOGGING_RULES": "qt.qpa.*=false",
        "PYTHONPATH": str(ROOT),
    }


if __name__ == "__main__":
    sys.exit(main())
