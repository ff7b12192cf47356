// Package report writes what a run found: tables for people, ranking.csv and
// ranking.parquet for machines, and one building's whole working. It decides
// nothing; every number it prints was computed by the pipeline or the model.
package report

import "wallsift/config"

// Caution is printed with every set of results.
const Caution = "Screening, not design. It judges heat and moisture in outline from what the inventory says. " +
	"Survey before any work; local codes and licensed or accredited practice decide. " +
	"Combustibility, ventilation and structure are judged elsewhere."

// SteadyCaution says what the steady tier cannot see.
const SteadyCaution = "Tier steady: monthly means, vapour and heat only. It sees no storage, no capillary flow and rain only through simple indices; " +
	"it is strict on embedded timber and mild on walls that rain keeps wet."

// TransientCaution says what the transient tier leaves out.
const TransientCaution = "Tier transient: hourly heat and moisture transport in one dimension through an idealised wall, typical properties unless measured. " +
	"It sees no corners, no air leaks through the lining, no salts and no water from the ground; most property data are from memory. " +
	"Chances are read off response surfaces taught by runs of the same engine, which checks them near the thresholds; run.json says how well they agree."

// TierCaution is the caution for the tier that a run was asked for.
func TierCaution(tier string) string {
	switch tier {
	case config.TierSteady:
		return SteadyCaution
	case config.TierTransient:
		return TransientCaution + " What a gate excludes is shown with the steady tier's figures."
	}
	return TransientCaution + " " + SteadyCaution
}

var months = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

func month(m int8) string {
	if m < 0 {
		return ""
	}
	return months[m]
}
