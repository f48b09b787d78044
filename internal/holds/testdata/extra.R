# Writes extra_r_output.json: Rscript extra.R > extra_r_output.json
# R 4.2.2, survival 3.5-3. Data: `veteran` and `lung` of the
# survival package (Kalbfleisch & Prentice 1980; Loprinzi et al. 1994), and small
# invented series.
suppressMessages(library(survival))
json <- function(x) {
  if (is.list(x)) {
    parts <- vapply(x, json, "", USE.NAMES = FALSE)
    if (is.null(names(x))) paste0("[", paste(parts, collapse = ",\n"), "]")
    else paste0("{", paste0("\"", names(x), "\":", parts, collapse = ","), "}")
  } else {
    v <- if (is.character(x)) paste0("\"", x, "\"") else ifelse(is.finite(x), sprintf("%.15g", x), "null")
    if (length(v) == 1 && !inherits(x, "series")) v else paste0("[", paste(v, collapse = ","), "]")
  }
}
nn <- function(x) structure(unname(as.numeric(x)), class = "series")
km <- function(time, status, type, level = .95, probs = c(.1, .25, .5, .75, .9)) {
  f <- survfit(Surv(time, status) ~ 1, conf.type = type, conf.int = level)
  q <- quantile(f, probs)
  list(time = time, status = status, band = type, level = level, at = nn(f$time),
       n_risk = nn(f$n.risk), n_event = nn(f$n.event), n_censor = nn(f$n.censor),
       surv = nn(f$surv), std_err = nn(f$surv * f$std.err), lower = nn(f$lower), upper = nn(f$upper),
       probs = probs, quantile = nn(q$quantile), q_lower = nn(q$lower), q_upper = nn(q$upper))
}
rank <- function(time, status, group, stratum, rho) {
  d <- data.frame(time, status, group, stratum)
  r <- if (length(unique(stratum)) > 1) survdiff(Surv(time, status) ~ group + strata(stratum), d, rho = rho)
       else survdiff(Surv(time, status) ~ group, d, rho = rho)
  sum1 <- function(m) if (is.matrix(m)) rowSums(m) else m
  list(time = time, status = status, group = as.integer(factor(group)), stratum = as.integer(factor(stratum)),
       rho = rho, n = nn(table(group)), observed = nn(sum1(r$obs)), expected = nn(sum1(r$exp)),
       chisq = r$chisq, df = length(r$n) - 1, p = r$pvalue)
}
fit <- function(lo, hi, dist) {
  # lo = hi is exact, hi = NA right-censored, lo = NA left-censored
  f <- survreg(Surv(lo, hi, type = "interval2") ~ 1, dist = dist,
               control = survreg.control(rel.tolerance = 1e-14, maxiter = 200))
  v <- f$var
  list(dist = dist, lo = lo, hi = hi, eta = unname(f$coefficients), sigma = f$scale, loglik = f$loglik[2],
       se_eta = sqrt(v[1, 1]), se_log_sigma = if (nrow(v) > 1) sqrt(v[2, 2]) else NA)
}
noisy <- c(.1 + .2, .3, .3 + 1e-12, 2, 2, 2 + 1e-9, 5, 7 - 1e-13, 7, 9)
flat <- c(1, 2, 3, 4, 5, 6, 7, 8)
set.seed(4)
rt <- round(rlogis(40, 2, .6)^2 + 1, 1); rs <- rbinom(40, 1, .7)
curves <- list()
for (type in c("plain", "log", "log-log")) for (level in c(.8, .95)) curves <- c(curves, list(
  km(noisy, c(1, 0, 1, 1, 1, 0, 0, 1, 1, 0), type, level),
  km(flat, c(0, 1, 1, 0, 1, 0, 1, 1), type, level),
  km(c(1, 2, 3, 4), c(1, 1, 0, 0), type, level),
  km(c(1, 2, 3, 4), c(1, 1, 1, 1), type, level),
  km(c(2, 2, 5), c(0, 0, 0), type, level),
  km(rt, rs, type, level)))
v <- veteran; l <- na.omit(lung[, c("time", "status", "sex", "ph.ecog")])
ranks <- list()
for (rho in c(0, 1)) ranks <- c(ranks, list(
  rank(v$time, v$status, v$celltype, rep(1, nrow(v)), rho),
  rank(v$time, v$status, v$celltype, v$prior, rho),
  rank(l$time, l$status - 1, l$sex, l$ph.ecog, rho)))
at <- aml$time; right <- ifelse(aml$status == 1, at, NA)
lo <- c(NA, .8, 1.5, 2, 2.5, 3, 3.5, 4, 6, 6, 8, 12); hi <- c(.9, 2.2, 1.5, 3, NA, 3.4, 5.5, 4, 9, NA, 8, NA)
fits <- list()
for (dist in c("exponential", "weibull", "loglogistic"))
  fits <- c(fits, list(fit(at, right, dist), fit(lo, hi, dist)))
cat(json(list(r_version = R.version.string, survival_version = as.character(packageVersion("survival")),
  curves = curves, ranks = ranks, fits = fits)), "\n")
