"""Where the frozen program begins."""

from __future__ import annotations

import sys

from tubcare.app import main

if __name__ == "__main__":
    sys.exit(main())
