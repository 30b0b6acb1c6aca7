# The work of run.ts in R, best of several runs: name, seconds, what was found.
folder <- commandArgs(TRUE)[1]
timed <- function(name, repeats, work, found) {
  seconds <- min(replicate(repeats, {
    start <- Sys.time()
    result <<- work()
    as.numeric(difftime(Sys.time(), start, units = "secs"))
  }))
  cat(name, "\t", sprintf("%.9f", seconds), "\t", found(result), "\n", sep = "")
}
large <- read.csv(file.path(folder, "large.csv"))
X <- cbind(1, as.matrix(large[1:9])); y <- large$y
timed("large", 30, function() lm.fit(X, y), function(fit) sprintf("last estimate %.12g", fit$coefficients[10]))
small <- read.csv(file.path(folder, "small.csv"))
timed("small", 100, function() {
  fit <- lm(y ~ ., small)
  list(summary(fit), anova(fit), rstudent(fit), cooks.distance(fit), press = sum((residuals(fit) / (1 - hatvalues(fit)))^2))
}, function(all) sprintf("PRESS %.12g", all$press))
if (requireNamespace("nlme", quietly = TRUE)) {
  nested <- read.csv(file.path(folder, "nested.csv"))
  timed("nested", 5, function() nlme::lme(y ~ x, nested, random = ~ 1 | lot/wafer),
    function(fit) sprintf("restricted log-likelihood %.12g", logLik(fit)))
}
