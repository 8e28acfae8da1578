# Reference values of PictureReferenceTests: R's own lm and nls on the same points (R 4.2.2). Run: Rscript reference.R
x <- c(0.10, 0.32, 0.55, 0.81, 0.18, 0.47, 0.72, 0.90, 0.29, 0.63)
y <- c(0.12, 0.41, 0.08, 0.22, 0.66, 0.73, 0.58, 0.79, 0.91, 0.35)
u <- c(0.1372, 0.3197, 0.5315, 0.7334, 0.1821, 0.4374, 0.6553, 0.7955, 0.2703, 0.5860)
v <- c(0.1752, 0.4523, 0.1661, 0.3003, 0.6807, 0.7476, 0.6118, 0.7952, 0.9220, 0.4043)
n <- length(x)
uv <- c(rbind(u, v))
similarity <- function(i) { d <- c(rbind(x[i], y[i])); e <- c(rbind(-y[i], x[i])); a <- rep(c(1, 0), length(i)); b <- 1 - a
  coef(lm(c(rbind(u[i], v[i])) ~ 0 + d + e + a + b)) }
similar <- function(h, px, py) cbind(h[1] * px - h[2] * py + h[3], h[2] * px + h[1] * py + h[4])
affine <- function(i) c(coef(lm(u[i] ~ x[i] + y[i])), coef(lm(v[i] ~ x[i] + y[i])))
affined <- function(h, px, py) cbind(h[1] + h[2] * px + h[3] * py, h[4] + h[5] * px + h[6] * py)
homography <- function(i) { s <- affine(i); q <- c(rbind(x[i], x[i])); r <- c(rbind(y[i], y[i])); o <- rep(c(1, 0), length(i)); z <- c(rbind(u[i], v[i]))
  coef(nls(z ~ (o * (a * q + b * r + c) + (1 - o) * (d * q + e * r + f)) / (g * q + h * r + 1), start = list(a = s[[2]], b = s[[3]], c = s[[1]],
    d = s[[5]], e = s[[6]], f = s[[4]], g = 0, h = 0), control = nls.control(tol = 1e-5, minFactor = 1e-12, maxiter = 200))) }
projected <- function(m, px, py) { w <- m[7] * px + m[8] * py + 1; cbind((m[1] * px + m[2] * py + m[3]) / w, (m[4] * px + m[5] * py + m[6]) / w) }
report <- function(name, fit, map, p) {
  all <- 1:n
  h <- fit(all); off <- map(h, x, y) - cbind(u, v)
  loo <- sapply(all, function(i) sqrt(sum((map(fit(all[-i]), x[i], y[i]) - c(u[i], v[i]))^2)))
  cat(name, sprintf("%.12f", h), "\n sigma", sprintf("%.12f", sqrt(sum(off^2) / (2 * n - p))), "loo", sprintf("%.12f", median(loo)), "worst", which.max(loo), "\n")
}
report("similarity", similarity, similar, 4)
report("affine", affine, affined, 6)
report("homography", homography, projected, 8)
