# Expected values of compare-models.test.ts (R 4.2.2, base packages; `Rscript compare-models.R` in this folder): AICc of
# the measured values, and errors of prediction by brute force, each run or group left out and the others fitted anew.
options(digits = 15)
row <- function(model, data, jacobian, back, y, group = seq_len(nrow(data)), weights = rep(1, nrow(data))) {
  data$w <- weights
  fit <- lm(model, data, weights = w)
  k <- length(coef(fit)) + 1; n <- nrow(data)
  aicc <- AIC(fit) - 2 * sum(jacobian) + 2 * k * (k + 1) / (n - k - 1)
  left <- numeric(n)
  for (g in unique(group)) {
    out <- group == g
    left[out] <- back(predict(lm(model, data[!out, ], weights = w), data[out, , drop = FALSE]))
  }
  cat(format(model), "\n"); print(c(aicc, sqrt(mean((left - y)^2)), sqrt(mean((left / y - 1)^2))))
}
same <- function(eta) eta
trees <- read.csv("../../data/trees.csv"); v <- trees$Volume
row(Volume ~ Girth + Height, trees, 0 * v, same, v)
row(log(Volume) ~ log(Girth) + log(Height), trees, -log(v), exp, v)
row(log10(Volume) ~ log(Girth) + log(Height), trees, -log(v * log(10)), function(e) 10^e, v)
row(sqrt(Volume) ~ Girth + Height, trees, -log(2 * sqrt(v)), function(e) e^2, v)
row(I(1 / Volume) ~ Girth + Height, trees, -2 * log(v), function(e) 1 / e, v)
row(log(Volume) ~ log(Girth) + log(Height), trees, -log(v), exp, v, weights = trees$Height)
cars <- read.csv("../../data/cars.csv"); d <- cars$dist
row(dist ~ speed, cars, 0 * d, same, d)
row(sqrt(dist) ~ speed, cars, -log(2 * sqrt(d)), function(e) e^2, d)
row(log(dist) ~ log(speed), cars, -log(d), exp, d)
spin <- read.csv("../../data/upenn_resist_spin_curve.csv"); h <- spin$thickness_um
row(thickness_um ~ rpm, spin, 0 * h, same, h)
row(log(thickness_um) ~ log(rpm), spin, -log(h), exp, h)
row(log(thickness_um) ~ log(rpm) + I(log(rpm)^2), spin, -log(h), exp, h)
oats <- read.csv("../../data/oats_split_plot.csv"); y <- oats$yield
row(yield ~ nitro, oats, 0 * y, same, y, oats$block)
row(yield ~ nitro + variety, oats, 0 * y, same, y, oats$block)
row(log(yield) ~ nitro * variety, oats, -log(y), exp, y, oats$block)
pipe <- read.csv("../../data/nist_berger_pipeline.csv"); f <- pipe$field
row(field ~ lab, pipe, 0 * f, same, f, pipe$batch)
row(log(field) ~ log(lab), pipe, -log(f), exp, f, pipe$batch)
