# Expected values of robust.test.ts (R 4.2.2, MASS 7.3; `Rscript robust.R`). rlm's own MM start is a sample of
# lqs that is not followed to its minimum; here it is, from the best of all subsets.
options(digits = 15)
library(MASS)
huber <- function(model, data) {
  fit <- rlm(model, data, acc = 1e-14, maxit = 5000)
  print(summary(fit)$coefficients); print(fit$s); print(fit$w)
}
loss <- function(u) ifelse(abs(u) >= 1, 1, u^2 * (3 - 3 * u^2 + u^4))
bisquare <- function(model, data) {
  X <- model.matrix(model, data); y <- model.response(model.frame(model, data)); n <- nrow(X); p <- ncol(X)
  scale <- function(r) uniroot(function(s) sum(loss(r / (1.548 * s))) / (n - p) - 0.5, c(1e-3, 1e3), tol = 1e-15)$root
  settle <- function(b, s, c) {
    for (i in 1:10000) {
      r <- c(y - X %*% b); u <- r / (c * (if (is.null(s)) scale(r) else s))
      next_b <- lm.wfit(X, y, ifelse(abs(u) >= 1, 0, (1 - u^2)^2))$coefficients
      if (max(abs(next_b - b)) < 1e-14) break
      b <- next_b
    }
    b
  }
  b <- settle(coef(lqs(model, data, method = "S", nsamp = "exact")), NULL, 1.548)
  s <- scale(c(y - X %*% b)); b <- settle(b, s, 4.685)
  u <- c(y - X %*% b) / s; w <- psi.bisquare(u); slope <- psi.bisquare(u, deriv = 1)
  sd <- sqrt(sum((u * s * w)^2) / (n - p)) * (1 + p * var(slope) / (n * mean(slope)^2)) / mean(slope)
  print(b); print(sd * sqrt(diag(solve(crossprod(X))))); print(s); print(w)
}
huber(stack.loss ~ ., stackloss); bisquare(stack.loss ~ ., stackloss)
phones <- as.data.frame(phones); huber(calls ~ year, phones); bisquare(calls ~ year, phones)
huber(Gas ~ Temp * Insul, whiteside); bisquare(Gas ~ Temp * Insul, whiteside)
huber(dist ~ speed, cars); bisquare(dist ~ speed, cars)
# 30 % gross outliers on a plane; no generator is needed to repeat it.
i <- 0:39
gross <- data.frame(a = (7 * i) %% 40 / 10, b = (11 * i) %% 40 / 10)
gross$y <- 5 + 2 * gross$a - 3 * gross$b + ((17 * i) %% 40 - 19.5) / 100 + ifelse(i %% 10 < 3, 50 + i, 0)
huber(y ~ a + b, gross); bisquare(y ~ a + b, gross)
