package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen/report"
	"wallsift/screen/report/picks"
)

func newProgramme() *cobra.Command {
	var done, out string
	cmd := configured(&cobra.Command{
		Use:   "programme [RESULTS]",
		Short: "Choose which homes to work on this year, within a budget, a number or for a saving",
		Long: "Reads the output folder of a finished run (default: output.dir) and chooses a measure each for\n" +
			"the homes that come first: no more than --homes, as far as --budget goes, or until --target-kwh\n" +
			"is reached. Nothing is run again. Only what is suited or suited after repairs is chosen, and a home\n" +
			"that is left out is listed with the reason. --by says what comes first.\n\n" +
			"Costs are your own; none is built in. A file named with --config holds them, a row for each\n" +
			"strategy and step that has a price (wallsift list strategies, steps):\n\n" +
			"    costs:\n" +
			"      exterior_rigid: {per_m2: FIGURE, per_m2_mm: FIGURE, per_home: FIGURE, source: our tender}\n" +
			"      rainwater_repair: {per_home: FIGURE, source: our tender}\n\n" +
			"A measure costs what its strategy and all steps in fix_first cost; if one has no row, the cost is\n" +
			"not known. What has to be investigated first is not in it.\n\n" +
			"Under a budget the saving in all is made as large as it can be, and a target is reached for as\n" +
			"little money as can be: a multiple-choice knapsack, solved by its linear relaxation and a bounded\n" +
			"search. Where the search cannot end, the bound is printed: how much more were possible at most.\n" +
			"By risk, homes with the lowest share of a limit (high end) come first, whatever they save.\n\n" +
			"Exit codes: 0 done, 1 failed, 2 bad usage or configuration, or not a folder of a run.\n\n" + report.Caution,
		Example: "  wallsift programme --homes 20\n  wallsift programme results --config costs.yaml --budget 250000 --out year1\n  wallsift programme --target-kwh 400000 --by risk --done year1/programme.csv",
		Args:    cobra.MaximumNArgs(1),
	}, []string{"format", "top", "units", "by", "budget", "target-kwh", "homes"}, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		cfg := &l.Config
		dir := cfg.Output.Dir
		if len(args) > 0 {
			dir = args[0]
		}
		var ids []string
		var err error
		if done != "" {
			if ids, err = picks.ReadDone(done); err != nil {
				return usage(err)
			}
		}
		p, err := picks.Make(cmd.Context(), dir, cfg, ids)
		if err != nil {
			return err
		}
		if out != "" {
			if err := putIn(out, func(work string) (names, gone []string, err error) { return picks.Files, nil, p.Write(work) }); err != nil {
				return err
			}
		}
		if err := p.Print(os.Stdout, cfg.Output.Format, cfg.Output.Top, terminalWidth()); err != nil {
			return err
		}
		for _, n := range p.Notes {
			fmt.Fprintln(os.Stderr, "note:", n)
		}
		fmt.Fprintf(os.Stderr, "%s\n%s\n", report.Wrap(p.Manifest.Caution, terminalWidth()), report.Wrap(p.Manifest.TierCaution, terminalWidth()))
		return nil
	})
	cmd.Flags().StringVar(&done, "done", "", "CSV `file` with a column building_id of homes that are decided or done, such as last year's programme.csv; they are left out and named")
	cmd.Flags().StringVar(&out, "out", "", "`folder` for programme.csv, programme.xlsx and programme.html; without it none is written")
	return cmd
}
