// Package drivers says what moves an answer: which of the values that nobody
// knows exactly, and which kind of luck. It gives
//
//   - a screening of every uncertain value by elementary effects (Morris 1991,
//     Technometrics 33:161–174) and the mean of their sizes, μ* (Campolongo,
//     Cariboni & Saltelli 2007, Environ. Model. Softw. 22:1509–1518); the
//     strongest are chosen by the root mean square of the effects, which finds
//     values that matter rarely but much, such as thresholds of the weather;
//   - variance-based indices (Sobol' 1993) of the strongest, of the rest as one
//     group and of luck: first-order by Saltelli et al. (2010, Comput. Phys.
//     Commun. 181:259–270), total by Jansen (1999, Comput. Phys. Commun.
//     117:35–43), with bootstrap intervals (Archer, Saltelli & Sobol' 1997, J.
//     Stat. Comput. Simul. 58:99–120);
//   - the split of the spread over weather, season effects, chance and not
//     knowing, from the same runs;
//   - sweeps of one value with all else as a forecast draws it.
//
// # Luck as an input
//
// A replicate is a function of its parameters and of four luck indices, each
// with its own random numbers. An index is therefore an input like any other: a
// run that keeps it and changes a parameter has the same weather, season effects
// and chances (pick and freeze). So the share of the variance that no parameter
// explains is measured, not left over.
//
// # Independent inputs
//
// These methods need inputs that are drawn independently of each other, and the
// weed's values are not: their product, the seed that one seed returns in a year
// without herbicide, is known better than the factors, and a forecast keeps only
// draws that agree with it. So two of the weed's values are replaced by what is
// known. Heads per plant is set so that the product takes the value of an input
// of its own, "what one seed returns a year"; the share of old seed that is ready
// follows an input "share of plants from old seed", by its distribution given
// the others (sim.Worker.Project). All other values are drawn freely from their own spreads.
// An index of, say, seeds per head is then that of seeds per head *at a given
// return*: what a better number for it alone would still tell, once the product
// is known.
//
// The inputs so drawn spread the result nearly as a forecast does (standard
// deviations of log heads agree within a tenth on the plans tried; a test holds
// them to a fifth): conditioning moves the two values only, where the forecast's
// draws let the others move a little too.
//
// # Scale and design
//
// Densities and losses are shared out on a log scale, where a few runs far out
// do not make up all the variance. The strongest inputs take the dimensions of a
// Sobol' sequence with the direction numbers of Joe & Kuo, scrambled as Owen
// does; the rest are drawn at random, and luck by its indices.
package drivers
