"""Walls, lid and open surface against a node network, scipy and PsychroLib."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import psychrolib  # type: ignore[import-untyped]  # it ships no types
import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]  # it ships no types

from tests.energy.builders import make_hours, make_tub, make_weather
from tests.reference.energy.cases import VOLUMETRIC_HEAT_J_L_K, Case, case_name, cases
from tubcare.energy.bather import Tissue, dip_heat_j
from tubcare.energy.construction import (
    Films,
    Layer,
    cylinder_ua_w_k,
    outside_film,
    solid_layer,
    u_value_w_m2k,
)
from tubcare.energy.envelope import Build, Envelope, box_faces
from tubcare.energy.lid import sol_air_c
from tubcare.energy.load import acting
from tubcare.energy.moist_air import (
    dew_point_c,
    exchange_w_m2_pa,
    saturation_pa,
    vapour_pa,
)
from tubcare.energy.tub import Use

psychrolib.SetUnitSystem(psychrolib.SI)


def _layers(raw: list[list[float]]) -> tuple[Layer, ...]:
    return tuple(solid_layer(thickness_m=d, conductivity_w_mk=k) for d, k in raw)


def _wall_cases(key: str) -> list[Case]:
    return [case for case in cases("wall") if key in case.inputs]


@pytest.mark.parametrize("case", _wall_cases("layers_d_k"), ids=case_name)
def test_a_plane_wall_agrees_with_a_node_network(case: Case) -> None:
    u = u_value_w_m2k(
        _layers(case.inputs["layers_d_k"]),
        inside_m2k_w=case.inputs["Rsi"],
        outside_m2k_w=case.inputs["Rse"],
    )
    assert case.agrees(u, "U")


@pytest.mark.parametrize("case", _wall_cases("r_in"), ids=case_name)
def test_a_round_wall_agrees_with_a_boundary_value_solver(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    ua = cylinder_ua_w_k(
        inner_radius_m=given["r_in"],
        rings=((given["r_out"] - given["r_in"], given["k"]),),
        height_m=given["height"],
        films=Films(inside_w_m2k=given["h_in"], outside_w_m2k=given["h_out"]),
    )
    assert case.agrees(ua, "UA")


@pytest.mark.parametrize("case", _wall_cases("bridge_W_per_K"), ids=case_name)
def test_a_whole_box_sums_its_faces(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    faces = box_faces(length_m=given["L"], width_m=given["W"], height_m=given["H"])
    build = Build(
        faces=faces,
        wall=_layers(given["wall"]),
        bottom=_layers(given["wall"]),
        lid=_layers(given["lid"]),
        bridges_w_k=given["bridge_W_per_K"],
        outside_m2k_w=given["Rse"],
        lid_inside_m2k_w=given["Rsi_lid"],
    )
    assert case.agrees(build.envelope().ua_w_k(outside_m2k_w=given["Rse"]), "UA")
    assert case.agrees(faces.wall_m2, "A_wall")
    assert case.agrees(faces.lid_m2, "A_lid")


@pytest.mark.parametrize("case", _wall_cases("v_m_s"), ids=case_name)
def test_the_outer_film_follows_the_wind(case: Case) -> None:
    film = outside_film(
        wind_m_s=case.inputs["v_m_s"], mean_c=case.inputs["Tm"], emissivity=case.inputs["eps"]
    )
    assert case.agrees(float(film.convective_w_m2k), "hc")
    assert case.agrees(film.radiative_w_m2k, "hr")
    assert case.agrees(float(1.0 / film.w_m2k), "Rse")


def test_four_metres_a_second_give_the_tabulated_film() -> None:
    # ISO 6946, table of surface resistances: Rse 0.04 m2 K/W.
    assert float(1.0 / outside_film(wind_m_s=4.0).w_m2k) == pytest.approx(0.04, abs=0.001)


@pytest.mark.parametrize("case", cases("lid"), ids=case_name)
def test_heat_through_the_lid_agrees_with_the_solved_surface_balance(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    warm = float(
        sol_air_c(
            air_c=given["Ta"],
            sun_w_m2=given["I_W_per_m2"],
            absorptance=given["absorptance"],
            film_w_m2k=given["ho"],
            sky_loss_w_m2=given["eps_dR"],
        )
    )
    lid = Envelope(
        body_ua_w_k=0.0, lid_m2=given["A"], lid_resistance_m2k_w=given["R_lid_without_Rse"]
    )
    heat_w = lid.ua_w_k(outside_m2k_w=1.0 / given["ho"]) * (warm - given["Tw"])
    assert case.agrees(warm, "T_sol_air")
    assert case.agrees(warm - heat_w / (given["A"] * given["ho"]), "T_surface")
    assert case.agrees(heat_w, "Q_W")


@pytest.mark.parametrize("absorptance", [0.2, 0.55, 0.95])
def test_the_load_through_the_lid_balances_sun_sky_air_and_water(absorptance: float) -> None:
    # No wind is told, so the film is 17 and the sky takes 0.9 times 63 (ASHRAE, from memory).
    def surplus(surface_c: float) -> float:
        taken_in = absorptance * 600.0 - 0.9 * 63.0 + 17.0 * (14.0 - surface_c)
        return taken_in - (surface_c - 6.0) / 0.8

    lid = Envelope(
        body_ua_w_k=0.0, lid_m2=2.0, lid_resistance_m2k_w=0.8, lid_absorptance=absorptance
    )
    tub = replace(make_tub(pump_w=0.0), envelope=lid)
    load = acting(tub, make_hours(1), make_weather([14.0], 600.0)).load
    solved_c = brentq(surplus, -50.0, 150.0, xtol=1e-10)
    found_w = float((load.gain_w - load.slope_w_k * 6.0)[0])
    assert found_w == pytest.approx(2.0 * (solved_c - 6.0) / 0.8, abs=1e-7)


@pytest.mark.parametrize("case", cases("moist"), ids=case_name)
def test_the_open_surface_agrees_with_psychrolib_and_keeps_its_sign(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    drive_pa = saturation_pa(given["Tw"]) - vapour_pa(given["Ta"], given["RH"])
    flux = float(drive_pa * exchange_w_m2_pa(given["wind_m_s"]))
    assert case.agrees(flux, "latent_flux_W_per_m2")
    assert case.agrees(float(vapour_pa(given["Ta"], given["RH"])), "p_vap")
    assert case.agrees(float(saturation_pa(given["Tw"])), "p_sat_water")
    assert case.agrees(dew_point_c(given["Ta"], given["RH"]), "dew_point")
    assert (flux < 0.0) is case.expected["condenses"]


@pytest.mark.parametrize("air_c", [-30.0, -5.0, -0.01, 0.005, 0.02, 3.0, 18.0, 39.0])
@pytest.mark.parametrize("humidity", [0.1, 0.55, 1.0])
def test_saturation_and_dew_point_agree_with_psychrolib(air_c: float, humidity: float) -> None:
    assert float(saturation_pa(air_c)) == pytest.approx(psychrolib.GetSatVapPres(air_c), rel=1e-9)
    expected = psychrolib.GetTDewPointFromRelHum(air_c, humidity)
    assert dew_point_c(air_c, humidity) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("case", cases("bather"), ids=case_name)
def test_a_dip_agrees_with_a_stepped_half_space(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    heat_j = dip_heat_j(
        film_w_m2k=given["h"],
        difference_k=given["dT"],
        duration_s=given["t_s"],
        tissue=Tissue(
            area_m2=given["A"],
            conductivity_w_mk=given["k_tissue"],
            diffusivity_m2_s=given["alpha_tissue"],
        ),
    )
    assert case.agrees(heat_j / 1000.0, "Q_kJ")
    assert case.agrees(heat_j / (400.0 * VOLUMETRIC_HEAT_J_L_K), "dT_400L")


def test_a_dip_approaches_the_perfect_contact_limit() -> None:
    # Half-space held at the surface: Q = 2 k A dT sqrt(t / (pi a)) (Carslaw & Jaeger 1959, 2.5).
    tissue = Tissue()
    limit = 2.0 * 0.45 * 1.7 * 29.0 * math.sqrt(7200.0 / (math.pi * 1.2e-7))
    heat_j = dip_heat_j(film_w_m2k=1000.0, difference_k=29.0, duration_s=7200.0, tissue=tissue)
    assert heat_j == pytest.approx(limit, rel=0.02)
    assert heat_j < limit


@pytest.mark.parametrize(
    ("air_c", "humidity"), [(-4.0, 0.5), (6.0, 0.35), (17.0, 0.9), (24.0, 1.0)]
)
def test_the_open_lid_loses_to_dry_air_and_gains_from_moist_air(
    air_c: float, humidity: float
) -> None:
    # Vapour pressures by PsychroLib; 0.089 + 0.0782 V as in the ASHRAE Handbook, at the wind of a
    # garden that is 0.4 of the 5 m/s told. Dry air (no vapour at all) is the yardstick.
    hours = make_hours(24)
    tub = replace(make_tub(), use=Use(dips_per_day=1.0, hour=9, open_minutes=60.0, dip_kj=0.0))

    def gain_w(share: float) -> float:
        weather = replace(
            make_weather([air_c] * 24), wind_m_s=np.full(24, 5.0), humidity=np.full(24, share)
        )
        load = acting(tub, hours, weather).load
        water_c = tub.thermostat.set_point_c
        return float((load.gain_w - load.slope_w_k * water_c)[hours.local_hour == 9][0])

    exchange, area_m2 = 0.089 + 0.0782 * 2.0, tub.envelope.lid_m2
    vapour_pa_there = psychrolib.GetVapPresFromRelHum(air_c, humidity)
    assert gain_w(humidity) - gain_w(0.0) == pytest.approx(
        exchange * area_m2 * vapour_pa_there, rel=1e-6
    )
    over_water_pa = psychrolib.GetSatVapPres(tub.thermostat.set_point_c)
    sensible_w = gain_w(0.0) + exchange * area_m2 * over_water_pa
    assert (gain_w(humidity) > sensible_w) is (vapour_pa_there > over_water_pa)
