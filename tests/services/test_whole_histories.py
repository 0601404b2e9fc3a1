"""Random histories over all use cases together: the table of facts is held to its word."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from hypothesis import settings
from hypothesis.stateful import invariant
from typing_extensions import override

from tests.services.histories import laws
from tests.services.histories.catch_up_rules import CatchUpRules
from tests.services.histories.club import begin
from tests.services.histories.money_rules import MeasureRules, MoneyRules
from tests.services.histories.record_rules import RecordRules
from tests.services.histories.upkeep_rules import UpkeepRules
from tests.services.histories.water_rules import WaterRules
from tests.support.books import assert_books_hold
from tests.support.stores import new_address, server_is_expected

if TYPE_CHECKING:
    from pathlib import Path

LONG = bool(os.environ.get("TUBCARE_LONG"))


class WholeHistories(UpkeepRules, CatchUpRules, RecordRules, MeasureRules, MoneyRules, WaterRules):
    """Everything that two people can do to one logbook, in any order."""

    @invariant()
    def caches_equal_a_rebuild_and_what_was_paid_is_used_or_on_the_shelf(self) -> None:
        assert_books_hold(self.store)

    @invariant()
    def each_task_has_one_open_occurrence_and_every_key_its_fact(self) -> None:
        laws.assert_the_plan_holds(self.ann, self.last_facts)
        laws.assert_keys_hold(self.last_facts)

    @invariant()
    def refunds_and_charges_stand_on_what_they_name(self) -> None:
        laws.assert_refunds_hold(self.last_facts)
        laws.assert_charges_hold(self.last_facts)


class OnServer(WholeHistories):
    """The same on a PostgreSQL server, where ids and errors are its own."""

    @override
    def new_logbook(self, folder: Path) -> str | Path:
        address = new_address("postgresql", folder)
        begin(address)
        return address


TestWholeHistories = WholeHistories.TestCase
TestWholeHistories.settings = settings(
    max_examples=60 if LONG else 8, stateful_step_count=50 if LONG else 20, deadline=None
)
if server_is_expected():
    TestOnServer = OnServer.TestCase
    TestOnServer.settings = settings(
        max_examples=20 if LONG else 3, stateful_step_count=20, deadline=None
    )
