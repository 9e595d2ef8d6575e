# Reads what 'rundown forecast --replicates-csv' wrote, forms the bands again, draws
# them and ranks the inputs. Usage: Rscript bands.R FOLDER [METRIC]. Base R, no packages.
args <- commandArgs(trailingOnly = TRUE)
folder <- args[1]
metric <- if (length(args) > 1) args[2] else "heads_per_m2"

runs <- read.csv(file.path(folder, "replicates.csv"))
drawn <- read.csv(file.path(folder, "parameters.csv"), encoding = "UTF-8")

# The bands, season by season; type 8 is what the program's own bands are.
bands <- do.call(rbind, tapply(runs[[metric]], runs$season, quantile,
                               probs = c(0.05, 0.5, 0.95), type = 8, na.rm = TRUE))
years <- as.integer(rownames(bands))
cat("season,p05,p50,p95\n")
for (i in seq_along(years)) cat(years[i], trimws(formatC(bands[i, ], digits = 6, format = "g")), sep = ",", fill = TRUE)

pdf(file.path(folder, "bands-again.pdf"), width = 7, height = 4)
plot(years, bands[, 2], type = "n", ylim = c(0, max(bands)), xlab = "harvest", ylab = metric)
polygon(c(years, rev(years)), c(bands[, 1], rev(bands[, 3])), col = "#9ecae1", border = NA)
lines(years, bands[, 2], lwd = 2, col = "#08519c")
invisible(dev.off())

# The inputs, by rank correlation (Spearman) with the metric in the last season.
last <- runs[runs$season == max(runs$season), ]
y <- last[[metric]][match(drawn$replicate, last$replicate)]
found <- sapply(split(data.frame(x = drawn$value, y = y), drawn$parameter), function(d)
  suppressWarnings(cor(d$x, d$y, method = "spearman", use = "complete.obs")))
found <- found[order(-abs(found))]
cat("\nparameter,rank_correlation\n")
for (n in head(names(found), 10)) cat(n, ",", formatC(found[n], digits = 3, format = "f"), "\n", sep = "")
