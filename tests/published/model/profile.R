# Profile intervals of profile.test.ts and the spin curves of spin-curve.test.ts (R 4.2.2; `Rscript profile.R`).
# confint of MASS interpolates the profile and agrees to about 4 digits; `ends` solves for its ends: the sum of squares,
# least in the other parameter, has risen by t² s².
options(digits = 15)
tight <- nls.control(maxiter = 500, tol = 1e-7, minFactor = 1e-12, warnOnly = TRUE)
suppressMessages(library(MASS))
ends <- function(fit, other, sum, df, name) {
  least <- deviance(fit); s2 <- least / df; t <- qt(.975, df)
  at <- coef(fit)[[name]]; se <- summary(fit)$parameters[name, 2]
  rise <- function(v) other(v, sum) - least - t^2 * s2
  c(uniroot(rise, c(at - 4 * t * se, at), tol = 1e-14)$root, uniroot(rise, c(at, at + 8 * t * se), tol = 1e-14)$root)
}
# The other parameter is linear in the first three: its least squares by hand.
linear <- function(f, y) sum((y - f * sum(f * y) / sum(f * f))^2)

d <- read.csv("../../data/puromycin.csv"); d <- d[d$state == "treated", ]
fit <- nls(rate ~ V * conc / (K + conc), d, start = list(V = 200, K = .1), control = tight)
print(confint(fit))
print(ends(fit, function(K, s) linear(d$conc / (K + d$conc), d$rate), 0, 10, "K"))
print(ends(fit, function(V, s) optimize(function(K) sum((d$rate - V * d$conc / (K + d$conc))^2), c(.01, .5), tol = 1e-12)$objective, 0, 10, "V"))

d <- read.csv("../../data/strd_danwood.csv")
fit <- nls(y ~ b1 * x^b2, d, start = list(b1 = .7, b2 = 4), control = tight)
print(confint(fit))
print(ends(fit, function(b, s) linear(d$x^b, d$y), 0, 4, "b2"))
print(ends(fit, function(a, s) optimize(function(b) sum((d$y - a * d$x^b)^2), c(3, 5), tol = 1e-12)$objective, 0, 4, "b1"))

d <- read.csv("../../data/strd_misra1a.csv")
fit <- nls(y ~ b1 * (1 - exp(-b2 * x)), d, start = list(b1 = 250, b2 = 5e-4), control = tight)
print(confint(fit))
print(ends(fit, function(b, s) linear(1 - exp(-b * d$x), d$y), 0, 12, "b2"))
print(ends(fit, function(a, s) optimize(function(b) sum((d$y - a * (1 - exp(-b * d$x)))^2), c(1e-4, 1e-3), tol = 1e-14)$objective, 0, 12, "b1"))

# The spin curve with an offset; K and the offset are linear, so that the exponent's profile is one of lm.
d <- read.csv("../../data/upenn_resist_spin_curve.csv")
fit <- nls(thickness_um ~ K * rpm^(-b) + c, d, start = list(K = 40, b = .6, c = .1), control = tight)
print(summary(fit)$parameters); print(c(deviance(fit), summary(fit)$sigma)); print(confint(fit))
held <- function(c) optimize(function(b) linear(d$rpm^-b, d$thickness_um - c), c(.2, 2), tol = 1e-13)$objective
print(ends(fit, function(c, s) held(c), 0, 9, "c"))
print(ends(fit, function(b, s) deviance(lm(thickness_um ~ I(rpm^-b), d)), 0, 9, "b"))
# Its mean at 3200 rpm by the delta method: estimate, standard error, interval of the mean, of one new run.
g <- function(p) p[1] * 3200^(-p[2]) + p[3]; p <- coef(fit)
J <- c(3200^(-p[2]), -p[1] * log(3200) * 3200^(-p[2]), 1)
se <- sqrt(t(J) %*% vcov(fit) %*% J); t <- qt(.975, 9); s <- summary(fit)$sigma
print(c(g(p), se, g(p) + c(-t, t) * c(se), g(p) + c(-t, t) * sqrt(c(se)^2 + s^2)))
# Two lots: the second 1.03 times the first but for an alternating 2 thousandths, exponents and offsets of their own.
e <- rbind(cbind(d, lot = "A"), data.frame(rpm = d$rpm, thickness_um = 1.03 * d$thickness_um + .002 * (-1)^(1:12), lot = "B"))
for (l in c("A", "B")) print(summary(nls(thickness_um ~ K * rpm^(-b) + c, e[e$lot == l, ], start = list(K = 40, b = .6, c = .1), control = tight))$parameters)
print(sqrt(sum(sapply(c("A", "B"), function(l) deviance(nls(thickness_um ~ K * rpm^(-b) + c, e[e$lot == l, ], start = list(K = 40, b = .6, c = .1), control = tight)))) / 18))
