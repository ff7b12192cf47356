"""Similarity solution of EN 15026:2007 annex A, made with SciPy.

A semi-infinite homogeneous body at 20 degC, 50 % RH; its face is put to 30 degC,
95 % RH. All profiles depend on eta = x/sqrt(t) alone. With G = g*sqrt(t) and
Q = q*sqrt(t) (q = conduction + latent heat) the balances become
    G' = eta/2 * w'          Q' = eta/2 * (rho c + c_w w) T' - c_w G T'
and T', s' follow from Q, G. Shooting on (G, Q) at the face; Radau in between.
The term c_w G T' is the sensible heat of moving water; `plain` drops it, as the
standard does.

Run:  /usr/bin/python3 similarity.py > en15026_similarity.csv   (SciPy 1.10)
"""
import sys
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import root

RV, L, CW, RHOC = 461.5, 2.5e6, 4186.0, 1.824e6
RHORV = 1000 * RV


def psat(t):  # ISO 13788, over water
    return 610.5 * np.exp(17.269 * t / (237.3 + t))


def props(t, s):
    a = (8e-8 * s) ** 1.6
    w = 146 / (1 + a) ** 0.375
    c = -146 * 0.375 * (1 + a) ** -1.375 * 1.6 * a / s
    x = w - 73
    k = np.exp(-39.2619 + 0.0704 * x - 1.7420e-4 * x**2 - 2.7953e-6 * x**3 - 1.1566e-7 * x**4 + 2.5969e-9 * x**5)
    r = 1 - w / 146
    tk = t + 273.15
    dl = 1 / (RV * tk) * 26.1e-6 / 200 * r / (0.503 * r * r + 0.497)
    p = psat(t) * np.exp(-s / (RHORV * tk))
    pt = p * (17.269 * 237.3 / (237.3 + t) ** 2 + s / (RHORV * tk**2))
    ps = -p / (RHORV * tk)
    return w, c, k, dl, pt, ps, 1.5 + 0.0158 * w


def rhs(eta, y, conv):
    t, ls, q, g = y
    t = min(max(t, 0.0), 50.0)  # a miss must stay finite
    s = np.exp(min(max(ls, 10.0), 21.0))
    w, c, k, dl, pt, ps, lam = props(t, s)
    # g = -dl (pt T' + ps s') + k s',  q = -lam T' - L dl (pt T' + ps s')
    a = np.array([[-dl * pt, -dl * ps + k], [-lam - L * dl * pt, -L * dl * ps]])
    t1, s1 = np.linalg.solve(a, [g, q])
    g1 = eta / 2 * c * s1
    q1 = eta / 2 * (RHOC + CW * w) * t1 - conv * CW * g * t1
    return [t1, s1 / s, q1, g1]


def suction(phi, t):
    return -RHORV * (t + 273.15) * np.log(phi)


S0, S1 = suction(0.95, 30.0), suction(0.5, 20.0)
END = 6e-3  # m/sqrt(s): 4 thermal lengths


def shoot(z, conv, end, dense=None):
    return solve_ivp(rhs, (0, end), [30.0, np.log(S0), z[0] * 1e4, z[1] * 1e-4], method="Radau",
                     args=(conv,), rtol=1e-8, atol=[1e-8, 1e-8, 1e-6, 1e-13], t_eval=dense)


def solve(conv):
    def miss(z, end):
        r = shoot(z, conv, end)
        if not r.success:
            return [1e3, 1e3]
        return [(r.y[0, -1] - 20.0) / 10, r.y[1, -1] - np.log(S1)]
    z = np.array([1.18, 2.885])  # start values: heat and water uptake over 2 sqrt(t), any rough solution
    r = root(miss, z, args=(END,), method="hybr", tol=1e-10)
    print("# %s %s" % (r.x, r.message), file=sys.stderr)
    return r.x


if __name__ == "__main__":
    conv = 0.0 if "plain" in sys.argv else 1.0
    z = solve(conv)
    eta = np.unique(np.concatenate([np.linspace(0, 3e-5, 121), np.geomspace(3e-5, END, 120)]))
    r = shoot(z, conv, END, eta)
    print("eta_m_per_sqrt_s,theta_C,water_kg_m3,phi")
    for e, t, ls in zip(r.t, r.y[0], r.y[1]):
        s = np.exp(ls)
        print("%.9g,%.6f,%.6f,%.7f" % (e, t, props(t, s)[0], np.exp(-s / (RHORV * (t + 273.15)))))
