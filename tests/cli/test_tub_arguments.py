"""A tub is described on the command line by an option for each field of its profile."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tubcare.services.desk import Desk
from tubcare.services.tubs import tubs
from tubcare.store.open import open_store
from tubcare.values import (
    Cladding,
    FilterKind,
    LidKind,
    Liner,
    MonthDay,
    Sanitiser,
    Shape,
    TubProfile,
)

if TYPE_CHECKING:
    from tests.support.terminal import Terminal


def profile(terminal: Terminal) -> TubProfile:
    now = noon(2026, 11, 25)
    with closing(open_store(str(terminal.path), now)) as store:
        return tubs(Desk(store, StillClock(now), "Ann"))[0].profile


def test_a_tub_is_described_in_the_terminal_as_wholly_as_in_the_window(
    terminal: Terminal,
) -> None:
    said = (
        *("--shape", "cylinder", "--length-m", "1.2", "--depth-m", "0.9", "--liner", "aluminium"),
        *("--cladding", "softwood", "--sanitiser", "hydrogen_peroxide", "--ozone", "--uv"),
        *("--chiller-w", "800", "--pump-w", "60", "--filter", "sand", "--lid", "wood"),
        *("--zone", "Europe/Oslo", "--latitude-deg", "-59.9", "--opens", "10-01"),
        *("--closes", "04-10", "--set-point-c", "5.5", "--people", "7"),
    )
    assert terminal.run("tub", "add", "North", *said) == 0
    # The litres: 1,000 x pi/4 x 1.2 x 1.2 x 0.9, by hand.
    expected = TubProfile(
        name="North",
        shape=Shape.CYLINDER,
        length_m=1.2,
        depth_m=0.9,
        volume_l=1017.9,
        liner=Liner.ALUMINIUM,
        cladding=Cladding.SOFTWOOD,
        sanitiser=Sanitiser.HYDROGEN_PEROXIDE,
        has_ozone=True,
        has_uv=True,
        chiller_w=800.0,
        pump_w=60.0,
        filter_kind=FilterKind.SAND,
        lid=LidKind.WOOD,
        zone="Europe/Oslo",
        latitude_deg=-59.9,
        season_opens=MonthDay(month=10, day=1),
        season_closes=MonthDay(month=4, day=10),
        set_point_c=5.5,
        people=7,
    )
    assert profile(terminal) == expected


def test_what_is_not_said_stays_as_usual_and_the_dimensions_say_the_litres(
    terminal: Terminal,
) -> None:
    sized = ("--length-m", "1.5", "--width-m", "0.8", "--depth-m", "0.5")
    assert terminal.run("tub", "add", "North", *sized) == 0
    usual = TubProfile(name="North", length_m=1.5, width_m=0.8, depth_m=0.5, volume_l=600.0)
    assert profile(terminal) == usual


def test_a_description_that_cannot_be_right_adds_no_tub(
    terminal: Terminal, capsys: pytest.CaptureFixture[str]
) -> None:
    assert terminal.run("tub", "add", "North", "--set-point-c", "90") == 4
    with pytest.raises(SystemExit):
        terminal.run("tub", "add", "North", "--liner", "tin")
    assert "aluminium" in capsys.readouterr().err
    assert terminal.run("tub", "open") == 4


def test_a_description_with_another_action_is_refused(terminal: Terminal) -> None:
    assert terminal.run("tub", "add", "North") == 0
    assert terminal.run("tub", "open", "--liner", "pvc") == 4
