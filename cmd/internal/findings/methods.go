package findings

import (
	"fmt"
	"strings"

	"rundown/params"
)

// Works that methods are from, by what this file calls them.
var (
	morris = params.Source{Author: "Morris", Year: "1991", Title: "Factorial sampling plans for preliminary computational experiments",
		Journal: "Technometrics 33:161–174"}
	campolongo = params.Source{Author: "Campolongo, Cariboni & Saltelli", Year: "2007",
		Title: "An effective screening design for sensitivity analysis of large models", Journal: "Environmental Modelling & Software 22:1509–1518"}
	sobol = params.Source{Author: "Sobol'", Year: "1993", Title: "Sensitivity estimates for nonlinear mathematical models",
		Journal: "Mathematical Modelling and Computational Experiments 1:407–414"}
	saltelli = params.Source{Author: "Saltelli et al.", Year: "2010",
		Title:   "Variance based sensitivity analysis of model output: design and estimator for the total sensitivity index",
		Journal: "Computer Physics Communications 181:259–270"}
	jansen = params.Source{Author: "Jansen", Year: "1999", Title: "Analysis of variance designs for model output",
		Journal: "Computer Physics Communications 117:35–43"}
	archer = params.Source{Author: "Archer, Saltelli & Sobol'", Year: "1997",
		Title: "Sensitivity measures, ANOVA-like techniques and the use of bootstrap", Journal: "Journal of Statistical Computation and Simulation 58:99–120"}
	joe = params.Source{Author: "Joe & Kuo", Year: "2008", Title: "Constructing Sobol sequences with better two-dimensional projections",
		Journal: "SIAM Journal on Scientific Computing 30:2635–2654"}
	hyndman = params.Source{Author: "Hyndman & Fan", Year: "1996", Title: "Sample quantiles in statistical packages",
		Journal: "The American Statistician 50:361–365"}
	fieller = params.Source{Author: "Fieller, Hartley & Pearson", Year: "1957", Title: "Tests for rank correlation coefficients",
		Journal: "Biometrika 44:470–481"}
	wilson = params.Source{Author: "Wilson", Year: "1927", Title: "Probable inference, the law of succession, and statistical inference",
		Journal: "Journal of the American Statistical Association 22:209–212"}
	chopin   = params.Source{Author: "Chopin", Year: "2002", Title: "A sequential particle filter method for static models", Journal: "Biometrika 89:539–552"}
	neal     = params.Source{Author: "Neal", Year: "2001", Title: "Annealed importance sampling", Journal: "Statistics and Computing 11:125–139"}
	delMoral = params.Source{Author: "Del Moral, Doucet & Jasra", Year: "2006", Title: "Sequential Monte Carlo samplers",
		Journal: "Journal of the Royal Statistical Society B 68:411–436"}
	gilks = params.Source{Author: "Gilks & Berzuini", Year: "2001",
		Title: "Following a moving target: Monte Carlo inference for dynamic Bayesian models", Journal: "Journal of the Royal Statistical Society B 63:127–146"}
	cotter = params.Source{Author: "Cotter, Roberts, Stuart & White", Year: "2013",
		Title: "MCMC methods for functions: modifying old algorithms to make them faster", Journal: "Statistical Science 28:424–446"}
	anscombe = params.Source{Author: "Anscombe", Year: "1949",
		Title: "The statistical analysis of insect counts based on the negative binomial distribution", Journal: "Biometrics 5:165–173"}
	venzon = params.Source{Author: "Venzon & Moolgavkar", Year: "1988", Title: "A method for computing profile-likelihood-based confidence intervals",
		Journal: "Applied Statistics 37:87–94"}
	hanley = params.Source{Author: "Hanley & Lippman-Hand", Year: "1983",
		Title: "If nothing goes wrong, is everything all right? Interpreting zero numerators", Journal: "JAMA 249:1743–1745"}
)

// Methods are the works that the program's methods are from.
func Methods() []params.Source {
	works := []params.Source{anscombe, archer, campolongo, chopin, cotter, delMoral, fieller, gilks, hanley, hyndman, jansen, joe, morris, neal,
		saltelli, sobol, venzon, wilson}
	for i := range works {
		works[i].Title += " (title from memory)"
	}
	return works
}

// cited is how a work is cited in a sentence.
func cited(works ...params.Source) string {
	var out []string
	for _, w := range works {
		out = append(out, w.Author+" "+w.Year)
	}
	return strings.Join(out, "; ")
}

// inFull says where the works stand in full.
const inFull = "In full: 'rundown library --bibtex'."

// How the answers of the commands come about, with sources.
func driversMethod() string {
	return fmt.Sprintf("How it was done: a screening by elementary effects (%s); indices of the variance (%s), first-order by %s, total by %s, with "+
		"intervals by bootstrap (%s); the points are of a scrambled Sobol' sequence (%s). %s",
		cited(morris, campolongo), cited(sobol), cited(saltelli), cited(jansen), cited(archer), cited(joe), inFull)
}

func bandsMethod() string {
	return fmt.Sprintf("How it was done: bands are sample quantiles of type 8 (%s), differences are of runs under the same weather and luck. %s",
		cited(hyndman), inFull)
}

func forecastMethod() string {
	return fmt.Sprintf("How it was done: bands are sample quantiles of type 8 (%s), intervals of shares are Wilson's (%s), those of rank correlations "+
		"after %s. %s", cited(hyndman), cited(wilson), cited(fieller), inFull)
}

func countsMethod() string {
	return fmt.Sprintf("How it was done: the negative binomial by maximum likelihood (%s), intervals from the profile of the likelihood (%s), where "+
		"nothing was found the rule of three (%s). %s", cited(anscombe), cited(venzon), cited(hanley), inFull)
}
