# The peer of BenchmarkAgainstR: Rscript peer.R FILE, where FILE holds n as an
# int32, then n seconds as float64, n falls and n group numbers as int32, all
# little-endian. Prints the seconds survfit took, the points and the sums of the
# survival and of its bounds.
suppressMessages(library(survival))
f <- file(commandArgs(TRUE)[1], "rb")
n <- readBin(f, "integer", 1, endian = "little")
t <- readBin(f, "double", n, endian = "little")
e <- readBin(f, "integer", n, endian = "little")
g <- readBin(f, "integer", n, endian = "little")
took <- system.time(s <- survfit(Surv(t, e) ~ g))["elapsed"]
cat(sprintf("%.6f %d %.12g %.12g\n", took, length(s$surv), sum(s$surv), sum(s$lower, na.rm = TRUE) + sum(s$upper, na.rm = TRUE)))
