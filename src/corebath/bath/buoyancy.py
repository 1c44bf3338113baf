"""Will the bag float: residual air, the density of the food, and the steam of a hot bath."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.bath.files import row
from corebath.bath.gear import Room
from corebath.bath.say import quantity
from corebath.bath.spread import Spread
from corebath.bath.water import ZERO_C_K, liquid_density_kg_m3, saturation_Pa
from corebath.safety.finding import Finding, Verdict
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Float:
    """How a bag sits in the water.

    gas_m3 : gas in the bag in the hot bath, steam included [m3]
    lift_kg : mass that the water would carry beyond the bag's own; below 0 it sinks [kg]
    weight_kg : mass of the weight that just holds it under, 0 when it sinks [kg]
    above_share : share of bag and food above the water when nothing holds it [-]
    statements, findings
    """

    gas_m3: Spread
    lift_kg: Spread
    weight_kg: Spread
    above_share: Spread
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]


def bag_air_m3(method: str, bag_m3: float) -> Spread:
    """Air left in a bag by the way it was closed, "displacement" or "vacuum" [m3].

    bag_m3 : volume of bag and food, 0 to 0.1 [m3]. Common practice, no measurement found. Raises ValueError.
    """
    between("the volume of the bag", bag_m3, 0.0, 0.1, "m3")
    r = row("bag_air.csv", method, "way of closing a bag")
    shares = (float(r["share_nominal"]), float(r["share_low"]), float(r["share_high"]))
    return Spread(*(share * bag_m3 for share in shares))


def gas_in_bath_m3(air_m3: float, bagged_C: float, bath_C: float, room: Room) -> float:
    """Volume of a soft bag's gas in a bath [m3]: air swells with temperature and fills with steam.

    air_m3 : dry air at the temperature it was bagged and the room's pressure, >= 0 [m3]
    bagged_C : -20 to 50;  bath_C : 0 degC to a kelvin below boiling [degC]; else ValueError

    Ideal gas; the bag holds wet food, so vapour is saturated and air keeps only pressure - vapour pressure.
    Pressure of the water above, about 1 kPa per 10 cm, is left out: on the cautious side.
    """
    between("the air in the bag", air_m3, 0.0, 0.1, "m3")
    between("the temperature at bagging", bagged_C, -20.0, 50.0, "C")
    between("the bath's temperature", bath_C, 0.0, round(room.boiling_C - 1, 2), "C")
    pressure = room.pressure_Pa
    warm = (bath_C + ZERO_C_K) / (bagged_C + ZERO_C_K)
    return air_m3 * warm * pressure / (pressure - float(saturation_Pa(bath_C)))


def lift_kg(food_kg: float, food_kg_m3: float, gas_m3: float, water_C: float) -> float:
    """Mass the water carries beyond the bag's own [kg], after Archimedes; masses of gas and bag left out.

    food_kg : above 0 [kg];  food_kg_m3 : 700 to 1500 [kg/m3];  gas_m3 : >= 0 [m3]. Raises ValueError.
    """
    between("the mass of the food", food_kg, 1e-6, 50.0, "kg")
    between("the density of the food", food_kg_m3, 700.0, 1500.0, "kg/m3")
    between("the gas in the bag", gas_m3, 0.0, 1.0, "m3")
    return float(liquid_density_kg_m3(water_C)) * (food_kg / food_kg_m3 + gas_m3) - food_kg


def weight_needed_kg(lift: float, water_C: float, weight_kg_m3: float) -> float:
    """Mass of a weight under water that holds a lift [kg]; 0 for a bag that sinks.

    weight_kg_m3 : density of the weight, 1500 to 20000 (steel 7900, stone 2500) [kg/m3]; else ValueError
    """
    between("the density of the weight", weight_kg_m3, 1500.0, 20_000.0, "kg/m3")
    return max(lift, 0.0) / (1 - float(liquid_density_kg_m3(water_C)) / weight_kg_m3)


def floating(
    food_kg: float,
    food_kg_m3: float,
    air_m3: Spread,
    bath_C: float,
    room: Room,
    *,
    bagged_C: float = 5.0,
    weight_kg_m3: float = 7900.0,
    held_by_kg: float = 0.0,
) -> Float:
    """Whether a bag floats in its bath, and what holds it under.

    food_kg, food_kg_m3 : food in the bag [kg], [kg/m3];  air_m3 : residual air at bagging, see `bag_air_m3`
    bath_C, bagged_C [degC];  weight_kg_m3 : density of the weights;  held_by_kg : weights in use, >= 0 [kg]

    Raises ValueError as the functions it calls.
    """
    between("the weight in use", held_by_kg, 0.0, 50.0, "kg")
    gas = air_m3.map(lambda air: gas_in_bath_m3(air, bagged_C, bath_C, room))
    lift = gas.map(lambda volume: lift_kg(food_kg, food_kg_m3, volume, bath_C))
    weight = lift.map(lambda mass: weight_needed_kg(mass, bath_C, weight_kg_m3))
    density = float(liquid_density_kg_m3(bath_C))
    above = gas.map(
        lambda volume: (
            max(lift_kg(food_kg, food_kg_m3, volume, bath_C), 0.0) / density / (food_kg / food_kg_m3 + volume)
        )
    )
    said = [_first_sentence(weight, above)]
    swelling = gas_in_bath_m3(1e-3, bagged_C, bath_C, room) / 1e-3
    said.append(f"In a bath at {quantity(bath_C, 'C')} the air in the bag takes {swelling:.1f} times its cold volume.")
    said.append(
        f"Air and steam explain at most {quantity(gas.high * 1000, 'L')} of gas. More, or gas that comes hours later, "
        "is a leak or microbes: on a long cook at a low set point, throw the food out. Vegetables and fruit let go of "
        "air of their own."
    )
    return Float(gas, lift, weight, above, tuple(said), (_under_finding(weight, above, held_by_kg, weight_kg_m3),))


def _first_sentence(weight: Spread, above: Spread) -> str:
    if weight.high == 0:
        return "The bag sinks by itself."
    low, likely, high = (round(100 * share) for share in (above.low, above.nominal, above.high))
    share = f"{likely} %" if low == high else f"{likely} % ({low} to {high} %)"
    if likely == 0:
        share = "hardly any" if high == 0 else f"at most {high} %"
    needs_kg = round(weight.nominal, 4)
    usual = f"likely {quantity(needs_kg, 'kg')} would do" if needs_kg > 0 else "likely it needs none"
    return (
        f"Unweighted, {share} of the bag stands above the water; {quantity(weight.high, 'kg')} of weight holds it "
        f"under in every case computed, {usual}."
    )


def _why_under(verdict: Verdict, weight: Spread, above: Spread, held_by_kg: float) -> str:
    if verdict is Verdict.MET and held_by_kg < weight.high:
        return "In every case computed, less than half a percent of the bag stands above the water."
    needed = (
        f"It takes {quantity(weight.low, 'kg')} to {quantity(weight.high, 'kg')} of weight to hold the bag under, "
        f"{quantity(held_by_kg, 'kg')} is in use"
    )
    if verdict is Verdict.MET:
        return f"{needed}."
    share = f"{above.high * 100:.0f} %"
    return f"{needed}; up to {share} would stand above the water, and that part is not heated by the bath."


def _under_finding(weight: Spread, above: Spread, held_by_kg: float, weight_kg_m3: float) -> Finding:
    verdict = Verdict.NOT_KNOWN
    if held_by_kg >= weight.high or round(100 * above.high) == 0:  # a share that prints as 0 %
        verdict = Verdict.MET
    elif held_by_kg < weight.low or (held_by_kg < weight.nominal):
        verdict = Verdict.NOT_MET
    return Finding(
        rule="bath-food-under-water",
        title="All of the food is under water",
        verdict=verdict,
        binding=True,
        why=_why_under(verdict, weight, above, held_by_kg),
        source="Archimedes and the ideal gas law; residual air is common practice without source",
        assumptions=(
            f"The weight has a density of {weight_kg_m3:.0f} kg/m3 and lies on the bag or in it.",
            "No gas forms during the cook.",
        ),
        achieved=None if weight.high == 0 else held_by_kg / weight.high,
    )
