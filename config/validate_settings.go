package config

import "unicode/utf8"

// settings checks the sections that are not tables. Bounds without a standard
// are what a run can use at all, not what is likely.
func (v *validator) settings() {
	c := &v.l.Config
	if d := c.Input.Delimiter; d != "auto" && (utf8.RuneCountInString(d) != 1 || d == `"` || d == "\n" || d == "\r") {
		v.add("input.delimiter", d, `expected one character that is not a quote or a line end, or auto`)
	}
	v.within("input.max_record_bytes", float64(c.Input.MaxRecordBytes), 1024, 1<<30, "bytes")
	v.within("input.batch_rows", float64(c.Input.BatchRows), 1, 1<<20, "rows")
	v.mappings()

	v.oneOf("indoor.method", c.Indoor.Method, IndoorMethods)
	v.within("indoor.temperature_c", c.Indoor.Temperature, 5, 35, "°C")
	h := c.Indoor.DefaultClass
	v.within("indoor.default_humidity_class.low", float64(h.Low), 1, 5, "(classes of ISO 13788)")
	v.within("indoor.default_humidity_class.typical", float64(h.Typical), 1, 5, "(classes of ISO 13788)")
	v.within("indoor.default_humidity_class.high", float64(h.High), 1, 5, "(classes of ISO 13788)")
	if h.Low > h.Typical || h.Typical > h.High {
		v.add("indoor.default_humidity_class.typical", h.Typical, "expected low <= typical <= high, found low %d and high %d", h.Low, h.High)
	}

	v.within("energy.base_temperature_c", c.Energy.BaseTemperature, 0, 25, "°C")
	if p := c.Energy.PricePerKWh; p != nil && *p < 0 {
		v.add("energy.price_per_kwh", *p, "expected a price of 0 or more")
	}
	if f := c.Energy.CarbonPerKWh; f != nil {
		v.within("energy.carbon_kg_per_kwh", *f, 0, 5, "kg/kWh")
	}

	v.within("run.workers", float64(c.Run.Workers), 0, 4096, "workers (0 = one per core)")
	v.within("run.max_rejected_share", c.Run.MaxRejectedShare, 0, 1, "as a share, 0.05 for 5 %")
	v.within("run.memo_entries", float64(c.Run.MemoEntries), 0, 1<<30, "entries")
	v.oneOf("run.tier", c.Run.Tier, Tiers)
	v.oneOf("run.weather", c.Run.Weather, Weathers)

	v.within("engine.cells", float64(c.Engine.Cells), 10, 400, "cells")
	v.within("engine.block_hours", float64(c.Engine.BlockHours), 1, 6, "hours (1 = every hour by itself)")
	v.within("engine.tolerance", c.Engine.Tolerance, 0.01, 8, "(a factor, 1 is 0.1 K and 0.5 % relative humidity a step)")
	v.within("engine.max_years", float64(c.Engine.MaxYears), 3, 200, "years")
	v.within("engine.doubt_from", c.Engine.DoubtFrom, 0, 1, "(a utilisation)")
	v.within("engine.doubt_to", c.Engine.DoubtTo, 1, 99, "(a utilisation)")
	v.within("chance.samples", float64(c.Chance.Samples), 0, 4096, "samples (0 = none)")
	v.within("chance.checks", float64(c.Chance.Checks), 0, 256, "draws (0 = none)")
	v.within("chance.training_runs", float64(c.Chance.TrainingRuns), 40, 2000, "runs a strategy")
	v.within("chance.suited_below", c.Chance.SuitedBelow, 0, 0.5, "as a share, 0.1 for 10 %")
	v.within("chance.not_suited_above", c.Chance.NotSuitedAbove, 0.5, 1, "as a share, 0.7 for 70 %")

	if c.Output.Dir == "" {
		v.add("output.dir", nil, "missing; expected a folder")
	}
	v.oneOf("output.format", c.Output.Format, Formats)
	v.within("output.top", float64(c.Output.Top), 0, 1<<30, "rows (0 = all)")
	v.oneOf("output.units", c.Output.Units, Units)

	steps := c.Rank.MarginSteps
	if len(steps) == 0 {
		v.add("rank.margin_steps", nil, "missing; expected at least one utilisation")
	}
	for i, s := range steps {
		if s <= 0 || i > 0 && s <= steps[i-1] {
			v.add("rank.margin_steps", steps, "expected positive utilisations, each larger than the one before")
			break
		}
	}
}

// mappings checks that nothing is said twice. A header may be mapped to several
// columns; a word of a field means one thing.
func (v *validator) mappings() {
	said := map[Column]bool{}
	for _, c := range v.l.Config.Input.Columns {
		if c.From == "" || c.To == "" {
			v.add("input.columns", c.From, "every entry needs from and to")
		}
		if said[c] {
			v.add("input.columns", c.From, "is mapped to %s twice; keep one entry", c.To)
		}
		said[c] = true
	}
	seen := map[Alias]bool{}
	for _, a := range v.l.Config.Input.Aliases {
		if a.Field == "" || a.To == "" { // from "" stands for a blank
			v.add("input.aliases", a.From, "every entry needs field, from and to")
		}
		k := Alias{Field: a.Field, From: a.From}
		if seen[k] {
			v.add("input.aliases", a.From, "is mapped twice for the field %s; keep one entry", a.Field)
		}
		seen[k] = true
	}
}
