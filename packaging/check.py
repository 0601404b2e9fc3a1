"""Run every test from a checkout: `python3 packaging/check.py [pytest arguments]`."""

# The check has to be readable for old Pythons, so nothing newer stands above it.
import sys

if sys.version_info < (3, 11):  # noqa: UP036 - the person may have an older one
    sys.exit("tubcare needs Python 3.11 or newer; this is " + sys.version.split()[0])

from launch import check

if __name__ == "__main__":
    sys.exit(check(sys.argv[1:]))
