package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// VerdictHelp says what each verdict means; it is printed wherever verdicts are
// explained.
var VerdictHelp = [screen.NumVerdicts]string{
	screen.Suited:             "limits are kept once the listed work and investigations are done, what is to be investigated being judged as if it had been put right; it is not leave to start",
	screen.SuitedAfterRepairs: "the same, but a named repair or a consent must come before the measure",
	screen.SurveyFirst:        "limits may be exceeded, or a fact is missing that decides",
	screen.WarningOnly:        "never advice, whatever the figures say; shown as a warning",
	screen.NotSuited:          "a limit is too likely exceeded, or a rule on the facts of the home excludes it, which is then named",
}

// ReadyHelp says what each readiness means.
var ReadyHelp = [screen.NumReadiness]string{
	screen.StartNow:         "no repair and nothing to investigate is listed; survey before work",
	screen.RepairFirst:      "all that matters is known, and repairs come before the measure",
	screen.InvestigateFirst: "a fact is not known, a rule asks for a survey, or limits are in doubt",
	screen.NoMeasurePasses:  "nothing is to be built on what is known; only repairs are listed to do",
}

// helpOf is a sentence of words with their meanings.
func helpOf[T ~uint8](word func(T) string, all []string) string {
	var out []string
	for i, text := range all {
		out = append(out, word(T(i))+": "+text)
	}
	return strings.Join(out, ". ") + "."
}

// VerdictRule explains the verdicts, ReadyRule what stands beside them.
var (
	VerdictRule = helpOf(screen.Verdict.String, VerdictHelp[:])
	ReadyRule   = "Readiness says what stands before the start of work. " + helpOf(screen.Readiness.String, ReadyHelp[:])
)

// What stands in the place of a verdict that has words of its own.
const (
	RepairsNotEnough = "repairs alone are not enough"
	ExcludedBy       = "excluded: "
)

// VerdictWords is a verdict for people. What a gate excludes is not a matter of
// figures, so the gate is named; repairs are due even where they are not enough.
func VerdictWords(e *screen.Engine, j *screen.Judgement) string {
	switch {
	case j.Excluded:
		return ExcludedBy + strings.Join(mapped(excluding(e, j), gateLabel), "; ")
	case j.Bare && j.Verdict == screen.NotSuited:
		return RepairsNotEnough
	}
	return j.Verdict.String()
}

// Unlike says that a judgement is of the monthly method where the run has the hourly one
// for others: shares of a limit by the two cannot be set side by side.
func Unlike(e *screen.Engine, j *screen.Judgement) bool {
	return e.Config().Run.Tier == config.TierAuto && j.Tier == indicator.Steady && !j.Excluded
}

// JudgedBy says by which method a judgement came about.
func JudgedBy(j *screen.Judgement) string {
	switch {
	case j.Excluded:
		return "a rule, not run"
	case j.Tier == indicator.Transient:
		return "hourly method"
	}
	return "monthly method"
}

// excluding lists the gates that exclude a judgement's strategy.
func excluding(e *screen.Engine, j *screen.Judgement) []config.Gate {
	return slices.DeleteFunc(e.GatesOf(j.Gates), func(g config.Gate) bool { return g.Effect != config.EffectExclude })
}

// mapped is what to makes of each of a list.
func mapped[T, R any](list []T, to func(T) R) (out []R) {
	for _, x := range list {
		out = append(out, to(x))
	}
	return out
}

func gateLabel(g config.Gate) string  { return g.Label }
func gateReason(g config.Gate) string { return g.Reason }
func stepID(s config.Step) string     { return s.ID }
func stepLabel(s config.Step) string  { return s.Label }

// Named is a field or a level of the inventory in words.
func Named(name string) string {
	if name == ingest.WaterAbsorption.Name() {
		return "water absorption A_w"
	}
	return strings.ReplaceAll(name, "_", " ")
}

// Labels says by id what stones or climate zones are called.
func Labels(terms []ingest.Term) map[string]string {
	out := map[string]string{}
	for _, t := range terms {
		out[t.ID] = cmp.Or(t.Label, t.ID)
	}
	return out
}

// FarBeyond is the share of a limit from which the figure means nothing: low and
// high of draws are cut there. Screening choice of this tool.
const FarBeyond = 4

// Share prints what is used of a limit. A figure beside the limit is never
// rounded onto it.
func Share(u float64) string {
	p := math.Round(100 * u)
	switch {
	case u == screen.NotJudged:
		return "not judged"
	case u >= FarBeyond:
		return "far beyond"
	case u < 0.005:
		return "below 1 %"
	case u > 1 && p == 100:
		p = 101
	case u < 1 && p == 100:
		p = 99
	}
	return fixed(p, 0) + " %"
}

// Spread prints the share of the limit with its low and high end. Of what a gate
// excludes it would only mislead.
func Spread(j *screen.Judgement) string {
	if !j.HasGovern || j.Excluded {
		return ""
	}
	if j.Chance >= 0 && j.High < 1.001*screen.LeastTold { // the draws tell no finer
		return Share(j.Typical) + " (up to " + Share(j.High) + ")"
	}
	return Share(j.Typical) + " (" + strings.TrimSuffix(Share(j.Low), " %") + " to " + Share(j.High) + ")"
}

// Chance prints between what bounds the chance that a limit is exceeded lies,
// nothing where it was not drawn. What may lie on the other side of a threshold
// is marked.
func Chance(j *screen.Judgement) string {
	if j.Chance < 0 {
		return ""
	}
	low, high := math.Floor(100*j.ChanceLow+0.5), math.Ceil(100*j.ChanceHigh-0.5)
	var s string
	switch {
	case low <= 0 && high >= 100:
		s = "not settled"
	case low <= 0:
		s = "below " + fixed(max(high, 1), 0) + " %"
	case high >= 100:
		s = "above " + fixed(min(low, 99), 0) + " %"
	case low >= high:
		s = fixed(high, 0) + " %"
	default:
		s = fixed(low, 0) + "–" + fixed(high, 0) + " %"
	}
	if j.Near {
		s += ", near"
	}
	return s
}

// percent prints a share of one; what is almost nothing is not nothing.
func percent(x float64) string {
	if x < 0.005 {
		return "below 1 %"
	}
	return fixed(100*x, 0) + " %"
}

// Clauses say in plain words why a judgement came out as it did: what excludes it, else
// what governs, where and when, and the insulation allowance. Every figure is the
// judgement's own. Put one behind the other they make sentences; few differ over a run,
// so that a writer of many can keep each once.
func Clauses(u Units, e *screen.Engine, b *ingest.Building, j *screen.Judgement) (out []string) {
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if j.Excluded {
		for _, g := range excluding(e, j) {
			add("Excluded: %s: %s. ", g.Label, g.Reason)
		}
		out[len(out)-1] = strings.TrimSpace(out[len(out)-1])
		return out
	}
	switch {
	case j.Failed:
		return []string{"The hourly model did not converge for this wall: judge it by hand."}
	case !j.HasGovern:
		add("No damage measure applies")
	case j.Typical > FarBeyond:
		add("Limited by %s%s: far beyond its limit", where(b, j.Governing), when(j))
	case j.Typical > 1:
		add("Limited by %s%s: ", where(b, j.Governing), when(j))
		add("%s of its limit", Share(j.Typical))
	default:
		add("Nearest to its limit is %s%s: ", where(b, j.Governing), when(j))
		add("%s of it", Share(j.Typical))
	}
	if j.Chance >= 0 {
		add("; chance that a limit is exceeded in the worst year of ten: %s", Chance(j))
		if j.Chance > 0 && j.GoverningHigh != j.Governing {
			add(", in adverse cases by %s", where(b, j.GoverningHigh))
		}
	} else if j.Typical <= 1 && j.High > 1 {
		add("; in the adverse case %s is over its limit", where(b, j.GoverningHigh))
	}
	if Unlike(e, j) {
		add(", by the %s", JudgedBy(j))
	}
	add(".")
	if list := notJudged(j); len(list) > 0 {
		add(" Not judged, for a figure of the stone is missing: %s.", strings.Join(list, ", "))
	}
	if a := j.Allowance; a.Known {
		most := Insulation[u].With(a.Thickness) + " (R " + Added[u].With(a.R) + ")"
		switch {
		case a.Full:
			add(" Insulation allowance: the whole range, up to %s.", most)
		case a.Thickness > 0:
			add(" Insulation allowance: %s; beyond, %s is first over its limit.", most, where(b, a.By))
		default:
			add(" Insulation allowance: none, for not even the thinnest of the range keeps %s within its limit.", where(b, a.By))
		}
	}
	if d := j.Drier; d.Enough > 0 {
		add(" With a face of a water absorption A_w of no more than %.2g kg/(m²·√s) (as judged %.2g) limits would be kept in the typical case.", d.Enough, d.Now)
	} else if d.Sought {
		add(" A drier face alone would not keep the limits.")
	}
	if j.Gathering {
		add(" The wall gains water from year to year.")
	}
	if j.HeldBack {
		add(" Judged with the lining held back at the joists, whose ends would not keep their limit behind it.")
	}
	if j.Unlikely {
		add(" With typical values the wall would be ruined by now, and it stands: likelier values decide, and its timber must be tested before anything is ordered.")
	}
	for _, g := range e.GatesOf(j.Gates) {
		add(" %s: %s.", g.Label, g.Reason)
	}
	return out
}

// notJudged names the measures that a missing figure leaves without an answer.
func notJudged(j *screen.Judgement) (out []string) {
	for id, u := range j.Utilisation {
		if u == screen.NotJudged {
			out = append(out, indicator.ID(id).Info().Label)
		}
	}
	return out
}

// AllowanceRule explains what is called allowance in files for programs too.
const AllowanceRule = "Insulation allowance: the thickest insulation of the strategy's range that keeps every limit in the typical case. +: the whole range, thicker was not tried. 0: not even the thinnest does."

// RepairsNote says what it means that a strategy without insulation is not
// suited; it is empty where the configuration has no such strategy.
func RepairsNote(e *screen.Engine) string {
	bare := slices.DeleteFunc(slices.Clone(e.Strategies()), func(s config.Strategy) bool { return s.Side != config.SideNone })
	if len(bare) == 0 {
		return ""
	}
	return strings.Join(mapped(bare, func(s config.Strategy) string { return s.Label }), ", ") + ": where it counts as not suited, " + RepairsNotEnough + " to keep every limit; they are due all the same."
}

// where is an indicator with its place. Timber that nobody has seen is judged in
// case it is there.
func where(b *ingest.Building, id indicator.ID) string {
	label := id.Info().Label
	if (id == indicator.TimberHumidity || id == indicator.TimberMoisture || id == indicator.TimberDecay) && b.Cat[ingest.EmbeddedTimber] == 0 {
		label += " (if there is any)"
	}
	return label
}

// Governed is the measure that governs, with its month.
func Governed(b *ingest.Building, j *screen.Judgement) string {
	switch {
	case j.Excluded:
		return ""
	case !j.HasGovern:
		return "no limit applies"
	}
	return strings.TrimSuffix(where(b, j.Governing)+", "+month(j.Month), ", ")
}

// when is the date of the worst moment, with a leading blank.
func when(j *screen.Judgement) string {
	switch {
	case j.Month < 0:
		return ""
	case j.Day >= 0:
		return " about " + date(j.Day)
	}
	return " in " + month(j.Month)
}

// month is a month of the year from 0, nothing below.
func month(m int8) string {
	if m < 0 {
		return ""
	}
	return (time.January + time.Month(m)).String()
}

// date is a day of the year (0–364) as day and month, nothing below.
func date(day int16) string {
	if day < 0 {
		return ""
	}
	return time.Date(2001, time.January, 1+int(day), 0, 0, 0, 0, time.UTC).Format("2 January") // no leap year
}

// Together sums up the best strategies over the portfolio in words: how many
// buildings have one that can be built, where it is repairs alone, and what they
// save.
func Together(e *screen.Engine, run *screen.Run) string {
	enough := run.BestBy[screen.Suited] + run.BestBy[screen.SuitedAfterRepairs]
	verb := "have"
	if enough == 1 {
		verb = "has"
	}
	out := fmt.Sprintf("%s %s a strategy that is suited or suited after repairs", Counted(enough, "building"), verb)
	if run.BareBest > 0 {
		out += fmt.Sprintf("; at %d of them it is repairs alone", run.BareBest)
	}
	out += "."
	if run.Measured > 0 {
		u := UnitsOf(e)
		out += Thousands(" Together they save %.0f %s, heat through the wall, not a fuel bill, over the %d whose wall area is given.", Energy[u].Of(run.Together), Energy[u].Unit, run.Measured)
	}
	return out
}

// Thousands is fmt.Sprintf with commas in long numbers.
func Thousands(format string, args ...any) string {
	return message.NewPrinter(language.English).Sprintf(format, args...)
}

// Counted is a number of things, in the plural where it is not one.
func Counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return strconv.Itoa(n) + " " + thing
}

func fixed(f float64, decimals int) string {
	s := strconv.FormatFloat(f, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}
