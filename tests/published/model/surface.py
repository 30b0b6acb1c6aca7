"""Expected optima of surface.test.ts, by scipy 1.17 (python3 surface.py): the log-likelihood of a Gaussian process,
its trend integrated out, maximized by L-BFGS-B from many starts and polished by Nelder-Mead."""
import csv
import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize

rows = list(csv.DictReader(open("../../data/trees.csv")))
X, y = (np.array([[float(r[c]) for c in cols] for r in rows]) for cols in (["Girth", "Height"], ["Volume"]))
y, (n, d) = y[:, 0], X.shape
squares = [(X[:, [k]] - X[:, [k]].T) ** 2 for k in range(d)]


def loss(t, kernel, H):
    r2 = sum(s / np.exp(2 * t[k]) for k, s in enumerate(squares))
    r = np.sqrt(5 * r2)
    R = np.exp(-r2 / 2) if kernel == "squaredExponential" else (1 + r + r * r / 3) * np.exp(-r)
    try:
        c = cho_factor(np.exp(t[d]) * R + np.exp(t[d + 1]) * np.eye(n), lower=True)
    except (ValueError, np.linalg.LinAlgError):
        return 1e10
    A = H.T @ cho_solve(c, H)
    e = y - H @ np.linalg.solve(A, H.T @ cho_solve(c, y))
    ld = 2 * np.log(np.diag(c[0])).sum() + np.linalg.slogdet(A)[1]
    return 0.5 * ((n - H.shape[1]) * np.log(2 * np.pi) + ld + e @ cho_solve(c, e))


for kernel in ("squaredExponential", "matern52"):
    for trend, H in (("none", np.ones((n, 0))), ("constant", np.ones((n, 1)))):
        random, best = np.random.default_rng(0), None
        for _ in range(8):
            start = np.log(np.ptp(X, axis=0)) + random.uniform(-2, 1.5, d)
            start = np.concatenate([start, np.log(y.var()) + [random.uniform(-2, 2), random.uniform(-8, -1)]])
            bounds = [(np.log(1e-2 * g), np.log(1e3 * g)) for g in np.ptp(X, axis=0)] + [(-30, 30)] * 2
            end = minimize(loss, start, (kernel, H), method="L-BFGS-B", bounds=bounds)
            end = minimize(loss, end.x, (kernel, H), method="Nelder-Mead", options=dict(xatol=1e-9, fatol=1e-12, maxiter=4000))
            best = end if best is None or end.fun < best.fun else best
        print(kernel, trend, -best.fun, np.exp(best.x))
