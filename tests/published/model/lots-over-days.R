# Expected values of lots-over-days.test.ts: curves of groups where the runs of a session share a chance effect, by restricted
# maximum likelihood in nlme and lmerTest (Satterthwaite). From the root of the project:
# Rscript tests/published/model/lots-over-days.R
suppressMessages({ library(nlme); library(lmerTest) })
options(digits = 12)
o <- read.csv("tests/data/oats_split_plot.csv")[-c(1, 2, 7, 20, 33, 41, 58), ]
o$variety <- factor(o$variety, unique(o$variety))
compare <- function(o, label) {
  cat(label, "\n")
  own <- lme(log(yield) ~ nitro * variety, random = ~ 1 | block, data = o)
  print(VarCorr(own))
  fit <- lmer(log(yield) ~ nitro + variety + nitro:variety + (1 | block), data = o)
  print(anova(own), digits = 8)
  print(anova(fit, type = 1)[3, ])
  x <- median(o$nitro)
  L <- rbind(second = c(0, 0, 1, 0, x, 0), third = c(0, 0, 0, 1, 0, x), slope2 = c(0, 0, 0, 0, 1, 0), slope3 = c(0, 0, 0, 0, 0, 1))
  for (i in 1:4) {
    one <- contest1D(fit, L[i, ], confint = TRUE)
    se <- sqrt(c(L[i, ] %*% vcov(own) %*% L[i, ]))
    cat(rownames(L)[i], sprintf("%.10g", c(sum(L[i, ] * fixef(own)), se, one$df, one$lower, one$upper)), "\n")
  }
  at <- c(1, x, 0, 0, 0, 0)
  one <- contest1D(fit, at, confint = TRUE)
  cat("reference mean", sprintf("%.10g", c(one$Estimate, one$`Std. Error`, one$df, one$lower, one$upper)), "\n")
}
compare(o, "oats, unbalanced")
