"""Expected values of surface-likelihoods.test.ts: `python3 surface-likelihoods.py > surface-likelihoods.json`, with
scikit-learn 1.2. Invented runs, the same as in the test; the likelihood maximized by GaussianProcessRegressor from 21
starts within the program's own limits; and kriging about a trend by its augmented equations (Cressie, Statistics for
Spatial Data, 1993, section 3.4), with the likelihood of the contrasts that the trend leaves free."""
import json
import warnings

import numpy as np
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, Matern, WhiteKernel

warnings.filterwarnings("ignore")

# name, seed, runs, factors, noise, scale of the response, scales of the factors, repeated, kernel
cases = [
    ("12 noisy runs, 1 factor", 11, 12, 1, 0.1, 1, [1], False, "matern52"),
    ("12 runs without noise, 1 factor", 12, 12, 1, 0, 1, [1], False, "matern52"),
    ("25 noisy runs, 2 factors", 13, 25, 2, 0.05, 1, [1, 1], False, "matern52"),
    ("25 noisy runs, 2 factors, small response", 14, 25, 2, 0.05, 1e-3, [1, 1], False, "squaredExponential"),
    ("40 noisy runs, 3 factors, large response", 15, 40, 3, 0.1, 1e6, [1, 1, 1], False, "matern52"),
    ("40 runs without noise, 3 factors", 16, 40, 3, 0, 1, [1, 1, 1], False, "matern52"),
    ("60 noisy runs, 4 factors", 17, 60, 4, 0.2, 1, [1, 1, 1, 1], False, "matern52"),
    ("60 noisy runs, 4 factors, squared exponential", 17, 60, 4, 0.2, 1, [1, 1, 1, 1], False, "squaredExponential"),
    ("30 runs, each twice, 2 factors", 18, 30, 2, 0.1, 1, [1, 1], True, "matern52"),
    ("5 runs, 1 factor", 19, 5, 1, 0.1, 1, [1], False, "matern52"),
    ("80 runs, mostly noise, 2 factors", 20, 80, 2, 3, 1, [1, 1], False, "squaredExponential"),
    ("30 noisy runs, factors of very different size", 21, 30, 2, 0.1, 1, [1e6, 1e-3], False, "matern52"),
    ("6 runs, 2 factors", 22, 6, 2, 0.1, 1, [1, 1], False, "squaredExponential"),
    ("20 runs without noise, 2 factors, squared exponential", 23, 20, 2, 0, 1, [1, 1], False, "squaredExponential"),
]


def runs_of(seed, runs, factors, noise, scale, scales, repeated):
    """Lehmer's generator with multiplier 16807: exact in double precision, so the test has the same runs."""
    state = seed

    def uniform():
        nonlocal state
        state = (16807 * state) % 2147483647
        return state / 2147483647

    settings = []
    for i in range(runs):
        settings.append(settings[-1] if repeated and i % 2 else [uniform() for _ in range(factors)])
    y = []
    for row in settings:
        value = 1.0
        for k, x in enumerate(row):
            value += np.sin((3 + k) * x) / (1 + k) + (x * row[k - 1] if k else 0)
        y.append(scale * (value + noise * (sum(uniform() for _ in range(12)) - 6)))
    return np.array(settings) * scales, np.array(y)


def covariance(kernel, A, B, lengths, variance):
    square = (((A[:, None, :] - B[None, :, :]) / lengths) ** 2).sum(axis=2)
    if kernel == "squaredExponential":
        return variance * np.exp(-square / 2)
    r = np.sqrt(5 * square)
    return variance * (1 + r + r * r / 3) * np.exp(-r)


def maximum(kernel, X, y):
    unit, ranges = (y @ y) / len(y), np.ptp(X, axis=0)
    bounds = [(1e-2 * g, 1e3 * g) for g in ranges]
    shape = Matern(ranges, bounds, nu=2.5) if kernel == "matern52" else RBF(ranges, bounds)
    whole = ConstantKernel(unit, (1e-6 * unit, 1e6 * unit)) * shape + WhiteKernel(0.1 * unit, (1e-10 * unit, 1e2 * unit))
    fit = GaussianProcessRegressor(whole, n_restarts_optimizer=20, random_state=1, alpha=0).fit(X, y)
    found = np.exp(fit.kernel_.theta)
    return {
        "logLikelihood": fit.log_marginal_likelihood_value_,
        "variance": found[0],
        "lengths": list(found[1:-1]),
        "noise": found[-1],
    }


def columns(X, trend):
    one = np.ones((len(X), 1))
    if trend == "none":
        return one[:, :0]
    if trend == "constant":
        return one
    if trend == "linear":
        return np.hstack([one, X])
    d = X.shape[1]
    crossed = [X[:, [i]] * X[:, [j]] for i in range(d) for j in range(i + 1, d)]
    return np.hstack([one, X, X * X, *crossed])


def kriging(kernel, trend, X, y, lengths, variance, noise, at):
    n, F = len(y), columns(X, trend)
    p = F.shape[1]
    V = covariance(kernel, X, X, lengths, variance) + noise * np.eye(n)
    augmented = np.block([[V, F], [F.T, np.zeros((p, p))]])
    k, f = covariance(kernel, X, at, lengths, variance), columns(at, trend)
    right = np.vstack([k, f.T])
    weights = np.linalg.solve(augmented, right)
    # Contrasts: an orthonormal basis of what the trend leaves free.
    K = np.linalg.svd(F, full_matrices=True)[0][:, p:] if p else np.eye(n)
    C, z = K.T @ V @ K, K.T @ y
    likelihood = -0.5 * ((n - p) * np.log(2 * np.pi) + np.linalg.slogdet(C)[1] + z @ np.linalg.solve(C, z))
    # In the program's form, with |X'V^-1 X|: that of the contrasts less half of ln |X'X|.
    if p:
        likelihood -= 0.5 * np.linalg.slogdet(F.T @ F)[1]
    return {
        "estimates": list(weights[:n].T @ y),
        "variances": list(variance - (weights * right).sum(axis=0)),
        "logLikelihood": likelihood,
    }


def universal():
    X, y = runs_of(31, 18, 2, 0.1, 1, [1, 1], False)
    at = np.array([[0.5, 0.5], [0.1, 0.9], [1.4, -0.2]])
    known = dict(lengths=[0.6, 0.9], variance=0.5, noise=0.02)
    found = []
    for kernel in ("matern52", "squaredExponential"):
        for trend in ("none", "constant", "linear", "quadratic"):
            found.append({"kernel": kernel, "trend": trend, **kriging(kernel, trend, X, y, at=at, **known)})
    return {"seed": 31, "runs": 18, "noise": 0.1, "at": at.tolist(), "known": known, "found": found}


def plain(case):
    name, seed, runs, factors, noise, scale, scales, repeated, kernel = case
    X, y = runs_of(seed, runs, factors, noise, scale, scales, repeated)
    about = dict(name=name, seed=seed, runs=runs, noise=noise, scale=scale, scales=scales, repeated=repeated)
    return {**about, "kernel": kernel, "last": y[-1], "found": maximum(kernel, X, y)}


print(json.dumps({"maxima": [plain(case) for case in cases], "kriging": universal()}, indent=1))
