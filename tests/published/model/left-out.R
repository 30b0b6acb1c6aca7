# Each run predicted by lm without it, with its 95 % interval for one new run, for left-out.test.ts.
# From the root of the project: Rscript tests/published/model/left-out.R
without_own <- function(formula, data, row, back = identity) {
  fit <- lm(formula, data[-row, ])
  cat(sprintf("%.14g ", back(predict(fit, data[row, ], interval = "prediction"))), "\n")
}
for (row in c(1, 4, 21)) without_own(stack.loss ~ Air.Flow + Water.Temp + Acid.Conc., stackloss, row)
for (row in c(1, 18, 31)) without_own(log(Volume) ~ log(Girth) + log(Height), trees, row, exp)
