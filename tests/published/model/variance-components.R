# Restricted maximum likelihood with dense matrices and Fisher scoring, in plain R: the expected values of the
# unbalanced case in variance-components.test.ts (R 4.2.2; `Rscript variance-components.R`).
options(digits = 15)
d <- read.csv("../../data/oxide_thickness.csv")
d <- d[-c(2, 3, 5, 9, 10, 11, 12, 20, 31, 32, 33, 34, 35, 36, 41, 55, 56, 60, 61, 62, 66, 71), ]
d$x <- (seq_len(nrow(d)) * 7) %% 11
y <- d$thickness
X <- cbind(1, d$x)
Z1 <- model.matrix(~ 0 + factor(lot), d)
Z2 <- model.matrix(~ 0 + interaction(lot, wafer, drop = TRUE), d)
G <- list(Z1 %*% t(Z1), Z2 %*% t(Z2), diag(nrow(d)))
theta <- c(100, 30, 10)
for (i in 1:60) {
  V <- Reduce(`+`, Map(`*`, theta, G)); W <- solve(V); A <- t(X) %*% W %*% X
  P <- W - W %*% X %*% solve(A) %*% t(X) %*% W
  slope <- sapply(G, function(g) 0.5 * (sum(P * g) - t(y) %*% P %*% g %*% P %*% y))
  info <- outer(1:3, 1:3, Vectorize(function(i, j) 0.5 * sum((P %*% G[[i]]) * t(P %*% G[[j]]))))
  theta <- theta - solve(info, slope)
}
Phi <- solve(A); b <- Phi %*% t(X) %*% W %*% y; r <- y - X %*% b; Py <- P %*% y; C <- solve(info)
print(theta); print(c(b)); print(sqrt(diag(Phi)))
print(-0.5 * (48 * log(2 * pi) + determinant(V)$modulus + determinant(A)$modulus + t(r) %*% W %*% r))
slopes <- function(x) sapply(G, function(g) t(x) %*% Phi %*% t(X) %*% W %*% g %*% W %*% X %*% Phi %*% x)
df <- function(v, s) 2 * v^2 / (t(s) %*% C %*% s)
print(c(df(Phi[1, 1], slopes(c(1, 0))), df(Phi[2, 2], slopes(c(0, 1)))))
# The fifth run: residual, leverage, deleted residual, Cook's distance with the variances held.
V5 <- solve(V[-5, -5]); b5 <- solve(t(X[-5, ]) %*% V5 %*% X[-5, ], t(X[-5, ]) %*% V5 %*% y[-5])
print(c(theta[3] * Py[5], 1 - theta[3] * P[5, 5], Py[5] / sqrt(P[5, 5]), t(b - b5) %*% A %*% (b - b5) / 2))
# At x = 4: estimate, error and df of the mean; error and df of a site on a new wafer of a new lot.
x <- c(1, 4); v <- c(t(x) %*% Phi %*% x); total <- v + sum(theta)
print(c(t(x) %*% b, sqrt(v), df(v, slopes(x)), sqrt(total), df(total, slopes(x) + 1)))
# The last lot and the fourth of the data at x = 4: its predicted mean, and the variance of its error.
Cy <- theta[1] * t(Z1)
for (lot in c(8, 4)) {
  m <- as.numeric(1:8 == lot); left <- x - t(X) %*% W %*% t(Cy) %*% m
  print(c(t(x) %*% b + m %*% Cy %*% Py,
    t(m) %*% (theta[1] * diag(8) - Cy %*% W %*% t(Cy)) %*% m + t(left) %*% Phi %*% left))
}
library(nlme)
l <- lme(thickness ~ x, d, random = ~ 1 | lot/wafer, control = lmeControl(msTol = 1e-14, tolerance = 1e-14))
print(predict(l, data.frame(x = 4, lot = c("8", "4")), level = 1))
