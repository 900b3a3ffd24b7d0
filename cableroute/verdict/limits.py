"""The limits that figures are held against, each with where it comes from."""

from __future__ import annotations

from math import pi

from cableroute.frozen import frozen


@frozen
class Limits:
    """Limits of the verdict; pairs are (marginal from, failing from).

    Parameters
    ----------
    efficiency : tuple of float
        Pulling efficiency at the high end of friction [-]. Common practice, no source: below 0.6
        a lever feels heavy, below 0.4 most of the effort goes into the conduit.
    rod_safety : tuple of float
        Buckling load of the exposed rod over the push on it [-]. Common practice, no source: 3
        wanted for a rod that may be knocked or bent, 1.5 at least.
    wire_stress : tuple of float
        Bending plus direct stress as a share of the wire's strength [-]. From memory: the elastic
        limit of music wire is 0.65 to 0.75 of its tensile strength (Shigley, Mechanical
        Engineering Design, table 10-5).
    over_table : float
        Share by which a core's strength as given may pass the higher of two tables for its wire
        [-]; our own choice.
    push_stress : tuple of float
        As ``wire_stress``, of a pushed core, its snaking included [-]; the same source.
    bend_ratio : float
        Bend diameter over core diameter wanted of a strand for endurance, whatever its load [-]. A
        study of 1974, quoted second hand; what its load asks is MIL-F-18372's.
    anchor_safety : float
        Low end of what holds an anchor over its load [-]. Common practice, no source: 2.
    bracket_share : float
        Travel that brackets may swallow, as a share of the travel needed [-]; our own choice.
    return_margin : tuple of float
        Force of a return spring over what it has to drag back [-]. Failing at 1 is statics; 1.5 is
        common practice, no source.
    creep : float
        Length of liner coming out of its conduit, or drawn back, worth a word [mm]; common
        practice, no source.
    tightening : float
        Free play that heat or cold may take from a pull cable [mm]; common practice, no source: a
        cable is set with about this much.
    load_differs : float
        Share by which the load given may fall short of what the far end resists with [-]; our own
        choice.
    lost_motion : tuple of float
        Lost motion as a share of the travel needed [-]. Common practice, no source: beyond a
        seventh a lever feels loose, beyond a third a detent is missed.
    working_load : tuple of float
        Force at the hand as a share of the cable's working load [-]. The limit itself is the
        cable's data; 0.8 is common practice, no source.
    stroke : tuple of float
        Travel needed as a share of the cable's stroke [-]. The limit itself is the cable's data;
        0.9 leaves room to adjust: common practice, no source.
    surplus_wrap : float
        Wrap that the slack of a stock length may add, bowed evenly over the run [rad]. Half a
        turn; common practice, no source.
    weight_share : float
        Share of hand force that the core's own weight may add before it is worth saying [-]; our own
        choice.
    longest_route : float
        A route longer than this is a slip of the unit, most likely [mm]; our own choice.
    shortest_route_in_radii : float
        A route shorter than this many bend radii is a slip of the unit, most likely [-]; our own
        choice.
    least_radius : float
        A bend radius below this, where the points are not in millimetres, is a slip of the unit, most
        likely [mm]; our own choice.
    wild_leg : float
        A point is wild when moving one decimal point shortens its two legs by this factor [-];
        our own choice.
    """

    efficiency: tuple[float, float] = (0.6, 0.4)
    rod_safety: tuple[float, float] = (3.0, 1.5)
    wire_stress: tuple[float, float] = (0.70, 0.75)
    over_table: float = 0.05
    push_stress: tuple[float, float] = (0.70, 0.75)
    bend_ratio: float = 20.0
    anchor_safety: float = 2.0
    bracket_share: float = 0.05
    return_margin: tuple[float, float] = (1.5, 1.0)
    creep: float = 3.0
    tightening: float = 1.0
    load_differs: float = 0.05
    lost_motion: tuple[float, float] = (0.15, 0.33)
    working_load: tuple[float, float] = (0.8, 1.0)
    stroke: tuple[float, float] = (0.9, 1.0)
    surplus_wrap: float = pi
    weight_share: float = 0.05
    longest_route: float = 30_000.0
    shortest_route_in_radii: float = 3.0
    least_radius: float = 10.0
    wild_leg: float = 3.0
