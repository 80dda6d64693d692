"""The formulas of the calculation that is printed on the sheet (model sections 2, 3 and 11).

Each is a plain function of one `return`: `steps` prints the formula from its syntax tree and puts
in the numbers. Lengths in m, forces in N, moments in N·m, angles in degrees, pressures in MPa,
rod diameter in mm, temperature in K. F is the fixed side, D the door side.
"""

import math

pi = math.pi


def sin(degrees: float) -> float:
    """Sine of an angle in degrees."""
    return math.sin(math.radians(degrees))


def cos(degrees: float) -> float:
    """Cosine of an angle in degrees."""
    return math.cos(math.radians(degrees))


def atan2(upward: float, outward: float) -> float:
    """Direction of a point in degrees, from outward toward upward."""
    return math.degrees(math.atan2(upward, outward))


def sqrt(number: float) -> float:
    """Square root."""
    return math.sqrt(number)


def charge_extended(F_C: float, f: float) -> float:
    """Gas force at the measuring distance C from full extension, where the rating F_C is."""
    return F_C + f


def charge_compressed(R: float, F_C: float, f: float) -> float:
    """Gas force at the measuring point near full compression."""
    return R * F_C + f


def inverse_column(a: float, b: float, S: float, C: float) -> float:
    """One over the length of the gas column [1/m]."""
    return (b - a) / (b * (S - C) - a * C)


def charge_changed(a: float, Delta: float) -> float:
    """Gas force at the measuring point after a change of rating."""
    return a + Delta


def force_extended(a: float, C: float, kappa: float) -> float:
    """Gas force at full extension."""
    return a * (1 - C * kappa)


def charge_pressure(F_N: float, d: float) -> float:
    """Absolute charge pressure [MPa] from the force [N] and the rod diameter [mm]."""
    return 0.101325 + F_N / (pi * d**2 / 4)


def pressure_slope(p: float) -> float:
    """How much steeper nitrogen's pressure climbs with temperature than an ideal gas's."""
    return 1 + 0.02582 * p - 0.000257 * p**2


def pressure_ratio(k: float, T: float) -> float:
    """Pressure at a temperature over the pressure at 20 °C."""
    return 1 + k * (T - 293.15) / 293.15


def temperature_factor(p: float, q: float) -> float:
    """Gas force at a temperature over the gas force at 20 °C."""
    return (p * q - 0.101325) / (p - 0.101325)


def force_extended_now(F_N: float, alpha: float, phi: float) -> float:
    """Gas force at full extension, aged and at its temperature."""
    return F_N * alpha * phi


def distance(o: float, u: float) -> float:
    """Distance from the hinge line."""
    return sqrt(o**2 + u**2)


def direction(u: float, o: float) -> float:
    """Direction from the hinge line, counted from outward toward upward."""
    return atan2(u, o)


def angle_when_shut(s: float, beta_D: float, beta_F: float) -> float:
    """Angle from F to D about the hinge line with the panel shut, counted as it opens."""
    return s * (beta_D - beta_F)


def angle_between(psi_0: float, theta: float) -> float:
    """Angle from F to D about the hinge line with the panel opened."""
    return psi_0 + theta


def strut_length(r_F: float, r_D: float, psi: float, w: float) -> float:
    """Law of cosines, with the offset along the hinge line."""
    return sqrt(r_F**2 + r_D**2 - 2 * r_F * r_D * cos(psi) + w**2)


def lever_arm(r_F: float, r_D: float, psi: float, L: float) -> float:
    """Growth of the length with the angle, dL/dtheta."""
    return r_F * r_D * sin(psi) / L


def travel(L_E: float, L: float) -> float:
    """How far the strut is pushed in."""
    return L_E - L


def gas_force(F_E: float, kappa: float, x: float) -> float:
    """Gas force at that travel, slow movement."""
    return F_E / (1 - kappa * x)


def strut_moment(n: float, F: float, e: float) -> float:
    """Moment of n equal struts."""
    return n * F * e


def strut_friction(n: float, f: float, e: float) -> float:
    """Friction moment of n equal struts."""
    return n * f * abs(e)


def turned_outward(o: float, theta: float, s: float, u: float) -> float:
    """Place outward once turned."""
    return o * cos(theta) - s * u * sin(theta)


def turned_upward(o: float, theta: float, s: float, u: float) -> float:
    """Place upward once turned."""
    return s * o * sin(theta) + u * cos(theta)


def weight_moment(s: float, m: float, o: float, g_u: float, u: float, g_o: float) -> float:
    """Moment of a weight about the hinge line."""
    return s * m * (o * g_u - u * g_o)


def mass_now(m: float, mu: float) -> float:
    """Mass with its factor."""
    return m * mu


def share_outward(o_P: float, o_F: float, L: float) -> float:
    """Outward share of a strut's push on the door side."""
    return (o_P - o_F) / L


def share_upward(u_P: float, u_F: float, L: float) -> float:
    """Upward share of a strut's push on the door side."""
    return (u_P - u_F) / L


def share_along(w: float, L: float) -> float:
    """Share of a strut's push along the hinge line."""
    return w / L


def part_of_push(n: float, F: float, i: float) -> float:
    """One component of the push of n equal struts."""
    return n * F * i


def weight_part(m: float, g: float) -> float:
    """One component of a weight."""
    return m * g


def holding_force(M: float, r: float) -> float:
    """Force along the arc that holds the panel without friction, positive toward open."""
    return -M / r


def arc_outward(s: float, P: float, u: float, r: float) -> float:
    """Outward part of a force along the arc."""
    return -s * P * u / r


def arc_upward(s: float, P: float, o: float, r: float) -> float:
    """Upward part of a force along the arc."""
    return s * P * o / r


def arm_of_pull(n: float, e: float) -> float:
    """Lever arms of n equal struts together."""
    return n * e


def pull_inside(M: float, E: float) -> float:
    """Pull of the stop inside each strut that is fully extended."""
    return M / E


def less_pull(F: float, T: float) -> float:
    """Push of a strut on its mounts, less the pull inside it."""
    return F - T


def turning(q: float, X: float, o: float, Z: float) -> float:
    """What a force turns about the first hinge point, in a plane along the hinge line."""
    return q * X - o * Z


def turning_square(q: float, X: float) -> float:
    """The same for a force square to the hinge line."""
    return q * X


def at_second(K: float, d: float) -> float:
    """What the second hinge point gives against that turning."""
    return -K / d


def at_first(X: float, R: float) -> float:
    """What is left for the first hinge point."""
    return -X - R


def thrust(Z: float) -> float:
    """Force along the hinge line at the hinge point that takes it."""
    return -Z


def opening_force(M: float, M_R: float, r_H: float) -> float:
    """Hand force to open, square to the line from hinge line to handle."""
    return -(M - M_R) / r_H


def closing_force(M: float, M_R: float, r_C: float) -> float:
    """Hand force to shut, square to the line from hinge line to closing handle."""
    return (M + M_R) / r_C
