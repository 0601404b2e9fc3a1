from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select

from tubcare.errors import NotFoundError, StoreError
from tubcare.store.journal import change_from_data
from tubcare.store.tables import PersonRow, PutOffRow, StateChangeRow, TubRow
from tubcare.store.unit import TABLES, table_of

if TYPE_CHECKING:
    from tubcare.store.store import Store


def names(store: Store) -> list[str]:
    table = table_of(PersonRow)
    with store.read() as connection:
        return list(connection.execute(select(table.c.name).order_by(table.c.id)).scalars())


def test_a_unit_that_ends_is_kept(store: Store) -> None:
    with store.write() as unit:
        unit.add(PersonRow, name="Ann")
    assert names(store) == ["Ann"]


def test_a_unit_that_raises_leaves_nothing(store: Store) -> None:
    with pytest.raises(NotFoundError):  # noqa: PT012, SIM117  the first change has to precede
        with store.write() as unit:
            unit.add(PersonRow, name="Ann")
            unit.remove(PersonRow, 99)
    assert names(store) == []


def test_images_take_every_change_back(store: Store) -> None:
    with store.write() as unit:
        ann = unit.add(PersonRow, name="Ann")
    with store.write() as unit:
        unit.change(PersonRow, ann, name="Anna")
        unit.add(PersonRow, name="Ben")
        changes = [change_from_data(c.to_data(), TABLES) for c in unit.changes]
    assert names(store) == ["Anna", "Ben"]
    with store.write() as unit:
        for change in reversed(changes):
            unit.apply(change.inverse())
    assert names(store) == ["Ann"]


def test_images_keep_dates_and_instants(store: Store) -> None:
    with store.write() as unit:
        tub = unit.add(TubRow, name="Tub", zone="UTC", profile={"a": 1}, added_on=date(2026, 5, 1))
        row = unit.add(StateChangeRow, tub_id=tub, on_date=date(2026, 5, 2), state="open")
        data = [c.to_data() for c in unit.changes]
    with store.write() as unit:
        assert unit.image(table_of(StateChangeRow), row)["on_date"] == date(2026, 5, 2)
        again = change_from_data(data[0], TABLES)
        assert again.after is not None
        assert again.after["added_on"] == date(2026, 5, 1)


def test_a_row_that_is_gone_is_named(store: Store) -> None:
    with pytest.raises(NotFoundError, match="person 99"), store.write() as unit:
        unit.remove(PersonRow, 99)


def test_a_naive_instant_is_refused(store: Store) -> None:
    table = TABLES["action"]
    naive = datetime(2026, 5, 1, 12)  # noqa: DTZ001  that is the point
    with pytest.raises(StoreError, match="time zone"), store.write() as unit:
        unit.connection.execute(
            table.insert().values(
                actor="a", at=naive, label="x", subject="", changes=[], undone=False
            )
        )


def test_a_child_without_its_parent_is_refused(store: Store) -> None:
    with pytest.raises(StoreError), store.write() as unit:
        unit.add(
            PutOffRow, task_id=7, key="start:7", to_date=date(2026, 5, 1), made_on=date(2026, 5, 1)
        )


def test_ids_that_keys_name_are_never_used_again(file_store: Store) -> None:
    with file_store.write() as unit:
        tub = unit.add(TubRow, name="Tub", zone="UTC", profile={}, added_on=date(2026, 5, 1))
        first = unit.add(StateChangeRow, tub_id=tub, on_date=date(2026, 5, 1), state="open")
    with file_store.write() as unit:
        unit.remove(StateChangeRow, first)
        second = unit.add(StateChangeRow, tub_id=tub, on_date=date(2026, 5, 1), state="open")
    assert second > first


def test_instants_come_back_in_utc(store: Store) -> None:
    table = TABLES["action"]
    at = datetime(2026, 5, 1, 12, 30, tzinfo=UTC)
    with store.write() as unit:
        unit.connection.execute(
            table.insert().values(
                actor="a", at=at, label="x", subject="", changes=[], undone=False
            )
        )
    with store.read() as connection:
        assert connection.execute(select(table.c.at)).scalar_one() == at


def test_another_writer_moves_the_change_mark(file_store: Store) -> None:
    from tubcare.store.open import open_store

    other = open_store(str(file_store.path), datetime(2026, 5, 1, tzinfo=UTC))
    before = file_store.change_mark()
    with other.write() as unit:
        unit.add(PersonRow, name="Ann")
    assert file_store.change_mark() != before
    other.close()
