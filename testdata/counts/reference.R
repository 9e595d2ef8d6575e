# Reference values for sim/counts, by R's own dnbinom, optimize and uniroot, and
# by MASS::theta.ml and glm.nb. Run in this folder, on Debian 12 with
#   apt-get install r-base-core r-cran-mass r-cran-boot r-cran-vgam r-cran-lme4 r-cran-fitdistrplus
#   Rscript reference.R            writes reference.csv and versions.txt
#   Rscript reference.R data NAME  prints the counts of one set, for the test
# Sets whose licence is the GPL are used here and not kept: only figures of them.
suppressMessages(library(MASS))

sets <- list(
  machinists = function() with(VGAM::machinists, rep(accidents, ofreq)),
  fir        = function() boot::fir$count,
  quine      = function() MASS::quine$Days,
  grouseticks = function() lme4::grouseticks$TICKS,
  toxocara   = function() { data(toxocara, package = "fitdistrplus", envir = environment()); toxocara$number }
)

args <- commandArgs(trailingOnly = TRUE)
if (length(args) == 2 && args[1] == "data") {
  cat(sets[[args[2]]](), sep = "\n")
  quit()
}

out <- data.frame()
keep <- function(set, what, value) out <<- rbind(out, data.frame(set = set, what = what, value = trimws(formatC(value, digits = 9, format = "g"))))

# Log likelihood of a density m per m² and a size k, and its profiles.
loglik <- function(d, m, k) sum(dnbinom(d$count, size = k, mu = m * d$area, log = TRUE))
best <- function(f, range) optimize(f, range, maximum = TRUE, tol = 1e-10)
mgiven <- function(d, k) exp(best(function(x) loglik(d, exp(x), k), log(sum(d$count) / sum(d$area)) + c(-2, 2))$maximum)
profk <- function(d, k) loglik(d, mgiven(d, k), k)
topk <- function(f) { g <- seq(log(1e-3), log(1e4), length.out = 60); v <- sapply(g, function(x) f(exp(x))); i <- which.max(v); best(function(x) f(exp(x)), c(g[max(1, i - 1)], g[min(60, i + 1)])) }
ends <- function(f, at, level, lo, hi) c(uniroot(function(x) f(exp(x)) - level, c(log(lo), log(at)), tol = 1e-9)$root, uniroot(function(x) f(exp(x)) - level, c(log(at), log(hi)), tol = 1e-9)$root)

fit <- function(set, d, level) {
  t <- topk(function(k) profk(d, k)); k <- exp(t$maximum); m <- mgiven(d, k)
  drop <- t$objective - qt((1 + level) / 2, nrow(d) - 1)^2 / 2 # the root as Student's t
  me <- exp(ends(function(x) topk(function(k) loglik(d, x, k))$objective, m, drop, m / 50, m * 50))
  ke <- exp(ends(function(x) profk(d, x), k, drop, k / 50, min(k * 200, 9e3)))
  for (v in list(c("mean", m), c("mean_low", me[1]), c("mean_high", me[2]), c("k", k), c("k_low", ke[1]), c("k_high", ke[2]), c("twice_log_likelihood", 2 * t$objective)))
    keep(set, v[1], as.numeric(v[2]))
}

# Two invented sets: a side-by-side trial, and quadrats of two sizes.
side <- read.csv("side-by-side.csv")
side$area <- side$quadrat_m2
for (z in unique(side$zone)) fit(z, side[side$zone == z, ], 0.9)
mixed <- data.frame(count = c(0, 0, 3, 1, 0, 7, 2, 0, 1, 12, 0, 4, 9, 0, 2, 21, 5, 0), area = rep(c(0.1, 0.25), each = 9))
fit("mixed", mixed, 0.9)
write.csv(mixed, "mixed.csv", row.names = FALSE)
for (s in c("machinists", "quine", "toxocara")) fit(s, data.frame(count = sets[[s]](), area = 1), 0.9)

# Ratio of the sides: one k for both, density profiled out; its signed root is
# read as Student's t with n - 2 degrees of freedom, in the interval too.
a <- side$zone == unique(side$zone)[1]
ratio <- function(r) { d <- side; d$area[a] <- d$area[a] * r; topk(function(k) profk(d, k))$objective }
r <- best(function(x) ratio(exp(x)), c(-3, 3))
e <- exp(ends(ratio, exp(r$maximum), r$objective - qt(0.95, nrow(side) - 2)^2 / 2, 0.01, 100))
keep("side-by-side", "ratio", exp(r$maximum)); keep("side-by-side", "ratio_low", e[1]); keep("side-by-side", "ratio_high", e[2])
root <- sign(-r$maximum) * sqrt(2 * (r$objective - ratio(1)))
keep("side-by-side", "signed_root", root); keep("side-by-side", "cleaner", pt(root, nrow(side) - 2))
# Of few: 4 empty quadrats against one plant in each of two, even counts being the
# likeliest at any ratio (R finds the top at the end of its k).
few <- data.frame(count = c(0, 0, 0, 0, 1, 1), area = 0.25)
of_few <- function(r) { d <- few; d$area[1:4] <- d$area[1:4] * r; topk(function(k) profk(d, k))$objective }
root <- sqrt(2 * (-2 - of_few(1))) # an empty side: two counts of 1 about a mean of 1
keep("few", "signed_root", root); keep("few", "cleaner", pt(root, nrow(few) - 2))
# How many further quadrats a side bring a root of 1, of 40 a side, to 97.5 %.
for (m in 0:1000) if (pt(sqrt((80 + 2 * m) / 80), 80 + 2 * m - 2) >= 0.975) break
keep("root of 1", "more", m)
g <- glm.nb(count ~ I(zone == unique(zone)[1]) + offset(log(area)), data = side)
keep("side-by-side", "glm_nb_ratio", exp(coef(g)[2])); keep("side-by-side", "glm_nb_k", g$theta)

# Sets of R packages: mean, variance and theta.ml of the intercept alone.
for (s in names(sets)) {
  x <- sets[[s]]()
  keep(s, "n", length(x)); keep(s, "mean_of_counts", mean(x)); keep(s, "variance", var(x))
  th <- try(theta.ml(x, mean(x), limit = 200, eps = 1e-12), silent = TRUE)
  if (!inherits(th, "try-error")) keep(s, "theta_ml", as.numeric(th))
}
write.csv(out, "reference.csv", row.names = FALSE, quote = FALSE)
p <- c("MASS", "boot", "VGAM", "lme4", "fitdistrplus")
writeLines(c(R.version.string, paste(p, sapply(p, function(x) as.character(packageVersion(x))))), "versions.txt")
