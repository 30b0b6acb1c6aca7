# Reference values of gauge-study.test.ts: the analysis of variance of R's own anova(), the variance components from its
# mean squares, and the intervals from the published formulas with qchisq() and qf().
# Run: Rscript gauge-study.R (R 4.2.2, base packages)
readings <- c(
  1498.2, 1498.9, 1500.1, 1499.4, 1497.6, 1498.3,  1501.5, 1500.8, 1500.2, 1501.1, 1499.6, 1500.5,
  1511.3, 1510.6, 1512.9, 1512.2, 1511.8, 1512.4,  1513.0, 1513.9, 1514.8, 1514.1, 1512.5, 1513.3,
  1487.4, 1486.8, 1488.9, 1489.5, 1487.0, 1487.7,  1489.9, 1490.4, 1488.8, 1489.6, 1491.2, 1490.5,
  1504.0, 1504.7, 1503.1, 1502.6, 1505.2, 1504.5,  1505.9, 1506.6, 1507.3, 1506.5, 1505.1, 1505.8)
d <- expand.grid(scan = 1:2, reload = 1:3, operator = 1:2, wafer = 1:4)
d[] <- lapply(d, factor)
d$y <- readings
S <- 2; L <- 3; O <- 2; W <- 4
t <- anova(lm(y ~ wafer * operator + wafer:operator:reload, d))
print(t, digits = 12)
ms <- setNames(t[["Mean Sq"]], c("w", "o", "wo", "l", "s"))
df <- setNames(t[["Df"]], names(ms))
comp <- c(s = ms[["s"]], l = (ms[["l"]] - ms[["s"]]) / S, wo = (ms[["wo"]] - ms[["l"]]) / (S * L),
  o = (ms[["o"]] - ms[["wo"]]) / (S * L * W), w = (ms[["w"]] - ms[["wo"]]) / (S * L * O))
print(sqrt(pmax(0, comp)), digits = 15)
chi <- function(v, n) sqrt(v * n / qchisq(c(.975, .025), n))
print(chi(ms[["s"]], df[["s"]]), digits = 15)
difference <- function(c1, a, c2, b) {
  G1 <- 1 - df[[a]] / qchisq(.975, df[[a]]); H1 <- df[[a]] / qchisq(.025, df[[a]]) - 1
  G2 <- 1 - df[[b]] / qchisq(.975, df[[b]]); H2 <- df[[b]] / qchisq(.025, df[[b]]) - 1
  Fu <- qf(.975, df[[a]], df[[b]]); Fl <- qf(.025, df[[a]], df[[b]])
  g <- ((Fu - 1)^2 - G1^2 * Fu^2 - H2^2) / Fu
  h <- ((1 - Fl)^2 - H1^2 * Fl^2 - G2^2) / Fl
  x <- c1 * ms[[a]]; y <- c2 * ms[[b]]
  sqrt(pmax(0, c(x - y - sqrt(G1^2 * x^2 + H2^2 * y^2 + g * x * y),
    x - y + sqrt(H1^2 * x^2 + G2^2 * y^2 + h * x * y))))
}
print(difference(1 / S, "l", 1 / S, "s"), digits = 15)
print(difference(1 / 6, "wo", 1 / 6, "l"), digits = 15)
print(difference(1 / 24, "o", 1 / 24, "wo"), digits = 15)
print(difference(1 / 12, "w", 1 / 12, "wo"), digits = 15)
k <- c(s = 1 - 1 / S, l = 1 / S - 1 / (S * L), wo = 1 / (S * L) - 1 / (S * L * W), o = 1 / (S * L * W))
v <- k * ms[names(k)]; n <- df[names(k)]
print(sqrt(sum(v)), digits = 15)
print(sqrt(c(sum(v) - sqrt(sum((1 - n / qchisq(.975, n))^2 * v^2)), sum(v) + sqrt(sum((n / qchisq(.025, n) - 1)^2 * v^2)))), digits = 15)
print(sum(v)^2 / sum(v^2 / n), digits = 15)

# Two gauges on the same wafers, in tests/unit/gauge/gauge-study.test.ts.
x <- c(1000, 1200, 1400, 1600, 1800); y <- c(1003.1, 1204.4, 1404.2, 1605.9, 1806.1)
print(t.test(y, x, paired = TRUE)$conf.int, digits = 12)
print(t.test(y, x, paired = TRUE)$p.value, digits = 12)
print(confint(lm(I(y - x) ~ I((x + y) / 2))), digits = 12)
