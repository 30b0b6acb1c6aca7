# Unbalanced split plots by packages for mixed models: expected values of the unbalanced cases in
# unbalanced.test.ts (R 4.2.2, lme4 1.1-31, lmerTest 3.1-3, pbkrtest 0.5.2, nlme 3.1-162; `Rscript unbalanced.R`).
suppressMessages({ library(lme4); library(lmerTest); library(pbkrtest) })
options(digits = 12)
strict <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e6), calc.derivs = TRUE)
oats <- read.csv("../../data/oats_split_plot.csv")
oats <- oats[-c(1, 6, 7, 14, 23, 29, 30, 31, 32, 44, 51, 58, 59, 66, 70), ]
oats$plot <- interaction(oats$block, oats$variety, drop = TRUE)
told <- function(m) {
  print(as.data.frame(VarCorr(m))$vcov); print(c(logLik(m)))
  s <- coef(summary(m, ddf = "Satterthwaite")); rownames(s) <- NULL; print(s[, 1:3])
  # The expected information of the variances, where lmerTest takes the observed one.
  adjusted <- vcovAdj(m); W <- as.matrix(attr(adjusted, "W")); P <- attr(adjusted, "P"); Phi <- as.matrix(vcov(m))
  expected <- sapply(seq_len(nrow(Phi)), function(k) {
    g <- sapply(P, function(p) -(Phi %*% as.matrix(p) %*% Phi)[k, k]); 2 * Phi[k, k]^2 / c(t(g) %*% W %*% g)
  })
  cat("df by the expected information:", expected, "\n")
  print(as.matrix(anova(m, type = 3))[, 3:6])
}
cat("yield ~ nitro, block/variety\n")
told(lmer(yield ~ nitro + (1 | block) + (1 | plot), oats, control = strict))
cat("yield ~ variety + nitro + nitro^2, block/variety\n")
oats$variety <- factor(oats$variety, levels = unique(oats$variety))
oats$square <- oats$nitro^2
told(lmer(yield ~ variety + nitro + square + (1 | block) + (1 | plot), oats, control = strict))
cat("nlme\n")
library(nlme, warn.conflicts = FALSE)
m <- lme(yield ~ nitro, oats, random = ~ 1 | block/variety, control = lmeControl(msTol = 1e-14, tolerance = 1e-14))
print(VarCorr(m)); print(m$logLik)
