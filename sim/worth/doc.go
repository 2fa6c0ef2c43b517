// Package worth compares ways to live: as it is, with the creek put to work,
// with more panels, with a bigger bank, with both, with a generator.
//
// [Compare] takes the hourly years of a homestead ([Plan]), finds by search
// how many panels or how big a bank would give the same light in the window
// as the creek does, runs every way over all years, and adds up what each
// costs a year ([Prices]). Those searches are exact on a grid of 0.1 kW and
// 0.1 kWh: panels or bank alone by halving, both together by looking, for each
// panel power, whether the largest bank that would be cheaper than the best so
// far does.
//
// [FindMixes], which Compare calls where there are prices enough, asks the wider
// question: the cheapest mix of panels, bank, generator and creek, through each of
// several pipes and nozzles ([Waterway]), that gives a light the owner wants
// ([Target]), with the creek and without, and what less or more light would cost.
// It is exact on a stated [Grid]: a mix is left out only once it is known to
// fall short, or to cost more than another that keeps to the target even if its
// bank never wore and its generator gave no more than a bank without limits of
// power would leave short.
//
// The mixes are weighed anew under each draw ([SureMixes]), and to find what turns
// their verdict ([TurningPoint]): each price, life, the rate, own hours, the
// creek's water and the head, up to five times and down to a fifth. What is known
// of a mix's years does not hang on prices, so that other prices run only mixes
// that were never run before.
//
// # What is counted
//
// Capital is what must be bought beyond what stands there today. The cost of a
// year is the annuity of each thing over its life ([CapitalRecovery]) with the
// bank's life as the run wears it, and upkeep, fuel, and the household's own
// hours at the price that it sets. The bank that stands is counted too, since
// one way wears it sooner than another; panels that stand are not: every way
// keeps them. A price that was not given is left out of the sum and named in
// [Alternative.Missing]; where it is one of those that tell the ways apart, the verdict
// says that it is none on money yet. A way that cannot be, or need not, is left
// out with its reason ([LeftOut]). Another pipe costs a metre as its bore over
// the bore described to a power ([Prices.PenstockExponent]); nozzles cost
// nothing, and the machine's limit of power stays.
//
// # Not modelled
//
// Price changes over the years, taxes, grants, resale, and the value of light
// that is missed. More panels are taken to come with a controller to match, so
// their output grows in proportion.
//
// # Sources
//
//   - [ASHRAE] ASHRAE Pocket Guide for Air Conditioning, Heating, Ventilation,
//     Refrigeration, 2013: annual capital recovery factors, as reprinted on
//     engineersedge.com.
package worth
