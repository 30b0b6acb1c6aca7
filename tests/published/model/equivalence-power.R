# Chances of two one-sided tests, for equivalence.test.ts: Rscript equivalence-power.R
power <- function(n, sd, margin, ratio = 1, df = 2 * n - 2) {
  se <- sd * sqrt(2 / n); t <- qt(0.95, df); low <- log(1 - margin); high <- log(1 + margin); d <- log(ratio)
  f <- function(q) { s <- sqrt(q / df)
    pmax(0, pnorm((high - d) / se - t * s) - pnorm((low - d) / se + t * s)) * dchisq(q, df) }
  integrate(f, 0, Inf, rel.tol = 1e-9, subdivisions = 2000)$value
}
for (a in list(c(3, .0037, .01, 1), c(4, .0037, .01, 1), c(5, .0037, .01, 1), c(8, .0037, .01, 1), c(4, .0037, .01, 1.005), c(6, .0045, .02, 1.01)))
  print(power(a[1], a[2], a[3], a[4]), digits = 10)
print(p.adjust(c(.01, .04, .03, .005), "holm"))
