"""Quantiles and tail areas of the normal and of Student's t distribution."""

from __future__ import annotations


def z(p: float) -> float:
    """Return the standard normal quantile: P(Z <= z) = p. Example: z(0.975) = 1.959964."""
    from scipy.special import ndtri

    if not 0.0 < p < 1.0:
        raise ValueError(f"a probability lies between 0 and 1, not {p}")
    return float(ndtri(p))


def t(p: float, df: float) -> float:
    """Return the quantile of Student's t: P(T <= t) = p; df > 0 need not be whole."""
    from scipy.special import stdtrit

    if not 0.0 < p < 1.0:
        raise ValueError(f"a probability lies between 0 and 1, not {p}")
    if not df > 0.0:
        raise ValueError(f"degrees of freedom are positive, not {df}")
    return float(stdtrit(df, p))


def two_sided_z(confidence: float) -> float:
    """Return z with the given probability between -z and z."""
    return z(0.5 + confidence / 2.0)


def two_sided_t(confidence: float, df: float) -> float:
    """Return t with the given probability between -t and t."""
    return t(0.5 + confidence / 2.0, df)


def t_p_value(statistic: float, df: float) -> float:
    """Return the two-sided tail area P(|T| >= |statistic|) of Student's t."""
    from scipy.special import stdtr

    return float(2.0 * stdtr(df, -abs(statistic)))


def z_p_value(statistic: float) -> float:
    """Return the two-sided tail area P(|Z| >= |statistic|) of the standard normal distribution."""
    from scipy.special import ndtr

    return float(2.0 * ndtr(-abs(statistic)))
