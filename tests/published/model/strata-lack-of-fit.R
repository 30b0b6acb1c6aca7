# Lack of fit and pure error by strata from analyses of variance with several strata: expected values of
# strata-lack-of-fit.test.ts (R 4.2.2; `Rscript strata-lack-of-fit.R`).
options(digits = 13)
oats <- read.csv("../../data/oats_split_plot.csv")
oats$level <- factor(oats$nitro); oats$variety <- factor(oats$variety)
cat("oats: variety + nitro, then a mean for each of the twelve settings\n")
print(summary(aov(yield ~ variety + nitro + variety:level + Error(factor(block) / variety), oats)))
m <- aov(yield ~ variety + nitro + variety:level + Error(factor(block) / variety), oats)
s <- summary(m)[["Error: factor(block):variety"]]
w <- summary(m)[["Error: Within"]][[1]]
f <- w[2, 3] / w[3, 3]; print(c(w[2, 1], w[3, 1], f, pf(f, w[2, 1], w[3, 1], lower.tail = FALSE)))

cat("twelve plate visits at three temperatures, each with three speeds twice\n")
visit <- rep(1:12, each = 6); bake <- rep(c(90, 110, 100, 100, 90, 110, 110, 90, 100, 90, 100, 110), each = 6)
speed <- rep(c(2, 3, 4, 2, 3, 4), 12)
y <- 5000 - 7 * bake - 3 * (bake == 100) - 40 * speed + 2 * (speed == 3) +
  rep((1:12 * 29) %% 23, each = 6) / 2 + ((1:72 * 37) %% 41) / 10
v <- factor(visit)
m <- summary(aov(y ~ bake * speed + factor(bake) * factor(speed) + Error(v)))
b <- m[[1]][[1]]; print(b); f <- b[2, 3] / b[3, 3]
print(c(b[2, 1], b[3, 1], f, pf(f, b[2, 1], b[3, 1], lower.tail = FALSE)))
w <- m[[2]][[1]]; print(w); k <- nrow(w)
lack <- setdiff(seq_len(k - 1), match(c("speed", "bake:speed"), trimws(rownames(w))))
d <- sum(w[lack, 1]); f <- sum(w[lack, 2]) / d / w[k, 3]
print(c(d, w[k, 1], f, pf(f, d, w[k, 1], lower.tail = FALSE)))

cat("the last of these without fifteen of its runs: inside visits, by fixed effects of visits\n")
keep <- setdiff(1:72, c(2, 3, 11, 17, 18, 25, 30, 31, 40, 44, 45, 59, 60, 66, 71))
a <- anova(lm(y ~ v + bake * speed, subset = keep), lm(y ~ v + bake * speed + factor(bake) * factor(speed), subset = keep))
print(a); print(c(a$Df[2], a$Res.Df[2], a$F[2], a$`Pr(>F)`[2]))
