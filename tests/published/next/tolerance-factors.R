# Two-sided tolerance factors: the share p lies within the mean +- k s with confidence g, the mean varying as one of n
# values and s having f degrees of freedom. The confidence is integrated over where the mean lies.
reach <- function(z, n, p) sqrt(qchisq(p, 1, ncp = z^2 / n))
confidence <- function(k, n, f, p)
  2 * integrate(function(z) dnorm(z) * pchisq(f * sapply(z, reach, n, p)^2 / k^2, f, lower.tail = FALSE), 0, 9,
                rel.tol = 1e-10, subdivisions = 2000)$value
tolerance <- function(n, f, p = 0.95, g = 0.95)
  uniroot(function(k) confidence(k, n, f, p) - g, c(1, 500), tol = 1e-9)$root

for (case in list(c(2, 1), c(3, 2), c(5, 4), c(10, 9), c(20, 19), c(30, 29), c(3, 12), c(4.5, 2.7), c(6, 7.3), c(3, 1.4)))
  cat(case, format(tolerance(case[1], case[2]), digits = 10), "\n")
cat(43, 42, format(tolerance(43, 42, 0.9, 0.99), digits = 10), "\n")
