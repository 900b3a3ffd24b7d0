"""What passes motion from one member to the next: a rigid link, or the cable."""

from __future__ import annotations

from typing import TypeAlias

from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Member
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import CableEnd, RodEnd, Swivel
from cableroute.linkage.vectors import check_not_negative, check_positive

Attachment: TypeAlias = Member | Drum


@frozen(eq=False, kw_only=True)
class Link:
    """A rod of fixed length with a clevis or rod end at both ends.

    ``|P(q1) - Q(q2)| = length``

    Parameters
    ----------
    name : str
        What to call it.
    length : float, optional
        Pin to pin; by default what the two members leave between them at neutral [mm].

    Notes
    -----
    With a length of its own the driven member need not stand at neutral when the driver does.
    """

    name: str
    length: float | None = None

    def __post_init__(self) -> None:
        if self.length is not None:
            check_positive(self.length, f"{self.name} length")


@frozen(eq=False, kw_only=True)
class Cable:
    """The cable between its two swivels.

    Parameters
    ----------
    name : str
        What to call it.
    hand, far : Swivel, optional
        The swivels at its two ends; none is needed where the core winds on a drum.
    lost : float, default 0
        Whole free play between pulled and pushed, at the core [mm].
    let_out : float, default 0
        Conduit let out at the adjusters since neutral was measured, which pulls the far end;
        below zero taken up [mm].
    ends : tuple of str
        What to call its ends in messages, hand end first.
    """

    name: str
    hand: Swivel | None = None
    far: Swivel | None = None
    lost: float = 0.0
    let_out: float = 0.0
    ends: tuple[str, str] = ("hand end", "far end")

    def __post_init__(self) -> None:
        check_not_negative(self.lost, f"{self.name} lost motion")

    def end(self, attachment: Attachment, *, at_hand: bool) -> CableEnd:
        """Return the cable's end on an attachment.

        Parameters
        ----------
        attachment : Arm, Slide or Drum
            What it takes hold of.
        at_hand : bool
            Which end.

        Returns
        -------
        RodEnd or Drum

        Raises
        ------
        GeometryError
            If an arm or a slide is to be driven and that end has no swivel.
        """
        if isinstance(attachment, Drum):
            return attachment
        swivel = self.hand if at_hand else self.far
        if swivel is None:
            which = "hand" if at_hand else "far"
            raise GeometryError(f"{self.name}: expected a swivel at its {which} end, got none")
        return RodEnd(member=attachment, swivel=swivel, name=self.ends[0 if at_hand else 1])


Joint: TypeAlias = Link | Cable
