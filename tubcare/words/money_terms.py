"""The word for each member of the closed sets that money and stock are described with."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.ledger.stock_facts import StockFlag, StockKind
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum

    from tubcare.words.locale import Speech


def money_word(speech: Speech, member: SpendCategory | View | StockKind | StockFlag) -> str:
    """Return the word for a kind of spending, a view of money, a kind or flag of stock."""
    return say_term(speech, MONEY_TERMS[type(member)][member])


MONEY_TERMS: Mapping[type[StrEnum], Mapping[StrEnum, Term]] = MappingProxyType(
    {
        SpendCategory: {
            SpendCategory.POWER: term("spending", "power"),
            SpendCategory.WATER: term("spending", "water"),
            SpendCategory.CHEMICALS: term("spending", "chemicals"),
            SpendCategory.TESTING: term("spending", "testing"),
            SpendCategory.FILTERS: term("spending", "filters"),
            SpendCategory.PARTS: term("spending", "parts"),
            SpendCategory.REPAIRS: term("spending", "repairs"),
            SpendCategory.WOOD_CARE: term("spending", "wood care"),
            SpendCategory.BUILD: term("spending", "build"),
            SpendCategory.TOOLS: term("spending", "tools"),
            SpendCategory.OTHER: term("spending", "other"),
        },
        View: {
            View.PAID: term("view of money", "paid"),
            View.USED: term("view of money", "used"),
        },
        StockKind: {
            StockKind.PURCHASE: term("stock", "bought"),
            StockKind.REFUND: term("stock", "refunded"),
            StockKind.USE: term("stock", "used"),
            StockKind.EXPIRED: term("stock", "thrown away"),
            StockKind.STOCK_TAKE: term("stock", "counted"),
        },
        StockFlag: {
            StockFlag.SHORT: term(
                "stock flag", "more was used than lay there; a purchase may be missing"
            ),
            StockFlag.SETTLED: term(
                "stock flag", "a later purchase has put the cost of the missing part right"
            ),
            StockFlag.UNPRICED: term("stock flag", "no price is known yet, so it counts nothing"),
            StockFlag.SURPLUS: term("stock flag", "more was found than was written down"),
            StockFlag.ABOVE_SHELF: term(
                "stock flag", "more money came back than the shelf was worth"
            ),
        },
    }
)
