"""A normal belief about two numbers that learns from weighted sums of them."""

from typing import NamedTuple


class Pair(NamedTuple):
    """Two numbers a and b, jointly normal: means, variances and covariance."""

    a: float
    b: float
    var_a: float
    var_b: float
    cov: float = 0.0

    def learn(self, seen: float, weight_b: float, noise: float) -> tuple["Pair", float]:
        """Update on one observation, and say how far a followed it.

        seen = a + weight_b * b + e,  e ~ N(0, noise)

        Parameters
        ----------
        seen : float
            The observation.
        weight_b : float
            How b enters it.
        noise : float
            Variance of e, above 0.

        Returns
        -------
        tuple of Pair and float
            The posterior, and the gain on a (0: nothing learnt, 1: a is what was seen).

        References
        ----------
        Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.5 (conjugate normal).
        """
        with_a = self.var_a + weight_b * self.cov
        with_b = self.cov + weight_b * self.var_b
        total = with_a + weight_b * with_b + noise
        gain_a, gain_b = with_a / total, with_b / total
        miss = seen - self.a - weight_b * self.b
        return (
            Pair(
                self.a + gain_a * miss,
                self.b + gain_b * miss,
                self.var_a - gain_a * with_a,
                self.var_b - gain_b * with_b,
                self.cov - gain_a * with_b,
            ),
            gain_a,
        )

    def moved(self, by: float, variance: float) -> "Pair":
        """Return the belief about a after an independent step: mean ``by``, with that variance."""
        return Pair(self.a + by, self.b, self.var_a + variance, self.var_b, self.cov)

    def sum(self, weight_b: float) -> tuple[float, float]:
        """Return mean and variance of a + weight_b * b."""
        return (
            self.a + weight_b * self.b,
            self.var_a + weight_b * (2 * self.cov + weight_b * self.var_b),
        )
