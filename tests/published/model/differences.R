# Differences and ratios of predictions with their intervals by the covariance matrix of lm, for differences.test.ts.
# From the root of the project: Rscript tests/published/model/differences.R
difference <- function(fit, at, against, back = identity) {
  x <- model.matrix(delete.response(terms(fit)), rbind(at, against), xlev = fit$xlevels)
  d <- x[1, ] - x[2, ]
  estimate <- sum(d * coef(fit))
  se <- sqrt(c(d %*% vcov(fit) %*% d))
  reach <- qt(0.975, df.residual(fit)) * se
  cat(sprintf("%.14g ", c(estimate, se, back(estimate), back(estimate - reach), back(estimate + reach), df.residual(fit))), "\n")
}
plain <- lm(stack.loss ~ Air.Flow + Water.Temp + Acid.Conc., stackloss)
base <- data.frame(Air.Flow = 60, Water.Temp = 20, Acid.Conc. = 86)
difference(plain, data.frame(Air.Flow = 70, Water.Temp = 24, Acid.Conc. = 88), base)
difference(plain, data.frame(Air.Flow = 50, Water.Temp = 20, Acid.Conc. = 86), base)
resist <- read.csv("tests/data/upenn_resist_spin_curve.csv")
curve <- lm(log(thickness_um) ~ log(rpm) + I(log(rpm)^2), resist)
difference(curve, data.frame(rpm = 3000), data.frame(rpm = 1500), exp)
decades <- lm(log10(thickness_um) ~ log10(rpm), resist)
difference(decades, data.frame(rpm = 3000), data.frame(rpm = 1500), function(x) 10^x)
gas <- read.csv("tests/data/whiteside_gas.csv", stringsAsFactors = TRUE)
gas$Insul <- relevel(gas$Insul, "Before")
houses <- lm(Gas ~ Temp * Insul, gas)
difference(houses, data.frame(Temp = 5, Insul = "After"), data.frame(Temp = 2, Insul = "Before"))
