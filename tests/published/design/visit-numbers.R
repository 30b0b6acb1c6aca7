# The best split plot of 12 runs for the full quadratic in one hard and one easy factor, each at -1, 0, 1, by
# looking through all of them, for 3, 4 and 6 visits of equal size and two variance ratios: the expected
# values of visit-numbers.test.ts (R 4.2.2; `Rscript visit-numbers.R`). Printed: |X'V^-1 X|^(1/6)/12.
options(digits = 12)
row <- function(w, s) c(1, w, s, w * s, w^2, s^2)
multisets <- function(n, k) if (k == 0) list(integer()) else
  unlist(lapply(seq_len(n), function(last) lapply(Filter(function(m) all(m <= last), multisets(last, k - 1)),
                                                  function(m) c(m, last))), recursive = FALSE)
for (ratio in c(1, 0.2)) for (visits in c(3, 4, 6)) {
  size <- 12 / visits
  easy <- multisets(3, size)
  parts <- list()
  for (w in -1:1) for (pick in easy) {
    X <- t(sapply(pick - 2, function(s) row(w, s)))
    V <- diag(size) + ratio
    parts[[length(parts) + 1]] <- t(X) %*% solve(V, X)
  }
  best <- 0
  for (choice in multisets(length(parts), visits)) best <- max(best, det(Reduce(`+`, parts[choice])))
  cat(sprintf("%g,%d,%.10f\n", ratio, visits, best^(1 / 6) / 12))
}
