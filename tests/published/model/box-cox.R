# Expected values with weights in box-cox.test.ts, and generalized variance inflation in variance-inflation.test.ts
# (R 4.2.2, base packages; `Rscript box-cox.R` in this folder).
options(digits = 15)
t <- read.csv("../../data/trees.csv")
X <- cbind(1, log(t$Height), log(t$Girth)); y <- t$Volume; n <- nrow(t); w <- t$Height; g <- exp(mean(log(y)))
profile <- function(lambda) {
  z <- if (abs(lambda) < 1e-12) g * log(y) else (y^lambda - 1) / (lambda * g^(lambda - 1))
  -n / 2 * log(sum(w * lm.wfit(X, z, w)$residuals^2) / n)
}
best <- optimize(profile, c(-1, 1), maximum = TRUE, tol = 1e-10)
drop <- function(l) profile(l) - best$objective + qchisq(0.95, 1) / 2
print(c(best$maximum, best$objective,
  uniroot(drop, c(-2, best$maximum), tol = 1e-14)$root, uniroot(drop, c(best$maximum, 2), tol = 1e-14)$root))

# Fox & Monette: det(R11) det(R22) / det(R), R the correlations of the columns of the model, to the power 1 / columns.
inflation <- function(model, data, w = rep(1, nrow(data))) {
  X <- model.matrix(model, data); term <- attr(X, "assign"); keep <- term > 0
  R <- cov.wt(X[, keep, drop = FALSE], w / sum(w), cor = TRUE)$cor; term <- term[keep]
  sapply(unique(term), function(k) {
    own <- term == k
    (det(R[own, own, drop = FALSE]) * det(R[!own, !own, drop = FALSE]) / det(R))^(1 / sum(own))
  })
}
o <- read.csv("../../data/oats_split_plot.csv", stringsAsFactors = TRUE)[-c(1, 2, 7, 20, 33, 41, 58), ]
o$variety <- factor(o$variety, unique(o$variety)); o$block <- factor(o$block, unique(o$block))
print(inflation(~ block + variety + nitro, o))
print(inflation(~ nitro * variety, o))
print(inflation(~ block + nitro, o, o$yield))
