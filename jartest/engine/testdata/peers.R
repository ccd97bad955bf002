# Times R's nls on the fit of BenchmarkOneFit; prints microseconds a fit and the sum of squares.
d <- c(10, 20, 30, 40, 50, 60) / 60
y <- log(c(27.1, 13.9, 5.2, 2.6, 1.9, 1.5))
f <- function() nls(y ~ p + log(exp(-2.7 * exp(0.6 * a)) + (1 - exp(-2.7 * exp(0.6 * a))) / (1 + (d / (0.35 * exp(0.6 * e)))^(3 * exp(0.6 * h)))),
                    start = list(p = 3.5, a = 0, e = 0, h = 0))
n <- 200
t <- system.time(for (i in seq_len(n)) m <- f())["elapsed"]
cat(1e6 * t / n, deviance(m), "\n")
