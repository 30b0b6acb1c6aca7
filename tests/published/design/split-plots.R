# Standard errors by generalized least squares with dense matrices, V = ratio·ZZ' + I, blocks as fixed columns;
# Satterthwaite's degrees of freedom from the expected restricted information, and the smallest effect found
# with power 0.8: the expected values of split-plots.test.ts (R 4.2.2; `Rscript split-plots.R`). The runs are
# those of tests/data/split_plots_in_blocks.csv, the results stand in split_plot_errors.csv; levels of the lot in sum-to-zero columns.
options(digits = 12)
all <- read.csv("../../data/split_plots_in_blocks.csv")
trace <- function(A) sum(diag(A))
for (case in unique(all$case)) for (ratio in c(1, 0.25)) {
  d <- all[all$case == case, ]
  lots <- unique(sort(d$lot))
  L <- sapply(lots[-1], function(l) (d$lot == l) - (d$lot == lots[1]))
  colnames(L) <- paste0("lot[", lots[-1], "]")
  named <- function(M, prefix) { colnames(M) <- paste0(prefix, colnames(L)); M }
  terms <- cbind(bake = d$bake, time = d$time, L, "bake.time" = d$bake * d$time, named(d$bake * L, "bake."),
                 named(d$time * L, "time."), "bake^2" = d$bake^2)
  B <- if (length(unique(d$block)) > 1) model.matrix(~ factor(block), d) else matrix(1, nrow(d), 1)
  X <- cbind(B, terms)
  Z <- model.matrix(~ 0 + factor(visit), d)
  ZZ <- Z %*% t(Z)
  V <- diag(nrow(d)) + ratio * ZZ
  W <- solve(V)
  C <- solve(t(X) %*% W %*% X)
  P <- W - W %*% X %*% C %*% t(X) %*% W
  info <- 0.5 * matrix(c(trace(P %*% P), trace(P %*% P %*% ZZ), trace(P %*% P %*% ZZ),
                         trace(P %*% ZZ %*% P %*% ZZ)), 2)
  A <- W %*% X %*% C
  for (term in colnames(terms)) {
    a <- A[, which(colnames(X) == term)]
    variance <- sum(a * (V %*% a))
    g <- c(sum(a^2), sum(a * (ZZ %*% a)))
    df <- 2 * variance^2 / sum(g * solve(info, g))
    crit <- qt(0.975, df)
    shift <- uniroot(function(s) pt(-crit, df, s) + 1 - pt(crit, df, s) - 0.8, c(1, 60), tol = 1e-12)$root
    cat(sprintf("%s,%g,%s,%.10f,%.9f,%.7f\n", case, ratio, term, sqrt(variance), df, shift * sqrt(variance)))
  }
}
