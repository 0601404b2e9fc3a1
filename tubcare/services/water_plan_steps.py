"""The steps of a dosing plan with their cautions, their ticks, and what ends a sanitiser."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.templates import caution_texts
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_plan_model import PlannedStep, StepDone
from tubcare.water.balance import totals_of
from tubcare.water.cautions import GENERAL
from tubcare.water.compounds import NEUTRALISERS, Compound, neutralised
from tubcare.water.draining import Neutralising, neutralising
from tubcare.water.equilibrium import solve_ph
from tubcare.water.plan_model import StepKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Row

    from tubcare.services.water_shelf import ShelfProduct
    from tubcare.water.plan_model import DosingPlan, PlanStep
    from tubcare.water.reading import WaterTest

# What stands beside a change of water and beside running with the lid open.
_CHANGE_CAUTIONS = ("drain", "slipping", "dry_pump")
_AIR_CAUTIONS = ("lid_lock",)


def planned_steps(
    whole: DosingPlan,
    shelf: tuple[ShelfProduct, ...],
    done: Mapping[int, Row[tuple[object, ...]]],
    test: WaterTest,
) -> tuple[PlannedStep, ...]:
    """Return the steps of a plan with their cautions and ticks."""
    by_name = {each.label.name: each.supply for each in shelf}
    found = []
    for number, step in enumerate(whole.steps, 1):
        row = done.get(number)
        agent = _neutralising(step, shelf, test)
        own, general = _cautions(step, None if agent is None else agent.compound)
        found.append(
            PlannedStep(
                number=number,
                step=step,
                own_cautions=own,
                general_cautions=general,
                supply=None if step.product is None else by_name.get(step.product.name),
                done=None
                if row is None
                else StepDone(
                    at=row.at, ready_at=row.ready_at, wait_until=row.wait_until, who=row.name
                ),
                neutralise=agent,
                drained_ph=None if agent is None else _drained_ph(agent, step, test),
            )
        )
    return tuple(found)


def _neutralising(
    step: PlanStep, shelf: tuple[ShelfProduct, ...], test: WaterTest
) -> Neutralising | None:
    """Return what ends the sanitiser of the water that goes out, by what is on the shelf."""
    oxidant = max(test.free_chlorine_mg_l, test.total_chlorine_mg_l or 0.0)
    if step.kind is not StepKind.CHANGE_WATER:
        return None
    if oxidant + test.bromine_mg_l + test.peroxide_mg_l <= 0.0:
        return None
    held = [each.label.compound for each in shelf if each.label.compound in NEUTRALISERS]
    agent = held[0] if held else Compound.THIOSULFATE_PENTAHYDRATE
    return neutralising(
        # The other agents are too slow on peroxide.
        Compound.SULFITE if test.peroxide_mg_l > 0.0 else agent,
        volume_l=max(1.0, step.change_l),
        free_chlorine_mg_l=oxidant,
        bromine_mg_l=test.bromine_mg_l,
        peroxide_mg_l=test.peroxide_mg_l,
    )


def _drained_ph(agent: Neutralising, step: PlanStep, test: WaterTest) -> float | None:
    """Return the pH once an agent has met the chlorine; None where it met something else too."""
    if test.bromine_mg_l + test.peroxide_mg_l > 0.0:
        return None
    mg_l = agent.high_g * 1e3 / max(1.0, step.change_l)
    after = neutralised(totals_of(test), agent.compound, mg_l)
    return solve_ph(after, water_c=test.water_c)


def _cautions(step: PlanStep, agent: Compound | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the cautions of what the step does, and those of every product.

    A change of water has those of the agent too that ends its sanitiser.
    """
    own: list[str] = []
    general: list[str] = []
    compound = step.compound or agent
    if compound is not None:
        for each in caution_book().of(compound):
            (general if each.key.startswith(GENERAL) else own).append(each.text)
    if step.portion is not None and step.portion.stock is not None:
        own += [each.text for each in caution_book().stock]
    if step.compound is None:
        texts = caution_texts()
        keys = _CHANGE_CAUTIONS if step.kind is StepKind.CHANGE_WATER else _AIR_CAUTIONS
        own = [*(texts[key] for key in keys), *own]
    return tuple(own), tuple(general)
