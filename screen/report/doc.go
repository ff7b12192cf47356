// Package report writes what a run found: tables for people, ranking.csv and
// ranking.parquet for machines, and one building's whole working. It decides
// nothing; every number it prints was computed by the pipeline or the model.
//
// Every row of the CSV files, of the Parquet file and of the map says in its
// column `caution` what must not be forgotten once the row stands alone. It is a
// column because a line above the header would break what reads the file, and a
// second file would be left behind when the first is sent on. The work list adds
// the dangers of the step or strategy that the row orders.
package report

import (
	"strings"

	"wallsift/config"
	"wallsift/screen"
)

// ShortCaution stands in every row of a file.
const ShortCaution = "Screening, not design: survey before any work."

// Caution is printed with every set of results.
const Caution = "Screening, not design. It judges heat and moisture in outline from what the inventory says. " +
	"Survey before any work; local codes and licensed or accredited practice decide. " +
	"Combustibility, ventilation and structure are judged elsewhere."

// SteadyCaution says what the steady tier cannot see.
const SteadyCaution = "Tier steady: monthly means, vapour and heat only. It sees no storage, no capillary flow and rain only through simple indices; " +
	"it is strict on embedded timber and mild on walls that rain keeps wet."

// TransientCaution says what the transient tier leaves out.
const TransientCaution = "Tier transient: hourly heat and moisture transport in one dimension through an idealised wall, typical properties unless measured. " +
	"It judges corners by their surface resistance alone and sees no air leaks through the lining, no salts and no water from the ground. Frost is judged in the plain field of the wall: parapets, ends of sills and the wall base take more rain and spall first, so inspect them before a wall is lined. Most property data are recalled handbook values: measure what a decision hangs on. " +
	"A chance is counted over draws of what is not known about the wall; what the model leaves out is not in it."

// notRun says why some rows have no figures of limits.
const notRun = "What a rule excludes is not run: no share of a limit is shown for it, since one by monthly means cannot be set beside hourly ones (" + RankingCSV + " has that, with steady under tier)."

// TierCaution is the caution for the tier that a run was asked for.
func TierCaution(tier string) string {
	switch tier {
	case config.TierSteady:
		return SteadyCaution
	case config.TierTransient:
		return TransientCaution + " " + notRun
	}
	return TransientCaution + " " + SteadyCaution + " " + notRun + " \"Judged by\" says which method a row is of: shares of a limit by the two cannot be set side by side."
}

// StrategyCaution is the caution of a row that shows a strategy, with the dangers
// of that strategy.
func StrategyCaution(s *config.Strategy) string { return cautioned(warned(s)) }

// cautioned puts the short caution before others.
func cautioned(more string) string {
	return strings.TrimSpace(ShortCaution + " " + more)
}

// warned are the dangers of a strategy.
func warned(s *config.Strategy) string { return strings.TrimSpace(s.Warning + " " + s.Caution) }

// dangers are those of a line of a work list: of its step, or of the strategy
// whose layer it builds.
func (w *job) dangers(strategies []config.Strategy) string {
	st := &strategies[w.j.Strategy]
	switch {
	case w.Step != nil && w.Action == screen.Investigate && !w.desk() && w.Step.Caution != "":
		return "If the work follows: " + w.Step.Caution
	case w.Step != nil && w.Action == screen.Investigate:
		return ""
	case w.Step != nil:
		return w.Step.Caution
	case w.Layer != nil && w.Layer.Material == config.FaceTreatment:
		for _, s := range w.e.StepsOf(^uint64(0)) { // one work, one caution
			if s.Builds == w.Layer.Material {
				return s.Caution
			}
		}
		return st.Caution
	case w.Layer != nil:
		return warned(st)
	case w.Action == screen.Stop:
		return st.Warning
	}
	return ""
}
