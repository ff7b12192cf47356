"""A retrofitted wall through an invented year, integrated with SciPy.

The same semi-discrete equations as the engine (finite volumes on the grid of
wallyear_grid.csv, written by the Go test TestWriteWallYearGrid), written again
from the formulas, without tables and without the engine's time stepping:
    M(x) dx/dt = F(x, t),  x = (theta, u) per cell,  u = asinh(s / 1e5 Pa).
The rain is constant within an hour, so the integration restarts where it jumps.

Run:  /usr/bin/python3 wallyear.py reference > wallyear_reference.csv  (LSODA, rtol 1e-5)
      /usr/bin/python3 wallyear.py BDF 1e-3      (speed and error at a tolerance)
      (LSODA at 1e-3 and 1e-2 breaks down: its trial states overflow)
SciPy 1.10, NumPy 1.24.
"""
import math
import os
import sys
import tempfile
import time
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.sparse import diags

HERE = os.path.dirname(os.path.abspath(__file__))
SAVED = os.path.join(tempfile.gettempdir(), "wallyear_reference.npy")  # all cells, for the error figures
HOURS = 8760
L, LF, CW, RV = 2.5e6, 3.34e5, 4186.0, 461.5
RHORV, TREF, S0 = 1000 * RV, 293.15, 1e5
DAIR = 2e-10


# ---- materials: rho, c, lambda, b, w80, wf, Aw, mu dry, mu wet -------------
MAT = [(1800, 850, 0.6, 8, 9, 250, 0.2, 16, 10),      # brick
       (60, 1030, 0.038, 0.5, 0.5, 60, 0, 1, 1),      # mineral wool
       (900, 1000, 0.25, 8, 6, 400, 0.29, 10, 4)]     # gypsum board
CURVE = ([0.5, 0.6, 0.9], [5.0, 4.0, 0.3])            # retarder under the gypsum
SHARE, DEPTH = 0.01, 0.05

g = np.loadtxt(os.path.join(HERE, "wallyear_grid.csv"), delimiter=",", skiprows=1)
DX, LAY = g[:, 1], g[:, 2].astype(int)
N = len(DX)
X = np.cumsum(DX) - DX / 2
P = np.array(MAT, float)[LAY]
RHO, C, LAM, BL, W80, WF, AW, MUD, MUW = P.T
B = 0.8 * (WF - W80) / (0.8 * WF - W80)
SRC = int(np.argmax(X + DX / 2 > DEPTH))
IFC = [i for i in range(1, N) if LAY[i] != LAY[i - 1]]  # faces between layers
HL, HR = DX[:-1] / 2, DX[1:] / 2
RDX = 1 / (HL + HR)
WL, WR = HR * RDX, HL * RDX
SAME = LAY[1:] == LAY[:-1]


D1 = 3.8 * (AW / WF) ** 2


def psat(t):
    return 610.5 * np.exp(np.where(t >= 0, 17.269 * t / (237.3 + t), 21.875 * t / (265.5 + t)))


def water(s):
    """w(s) and dw/ds; straight beyond zero suction."""
    sp = np.maximum(s, 0)
    phi = np.exp(-sp / (RHORV * TREF))
    d = B - phi
    w = WF * (B - 1) * phi / d
    c = -WF * (B - 1) * B / d**2 * phi / (RHORV * TREF)
    s1 = 1e3
    p1 = np.exp(-s1 / (RHORV * TREF))
    c1 = -WF * (B - 1) * B / (B - p1) ** 2 * p1 / (RHORV * TREF)
    return np.where(s > 0, w, WF + c1 * s), np.where(s > 0, c, c1)


DMU = 2e-7 * 283.15**0.81 / 101325


def potential(w, s, wet):
    f = D1 * (1.0 if wet else 0.1)
    psi = f * WF / np.log(1000) * 1000 ** (np.minimum(w, WF) / WF - 1)
    _, c1 = water(np.full(N, 1.0))
    return psi + np.where(s < 0, f * -c1 * -s, 0)


# ---- faces: vapour and liquid side by side in the half cells ---------------
def cell_consts(i):
    p1 = math.exp(-1e3 / (RHORV * TREF))
    return (WF[i], B[i], -WF[i] * (B[i] - 1) * B[i] / (B[i] - p1) ** 2 * p1 / (RHORV * TREF), D1[i])


def psi_face(k, u, wet):
    """Kirchhoff potential of material k at u (closed form)."""
    wf, b, c1, d1 = k
    if d1 == 0:
        return 0.0
    f = d1 * (1.0 if wet else 0.1)
    s = S0 * math.sinh(u)
    if s <= 0:
        return f * wf / math.log(1000) + f * c1 * s
    phi = math.exp(-s / (RHORV * TREF))
    w = wf * (b - 1) * phi / (b - phi)
    return f * wf / math.log(1000) * 1000 ** (w / wf - 1)


def ps1(t):
    return 610.5 * math.exp(17.269 * t / (237.3 + t) if t >= 0 else 21.875 * t / (265.5 + t))


def rh_face(t, u):
    return math.exp(-S0 * math.sinh(u) / (RHORV * (t + 273.15)))


def edge_face(te_eq, he, b, pe, rain, th, p, lam, dl, psi, liq, k, h, wet):
    """Vapour and liquid into the edge cell; the face sheds what it cannot take."""
    ts = th + (te_eq - th) * (h / lam) / (h / lam + 1 / he)
    ps = ps1(ts)

    def into(u):  # half cell takes
        return (dl * (ps * rh_face(ts, u) - p) + liq * (psi_face(k, u, wet) - psi)) / h

    def bal(u):
        return b * (pe - ps * rh_face(ts, u)) + rain - into(u)
    if bal(0.0) >= 0:
        vap = b * (pe - ps)
        return vap, into(0.0) - vap
    u = brentq(bal, 0.0, 10.6, xtol=1e-13, rtol=1e-14)
    return b * (pe - ps * rh_face(ts, u)), rain


def touching_face(ta, tb, la, lb, ha, hb, pa, pb, da, db, psa, la_liq, ka, wet):
    """Flow over brick|wool: wool has no liquid, so what crosses is vapour."""
    tf = ta - (ta - tb) * (ha / la) / (ha / la + hb / lb)
    ps = ps1(tf)

    def bal(u):
        pf = ps * rh_face(tf, u)
        return (da * (pa - pf) + la_liq * (psa - psi_face(ka, u, wet))) / ha + db * (pb - pf) / hb
    u = brentq(bal, -5.3, 10.6, xtol=1e-13, rtol=1e-14)
    return db * (ps * rh_face(tf, u) - pb) / hb


def gap_face(ta, tb, la, lb, ha, hb, pa, pb, da, db, psb, lb_liq, kb, wet):
    """Vapour over wool|retarder|gypsum."""
    tf = ta - (ta - tb) * (ha / la) / (ha / la + hb / lb)
    ps = ps1(tf)

    def state(u):
        pr = ps * rh_face(tf, u)
        c = (db * (pr - pb) + lb_liq * (psi_face(kb, u, wet) - psb)) / hb
        pl = min(pa - c * ha / da, ps)
        return c, pl, pr

    def bal(u):
        c, pl, pr = state(u)
        rh = 0.5 * (pl + pr) / ps
        sd = float(np.interp(rh, *CURVE)) if rh > 0.5 else CURVE[1][0]
        return c - DAIR / sd * (pl - pr)
    if bal(0.0) <= 0:  # the far face is full; what the retarder brings condenses there
        c, pl, pr = state(0.0)
        rh = 0.5 * (pl + pr) / ps
        return DAIR / float(np.interp(rh, *CURVE)) * (pl - pr)
    u = brentq(bal, 0.0, 10.6, xtol=1e-13, rtol=1e-14)
    return state(u)[0]


KC = [cell_consts(i) for i in range(N)]


def rhs(t, y, force, wet):
    th, u = y[0::2], y[1::2]
    s = S0 * np.sinh(u)
    dsdu = S0 * np.cosh(u)
    w, dwds = water(s)
    wu = dwds * dsdu
    tk = th + 273.15
    p = psat(th) * np.exp(-s / (RHORV * tk))
    f = np.clip((np.exp(-np.maximum(s, 0) / (RHORV * TREF)) - 0.25) / (0.715 - 0.25), 0, 1)
    dl = DMU * ((1 - f) / MUD + f / MUW) * (tk / 283.15) ** 0.81
    lam = LAM * (1 + BL * w / RHO)
    psi = potential(w, s, wet)
    # freezing
    sf = 1000 * LF / 273.15 * np.maximum(-th, 0)
    wf_, cf = water(np.maximum(sf, 1e3))
    ice = np.where((th < 0) & (w > wf_), w - wf_, 0)
    frozen = ice > 0
    liq = np.where(frozen, wf_ / w, 1.0)
    ht = RHO * C + CW * w + np.where(frozen, LF * -cf * 1000 * LF / 273.15, 0)
    hu = (CW * th - np.where(frozen, LF, 0)) * wu
    # faces
    dT, dp = th[:-1] - th[1:], p[:-1] - p[1:]
    k = np.where(SAME, (WL * lam[:-1] + WR * lam[1:]) * RDX, 1 / (HL / lam[:-1] + HR / lam[1:]))
    gv = np.where(SAME, (WL * dl[:-1] + WR * dl[1:]) * RDX, 0) * dp
    i, j = IFC
    gv[i - 1] = touching_face(th[i - 1], th[i], lam[i - 1], lam[i], HL[i - 1], HR[i - 1], p[i - 1], p[i], dl[i - 1], dl[i],
                              psi[i - 1], liq[i - 1], KC[i - 1], wet)
    gv[j - 1] = gap_face(th[j - 1], th[j], lam[j - 1], lam[j], HL[j - 1], HR[j - 1], p[j - 1], p[j], dl[j - 1], dl[j],
                         psi[j], liq[j], KC[j], wet)
    gl = np.where(SAME, liq[:-1] * liq[1:] * (psi[:-1] - psi[1:]) * RDX, 0)
    gg = gv + gl
    q = k * dT + L * gv + CW * 0.5 * (th[:-1] + th[1:]) * gg
    te, pe, he, be, gain, rain, ti, pi = force(t)
    FW, FH = np.zeros(N), np.zeros(N)
    FW[:-1] -= gg
    FW[1:] += gg
    FH[:-1] -= q
    FH[1:] += q
    h0, h1 = DX[0] / 2, DX[-1] / 2
    g0, r = edge_face(te + gain / he, he, be, pe, rain * (1 - SHARE), th[0], p[0], lam[0], dl[0], psi[0], liq[0], KC[0], h0, wet)
    q0 = (te + gain / he - th[0]) / (1 / he + h0 / lam[0]) + (L + CW * th[0]) * g0 + CW * max(te, 0) * r
    if rain > 0:
        room = min(max((WF[SRC] - w[SRC]) / (0.02 * WF[SRC]), 0), 1)
        FW[SRC] += SHARE * rain * room
        FH[SRC] += CW * max(te, 0) * SHARE * rain * room
    g1, r1 = edge_face(ti, 8.0, 2.45e-8, pi, 0.0, th[-1], p[-1], lam[-1], dl[-1], psi[-1], liq[-1], KC[-1], h1, wet)
    q1 = (ti - th[-1]) / (1 / 8 + h1 / lam[-1]) + (L + CW * th[-1]) * g1 + CW * max(ti, 0) * r1
    g0 += r
    g1 += r1
    FW[0] += g0
    FH[0] += q0
    FW[-1] += g1
    FH[-1] += q1
    du = FW / (wu * DX)
    out = np.empty_like(y)
    out[1::2] = du
    out[0::2] = (FH / DX - hu * du) / ht
    return out


# ---- weather, the closed forms of the Go test's fakeYear -------------------
def year():
    t = np.arange(HOURS) + 0.5
    tau = 2 * np.pi
    season = -np.cos(tau * (t - 500) / 8760)
    day = -np.cos(tau * (t - 3) / 24)
    slow = np.sin(tau * t / 97) + np.sin(tau * t / 231 + 1)
    th = 8 + 9 * season + (2.5 + 1.5 * season) * day + 2 * slow
    rh = 0.78 - 0.06 * season - 0.08 * day + 0.03 * slow
    wind = 4 + 1.5 * np.sin(tau * t / 61)
    frm = 225 + 60 * np.sin(tau * t / 143)
    x = np.sin(tau * t / 71) + np.sin(tau * t / 173 + 0.5) + 0.8 * np.sin(tau * t / 13)
    rain = np.where(x > 1.3, 1.5 * (x - 1.3), 0)
    dif = np.maximum(0, 60 + 60 * season + (90 + 60 * season) * day)
    gain = 0.6 * (0.5 * dif + 0.5 * 0.2 * dif)
    c = np.cos(np.radians(frm - 225))
    wdr = np.where((rain > 0) & (c > 0) & (th > 0), 0.4 * 2 / 9 * wind * rain ** (8 / 9) * c / 3600, 0)
    ti = 20 + 0.15 * np.maximum(0, th - 10)
    rhi = np.clip(0.4 + 0.01 * th, 0.3, 0.6)
    he = 4 + 4 * wind
    return dict(te=th, pe=rh * psat(th), he=he, be=7e-9 * he, gain=gain, ti=ti, pi=rhi * psat(ti)), wdr


def integrate(method, rtol, atol, hours=HOURS):
    tab, wdr = year()
    rows = np.array([tab[k] for k in ("te", "pe", "he", "be", "gain", "ti", "pi")])
    ext = np.concatenate([rows[:, -1:], rows, rows[:, :1]], axis=1)
    x = np.empty(2 * N)
    x[0::2] = 10
    x[1::2] = np.arcsinh(-RHORV * 283.15 * np.log(0.8) / S0)
    out = np.empty((hours + 1, 2 * N))
    out[0] = x
    spars = diags([1] * 7, range(-3, 4), shape=(2 * N, 2 * N)).tocsc()
    nfev = 0
    a = 0
    while a < hours:
        b = a + 1
        while b < hours and wdr[b] == wdr[a]:
            b += 1
        rain = wdr[a]

        def force(t):
            h = t / 3600 + 0.5
            k = int(h)
            f = h - k
            v = ext[:, k] * (1 - f) + ext[:, min(k + 1, HOURS + 1)] * f
            return v[0], v[1], v[2], v[3], v[4], rain, v[5], v[6]
        kw = {"jac_sparsity": spars} if method in ("BDF", "Radau") else {"lband": 3, "uband": 3}
        r = solve_ivp(rhs, (a * 3600.0, b * 3600.0), x, method=method, args=(force, rain > 0), rtol=rtol, atol=atol,
                      t_eval=3600.0 * np.arange(a + 1, b + 1), max_step=3600.0, **kw)
        if not r.success:
            raise RuntimeError(r.message)
        out[a + 1:b + 1] = r.y.T
        nfev += r.nfev
        x = r.y[:, -1]
        a = b
    return out, nfev


DEPTHS = [0.0025, 0.05, 0.2, 0.395, 0.44]


def observables(out):
    th, u = out[:, 0::2], out[:, 1::2]
    s = S0 * np.sinh(u)
    rh = np.exp(-s / (RHORV * (th + 273.15)))
    w = np.array([water(r)[0] for r in s])
    return th, rh, w


if __name__ == "__main__":
    mode = sys.argv[1]
    if mode == "reference":
        out, nfev = integrate("LSODA", 1e-5, 1e-5)
        th, rh, w = observables(out)
        cells = [int(np.argmax(X + DX / 2 > d)) for d in DEPTHS]
        np.save(SAVED, out)
        print("hour," + ",".join("theta%d,rh%d,w%d" % (c, c, c) for c in cells) + ",water_brick_kg_m2")
        for k in list(range(12, HOURS + 1, 12)):
            v = []
            for c in cells:
                v += ["%.4f" % th[k, c], "%.6f" % rh[k, c], "%.4f" % w[k, c]]
            print("%d,%s,%.5f" % (k, ",".join(v), np.sum((w[k] * DX)[LAY == 0])))
    else:
        rtol = float(sys.argv[2])
        hours = int(sys.argv[3]) if len(sys.argv) > 3 else HOURS
        t0 = time.process_time()
        out, nfev = integrate(mode, rtol, rtol, hours)
        cpu = time.process_time() - t0
        ref = np.load(SAVED)[:hours + 1]
        a, b = observables(out), observables(ref)
        print("%s rtol=atol=%g: %d h, %.1f s processor time, %d evaluations; max error theta %.3f K, RH %.4f, w %.2f kg/m3; rms %.4f K, %.5f, %.3f" % (
            (mode, rtol, hours, cpu, nfev) + tuple(np.abs(x - y).max() for x, y in zip(a, b)) +
            tuple(np.sqrt(((x - y) ** 2).mean()) for x, y in zip(a, b))))
