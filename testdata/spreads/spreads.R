# Bounds of 26 classes of each law that uncertain values are drawn from, and the
# chance of each class: the quantile functions of R, which share no code with the
# project. Beta takes shapes of the library and two that are harder, (2, 2) and (0.5, 30);
# the normal is cut at 0 and 1. Out: spreads.csv. Run in this folder: Rscript spreads.R
p <- c(1e-4, 1e-3, 0.01, seq(0.05, 0.95, 0.05), 0.99, 0.999, 1 - 1e-4)
rows <- data.frame()
law <- function(name, a, b, bounds)
  data.frame(law = name, a = a, b = b, below = p, bound = sprintf("%.15g", bounds))
for (s in list(c(18, 2), c(6, 4), c(49, 1), c(58, 2), c(3, 17), c(2.4, 17.6), c(2, 2), c(0.5, 30)))
  rows <- rbind(rows, law("beta", s[1], s[2], qbeta(p, s[1], s[2])))
for (s in list(c(0.3, 0.2), c(0.95, 0.1), c(0.5, 0.05))) {
  from <- pnorm(0, s[1], s[2]); to <- pnorm(1, s[1], s[2])
  rows <- rbind(rows, law("normal", s[1], s[2], qnorm(from + p * (to - from), s[1], s[2])))
}
for (s in list(c(6, 1.4), c(180, 1.25)))
  rows <- rbind(rows, law("lognormal", s[1], s[2], qlnorm(p, log(s[1]), log(s[2]))))
for (s in list(c(0.6, 0.4), c(0.95, 0.8)))
  rows <- rbind(rows, law("logitnormal", s[1], s[2], plogis(qnorm(p, qlogis(s[1]), s[2]))))
out <- file("spreads.csv", "w")
writeLines(paste("#", R.version.string, "- spreads.R; class chances follow from 'below'"), out)
write.csv(rows, out, row.names = FALSE, quote = FALSE)
close(out)
cat(sprintf("chi-square that 25 degrees of freedom exceed once in 10,000: %.6f\n", qchisq(1 - 1e-4, length(p))))
