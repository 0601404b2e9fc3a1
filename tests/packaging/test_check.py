"""`python3 packaging/check.py`: the test runner, its arguments and its exit code."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.packaging.conftest import Checkout


def test_the_tests_run_off_screen_at_the_top_of_the_checkout(checkout: Checkout) -> None:
    _, said = checkout.run("check.py", "-k", "rules")
    assert said.endswith(
        "pytest runs with ['-n', 'auto', '-k', 'rules'] on offscreen "
        f"in {checkout.top.resolve()}\n"
    )


def test_the_exit_code_is_the_test_runners(checkout: Checkout) -> None:
    code, _ = checkout.run("check.py")
    assert code == 3


def test_tests_and_program_have_environments_of_their_own(checkout: Checkout) -> None:
    checkout.run("check.py")
    checkout.run("start.py", "week")
    kinds = [environment.name.split("-")[0] for environment in checkout.environments]
    assert kinds == ["check", "start"]


def test_another_command_of_the_environment_can_be_run(checkout: Checkout) -> None:
    code, said = checkout.run("check.py", "--tool", "python", "-c", "print('as asked')")
    assert code == 0
    assert said.endswith("as asked\n")


def test_a_command_that_is_not_in_the_environment_is_named(checkout: Checkout) -> None:
    code, said = checkout.run("check.py", "--tool", "nosuch")
    assert code == 1
    assert "nosuch" in said.splitlines()[-1]


def test_help_explains_and_makes_nothing(checkout: Checkout) -> None:
    code, said = checkout.run("check.py", "--help")
    assert code == 0
    assert "constraints.txt" in said
    assert checkout.environments == []
