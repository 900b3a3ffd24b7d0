"""What to order: lengths of conduit and core."""

from __future__ import annotations

from dataclasses import replace

from cableroute.figures.travel import travel_of
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.hardware.stock import StockChoice, choose_stock, core_length
from cableroute.measure.job import Cable
from cableroute.route.doubt import length_doubt
from cableroute.route.pieces import Route
from cableroute.units import MM_PER_UNIT


@frozen
class Order:
    """Lengths to order.

    Parameters
    ----------
    conduit : float
        Conduit from anchor to anchor, drawn tight [mm].
    lay : float
        Conduit from anchor to anchor, left to itself [mm].
    ends : float
        What the measure of the stock has besides the conduit: the exposed ends, or nothing [mm].
    slack : float
        Slack wanted at least [mm].
    doubt : float
        What the tape leaves uncertain, plus or minus [mm].
    measure : str
        ``conduit`` or ``overall``.
    core : float
        Core for the conduit that is bought, with its exposed ends and stroke [mm].
    choice : StockChoice or None
        The stock length; None when no list is known, or it is cut to length.
    surplus : float
        What is bought beyond the natural lay; negative where it is shorter [mm].
    cut : bool
        Whether conduit and core are cut to length.
    """

    conduit: float
    lay: float
    ends: float
    slack: float
    doubt: float
    measure: str
    core: float
    choice: StockChoice | None
    surplus: float
    cut: bool = False

    @property
    def need(self) -> float:
        """Length in what the stock is measured by, drawn tight, slack and doubt left out [mm]."""
        return self.conduit + self.ends

    @property
    def least(self) -> float:
        """Conduit below which it does not reach: tight, with slack and the tape's doubt [mm]."""
        return self.conduit + self.slack + self.doubt

    @property
    def advised(self) -> float:
        """Conduit with which it lies as it wants: natural lay, slack and the tape's doubt [mm]."""
        return max(self.lay, self.conduit) + self.slack + self.doubt

    @property
    def bought(self) -> float | None:
        """Conduit that is bought or cut; None where no length serves or none is known [mm]."""
        if self.cut:
            return self.advised
        if self.choice is None or self.choice.stock is None:
            return None
        return self.choice.stock - self.ends


def lengths_to_order(
    cable: Cable, tight: Route, lay: float, *, cut_off: float, tolerance: float, in_feet: bool
) -> Order:
    """Lengths to order; the stock list in feet for a tape in feet and inches.

    What is cut to length is measured by its conduit, however its family is sold.

    What smoothing may have cut off, ``cut_off`` [mm], is in the doubt.
    """
    family = cable.family
    conduit = float(tight.length)
    ends = (family.end_allowance if family else None) or 0.0
    measure = family.stock_measure if family and not cable.cut else "conduit"
    doubt = float(length_doubt(tight, tolerance=tolerance).half) + cut_off
    beyond = ends if measure == "overall" else 0.0
    lies = max(lay, conduit)
    choice = None
    if not cable.cut:
        choice = _stock(
            family,
            conduit + beyond,
            lies - conduit,
            slack=cable.slack,
            doubt=doubt,
            in_feet=in_feet,
        )
    order = Order(
        conduit=conduit,
        lay=lies,
        ends=beyond,
        slack=cable.slack,
        doubt=doubt,
        measure=measure,
        core=0.0,
        choice=choice,
        surplus=0.0,
        cut=cable.cut,
    )
    bought = order.bought or order.advised
    surplus = 0.0 if cable.cut or order.bought is None else bought - lies
    core = core_length(bought, end_allowance=ends, stroke=travel_of(cable) or 0.0)
    return replace(order, core=core, surplus=surplus)


def _stock(
    family: Family | None, need: float, lay: float, *, slack: float, doubt: float, in_feet: bool
) -> StockChoice | None:
    """Choose a stock length that lets the conduit lie as it wants, or else one that reaches."""
    stock = stock_sold(family, in_feet=in_feet)
    if not stock:
        return None
    easy = choose_stock(need, stock_lengths=stock, slack=slack + lay, doubt=doubt)
    if easy.stock is not None:
        return easy
    return choose_stock(need, stock_lengths=stock[-1:], slack=slack, doubt=doubt)


def stock_sold(family: Family | None, *, in_feet: bool) -> tuple[float, ...]:
    """Return the lengths that a family is sold in, from its list in feet or in metric steps [mm]."""
    if family is None:
        return ()
    feet = tuple(float(MM_PER_UNIT["ft"]) * length for length in family.stock_lengths_ft)
    return (feet or family.stock_lengths) if in_feet else (family.stock_lengths or feet)
