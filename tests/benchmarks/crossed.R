# Fits one table with one program and writes what crossed.py compares.
# Arguments: table, program (glmer0, glmer1, glmmTMB), place for the results.
arguments <- commandArgs(TRUE)
program <- arguments[2]
table <- read.csv(arguments[1])
for (name in c("card", "archetype", "band")) table[[name]] <- factor(table[[name]])
model <- cbind(wins, games - wins) ~ band + usage + (1 | card) + (1 | archetype)
package <- if (program == "glmmTMB") "glmmTMB" else "lme4"
suppressMessages(library(package, character.only = TRUE))

time <- system.time(fit <- switch(program,
  glmer0 = glmer(model, table, binomial, nAGQ = 0L),
  glmer1 = glmer(model, table, binomial, nAGQ = 1L),
  glmmTMB = glmmTMB(model, table, binomial)
))

is_tmb <- program == "glmmTMB"
spread <- if (is_tmb) VarCorr(fit)$cond else VarCorr(fit)
effect <- if (is_tmb) ranef(fit)$cond else ranef(fit)
fixed <- if (is_tmb) fixef(fit)$cond else fixef(fit)
level <- function(name) effect[[name]][order(as.integer(rownames(effect[[name]]))), 1]
version <- paste(getRversion(), package, packageVersion(package))
lines <- list(
  version = version, cpu = sum(time[1:2]), wall = time[3], fixed = fixed,
  sd = sapply(spread[c("card", "archetype")], function(x) attr(x, "stddev")),
  log_likelihood = as.numeric(logLik(fit)), card = level("card"), archetype = level("archetype")
)
text <- sapply(names(lines), function(name) {
  value <- lines[[name]]
  paste(name, paste(if (is.numeric(value)) sprintf("%.17g", value) else value, collapse = " "))
})
writeLines(text, arguments[3])
