"""Times scipy's curve_fit on the fit of BenchmarkOneFit; prints microseconds a fit and the sum of squares."""
import time
import numpy as np
from scipy.optimize import curve_fit

d = np.array([10, 20, 30, 40, 50, 60]) / 60
y = np.log(np.array([27.1, 13.9, 5.2, 2.6, 1.9, 1.5]))


def f(u, c, a, e, h):
    rho = np.exp(-2.7 * np.exp(0.6 * a))
    return c + np.log(rho + (1 - rho) / (1 + (u / (0.35 * np.exp(0.6 * e))) ** (3 * np.exp(0.6 * h))))


n = 300
t = time.perf_counter()
for _ in range(n):
    p, _ = curve_fit(f, d, y, p0=[3.5, 0, 0, 0])
t = time.perf_counter() - t
print(1e6 * t / n, float(((f(d, *p) - y) ** 2).sum()))
