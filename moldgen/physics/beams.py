"""A bar laid over two supports and pushed between them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Bar:
    """A bar of rectangular section on two supports, pushed at one place square to its width.

    Attributes
    ----------
    span_mm : float
        From support to support.
    at_mm : float
        From the one support to the push, between 0 and the span.
    width_mm, height_mm : float
        Of the section; the push is along its height.
    """

    span_mm: float
    at_mm: float
    width_mm: float
    height_mm: float

    def deflection_mm(self, force_micronewton: float, modulus_pa: float) -> float:
        """How far it gives under the push, F a² b² / (3 E I l) [mm].

        Parameters
        ----------
        force_micronewton : float
            [µN].
        modulus_pa : float

        Examples
        --------
        Pushed in the middle it is F l³ / (48 E I):

        >>> bar = Bar(100.0, 50.0, 12.0, 6.0)
        >>> round(bar.deflection_mm(5e6, 2.1e9), 4) == round(5e6 * 1e6 / (48 * 2.1e9 * 216), 4)
        True
        """
        other = self.span_mm - self.at_mm
        inertia = self.width_mm * self.height_mm**3 / 12.0
        return (force_micronewton * self.at_mm**2 * other**2) / (
            3.0 * modulus_pa * inertia * self.span_mm
        )

    def stress_pa(self, force_micronewton: float) -> float:
        """Largest stress, F a b / l over the section modulus [Pa].

        Examples
        --------
        >>> Bar(100.0, 50.0, 12.0, 6.0).stress_pa(1e6) == 1e6 * 25.0 / 72.0
        True
        """
        moment = force_micronewton * self.at_mm * (self.span_mm - self.at_mm) / self.span_mm
        return moment / (self.width_mm * self.height_mm**2 / 6.0)

    @property
    def larger_share(self) -> float:
        """Share of the push that the nearer support bears [-]."""
        return max(self.at_mm, self.span_mm - self.at_mm) / self.span_mm
