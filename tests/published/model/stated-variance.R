# The same dense restricted likelihood as variance-components.R, with what is stated of a variance added as the
# likelihood of one more experiment: expected values of stated-variance.test.ts (R 4.2.2; `Rscript stated-variance.R`).
options(digits = 15)
d <- read.csv("../../data/oxide_thickness.csv")
d <- d[-c(2, 3, 5, 9, 10, 11, 12, 20, 31, 32, 33, 34, 35, 36, 41, 55, 56, 60, 61, 62, 66, 71), ]
d$x <- (seq_len(nrow(d)) * 7) %% 11
y <- d$thickness
X <- cbind(1, d$x)
Z1 <- model.matrix(~ 0 + factor(lot), d)
Z2 <- model.matrix(~ 0 + interaction(lot, wafer, drop = TRUE), d)
G <- list(Z1 %*% t(Z1), Z2 %*% t(Z2), diag(nrow(d)))

estimate <- function(s2, nu) { # nu[i] = 0: nothing stated of variance i
  theta <- c(100, 30, 10)
  for (i in 1:400) {
    V <- Reduce(`+`, Map(`*`, theta, G)); W <- solve(V); A <- t(X) %*% W %*% X
    P <- W - W %*% X %*% solve(A) %*% t(X) %*% W
    slope <- sapply(G, function(g) 0.5 * (sum(P * g) - t(y) %*% P %*% g %*% P %*% y)) +
      nu / 2 * (1 / theta - s2 / theta^2)
    info <- outer(1:3, 1:3, Vectorize(function(i, j) 0.5 * sum((P %*% G[[i]]) * t(P %*% G[[j]])))) +
      diag(nu / 2 / theta^2)
    theta <- pmax(theta - solve(info, slope), theta / 10)
  }
  Phi <- solve(A); b <- Phi %*% t(X) %*% W %*% y; r <- y - X %*% b
  slopes <- function(x) sapply(G, function(g) t(x) %*% Phi %*% t(X) %*% W %*% g %*% W %*% X %*% Phi %*% x)
  df <- function(v, s) 2 * v^2 / (t(s) %*% solve(info) %*% s)
  print(theta); print(c(b)); print(sqrt(diag(Phi)))
  print(c(df(Phi[1, 1], slopes(c(1, 0))), df(Phi[2, 2], slopes(c(0, 1)))))
  print(-0.5 * (48 * log(2 * pi) + determinant(V)$modulus + determinant(A)$modulus + t(r) %*% W %*% r))
  x <- c(1, 4); v <- c(t(x) %*% Phi %*% x)
  run <- df(v + sum(theta), slopes(x) + 1)
  print(c(v + sum(theta), run, qt(0.975, run)))
}
cat("lot 25 on 20\n"); estimate(c(25, 1, 1), c(20, 0, 0))
cat("lot 25 on 20, wafer 9 on 4\n"); estimate(c(25, 9, 1), c(20, 4, 0))
